/** A student's cells and functions in the sandbox: asked for answers, answered with measurements, never trusted. */
import type { Readable, Writable } from "node:stream";
import { serialize } from "node:v8";
import type { Exercise } from "../../../lib/lesson/exercises/exercise";
import { inRoot } from "../../setup/places.mjs";
import { type Sandbox, type Shut, startIn } from "./sandbox";

/** What came of asking a function. */
export type Reply = { readonly answer: unknown } | { readonly problem: string };

export interface Student {
  /** What went wrong in cells, a sentence each; functions may work all the same. */
  readonly problems: readonly string[];
  /** Asks a function for its answer to an exercise. */
  decide(name: string, one: Exercise): Promise<Reply>;
  end(): void;
}

/** Seconds that a cell, or a function in one room, may take: honest ones take one or two. */
export const usualPatience = 20;
/** So often may a student's code run on, or end its process; then the rest of it is not tried. */
const falls = 2;
/** Bytes of a line, and measurements asked for in one room, far beyond honest ones. */
const longest = 1e6;
const mostQuestions = 200;

/**
 * @param cells  sources of the code cells that are the student's own, in order
 * @param patience  seconds that one of them, or a function in one room, may take
 */
export async function openStudent(
  sandbox: Sandbox,
  cells: readonly string[],
  patience = usualPatience,
): Promise<Student> {
  let problems: readonly string[] = [];
  let fallen = 0;
  let skipped = new Set<number>();
  let running: Running | undefined;
  const given = () =>
    `not tried, since the code ended ${falls} times before: by itself, or because it ran for over ${patience} s`;

  /** Starts its process, without the cells that ended it before. */
  async function started(): Promise<Running | undefined> {
    while (!running && fallen < falls) {
      const own = run(sandbox, patience);
      const order = cells.flatMap((source, i) => (skipped.has(i) ? [] : [{ source, i }]));
      own.send({ cells: order.map(({ source }) => source) });
      for (let at = -1; ; ) {
        const said = await own.next();
        if (said?.problems) {
          problems = [...skipped]
            .map((i) => `cell ${i + 1} ran for over ${patience} s or ended the program`)
            .concat(texts(said.problems));
          running = own;
          break;
        }
        if (said && typeof said.cell === "number") at = said.cell;
        else {
          own.end();
          fallen++;
          if (at >= 0 && at < order.length) skipped = new Set([...skipped, order[at].i]);
          break;
        }
      }
    }
    return running;
  }

  await started();
  return {
    get problems() {
      return problems;
    },
    async decide(name, one) {
      const own = await started();
      if (!own) return { problem: given() };
      own.send({ call: name, room: roomFor(one) });
      for (let questions = 0; questions <= mostQuestions; questions++) {
        const said = await own.next();
        if (!said) break;
        if ("measure" in said) own.send(measured(one, said.measure));
        else
          return "problem" in said
            ? { problem: String(said.problem).slice(0, 500) }
            : { answer: said.answer };
      }
      own.end();
      running = undefined;
      fallen++;
      return { problem: `it ran for over ${patience} s, or ended the program` };
    },
    end: () => running?.end(),
  };
}

const texts = (said: unknown): string[] =>
  Array.isArray(said) ? said.slice(0, 50).map((one) => String(one).slice(0, 500)) : [];

/** What a way to decide is given, as `course.grade` gives it; measuring is asked for. */
const roomFor = ({ task, venue, positions, choices, suspects, microphonesLeft }: Exercise) => ({
  task,
  venue,
  positions,
  choices,
  suspects,
  microphones: microphonesLeft,
});

function measured(one: Exercise, positions: unknown) {
  try {
    const survey = one.measure(positions as Parameters<Exercise["measure"]>[0]);
    return { survey, microphones: one.microphonesLeft };
  } catch (error) {
    return { refused: error instanceof Error ? error.message : "refused", microphones: one.microphonesLeft };
  }
}

interface Running {
  send(message: object): void;
  /** The next thing it says; nothing when it has ended, is silent for too long, or says what is no message. */
  next(): Promise<{ readonly [key: string]: unknown } | undefined>;
  end(): void;
}

function run(sandbox: Sandbox, patience: number): Running {
  const shut: Shut = startIn(sandbox, inRoot("scripts", "class", "sandbox", "student.cjs"));
  const [, , , to, from] = shut.child.stdio as unknown as [null, null, null, Writable, Readable];
  const lines: string[] = [];
  let part = "";
  let over = false;
  let wake = () => {};
  const close = () => {
    over = true;
    wake();
  };
  from.setEncoding("utf8");
  from.on("data", (text: string) => {
    const [first, ...more] = text.split("\n");
    part += first;
    for (const next of more) {
      lines.push(part);
      part = next;
    }
    // Nobody honest says so much before being asked again.
    if (part.length > longest || lines.length > mostQuestions) close();
    wake();
  });
  for (const stream of [from, to]) stream.on("error", close);
  from.on("close", close);
  shut.child.on("error", close).on("exit", close);
  return {
    send: (message) => {
      if (!over) to.write(`${serialize(message).toString("base64")}\n`);
    },
    async next() {
      if (lines.length === 0 && !over) {
        const limit = setTimeout(close, patience * 1000);
        await new Promise<void>((resolve) => {
          wake = resolve;
        });
        clearTimeout(limit);
        if (lines.length === 0 && !over) return this.next();
      }
      const line = lines.shift();
      if (line === undefined || line.length > longest) return undefined;
      try {
        const said: unknown = JSON.parse(line);
        return typeof said === "object" && said !== null ? (said as { [key: string]: unknown }) : undefined;
      } catch {
        return undefined;
      }
    },
    end() {
      over = true;
      shut.end();
    },
  };
}

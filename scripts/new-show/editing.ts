/** A proposal that a person changes until it is right, and the files written from it. */
import { existsSync, readFileSync } from "node:fs";
import path from "node:path";
import { readShow } from "../../lib/study/read-show";
import { readVenue } from "../../lib/venue/file/read";
import type { Venue } from "../../lib/venue/venue";
import { type AirTold, airOf } from "../record/air";
import { writeOwnFile } from "../record/own-file";
import { baseOf } from "./place";
import { type Holds, type Proposal, type ProposedTake, playings, propose } from "./propose";
import { showFrom } from "./show-from";
import { filesIn } from "./tracks";
import {
  byDelays,
  type Form,
  type FormPosition,
  questions,
  usualForm,
  venueFileOf,
  venueOf,
} from "./venue-form";

export interface EditingOptions {
  readonly folder: string;
  readonly name: string;
  /** Answers of the form, metres; those that are missing are as usual. */
  readonly form?: Partial<Form>;
  /** Where microphones stood, for who has no drawing. */
  readonly positions?: readonly FormPosition[];
  /** The air of all takes, where it is known. */
  readonly air?: AirTold;
}

export type Editing = ReturnType<typeof startEditing>;

const uses = ["reference", "microphone", "not used"] as const;

/**
 * @throws RangeError where the folder holds no recordings that can be read, or an answer is out of its range
 */
export function startEditing({ folder, name, form: given = {}, positions: stood, air = {} }: EditingOptions) {
  const { files, problems } = filesIn(folder);
  if (files.length === 0)
    throw new RangeError(
      `${folder} holds no WAV file that can be read: copy the recordings there${problems.length ? ` (${problems[0]})` : ""}`,
    );
  const drawing = venueIn(folder);
  let form = { ...usualForm, ...given } as Form;
  let called = name;
  const first = propose(files, drawing);
  let positions: FormPosition[] = stood?.length ? [...stood] : positionsBy(form);
  // Positions that are given without a drawing are a drawing of their own.
  const proposal = !drawing && stood?.length ? propose(files, venueOf(name, form, stood)) : first;
  let takes: ProposedTake[] = proposal.takes.map((take) => ({ ...take, ...air }));
  let written: { readonly show: string; readonly venue: string } | null = null;

  function positionsBy(by: Form): FormPosition[] {
    const mains =
      first.takes.find(({ holds }) => holds === "mains") ?? first.takes.find(({ holds }) => holds === "both");
    const delays = (mains?.tracks ?? []).flatMap(({ position, delay_ms }) =>
      position && position === baseOf(position) && delay_ms !== undefined
        ? [{ id: position, seconds: delay_ms / 1000 }]
        : [],
    );
    return byDelays(by, delays);
  }

  const current = (): Proposal => ({ takes, doubts: proposal.doubts });
  const takeAt = (index: unknown): number => {
    if (typeof index === "number" && takes[index]) return index;
    throw new RangeError(`there is no take number ${JSON.stringify(index)}`);
  };
  const trackAt = (take: ProposedTake, index: unknown): number => {
    if (typeof index === "number" && take.tracks[index]) return index;
    throw new RangeError(`"${take.name}" has no track number ${JSON.stringify(index)}`);
  };

  return {
    state() {
      const { left } = showFrom(called, "venue.json", current());
      return {
        folder,
        name: called,
        drawn: drawing !== undefined,
        questions,
        form,
        positions: drawing
          ? drawing.positions.map(({ id, point }) => ({ id, x: point.x, y: point.y }))
          : positions,
        holds: playings,
        uses,
        takes,
        doubts: [...problems, ...proposal.doubts, ...left],
        written,
      };
    },
    setName(text: unknown): void {
      if (typeof text !== "string" || !text.trim() || text.length > 120)
        throw new RangeError("the name is empty or longer than 120 letters");
      called = text.trim();
    },
    setHolds(take: unknown, holds: unknown): void {
      if (!playings.includes(holds as Holds))
        throw new RangeError(`${JSON.stringify(holds)} is nothing that a take holds`);
      const at = takeAt(take);
      takes = takes.map((one, i) =>
        i === at ? { ...one, holds: holds as Holds, because: "as you say" } : one,
      );
    },
    /** The air of a take, or of all. */
    setAir(take: unknown, told: { readonly temperature?: unknown; readonly humidity?: unknown }): void {
      const now = airOf(told);
      const at = take === undefined ? undefined : takeAt(take);
      takes = takes.map((one, i) => {
        if (at !== undefined && at !== i) return one;
        const { temperature: _, humidity: __, ...rest } = one;
        return { ...rest, ...now };
      });
    },
    /**
     * The same channel of the other takes is changed along: it is one cable, and stands at one point until microphones are moved.
     */
    setTrack(
      take: unknown,
      track: unknown,
      change: { readonly use?: unknown; readonly position?: unknown },
    ): void {
      const at = takeAt(take);
      const index = trackAt(takes[at], track);
      const { use, position } = change;
      if (use !== undefined && !uses.includes(use as (typeof uses)[number]))
        throw new RangeError(`${JSON.stringify(use)} is no use of a channel`);
      if (position !== undefined && (typeof position !== "string" || position.length > 80))
        throw new RangeError("a position's name has 80 letters at most");
      const { standing } = takes[at];
      const count = takes[at].tracks.length;
      takes = takes.map((each) => {
        if (each.tracks.length !== count) return each;
        const moves = position !== undefined && each.standing === standing;
        const tracks = each.tracks.map((one, i) => {
          if (i !== index)
            return use === "reference" && one.use === "reference"
              ? { ...one, use: "not used" as const }
              : one;
          return {
            ...one,
            ...(use !== undefined && { use: use as (typeof uses)[number] }),
            ...(moves && { position: (position as string).trim() || undefined }),
          };
        });
        return { ...each, tracks };
      });
      if (!drawing) {
        const known = new Map(positions.map((p) => [p.id, p]));
        const named = [
          ...new Set(
            takes.flatMap((t) => t.tracks.flatMap((one) => (one.position ? [baseOf(one.position)] : []))),
          ),
        ];
        const guesses = positionsBy(form);
        positions = named.map((id, i) => known.get(id) ?? { ...(guesses[i] ?? { x: form.front, y: 0 }), id });
      }
    },
    setForm(changes: unknown): void {
      const next = { ...form, ...(changes as Partial<Form>) } as Form;
      venueFileOf(called, next, positions); // throws where an answer makes no sense
      const guessed = positions.every((p, i) => JSON.stringify(p) === JSON.stringify(positionsBy(form)[i]));
      form = next;
      if (guessed) positions = positionsBy(form);
    },
    setPosition(id: unknown, x: unknown, y: unknown): void {
      if (![x, y].every((v) => typeof v === "number" && Number.isFinite(v) && Math.abs(v) <= 300))
        throw new RangeError("a position lies within 300 metres");
      positions = positions.map((p) => (p.id === id ? { id: p.id, x: x as number, y: y as number } : p));
    },
    /** Writes what is proposed now; files that were edited by hand stay. */
    write() {
      const { file } = showFrom(called, "venue.json", current());
      if (!file)
        throw new RangeError("no take of mains, subs or both can be used yet: say what the recordings hold");
      const venue = drawing
        ? "venue.json"
        : writeOwnFile(folder, "venue.json", venueFileOf(called, form, positions));
      const show = writeOwnFile(folder, "show.json", `${JSON.stringify({ ...file, venue }, null, 2)}\n`);
      readShow(path.join(folder, show)); // says at once what is wrong with it
      written = { show, venue };
      return written;
    },
  };
}

function venueIn(folder: string): Venue | undefined {
  const file = path.join(folder, "venue.json");
  return existsSync(file) ? readVenue(readFileSync(file, "utf8"), "venue.json") : undefined;
}

/** What a notebook is worth: its ways to decide asked in the sandbox, their answers scored here. */
import { answerInWords, exerciseIn } from "../../../lib/lesson/exercises/exercise";
import type { Reply, Student } from "../sandbox/student";
import type { SetExercise } from "./assignments";
import { creditOf, FORM_COUNTS } from "./credit";
import { waysOf } from "./notebook";
import type { HiddenRooms, MarkedRoom } from "./rooms";

/** In one room. */
export interface Tried {
  /** Of what the worked solution earns there, 0 to 1. */
  readonly share: number;
  /** As it was read, in words; null where there was none. */
  readonly answer: string | null;
  /** The best answer, in words. */
  readonly best: string;
  /** What the audience loses by the answer over the best one, dB. */
  readonly cost_db: number | null;
  /** Of a hundred people those whom the answer serves, and the best one; null where that can't be counted. */
  readonly people: { readonly served: number; readonly best: number; readonly means: string } | null;
  readonly misconception: string | null;
  /** Why there was no answer, or none to this question. */
  readonly problem: string | null;
}

export interface MarkedExercise {
  readonly id: string;
  /** To a tenth. */
  readonly points: number;
  readonly most: number;
  /** Mean share at which credit begins, 0 to 1: what one answer to all rooms earns. */
  readonly blind: number;
  /** In the order of what was lost: not that in which the rooms were tried. */
  readonly tried: readonly Tried[];
}

/**
 * @param cells  the notebook's own: a way that stands there as it was handed out is not tried
 * @param rooms  of each exercise by its id
 */
export async function markExercises(
  student: Student,
  cells: readonly string[],
  exercises: readonly SetExercise[],
  rooms: ReadonlyMap<string, HiddenRooms>,
): Promise<MarkedExercise[]> {
  const marked: MarkedExercise[] = [];
  for (const one of exercises) {
    const hidden = rooms.get(one.id) as HiddenRooms;
    const ways = waysOf(one).filter((way) => isChanged(way, cells));
    const worths: MarkedExercise[] = [];
    for (const { way } of ways) {
      const tried: Tried[] = [];
      for (const room of hidden.rooms) tried.push(await tryIn(room, way, student));
      worths.push(worthOf(one, hidden, tried, way === one.name ? 0 : FORM_COUNTS));
    }
    const [best] = worths.sort((a, b) => b.points - a.points || answered(b) - answered(a));
    marked.push(best ?? worthOf(one, hidden, []));
  }
  return marked;
}

function worthOf(
  { id, points: most }: SetExercise,
  { blind }: HiddenRooms,
  tried: readonly Tried[],
  least = 0,
): MarkedExercise {
  const credit = creditOf(
    tried.map(({ share }) => share),
    blind,
    least,
  );
  const byLoss = [...tried].sort((a, b) => a.share - b.share || (b.cost_db ?? 0) - (a.cost_db ?? 0));
  return { id, points: Math.round(10 * credit * most) / 10, most, blind, tried: byLoss };
}

const answered = ({ tried }: MarkedExercise): number =>
  tried.filter(({ problem }) => problem === null).length;

/** Whether a way is another than the one that was handed out, or stands elsewhere. */
function isChanged({ way, source }: { way: string; source: string }, cells: readonly string[]): boolean {
  const declares = new RegExp(`\\b(?:const|let|var|function)\\s+${way}\\b`);
  return cells.some((cell) => declares.test(cell) && cell.trim() !== source.trim());
}

async function tryIn(marked: MarkedRoom, way: string, student: Student): Promise<Tried> {
  const { room, worked } = marked;
  const judge = room.judgeWith([]);
  const { unit, served } = room.task;
  const none = {
    share: 0,
    answer: null,
    best: judge.bestInWords ?? answerInWords(judge.best, unit),
    cost_db: null,
    people: null,
    misconception: null,
  };
  const one = exerciseIn(room);
  const reply: Reply = await student.decide(way, one);
  if ("problem" in reply) return { ...none, problem: reply.problem };
  try {
    const { score, misconception } = one.check(reply.answer);
    const answer = room.task.read(reply.answer);
    const ofHundred = (fraction = 0) => Math.round(100 * fraction);
    return {
      ...none,
      share: Math.min(1, score / worked),
      answer: answerInWords(answer, unit),
      cost_db: Math.round(10 * Math.max(0, judge.cost(answer) - judge.cost(judge.best))) / 10,
      people: served
        ? {
            served: ofHundred(judge.people?.(answer)),
            best: ofHundred(judge.people?.(judge.best)),
            means: served,
          }
        : null,
      misconception,
      problem: null,
    };
  } catch (error) {
    const problem = error instanceof Error ? error.message : String(error);
    return { ...none, problem };
  }
}

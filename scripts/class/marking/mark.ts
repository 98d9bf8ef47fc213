/** What a notebook is worth: its functions asked in the sandbox, their answers scored here. */
import { exerciseIn } from "../../../lib/lesson/exercises/exercise";
import type { Reply, Student } from "../sandbox/student";
import type { SetExercise } from "./assignments";
import type { MarkedRoom } from "./rooms";

/** In one room. */
export interface Tried {
  /** Of what the worked solution earns there, 0 to 1. */
  readonly share: number;
  readonly misconception: string | null;
  /** Why there was no answer, or none to this question. */
  readonly problem: string | null;
}

export interface MarkedExercise {
  readonly id: string;
  readonly points: number;
  readonly most: number;
  readonly tried: readonly Tried[];
}

/**
 * @param rooms  of each exercise by its id
 */
export async function markExercises(
  student: Student,
  exercises: readonly SetExercise[],
  rooms: ReadonlyMap<string, readonly MarkedRoom[]>,
): Promise<MarkedExercise[]> {
  const marked: MarkedExercise[] = [];
  for (const { id, name, points: most } of exercises) {
    const tried: Tried[] = [];
    for (const room of rooms.get(id) ?? []) tried.push(await tryIn(room, name, student));
    const share = tried.reduce((sum, one) => sum + one.share, 0) / tried.length;
    marked.push({ id, points: Math.round(100 * share * most) / 100, most, tried });
  }
  return marked;
}

async function tryIn({ room, worked }: MarkedRoom, name: string, student: Student): Promise<Tried> {
  const one = exerciseIn(room);
  const reply: Reply = await student.decide(name, one);
  if ("problem" in reply) return { share: 0, misconception: null, problem: reply.problem };
  try {
    const { score, misconception } = one.check(reply.answer);
    return { share: Math.min(1, score / worked), misconception, problem: null };
  } catch (error) {
    const problem = error instanceof Error ? error.message : String(error);
    return { share: 0, misconception: null, problem };
  }
}

/** What the browser keeps of a reader's work: of each lesson the changed code and the last outputs, and files that cells wrote. */
import { createStore, get, set, update } from "idb-keyval";
import type { Output } from "../../../notebook/format";
import type { Lesson } from "./lesson";

interface KeptCell {
  /** The course's code that was changed: where the course has changed since, the cell is the course's again. */
  readonly original: string;
  readonly text: string;
  readonly outputs?: Output[];
}

const store = createStore("evenground", "work");
const key = `lesson ${decodeURI(location.pathname.split("/").at(-1) ?? "")}`;

/** @throws where the browser keeps nothing for this page */
export async function restoreLesson({ cells }: Lesson): Promise<number> {
  const kept = (await get<KeptCell[]>(key, store)) ?? [];
  let count = 0;
  for (const [i, { original, text, outputs }] of kept.entries()) {
    if (cells[i]?.original !== original) continue;
    Object.assign(cells[i], { text, outputs });
    if (outputs || text !== original) count++;
  }
  return count;
}

export const keepLesson = ({ cells }: Lesson): Promise<void> =>
  set(
    key,
    cells.map(({ original, text, outputs }): KeptCell => ({ original, text, outputs })),
    store,
  );

export type WrittenFiles = ReadonlyMap<string, Uint8Array>;

export const keptFiles = async (): Promise<WrittenFiles> =>
  (await get<WrittenFiles>("files", store)) ?? new Map();

export const keepFile = (path: string, bytes: Uint8Array | undefined): Promise<void> =>
  update<WrittenFiles>(
    "files",
    (files = new Map()) => {
      const rest = [...files].filter(([name]) => name !== path);
      return new Map(bytes ? [...rest, [path, bytes]] : rest);
    },
    store,
  );

/** What the kernel and its stand-ins for Node.js' modules share: the files, and where the course lies among them. */
import { Files, type Manifest, type Pack } from "./files";

/** Where the repository's files stand for the kernel. */
export const root = "/course";

/** What the page has put in the worker's global scope before the kernel begins. */
interface Scope {
  /** Packs that have come, each as a function that makes its content. */
  readonly evengroundPacks: { [name: string]: () => Pack };
  /** Where the other packs lie; "" where all came with the kernel. */
  readonly evengroundBase: string;
  importScripts(address: string): void;
  postMessage(message: unknown): void;
}
const scope = globalThis as unknown as Scope;

/** Hands a message to the page. */
export const post = (message: object) => scope.postMessage(message);

export const files = new Files(
  (name) => {
    if (!scope.evengroundPacks[name] && scope.evengroundBase)
      scope.importScripts(`${scope.evengroundBase}${name}.js`);
    const make = scope.evengroundPacks[name];
    if (!make) throw new Error(`a part of the course is missing: ${name}`);
    delete scope.evengroundPacks[name];
    return make();
  },
  (path, bytes) => post({ msg_type: "file", path, bytes }),
);

/** Takes in what there is. */
export function openCourse(): void {
  files.load("library");
  files.addManifest(JSON.parse(files.text(`${root}/files.json`)) as Manifest);
}

/**
 * The kernel's files: the course's, which come in packs when they are first read, and those that cells write. Paths are
 * absolute, with forward slashes.
 */
import { Buffer } from "node:buffer";
import { dirname } from "node:path";

/** A pack's content: texts, bytes as base64, modules as Node.js wraps them. */
export interface Pack {
  readonly texts?: { readonly [path: string]: string };
  readonly bytes?: { readonly [path: string]: string };
  readonly modules?: { readonly [path: string]: ModuleCode };
}

export type ModuleCode = (
  exports: object,
  require: (name: string) => unknown,
  module: { exports: unknown },
  filename: string,
  dirname: string,
) => void;

/** What there is: by path the pack that holds a file, and its size in bytes. */
export interface Manifest {
  readonly files: { readonly [path: string]: readonly [pack: string, size: number] };
}

/** A file that is read like any other; its bytes are fetched when they are wanted. */
export interface Source {
  readonly size: number;
  /** Where it came as text. */
  readonly text?: string;
  /** Bytes from `start` up to and without `end`. */
  read(start: number, end: number): Uint8Array;
}

export class FileError extends Error {
  constructor(
    readonly code: string,
    call: string,
    readonly path: string,
  ) {
    super(`${code}: ${reasons[code]}, ${call} '${path}'`);
  }
}
const reasons: { readonly [code: string]: string } = {
  ENOENT: "no such file or directory",
  EISDIR: "illegal operation on a directory",
  ENOTDIR: "not a directory",
  EEXIST: "file already exists",
  ENOTEMPTY: "directory not empty",
  EBADF: "bad file descriptor",
};

type Entry = { readonly file: () => Source } | { readonly folder: Set<string> };

export class Files {
  private readonly entries = new Map<string, Entry>([["/", { folder: new Set() }]]);
  private readonly modules = new Map<string, ModuleCode>();
  private readonly loaded = new Set<string>();

  /**
   * @param fetchPack  a pack's content, at once
   * @param changed  hears what cells write; nothing as the bytes of what they remove
   */
  constructor(
    private readonly fetchPack: (name: string) => Pack,
    private readonly changed: (path: string, bytes: Uint8Array | undefined) => void = () => {},
  ) {}

  addManifest({ files }: Manifest): void {
    for (const [path, [pack, size]] of Object.entries(files)) {
      const wait = (): Source => {
        this.load(pack);
        const entry = this.entries.get(path);
        if (!entry || !("file" in entry) || entry.file === wait)
          throw new Error(`the pack ${pack} does not hold ${path}`);
        return entry.file();
      };
      this.add(path, Object.assign(wait, { size }));
    }
  }

  /** Puts a file there that something else holds, such as a recording that somebody chose. */
  add(path: string, file: (() => Source) & { readonly size?: number }): void {
    this.makeFolder(dirname(path));
    this.nameIn(path);
    this.entries.set(path, { file });
  }

  /** The code of a module that came as code; undefined where it is text to be evaluated, or nothing. */
  moduleCode(path: string): ModuleCode | undefined {
    if (this.isFile(path)) this.source(path);
    return this.modules.get(path);
  }

  load(pack: string): void {
    if (this.loaded.has(pack)) return;
    const { texts = {}, bytes = {}, modules = {} } = this.fetchPack(pack);
    this.loaded.add(pack);
    for (const [path, text] of Object.entries(texts)) this.keep(path, () => asText(text));
    for (const [path, text] of Object.entries(bytes))
      this.keep(path, () => inMemory(Buffer.from(text, "base64")));
    for (const [path, code] of Object.entries(modules)) {
      this.modules.set(path, code);
      this.keep(path, () => asText(""));
    }
  }

  private keep(path: string, make: () => Source): void {
    let made: Source | undefined;
    this.add(path, () => {
      made ??= make();
      return made;
    });
  }

  isFile(path: string): boolean {
    const entry = this.entries.get(path);
    return entry !== undefined && "file" in entry;
  }

  isFolder(path: string): boolean {
    const entry = this.entries.get(path);
    return entry !== undefined && "folder" in entry;
  }

  source(path: string, call = "open"): Source {
    const entry = this.entries.get(path);
    if (!entry) throw new FileError("ENOENT", call, path);
    if ("folder" in entry) throw new FileError("EISDIR", call, path);
    return entry.file();
  }

  size(path: string): number {
    const entry = this.entries.get(path);
    if (!entry || "folder" in entry) return 0;
    return (entry.file as { size?: number }).size ?? entry.file().size;
  }

  read(path: string, call?: string): Uint8Array {
    const source = this.source(path, call);
    return source.read(0, source.size);
  }

  text(path: string): string {
    const source = this.source(path);
    return source.text ?? new TextDecoder().decode(source.read(0, source.size));
  }

  list(path: string): string[] {
    const entry = this.entries.get(path);
    if (!entry) throw new FileError("ENOENT", "scandir", path);
    if ("file" in entry) throw new FileError("ENOTDIR", "scandir", path);
    return [...entry.folder].sort();
  }

  write(path: string, bytes: Uint8Array): void {
    const folder = dirname(path);
    if (!this.isFolder(folder)) throw new FileError("ENOENT", "open", path);
    if (this.isFolder(path)) throw new FileError("EISDIR", "open", path);
    this.restore(path, bytes);
    this.changed(path, bytes);
  }

  /** Puts a file back that was written before. */
  restore(path: string, bytes: Uint8Array): void {
    const kept = inMemory(bytes.slice());
    this.add(path, () => kept);
  }

  makeFolder(path: string): void {
    if (this.isFolder(path)) return;
    if (this.isFile(path)) throw new FileError("EEXIST", "mkdir", path);
    this.makeFolder(dirname(path));
    this.nameIn(path);
    this.entries.set(path, { folder: new Set() });
  }

  remove(path: string): void {
    const entry = this.entries.get(path);
    if (!entry) throw new FileError("ENOENT", "rm", path);
    if ("folder" in entry)
      for (const name of entry.folder) this.remove(path === "/" ? `/${name}` : `${path}/${name}`);
    this.entries.delete(path);
    this.parent(path)?.delete(nameOf(path));
    if ("file" in entry) this.changed(path, undefined);
  }

  /** A file under another name, whatever stood there. */
  rename(from: string, to: string): void {
    const bytes = this.read(from, "rename");
    this.write(to, bytes);
    this.remove(from);
  }

  private nameIn(path: string): void {
    this.parent(path)?.add(nameOf(path));
  }

  private parent(path: string): Set<string> | undefined {
    const entry = this.entries.get(dirname(path));
    return entry && "folder" in entry ? entry.folder : undefined;
  }
}

export const inMemory = (bytes: Uint8Array): Source => ({
  size: bytes.length,
  read: (start, end) => bytes.subarray(start, end),
});

/** A text, made into bytes only for who asks for those: the compiler reads a megabyte of texts at its start. */
function asText(text: string): Source {
  let bytes: Uint8Array | undefined;
  const all = () => (bytes ??= Buffer.from(text));
  return {
    text,
    get size() {
      return all().length;
    },
    read: (start, end) => all().subarray(start, end),
  };
}

const nameOf = (path: string) => path.slice(path.lastIndexOf("/") + 1);

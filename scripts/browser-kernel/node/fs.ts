/** Node.js' `fs` for cells in a browser, as far as the library and the lessons use it. */
import { Buffer } from "node:buffer";
import { resolve } from "node:path";
import { files } from "../worker/course";
import { FileError, type Source } from "../worker/files";

export const constants = { O_RDONLY: 0 };

const handles = new Map<number, { readonly source?: Source; readonly path: string; at: number }>();
let lastHandle = 2;

const absolute = (path: string | URL) => resolve(process.cwd(), String(path));

export const existsSync = (path: string) => {
  const place = absolute(path);
  return files.isFile(place) || files.isFolder(place);
};

export const realpathSync = (path: string) => {
  statSync(path);
  return absolute(path);
};

export function statSync(path: string, options?: { readonly throwIfNoEntry?: boolean }) {
  const place = absolute(path);
  const isFile = files.isFile(place);
  if (options?.throwIfNoEntry === false && !existsSync(place)) return undefined;
  if (!isFile && !files.isFolder(place)) throw new FileError("ENOENT", "stat", place);
  return {
    size: files.size(place),
    mtimeMs: 0,
    mode: 0o644,
    isFile: () => isFile,
    isDirectory: () => !isFile,
    isSymbolicLink: () => false,
  };
}
export const lstatSync = statSync;

export function readdirSync(path: string, options?: { readonly withFileTypes?: boolean }) {
  const place = absolute(path);
  const names = files.list(place);
  if (!options?.withFileTypes) return names;
  return names.map((name) => {
    const isFile = files.isFile(`${place}/${name}`);
    return { name, isFile: () => isFile, isDirectory: () => !isFile, isSymbolicLink: () => false };
  });
}

export function readFileSync(path: string, options?: string | { readonly encoding?: string }) {
  const bytes = Buffer.from(files.read(absolute(path)));
  const encoding = typeof options === "string" ? options : options?.encoding;
  return encoding ? bytes.toString(encoding as BufferEncoding) : bytes;
}

export function writeFileSync(path: string, data: string | Uint8Array) {
  files.write(absolute(path), typeof data === "string" ? Buffer.from(data) : data);
}

export function mkdirSync(path: string, options?: { readonly recursive?: boolean }) {
  const place = absolute(path);
  if (!options?.recursive && existsSync(place)) throw new FileError("EEXIST", "mkdir", place);
  files.makeFolder(place);
}

export function rmSync(path: string, options?: { readonly force?: boolean }) {
  if (options?.force && !existsSync(path)) return;
  files.remove(absolute(path));
}
export const unlinkSync = (path: string) => rmSync(path);

export function renameSync(from: string, to: string) {
  files.rename(absolute(from), absolute(to));
}

export function openSync(path: string) {
  const place = absolute(path);
  const handle = ++lastHandle;
  handles.set(handle, {
    path: place,
    source: files.isFolder(place) ? undefined : files.source(place),
    at: 0,
  });
  return handle;
}

export function closeSync(handle: number) {
  if (!handles.delete(handle)) throw new FileError("EBADF", "close", String(handle));
}

export const fstatSync = (handle: number) => statSync(opened(handle, "fstat").path);

export function readSync(
  handle: number,
  into: Uint8Array,
  offset = 0,
  length = into.length - offset,
  position: number | null = null,
) {
  const file = opened(handle, "read");
  if (!file.source) throw new FileError("EISDIR", "read", file.path);
  const start = position ?? file.at;
  const bytes = file.source.read(start, Math.min(start + length, file.source.size));
  into.set(bytes, offset);
  if (position === null) file.at += bytes.length;
  return bytes.length;
}

function opened(handle: number, call: string) {
  const file = handles.get(handle);
  if (!file) throw new FileError("EBADF", call, String(handle));
  return file;
}

export default {
  constants,
  existsSync,
  realpathSync,
  statSync,
  lstatSync,
  readdirSync,
  readFileSync,
  writeFileSync,
  mkdirSync,
  rmSync,
  unlinkSync,
  renameSync,
  openSync,
  closeSync,
  fstatSync,
  readSync,
};

/** A file of somebody's, opened so that only a plain file is read, and no more of it than was meant. */
import { closeSync, constants, fstatSync, openSync, readSync } from "node:fs";

/** Why a file can't be read; its message goes on from the file's name. */
export class UnreadableFile extends Error {
  constructor(
    readonly reason: "missing" | "no file" | "closed" | "too large",
    message: string,
  ) {
    super(message);
  }
}

/**
 * Opens a file for reading.
 *
 * @param path  where it is; links are followed
 * @returns its handle and its size in bytes
 * @throws UnreadableFile when there is none, it may not be read, or it is a folder, a device, a pipe
 */
export function openPlainFile(path: string): { readonly handle: number; readonly size: number } {
  let handle: number;
  try {
    // A pipe that nobody writes to would hold an ordinary open forever.
    handle = openSync(path, constants.O_RDONLY | (constants.O_NONBLOCK ?? 0));
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    if (code === "ENOENT") throw new UnreadableFile("missing", "does not exist");
    throw new UnreadableFile("closed", `can't be opened (${code ?? "unknown reason"})`);
  }
  const stat = fstatSync(handle);
  if (stat.isFile()) return { handle, size: stat.size };
  closeSync(handle);
  throw new UnreadableFile("no file", "is not a file");
}

/**
 * A file's content.
 *
 * @param path  where it is; links are followed
 * @param most  bytes that it may have
 * @throws UnreadableFile as `openPlainFile`, or when it is larger, whatever size it claims
 */
export function readPlainFile(path: string, most: number): Uint8Array {
  const { handle, size } = openPlainFile(path);
  try {
    return contentOf(handle, size, most);
  } finally {
    closeSync(handle);
  }
}

/**
 * The content of a file that is open.
 *
 * @param size  bytes that it claims to have
 * @param most  bytes that it may have
 * @throws UnreadableFile when it is larger
 */
export function contentOf(handle: number, size: number, most: number): Uint8Array {
  const tooLarge = (bytes: string) =>
    new UnreadableFile("too large", `is ${bytes} bytes, expected at most ${most}`);
  if (size > most) throw tooLarge(`${size}`);
  let bytes = new Uint8Array(size + 1);
  for (let read = 0; ; ) {
    const got = readSync(handle, bytes, read, bytes.length - read, null);
    if (got === 0) return bytes.subarray(0, read);
    read += got;
    if (read > most) throw tooLarge(`over ${most}`);
    if (read < bytes.length) continue;
    // Files of the system claim to be empty.
    const larger = new Uint8Array(Math.max(4096, 2 * bytes.length));
    larger.set(bytes);
    bytes = larger;
  }
}

/**
 * Text from a file: UTF-8, or UTF-16 with its byte order mark, as some programs under Windows write.
 *
 * @param bytes  the file's content
 */
export function textOf(bytes: Uint8Array): string {
  const [a, b] = bytes;
  const wide = a === 0xff && b === 0xfe ? "utf-16le" : a === 0xfe && b === 0xff ? "utf-16be" : "utf-8";
  return new TextDecoder(wide).decode(bytes);
}

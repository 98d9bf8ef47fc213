/**
 * Where the bytes of a recording come from: a file that is read piece by piece, or an array already in memory.
 */
import { closeSync, fstatSync, openSync, readSync } from "node:fs";
import { basename } from "node:path";
import { MeasurementFileError } from "../file-error";

/** Bytes that can be read at any place. */
export interface ByteSource {
  /** Name for messages. */
  readonly name: string;
  /** Bytes in all. */
  readonly size: number;
  /**
   * Reads bytes from `at` on, as many as `into` holds or as are there.
   *
   * @returns how many bytes were read
   */
  read(into: Uint8Array, at: number): number;
  close(): void;
}

/**
 * A file on disk, opened for reading; nothing is read yet.
 *
 * @param path  where it is
 * @throws MeasurementFileError when there is no such file, or it may not be read
 */
export function fileSource(path: string): ByteSource {
  const name = basename(path);
  let handle: number;
  try {
    handle = openSync(path, "r");
  } catch (error) {
    throw unreadable(name, path, error);
  }
  const stat = fstatSync(handle);
  if (!stat.isFile()) {
    closeSync(handle);
    throw new MeasurementFileError(
      "recording",
      name,
      "path",
      "is not a file",
      `give a WAV file, not ${path}`,
    );
  }
  return {
    name,
    size: stat.size,
    read: (into, at) => {
      let done = 0;
      while (done < into.length) {
        const got = readSync(handle, into, done, into.length - done, at + done);
        if (got === 0) break;
        done += got;
      }
      return done;
    },
    close: () => closeSync(handle),
  };
}

/**
 * Bytes that are in memory already.
 *
 * @param bytes  the file's content
 * @param name   name for messages
 */
export function memorySource(bytes: Uint8Array, name = "recording"): ByteSource {
  return {
    name,
    size: bytes.length,
    read: (into, at) => {
      const part = bytes.subarray(at, at + into.length);
      into.set(part);
      return part.length;
    },
    close: () => {},
  };
}

function unreadable(name: string, path: string, error: unknown): MeasurementFileError {
  const code = (error as NodeJS.ErrnoException).code;
  const problem = code === "ENOENT" ? "does not exist" : `can't be opened (${code ?? "unknown reason"})`;
  return new MeasurementFileError("recording", name, "path", problem, `check the name and folder: ${path}`);
}

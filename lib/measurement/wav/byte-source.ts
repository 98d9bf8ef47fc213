/**
 * Where the bytes of a recording come from: a file that is read piece by piece, or an array already in memory.
 */
import { closeSync, readSync } from "node:fs";
import { basename } from "node:path";
import { openPlainFile } from "../../files/read";
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
  const { handle, size } = opened(path, name);
  return {
    name,
    size,
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

function opened(path: string, name: string) {
  try {
    return openPlainFile(path);
  } catch (error) {
    const { message } = error as Error;
    throw new MeasurementFileError("recording", name, "path", message, `check the name and folder: ${path}`);
  }
}

/** Node.js' `crypto`: random names. */
import { Buffer } from "node:buffer";

export const randomBytes = (size: number) => Buffer.from(crypto.getRandomValues(new Uint8Array(size)));

/** As `crypto.randomUUID`, which pages from a disk or a plain address do not have in every browser. */
export function randomUUID(): string {
  const bytes = randomBytes(16);
  bytes[6] = (bytes[6] & 0x0f) | 0x40;
  bytes[8] = (bytes[8] & 0x3f) | 0x80;
  return bytes.toString("hex").replace(/^(.{8})(.{4})(.{4})(.{4})/, "$1-$2-$3-$4-");
}

export default { randomBytes, randomUUID };

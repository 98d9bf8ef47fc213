/**
 * Whether two kernels put out the same. Texts must be equal to the byte. Numbers that a figure carries in single precision
 * must be equal but for what an engine's own sine or logarithm does to the last bit of a double, and so now and then to the
 * last of a single.
 */
import { joined, type Output } from "../../scripts/notebook/format";

/** Relative to the larger of the two, and to 1: two steps of a single. */
const LAST_BITS = 2 ** -22;
/** A text of more digits shows what is left of a double's last bits. */
const LONG = /-?\d+\.\d{9,}(e-?\d+)?/g;

/**
 * @param folders  where each of the kernels has the course, and runs
 * @returns where the two first differ; nothing where they don't
 */
export function difference(
  here: readonly Output[],
  there: readonly Output[],
  folders: readonly string[],
): { here: string; there: string } | undefined {
  const [a, b] = [here, there].map((outputs) => {
    const numbers: number[] = [];
    const text = JSON.stringify(outputs.map(content), (key, value) => {
      if (typeof value !== "string") return value;
      return taken(placeless(value, folders), numbers, key);
    });
    return { text, numbers };
  });
  if (a.text !== b.text) return around(a.text, b.text);
  const at = a.numbers.findIndex((x, i) => !isSame(x, b.numbers[i]));
  if (at < 0 && a.numbers.length === b.numbers.length) return undefined;
  return { here: `number ${at}: ${a.numbers[at]}`, there: `number ${at}: ${b.numbers[at]}` };
}

const content = ({ output_type, name, text, data }: Output) => ({
  output_type,
  name,
  text: text && joined(text),
  data: data && Object.fromEntries(Object.entries(data).map(([type, one]) => [type, joined(one)])),
});

const placeless = (text: string, folders: readonly string[]) =>
  folders.reduce((rest, folder) => rest.replaceAll(`${folder}/`, "<course>/"), text);

/** A text with its packed and its long numbers taken out, which are compared as numbers. */
function taken(text: string, numbers: number[], key: string): string {
  // Within a script of the output, so that quotes have a backslash.
  const unpacked = text.replace(/\\?"f4\\?",\\?"bdata\\?":\\?"([^"\\]*)/g, (_, packed: string) => {
    const values = new Float32Array(Uint8Array.from(Buffer.from(packed, "base64")).buffer);
    numbers.push(...values);
    return `${values.length} numbers`;
  });
  if (key !== "text") return unpacked;
  const longs = (line: string) => line.match(LONG)?.slice(0, 3).map(Number) ?? [];
  return unpacked
    .split("\n")
    .map((line) => {
      const found = longs(line);
      if (!/\d\.\d{15}/.test(line) || found.length === 0) return line;
      // A line of a file that holds doubles to the last bit: as many digits as an engine needs, cut off at any of them.
      numbers.push(...found.slice(0, 2));
      return "long numbers";
    })
    .join("\n");
}

const isSame = (a: number, b: number) =>
  Object.is(a, b) || Math.abs(a - b) <= LAST_BITS * Math.max(1, Math.abs(a), Math.abs(b));

function around(here: string, there: string) {
  let at = 0;
  while (here[at] === there[at]) at++;
  const part = (text: string) => text.slice(Math.max(0, at - 80), at + 80);
  return { here: part(here), there: part(there) };
}

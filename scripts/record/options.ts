import { readOptions } from "../setup/options.mjs";
import { SetupError } from "../setup/setup-error.mjs";

export interface RecordCall {
  readonly folder?: string;
  readonly devices: boolean;
  readonly device?: number | string;
  readonly rate: number;
  readonly inputs: number;
  readonly outputs: number;
  readonly reference: number;
  readonly microphones: readonly number[];
  readonly positions?: readonly string[];
  readonly seconds: number;
  readonly port?: number;
}

/** What `npm run record` takes; nothing where only help was wanted. */
export function readRecordOptions(args: readonly string[]): RecordCall | undefined {
  const read = readOptions(args, {
    call: "npm run record",
    words: [
      {
        name: "FOLDER",
        says: "the show's folder; a venue.json in it gives positions, delays to expect and the estimate",
      },
    ],
    options: {
      devices: { says: "lists the audio interfaces and ends" },
      device: {
        value: "NAME",
        says: "number or name of an interface, as --devices gives them (default: the system's choice)",
      },
      inputs: {
        value: "N",
        says: "inputs to record, from the first on (default 8)",
        whole: [1, 64],
        usual: 8,
      },
      outputs: {
        value: "N",
        says: "outputs that play the signal, from the first on (default 2)",
        whole: [1, 64],
        usual: 2,
      },
      "loop-back": {
        value: "N",
        says: "input into which an output that plays the signal is patched (default 1)",
        whole: [1, 64],
        usual: 1,
      },
      microphones: {
        value: "LIST",
        says: "inputs of the microphones, such as 2-7 or 2,3,5 (default: all but the loop-back)",
      },
      positions: {
        value: "LIST",
        says: "where they stand, in order, with commas (default: the venue's positions);\nmore than there are microphones are measured one after the other",
      },
      rate: { value: "HERTZ", says: "sample rate (default 48000)", whole: [32_000, 192_000], usual: 48_000 },
      seconds: {
        value: "N",
        says: "how long the signal plays in a take (default 30)",
        whole: [8, 120],
        usual: 30,
      },
      port: {
        value: "NUMBER",
        says: "port of the page (default 8891 or the next free one)",
        whole: [1024, 65_535],
      },
    },
    more: "Nothing sounds before you press a button on the page, and no level rises by itself.\nTest signals at show level harm hearing: begin with the faders down, protect your ears, and let nobody stand near.",
  });
  if (!read) return undefined;
  const { values, words } = read;
  const fail = (sentence: string): never => {
    throw new SetupError(`${sentence} See npm run record -- --help.`);
  };
  if (!values.devices && !words[0]) fail("FOLDER is missing: the show's folder.");
  const { inputs, loopBack: reference } = values;
  if (reference > inputs)
    fail(
      `--loop-back is ${reference}, but only ${inputs} inputs are recorded: give --inputs ${reference} or more.`,
    );
  const given: number[] | undefined =
    values.microphones === undefined ? undefined : numbers(values.microphones, fail);
  const microphones = given ?? Array.from({ length: inputs }, (_, i) => i + 1).filter((n) => n !== reference);
  const wrong = microphones.find((n) => n < 1 || n > inputs || n === reference);
  if (wrong !== undefined || microphones.length === 0 || new Set(microphones).size < microphones.length)
    fail(
      `--microphones must be different inputs from 1 to ${inputs} without the loop-back's, ${reference}${wrong === undefined ? "" : `: ${wrong} is not one`}.`,
    );
  const positions = values.positions
    ?.split(",")
    .map((name: string) => name.trim())
    .filter(Boolean);
  if (positions && (positions.length === 0 || new Set(positions).size < positions.length))
    fail("--positions needs names, each once, with commas between them.");
  const { devices, rate, outputs, seconds, port } = values;
  const device = /^\d+$/.test(values.device ?? "") ? Number(values.device) : values.device;
  return {
    folder: words[0],
    devices,
    device,
    rate,
    inputs,
    outputs,
    reference,
    microphones,
    positions,
    seconds,
    port,
  };
}

/** "2-4,7" is 2, 3, 4, 7. */
function numbers(text: string, fail: (sentence: string) => never): number[] {
  return text.split(",").flatMap((part) => {
    const [, from, to]: (string | undefined)[] = /^\s*(\d{1,2})\s*(?:-\s*(\d{1,2}))?\s*$/.exec(part) ?? [];
    const last = Number(to ?? from);
    if (from === undefined || last < Number(from))
      return fail(`--microphones is ${JSON.stringify(text)}, expected numbers such as 2-7 or 2,3,5.`);
    return Array.from({ length: last - Number(from) + 1 }, (_, i) => Number(from) + i);
  });
}

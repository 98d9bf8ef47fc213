/** What stands on the pages of a PDF that Chromium made: how large its letters are, and how far down they reach. */
import { inflateSync } from "node:zlib";

export interface PdfPage {
  /** Points. */
  readonly width: number;
  readonly height: number;
  /** Every run of letters: size, and where its baseline begins from the left and from the top, points. */
  readonly letters: readonly { readonly size: number; readonly x: number; readonly y: number }[];
}

type Matrix = readonly [number, number, number, number, number, number];
const identity: Matrix = [1, 0, 0, 1, 0, 0];

/** First a, then b. */
const then = (a: Matrix, b: Matrix): Matrix => [
  a[0] * b[0] + a[1] * b[2],
  a[0] * b[1] + a[1] * b[3],
  a[2] * b[0] + a[3] * b[2],
  a[2] * b[1] + a[3] * b[3],
  a[4] * b[0] + a[5] * b[2] + b[4],
  a[4] * b[1] + a[5] * b[3] + b[5],
];

/**
 * The pages in their order.
 *
 * Reads as much of PDF 1.4 (ISO 32000-1, 7 to 9) as Skia writes: objects in the open, streams deflated, text by Tf, Tm and Tj.
 */
export function pdfPages(pdf: Buffer): PdfPage[] {
  const text = pdf.toString("latin1");
  const objects = new Map(
    [...text.matchAll(/(\d+) 0 obj\s([\s\S]*?)endobj/g)].map(([, id, body]) => [id, body] as const),
  );
  const pages = [...objects.values()].filter((body) => /\/Type\s*\/Page\b(?!s)/.test(body));
  return pages.map((body) => {
    const [, width, height] = /\/MediaBox\s*\[\s*0 0 ([\d.]+) ([\d.]+)/.exec(body)!.map(Number);
    const [, contents] = /\/Contents (\d+) 0 R/.exec(body)!;
    return { width, height, letters: lettersOf(streamOf(objects.get(contents)!), height) };
  });
}

function streamOf(object: string): string {
  const begin = /stream\r?\n/.exec(object)!;
  const length = Number(/\/Length (\d+)/.exec(object)![1]);
  const from = begin.index + begin[0].length;
  const raw = Buffer.from(object.slice(from, from + length), "latin1");
  return (/FlateDecode/.test(object) ? inflateSync(raw) : raw).toString("latin1");
}

function lettersOf(content: string, height: number): PdfPage["letters"] {
  const letters: { size: number; x: number; y: number }[] = [];
  const kept: Matrix[] = [];
  let place = identity;
  let line = identity;
  let size = 0;
  let operands: string[] = [];
  for (const [token] of content.matchAll(
    /\((?:\\.|[^\\)])*\)|<[^>]*>|\[|\]|\/[^\s/[\]()<>]+|[^\s/[\]()<>]+/g,
  )) {
    if (/^[-+.\d([\]</]/.test(token)) {
      operands.push(token);
      continue;
    }
    const numbers = operands.map(Number);
    const matrix = () => numbers.slice(-6) as unknown as Matrix;
    if (token === "q") kept.push(place);
    if (token === "Q") place = kept.pop() ?? identity;
    if (token === "cm") place = then(matrix(), place);
    if (token === "BT") line = identity;
    if (token === "Tf") size = numbers.at(-1)!;
    if (token === "Tm") line = matrix();
    if (token === "Td") line = then([1, 0, 0, 1, numbers.at(-2)!, numbers.at(-1)!], line);
    if (token === "Tj" || token === "TJ") {
      const at = then(line, place);
      letters.push({ size: size * Math.hypot(at[2], at[3]), x: at[4], y: height - at[5] });
    }
    operands = [];
  }
  return letters;
}

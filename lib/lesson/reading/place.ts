/** A place in plan, as people write it. */
import { Ambiguous, plain } from "./quantities";

const n = "([+-]?\\s?(?:\\d+(?:\\.\\d+)?|\\.\\d+))";
const metres = "\\s*(?:m|met(?:re|er)s?)?\\b";

/**
 * Reads a place.
 *
 * @param line  such as "x 20, y −3", "(20, −3)" or "20 m from the stage, 3 m house right"
 * @returns metres: x from the stage's edge, y to house left
 * @throws Ambiguous with a question where something is missing, or two people would read two things
 */
export function readPlace(line: string): { readonly x: number; readonly y: number } {
  const text = plain(line);
  if (/\b(?:ft|feet|foot)\b/.test(text)) throw new Ambiguous("is in feet: write metres");
  const pair = new RegExp(`^\\s*\\(?\\s*${n}${metres}\\s*[,;/|]\\s*${n}${metres}\\s*\\)?\\s*\\.?$`).exec(
    text,
  );
  if (pair) return { x: value(pair[1]), y: value(pair[2]) };
  const x =
    new RegExp(`\\bx\\s*[:=]?\\s*${n}`).exec(text)?.[1] ??
    new RegExp(
      `${n}\\s*m(?:et(?:re|er)s?)?\\s*(?:from|off|before|away from|in front of|out from|back|deep|behind)\\b`,
    ).exec(text)?.[1];
  if (x === undefined) throw new Ambiguous("has no x and y");
  return { x: value(x), y: across(text) };
}

function across(text: string): number {
  const side = /\b(house|stage)[ -](left|right)\b/.exec(text);
  const labelled = new RegExp(`\\by\\s*[:=]?\\s*${n}`).exec(text)?.[1];
  const beside =
    side &&
    new RegExp(
      `${n}\\s*m(?:et(?:re|er)s?)?\\s*(?:to |on |at |towards? )?(?:the )?(?:house|stage)[ -](?:left|right)`,
    ).exec(text)?.[1];
  const written = labelled ?? beside ?? undefined;
  if (written === undefined) {
    if (/\b(?:cent(?:re|er)[ -]?line|middle|cent(?:re|er)|on[ -]axis)\b/.test(text)) return 0;
    throw new Ambiguous(
      /\b(?:left|right)\b/.test(text)
        ? "says left or right: of the house or of the stage?"
        : "has no x and y",
    );
  }
  const size = value(written);
  if (!side) {
    if (/\b(?:left|right)\b/.test(text))
      throw new Ambiguous("says left or right: of the house or of the stage?");
    return size;
  }
  const left = (side[1] === "house") === (side[2] === "left");
  if (size < 0 && left) throw new Ambiguous("has a minus and house left, which is plus");
  return left ? size : -Math.abs(size);
}

const value = (written: string): number => Number(written.replace(/\s/g, "")) || 0;

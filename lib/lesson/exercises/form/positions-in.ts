/** Positions as somebody writes them, with or without commas. */
import { quoted } from "../../../text/quoted";
import type { NamedPoint } from "../../../venue/venue";
import type { PositionChoice } from "../task";

/**
 * @param text  names, or two numbers each: metres from the stage, and to house left
 * @param named  positions that have a name
 * @throws RangeError in a sentence where a part is neither
 */
export function positionsIn(text: string, named: readonly NamedPoint[]): PositionChoice[] {
  const names = named.map(({ id }) => id).sort((a, b) => b.length - a.length);
  const found: PositionChoice[] = [];
  let rest = text.replaceAll("−", "-");
  for (;;) {
    rest = rest.replace(/^[\s,;.{}()[\]"'/|]+|^and\b/i, "");
    if (rest === "") return found;
    if (/^and\b|^[\s,;]/i.test(rest)) continue;
    const name = names.find((each) => startsWithName(rest, each));
    const metres =
      /^(?:x\s*[:=]?\s*)?(-?\d+(?:\.\d+)?)\s*m?[\s,;/]+(?:y\s*[:=]?\s*)?(-?\d+(?:\.\d+)?)\s*m?\b/i.exec(rest);
    if (name !== undefined) found.push(name);
    else if (metres) found.push({ x: Number(metres[1]), y: Number(metres[2]) });
    else {
      const [word] = /^[^,;]+/.exec(rest) ?? [rest];
      throw new RangeError(
        `${quoted(word.trim())} is no position here, expected ${names.map(quoted).join(", ")}, or metres from the stage and to house left, such as 8 -2`,
      );
    }
    rest = rest.slice(name?.length ?? metres?.[0].length);
  }
}

/** A whole name: "row 1" does not begin "row 12". */
const startsWithName = (text: string, name: string): boolean =>
  text.slice(0, name.length).toLowerCase() === name.toLowerCase() &&
  !/^[a-z0-9]/i.test(text.slice(name.length));

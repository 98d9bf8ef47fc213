/** One word for one thing: data/words.json says which, and no text that a reader meets has another. */
import { readFileSync } from "node:fs";
import path from "node:path";
import { expect, test } from "vitest";
import { type Text, userTexts } from "./texts";

interface Word {
  readonly use: string;
  readonly not: readonly string[];
  readonly means: string;
}

const words: Word[] = JSON.parse(readFileSync(path.join(__dirname, "../../data/words.json"), "utf8"));

function faults(texts: readonly Text[]): string[] {
  return texts.flatMap(({ at, text }) =>
    words.flatMap(({ use, not }) =>
      not
        .filter((phrase) => new RegExp(`(?<![\\w-])${phrase}(?![\\w-])`, "i").test(text))
        .map((phrase) => `${at}: "${phrase}", use "${use}" in: ${text.trim().slice(0, 100)}`),
    ),
  );
}

test("no text that a reader meets has a word that the list replaces", () => {
  const texts = userTexts();
  expect(texts.length).toBeGreaterThan(3000);
  expect(faults(texts)).toEqual([]);
});

test("a text that has one is found, by its place", () => {
  const at = "somewhere:1";
  expect(faults([{ at, text: "The subs are turned over, and in step." }])).toHaveLength(2);
  expect(faults([{ at, text: "Milestones and shallow water are no faults." }])).toEqual([]);
});

test("each word says what it means, and replaces something", () => {
  for (const { use, not, means } of words) {
    expect(not.length, use).toBeGreaterThan(0);
    expect(means.split(" ").length, use).toBeGreaterThan(4);
    expect(not, use).not.toContain(use);
  }
});

/** What the front page says of files, commands and lessons is so. */
import { existsSync, readdirSync, readFileSync, statSync } from "node:fs";
import path from "node:path";
import { describe, expect, it } from "vitest";

const root = path.join(__dirname, "..", "..");
const read = (...parts: string[]) => readFileSync(path.join(root, ...parts), "utf8");
const readme = read("README.md");
const pages = [
  "README.md",
  "DEVELOPERS.md",
  "scripts/class/README.md",
  "notebooks/whats-new.md",
  "notebooks/from-microphone-to-report.md",
];

describe("the front page", () => {
  it("lists every lesson under its title, in order", () => {
    const notebooks = readdirSync(path.join(root, "notebooks")).filter((name) => name.endsWith(".ipynb"));
    const listed = [...readme.matchAll(/^\| \d+ \[(.*)\]\(notebooks\/(.*)\) \|/gm)];
    expect(listed.map(([, title, name]) => [name, title])).toEqual(
      notebooks.sort().map((name) => {
        const [{ source }] = JSON.parse(read("notebooks", name)).cells;
        const [, title] = /^# (.*)$/m.exec([source].flat().join("")) ?? [];
        return [name, title];
      }),
    );
  });

  it("has a picture that weighs little", () => {
    const [, picture] = /!\[[^\]]+\]\((\S+)\)/.exec(readme) ?? [];
    expect(statSync(path.join(root, picture)).size).toBeLessThan(150_000);
  });
});

describe.each(pages)("%s", (page) => {
  it("links to what is there", () => {
    for (const [, target] of read(page).matchAll(/\]\(([^)#]+)(?:#[^)]*)?\)/g)) {
      if (target.startsWith("https://")) continue;
      expect(existsSync(path.join(root, path.dirname(page), target)), target).toBe(true);
    }
  });

  it("names commands that there are", () => {
    const { scripts } = JSON.parse(read("package.json"));
    const named = [...read(page).matchAll(/npm run ([a-z-]+)/g)].map(([, name]) => name);
    expect(named.filter((name) => !Object.hasOwn(scripts, name))).toEqual([]);
  });

  it("names files that there are", () => {
    const named = [...read(page).matchAll(/(?:node scripts\/run\.mjs |`)((?:lib|scripts|tests)\/[\w./-]+)/g)];
    for (const [, file] of named) expect(existsSync(path.join(root, file)), file).toBe(true);
  });
});

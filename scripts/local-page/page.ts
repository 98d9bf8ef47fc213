/** What the pages of commands are made of, but for what each shows. */
import { readFileSync } from "node:fs";
import { inRoot } from "../setup/places.mjs";
import type { Page } from "./serve";

type Wish = Parameters<Page["act"]>[0];

/** What a page may ask for, by what the wish calls it. */
export type Actions<T> = { readonly [name: string]: (subject: T, wish: Wish) => unknown };

/**
 * @param folder  of the command, with NAME.html and NAME.js in its `page`
 * @param name  of both
 * @param subject  what the page acts on
 */
export function pageOf<T>(
  folder: string,
  name: string,
  subject: T,
  actions: Actions<T>,
): Pick<Page, "html" | "files" | "act"> {
  const read = (...place: string[]) => readFileSync(inRoot("scripts", ...place), "utf8");
  const script = (...place: string[]) => ({ type: "text/javascript", text: read(...place) });
  return {
    html: read(folder, "page", `${name}.html`),
    files: {
      [`${name}.js`]: script(folder, "page", `${name}.js`),
      "parts.js": script("local-page", "parts.js"),
      "page.css": { type: "text/css", text: read("local-page", "page.css") },
    },
    act(wish) {
      const act = Object.hasOwn(actions, String(wish.do)) ? actions[String(wish.do)] : undefined;
      if (!act) throw new RangeError(`there is nothing called ${JSON.stringify(wish.do)} to do`);
      return act(subject, wish);
    },
  };
}

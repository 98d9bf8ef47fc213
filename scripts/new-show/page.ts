/** The page of `npm run new-show`: what it shows and what it may ask for. */
import { readFileSync } from "node:fs";
import type { Page } from "../record/serve";
import { inRoot } from "../setup/places.mjs";
import type { Editing } from "./editing";

const read = (name: string) => readFileSync(inRoot("scripts", "new-show", "page", name), "utf8");

export function newShowPage(editing: Editing): Page {
  return {
    html: read("new-show.html"),
    files: {
      "new-show.js": { type: "text/javascript", text: read("new-show.js") },
      "page.css": {
        type: "text/css",
        text: readFileSync(inRoot("scripts", "record", "page", "record.css"), "utf8"),
      },
    },
    state: () => editing.state(),
    act(wish) {
      const act = Object.hasOwn(actions, String(wish.do)) ? actions[String(wish.do)] : undefined;
      if (!act) throw new RangeError(`there is nothing called ${JSON.stringify(wish.do)} to do`);
      return act(editing, wish);
    },
  };
}

const actions: {
  readonly [name: string]: (editing: Editing, wish: { readonly [key: string]: unknown }) => unknown;
} = {
  name: (editing, { name }) => editing.setName(name),
  holds: (editing, { take, holds }) => editing.setHolds(take, holds),
  track: (editing, { take, track, use, position }) => editing.setTrack(take, track, { use, position }),
  form: (editing, { form }) => editing.setForm(form),
  position: (editing, { id, x, y }) => editing.setPosition(id, x, y),
  write: (editing) => editing.write(),
};

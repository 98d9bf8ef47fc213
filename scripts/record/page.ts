/** The page of `npm run record`: what it shows and what it may ask for. */
import { readFileSync } from "node:fs";
import { inRoot } from "../setup/places.mjs";
import type { Page } from "./serve";
import type { Session } from "./session";

const read = (name: string) => readFileSync(inRoot("scripts", "record", "page", name), "utf8");

export function recordPage(session: Session): Page {
  return {
    html: read("record.html"),
    files: {
      "record.js": { type: "text/javascript", text: read("record.js") },
      "record.css": { type: "text/css", text: read("record.css") },
    },
    state() {
      const { last, ...state } = session.state();
      return { ...state, last: last && { ...last, result: last.result && withoutCurves(last.result) } };
    },
    act(wish) {
      const act = Object.hasOwn(actions, String(wish.do)) ? actions[String(wish.do)] : undefined;
      if (!act) throw new RangeError(`there is nothing called ${JSON.stringify(wish.do)} to do`);
      return act(session, wish);
    },
  };
}

/** Curves are fetched once a take, not told ten times a second. */
const withoutCurves = ({
  positions,
  ...rest
}: NonNullable<NonNullable<ReturnType<Session["state"]>["last"]>["result"]>) => ({
  ...rest,
  positions: positions.map(({ frequency_hz, magnitude_db, coherences, ...position }) => position),
});

const actions: {
  readonly [name: string]: (session: Session, wish: { readonly [key: string]: unknown }) => unknown;
} = {
  play: (session, { level_db }) => session.play(level_db),
  quiet: (session) => session.quiet(),
  take: (session, { id }) => session.take(id),
  skip: (session, { id }) => session.skip(id),
  clearClips: (session) => session.clearClips(),
  curves: (session) => ({ positions: session.state().last?.result?.positions ?? [] }),
};

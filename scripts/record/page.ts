/** The page of `npm run record`: what it shows and what it may ask for. */
import { type Actions, pageOf } from "../local-page/page";
import type { Page } from "../local-page/serve";
import type { Session } from "./session";

export const recordPage = (session: Session): Page => ({
  ...pageOf("record", "record", session, actions),
  state() {
    const { last, ...state } = session.state();
    return { ...state, last: last && { ...last, result: last.result && withoutCurves(last.result) } };
  },
});

/** Curves are fetched once a take, not told ten times a second. */
const withoutCurves = ({
  positions,
  ...rest
}: NonNullable<NonNullable<ReturnType<Session["state"]>["last"]>["result"]>) => ({
  ...rest,
  positions: positions.map(({ frequency_hz, magnitude_db, coherences, ...position }) => position),
});

const actions: Actions<Session> = {
  play: (session, { level_db }) => session.play(level_db),
  quiet: (session) => session.quiet(),
  take: (session, { id }) => session.take(id),
  skip: (session, { id }) => session.skip(id),
  clearClips: (session) => session.clearClips(),
  curves: (session) => ({ positions: session.state().last?.result?.positions ?? [] }),
};

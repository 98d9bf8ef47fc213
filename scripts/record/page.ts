/** The page of `npm run record`: what it shows and what it may ask for. */
import { type Actions, pageOf } from "../local-page/page";
import type { Page } from "../local-page/serve";
import type { PositionResult } from "./analyse";
import type { Session } from "./session";

export const recordPage = (session: Session): Page => ({
  ...pageOf("record", "record", session, actions),
  state() {
    const { last, ...state } = session.state();
    if (!last) return { ...state, last };
    const { result, walk } = last;
    return {
      ...state,
      last: {
        ...last,
        result: result && { ...result, positions: result.positions.map(withoutCurves) },
        walk: walk && { ...walk, result: walk.result && { reasons: walk.result.reasons } },
      },
    };
  },
});

/** Curves are fetched once a take, not told ten times a second. */
const withoutCurves = ({ frequency_hz, magnitude_db, coherences, ...position }: PositionResult) => position;

const actions: Actions<Session> = {
  play: (session, { level_db }) => session.play(level_db),
  quiet: (session) => session.quiet(),
  take: (session, { id }) => session.take(id),
  skip: (session, { id }) => session.skip(id),
  leaveOut: (session, { id }) => session.leaveOut(id),
  air: (session, { temperature, humidity, id }) => session.air({ temperature, humidity }, id),
  points: (session, { position, count }) => session.points(position, count),
  walk: (session, { input, positions }) => session.walk(input, positions),
  mark: (session, { position }) => session.mark(position),
  clearClips: (session) => session.clearClips(),
  curves(session) {
    const { last } = session.state();
    return { positions: last?.result?.positions ?? [], path: last?.walk?.result ?? null };
  },
};

import { calibrate } from "../decision/calibration/calibrate";
import type { Calibration } from "../decision/calibration/result";
import type { ExplainedDip } from "../decision/dips/causes";
import type { LayoutComparison } from "../decision/layouts/compare-result";
import type { Limits } from "../decision/offset/limits";
import type { AudienceBalance } from "../decision/reference/along-path";
import { modelSurvey } from "../field/model-survey";
import { partOfSurvey } from "../survey/part";
import type { Survey } from "../survey/survey";
import { frontOfHousePositions, seats } from "../venue/seats";
import type { Venue } from "../venue/venue";
import { answerOf, type HeardShow, type ShowAnswer } from "./answer";
import { startExplaining } from "./dips-in-parallel";
import { type Findings, findings } from "./findings";
import { measureShow, type ShowMeasurement } from "./measure";
import { startModel } from "./model-in-parallel";
import { inPascals } from "./pascals";
import type { Show } from "./read-show";
import { decisionSettings } from "./settings";
import { standFor } from "./stand-for";
import type { Verification } from "./verification/result";
import { verifyStudy } from "./verification/verify-study";
import { judgeWalk, type WalkResult } from "./walk";

/** What a show says: the one answer, and what stands behind it. */
export interface Study {
  /** What was studied. */
  readonly show: Show;
  /** What its recordings and traces gave, with all that could not be used. */
  readonly measurement: ShowMeasurement;
  /** What is decided, for every seat, from drawing and microphones together. */
  readonly answer: ShowAnswer;
  /** Behind the answer: the microphones by themselves; absent where fewer than two positions could be used. */
  readonly measured?: Findings;
  /** Behind the answer: the drawing by itself, for every seat. */
  readonly model: Findings;
  /** The model at the microphones' positions, to compare it with the measurement. */
  readonly modelAtMicrophones?: Survey;
  /** Dips at the microphones, or, without a measurement, at the venue's named positions, and what in the venue makes them. */
  readonly dips: readonly ExplainedDip[];
  /** Behind the answer: the drawing's few uncertain values fitted to the microphones; absent without a measurement. */
  readonly calibration?: Calibration;
  /** What was heard along walks, beside what the audience hears. */
  readonly walks: readonly WalkResult[];
  /** The same subs in other positions; absent where there are none. */
  readonly layouts?: LayoutComparison;
  /** Whether the result was reached once the setting had been entered; absent where nothing was recorded since. */
  readonly verification?: Verification;
}

export interface StudyOptions {
  /** About how many seats the model computes, 1 or more. Default 2000. */
  readonly seatCount?: number;
  /** Called with each step as it begins, in words; by default nobody is told. */
  readonly progress?: (step: string) => void;
}

/**
 * Studies a show: measures what its recordings and traces hold, models every seat, and decides level, delay and polarity of
 * the subs and where to mix.
 *
 * @param show  from `read.show`
 * @param options  how many seats, and whom to tell what is being done
 * @returns surveys and findings, of the microphones and of the model; what could not be used is in `measurement.problems`
 * @throws RangeError when the venue can't be modelled or decided on, such as one without subs; a recording that can't be
 *   used is a problem and no error
 * @source own way, no outside source: each step is a function of `measure`, `predict` or `decide`; check:
 *   tests/study/study.test.ts
 * @example
 * const study = studies.run(read.show(read.example("harbour-theatre")), { seatCount: 20 });
 * show(draw.offset([{ label: "all seats", result: study.answer.offset }]));
 */
export function runStudy(show: Show, options: StudyOptions = {}): Study {
  const { seatCount = 2000, progress = () => {} } = options;
  // The other cores begin with the seats, this one joins them when all else is done.
  const audience = seats(show.venue, { count: seatCount });
  const settings = decisionSettings(show);
  const computed = startModel(show.venue, [...audience, ...mixPositions(show.venue)], settings);
  const measurement = measureShow(show, progress);
  computed.awaitWaves();
  const warnings = [...measurement.warnings];
  const modelled = (given?: (audience: Survey, zone: Survey) => ShowAnswer | undefined) => {
    progress(`model of about ${seatCount} seats and the front-of-house zone`);
    const whole = computed.finish();
    warnings.push(...(whole.warnings ?? []));
    const part = (isSeat: boolean) =>
      partOfSurvey(
        whole,
        whole.positions.flatMap((_, i) => (i < audience.length === isSeat ? [i] : [])),
      );
    progress("decisions");
    const zone = part(false);
    const model = findings(part(true), zone, show.venue, settings);
    progress("every seat, given what was heard");
    const answer =
      given?.(model.survey, zone) ?? answerOf(show.venue, model.survey, zone, undefined, settings);
    const walks = measurement.walks.map((walk) => judgeWalk(walk, audienceOf(answer)));
    progress("the subs in other positions");
    const layouts = computed.layouts();
    return { model, answer, walks, ...(layouts && { layouts }) };
  };
  const { survey } = measurement;
  if (!survey) {
    const named = modelSurvey(show.venue, standFor(show.venue, show.venue.positions));
    const explained = named.positions.length ? startExplaining(named, show.venue) : () => [];
    const decided = modelled();
    progress("dips and their causes");
    return { show, measurement: { ...measurement, warnings }, ...decided, dips: explained() };
  }
  const modelAtMicrophones = modelSurvey(show.venue, survey.positions);
  const problems = [...measurement.problems];
  // What the model says stands by itself: a measurement that can't be decided on must not take it away.
  const tried = <T>(what: string, work: () => T): T | undefined => {
    try {
      return work();
    } catch (error) {
      if (!(error instanceof RangeError)) throw error;
      problems.push(`no ${what} from the measurement: ${error.message}`);
      return undefined;
    }
  };
  const { pascalsPerRatio } = measurement;
  const absolute = pascalsPerRatio ? inPascals(survey, pascalsPerRatio) : survey;
  const mixing = survey.positions.flatMap((p, i) => (p.area === "front of house" ? [i] : []));
  const heard = mixing.length ? partOfSurvey(absolute, mixing) : undefined;
  const limits = { ...settings.limits, ...frontRowLimits(show, measurement, problems) };
  const measured = tried("decision", () => findings(absolute, heard, show.venue, { ...settings, limits }));
  const explained = startExplaining(survey, show.venue);
  const heardSeats = survey.positions.flatMap((p, i) => (p.people > 0 ? [i] : []));
  progress("fit of the model to the microphones");
  const calibration = tried("fit of the model", () =>
    calibrate(show.venue, partOfSurvey(survey, heardSeats), { ...settings, seatCount: FITTED_SEATS }),
  );
  const told: HeardShow = {
    measured: survey,
    model: modelAtMicrophones,
    ...(pascalsPerRatio && { pascalsPerRatio }),
  };
  const decided = modelled((audience, zone) =>
    tried("answer", () => answerOf(show.venue, audience, zone, told, { ...settings, limits })),
  );
  progress("dips and their causes");
  const dips = tried("causes of dips", explained) ?? [];
  warnings.push(...playedWarnings(decided.answer));
  const verification = verifyStudy({ show, measurement, answer: decided.answer });
  return {
    show,
    measurement: { ...measurement, problems, warnings },
    ...(measured && { measured }),
    ...decided,
    modelAtMicrophones,
    dips,
    ...(calibration && { calibration }),
    ...(verification && { verification }),
  };
}

/** What a walk is held against: the answer for every seat, with the subs as they were. */
function audienceOf({ balance, heard_count }: ShowAnswer): AudienceBalance {
  return {
    balance_db: balance.positions.map(({ balance_db }) => balance_db),
    people: balance.positions.map(({ people }) => people),
    by: heard_count > 0 ? `drawing and ${heard_count} microphones` : "the drawing alone",
  };
}

function playedWarnings({ played: { polarity, delay_ms } }: ShowAnswer): string[] {
  if (polarity === 1 && delay_ms === 0) return [];
  const how = [
    ...(polarity < 0 ? ["inverted"] : []),
    ...(delay_ms === 0 ? [] : [`${Math.abs(delay_ms).toFixed(1)} ms ${delay_ms > 0 ? "later" : "earlier"}`]),
  ].join(" and ");
  return [
    `relative to the mains the microphones hear the subs ${how} than the venue file has them: taken so at every seat; find out why`,
  ];
}

/** Seats that the fitted model decides on: each value that is fitted costs a run over all of them. */
const FITTED_SEATS = 100;

/** Limits at the front row, which hold for what was measured in pascals: the venue file knows no playing level. */
function frontRowLimits(show: Show, { pascalsPerRatio }: ShowMeasurement, problems: string[]): Limits {
  const { frontRowLevel, frontRowDose, louder } = show.file.settings ?? {};
  if (!frontRowLevel && !frontRowDose) return {};
  if (!pascalsPerRatio) {
    problems.push(
      "settings.frontRowLevel and frontRowDose limit nothing: levels are known only with a calibrator's recording, microphoneMatch.calibrator",
    );
    return {};
  }
  return {
    ...(frontRowLevel && { frontLevel: frontRowLevel }),
    ...(frontRowDose && {
      frontDose: { percent: frontRowDose.percent, duration: 3600 * frontRowDose.hours },
    }),
    ...(louder !== undefined && { drive: louder }),
  };
}

/** Where the mix engineer may stand: a grid over the zone, and the venue's named positions within it. */
function mixPositions(venue: Venue) {
  const named = standFor(venue, venue.positions).filter((p) => p.area === "front of house");
  return [...named, ...frontOfHousePositions(venue)];
}

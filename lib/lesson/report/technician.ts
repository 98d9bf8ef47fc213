/** The technician's report: everything that was measured and decided, with its figures. */

import type { AlignmentResult } from "../../decision/alignment/result";
import type { BalanceResult } from "../../decision/balance/balance";
import { fittedWords } from "../../decision/calibration/reasons";
import type { ExplainedDip } from "../../decision/dips/causes";
import type { LayoutComparison } from "../../decision/layouts/compare-result";
import { frontRowReason } from "../../decision/offset/reasons";
import { FOR_PHASE, WORTH_ENTERING } from "../../study/answer";
import { gainWords, outcomeWords, settingWords } from "../../study/answer-words";
import type { Findings } from "../../study/findings";
import { REMARKS } from "../../study/fitness";
import type { StudyResult } from "../../study/result";
import type { Study } from "../../study/study";
import type { Verification } from "../../study/verification/result";
import type { WalkResult } from "../../study/walk";
import { percent, signedDecibels } from "../../text/decibels";
import { listed } from "../../text/listed";
import { balanceOverDistanceFigure } from "../figures/balance-over-distance";
import { comparisonFigure } from "../figures/comparison";
import { levelOverDistanceFigure } from "../figures/level-over-distance";
import { offsetFigure } from "../figures/offset";
import { referenceFigure } from "../figures/reference";
import { responsesFigure } from "../figures/responses";
import { seatsFigure } from "../figures/seats";
import { spreadFigure } from "../figures/spread";
import { verificationFigure } from "../figures/verification";
import { table } from "../output/table";
import type { State } from "./badge";
import type { Page, Part, Section } from "./page";
import { numberedPlan } from "./plan";
import { balanceAfter, settingsTable } from "./settings";
import { byWhat, frontRowFact, heardWords, placeWords, subtitleOf } from "./wording";

/**
 * The technician's report of a study.
 *
 * @param study   from `runStudy`
 * @param result  the same as written to disk: its words and small print
 */
export function technicianPage(study: Study, result: StudyResult): Page {
  const { answer, measured } = study;
  const best = result.answer.ranking?.positions[0];
  return {
    title: study.show.file.name,
    subtitle: subtitleOf(result),
    fitness: result.fitness,
    inShort: [
      { columns: [[settingsTable(study, result)], [frontRowFact(study, result)]], tableFirst: true },
      outcomeWords(result.answer),
      ...(study.verification ? [verifiedState(study.verification)] : []),
      ...(best ? [`Where to mix: ${placeWords(best.point)}. ${heardWords(best)}`] : []),
      { blanks: ["Handed over by", "to", "on"] },
    ],
    sections: [
      ...problems(result),
      ...(study.verification ? [verificationSection(study.verification)] : []),
      planSection(study, result),
      ...(measured ? [measurementSection(study, measured, result)] : []),
      spreadSection(study),
      ...(study.dips.length ? [dipsSection(study)] : []),
      ...(answer.alignment ? [alignmentSection(answer.alignment, result)] : []),
      offsetSection(study, result),
      ...study.walks.map((walk) => walkSection(walk, study)),
      ...(result.calibration ? [calibrationSection(result.calibration)] : []),
      positionsSection(study),
      ...(study.layouts ? [layoutsSection(study.layouts)] : []),
    ],
    foot: [
      ...result.cautions,
      `Assumed: ${result.assumptions.join(" ")}`,
      `Made by ${Object.entries(result.versions)
        .map(([name, version]) => `${name} ${version}`)
        .join(", ")} on ${result.made_at}.`,
    ],
  };
}

function problems({ problems, warnings, show }: StudyResult): Section[] {
  const parts: Part[] = [
    ...(problems.length ? ["Could not be used:", { list: problems }] : []),
    ...(warnings.length ? ["Used, with a remark:", { list: warnings }] : []),
    ...(show.notes ? [`Notes of the day: ${show.notes}`] : []),
  ];
  return parts.length ? [{ heading: REMARKS, parts }] : [];
}

/** With the likeliest cause, if there is one. */
const verifiedState = ({ state, reasons, causes }: Verification): State => ({
  state,
  why: [reasons[0], ...causes.slice(0, 1).map(({ message }) => message)].join(" "),
});

function verificationSection(verification: Verification): Section {
  const { reasons, positions, warnings } = verification;
  const told = positions.filter(({ balance }) => balance);
  return {
    heading: "With the setting entered",
    parts: [
      { list: reasons },
      ...(told.length > 0
        ? [
            table(
              told.map(({ position, state, balance, thirds }) => ({
                position,
                "predicted (dB)": balance!.predicted_db,
                "recorded (dB)": balance!.recorded_db,
                "± (dB)": balance!.interval_db,
                "bands beyond": `${thirds.filter(({ reached }) => !reached).length} of ${thirds.length}`,
                reached: state === "reached" ? "yes" : "no",
              })),
              { caption: "Low band over mid band, and third-octave bands beyond their interval" },
            ),
            { figure: verificationFigure(verification) },
            OF_INTERVALS,
          ]
        : []),
      ...(warnings.length > 0 ? ["Of this recording:", { list: warnings }] : []),
    ],
  };
}

const OF_INTERVALS =
  "± holds the errors of both measurements. It is so wide that of twenty verifications in which nothing is wrong all levels lie within it in nineteen.";

function planSection(study: Study, result: StudyResult): Section {
  const [figure, beside] = numberedPlan(study, result);
  return {
    heading: "Where everything stands",
    parts: [{ columns: [[{ figure }], [beside]] }],
  };
}

function measurementSection(study: Study, measured: Findings, result: StudyResult): Section {
  const { survey } = measured;
  const middle = survey.positions[Math.floor(survey.positions.length / 2)].id;
  return {
    heading: "What was measured",
    parts: [
      ...(result.microphones.length ? [microphones(result)] : []),
      ...(result.delays.length ? [delays(result), OF_DELAYS] : []),
      { figure: responsesFigure(survey, { group: "subs" }) },
      { figure: responsesFigure(survey, { group: "mains", to: Math.min(16000, survey.frequency.at(-1)!) }) },
      ...(study.modelAtMicrophones
        ? [{ figure: comparisonFigure({ measured: survey, model: study.modelAtMicrophones }, middle) }]
        : []),
    ],
  };
}

const microphones = ({ microphones }: StudyResult) =>
  table(
    microphones.map((m) => ({
      channel: m.channel,
      "level (dB)": m.level_db,
      polarity: m.polarity > 0 ? "same" : "reversed",
      "delay (ms)": m.delay_ms,
      matches: m.pass ? "yes" : m.faults.join("; "),
    })),
    { caption: "Microphones at one position, relative to the median of all", digits: 2 },
  );

const delays = ({ delays }: StudyResult) =>
  table(
    delays.map((d) => ({
      position: d.position,
      playing: d.playing,
      "delay (ms)": d.delay_ms,
      "± (ms)": d.uncertainty_ms,
      "by the drawing (ms)": d.expected_ms,
      "next arrival (ms)": d.second_delay_ms,
      "its strength (dB)": d.second_strength_db,
    })),
    { caption: "Delay at each position", digits: 2 },
  );

/** A table as narrow as a telephone wraps no caption, so what is long stands after it. */
const OF_DELAYS =
  "Delays: ± holds the arrival with 95 % confidence; by the drawing it is the flight from the nearest of the mains and the delay that all positions have in common. That of subs holds the group delay of their filters, and is left out where the room hides it.";

function spreadSection({ answer, show }: Study): Section {
  return {
    heading: "Why front and back differ",
    parts: [
      { list: answer.spread.reasons },
      { figure: levelOverDistanceFigure(answer.survey, { venue: show.venue }) },
      { figure: spreadFigure(answer.spread) },
    ],
  };
}

function dipsSection({ dips, measured }: Study): Section {
  return {
    heading: "What dips, and why",
    parts: [
      measured ? "Found at the microphones." : "Found by the model at the venue's named positions.",
      table(
        dips.slice(0, MOST_DIPS).map(({ group, verdict, named, causes, advice }) => ({
          "dip (Hz)": Math.round(group.frequency_hz),
          in: group.part,
          "depth (dB)": group.depth_db,
          "at (% of positions)": Math.round(100 * group.positions_fraction),
          "from position to position": group.behaviour,
          "most likely": named.length > 0 ? `${listed(named)}${fills(causes[0])}` : verdict,
          equalisation: advice.equalisation,
        })),
        { caption: "Dips, the widest spread and deepest first" },
      ),
      ...dips.slice(0, MOST_EXPLAINED).map(
        ({ group, reasons, advice }): Part => ({
          list: [
            `${Math.round(group.frequency_hz)} Hz: ${reasons.join(" ")}`,
            ...(advice.remedies.length ? [`What helps: ${advice.remedies.join(" ")}`] : []),
            `Equalisation ${advice.equalisation}: ${advice.equalisationReason}`,
          ],
        }),
      ),
    ],
  };
}

/** How much of the model's dip goes with it, which a reader can compare; a probability can't be checked. */
const fills = ({ filled_fraction }: ExplainedDip["causes"][number]): string =>
  `, fills ${Math.round(100 * Math.min(1, filled_fraction))} %`;

const MOST_DIPS = 12;
const MOST_EXPLAINED = 3;

function alignmentSection({ reasons, choices, current }: AlignmentResult, { answer }: StudyResult): Section {
  const row = (what: string, c: AlignmentResult["current"]) => ({
    subs: what,
    "delay (ms)": c.delay_ms,
    polarity: c.polarity > 0 ? "no change" : "invert",
    "below an in-phase sum (dB)": c.audienceLoss_db,
    "within 3 dB of it (% of people)": Math.round(100 * c.within3dB_fraction),
  });
  const { polarity, delay_ms } = answer.setting;
  const isChanged = polarity < 0 || delay_ms !== 0;
  return {
    heading: "Mains and subs at the crossover",
    parts: [
      `Recommended: ${settingWords(answer)}.`,
      isChanged ? { list: reasons } : unchangedWords(answer),
      table([
        row(answer.heard_count > 0 ? "as measured" : "as drawn", current),
        ...(isChanged ? [row("recommended", choices[0])] : []),
      ]),
    ],
  };
}

const unchangedWords = ({ heard_count }: StudyResult["answer"]): string =>
  heard_count < FOR_PHASE
    ? `With fewer than ${FOR_PHASE} microphones a change of polarity or delay is a guess, which costs as often as it gains: measure at more positions.`
    : `Of all delays and either polarity none gains more than ${WORTH_ENTERING.toFixed(1)} dB of the sum through the crossover, which is not worth a change.`;

function offsetSection(study: Study, result: StudyResult): Section {
  const { answer, show } = study;
  const { frontRow } = answer.offset;
  const atTheFrontRow = frontRow && frontRowReason(frontRow);
  const after = balanceAfter(study);
  /** On one scale: each has the figure's own, which no values change. */
  const map = (title: string, { positions }: BalanceResult): Part => ({
    figure: seatsFigure(
      show.venue,
      answer.survey.positions,
      positions.map((p) => p.deviation_db),
      { title },
    ),
  });
  return {
    heading: "How loud the subs",
    parts: [
      { list: answer.offset.reasons.filter((reason) => reason !== atTheFrontRow) },
      `Maps and the figure over distance show the likeliest picture, on which ${percent(after.audience.within3dB_fraction)} of the people are within 3 dB. The figure of levels and the table below it count over all that may be true: ${percent(answer.offset.audience.within3dB_fraction)}.`,
      { figure: offsetFigure([{ label: "all seats", result: answer.offset }]) },
      table(
        answer.offset.preferred.map((a) => ({
          "if this position decided": a.who,
          "it would choose (dB)": signedDecibels(a.offset_db),
          "within 3 dB (% of people)": Math.round(100 * a.audience.within3dB_fraction),
          "loss (dB)": a.loss_db,
        })),
      ),
      {
        figure: balanceOverDistanceFigure(after.positions, {
          title: `Bass over all seats with the subs at ${gainWords(result.answer)}, ${byWhat(answer)}`,
        }),
      },
      {
        columns: [
          [map("As measured, from above", answer.balance)],
          [map(`With the subs at ${gainWords(result.answer)}`, after)],
        ],
      },
      ...(study.measured ? [behind(study.measured, study.model)] : []),
    ],
  };
}

/** What each of the two would say without the other, so that nobody need wonder what the answer owes to which. */
const behind = (measured: Findings, model: Findings): string =>
  `What stands behind it: the ${measured.survey.positions.length} microphones by themselves, each for the people nearest to it, would ask for ${signedDecibels(measured.offset.offset_db)}, the drawing by itself for ${signedDecibels(model.offset.offset_db)}. Few positions stand badly for many seats, and a drawing is a little wrong: neither is recommended.`;

function calibrationSection({ reasons, values }: NonNullable<StudyResult["calibration"]>): Section {
  return {
    heading: "What in the drawing was off",
    parts: [
      "The drawing's few uncertain values, fitted to the microphones. The errors are those of this fit alone.",
      { list: reasons },
      table(
        values.map((v) => ({
          value: v.name,
          "off from the venue file, or from it to the fit": fittedWords(v).replaceAll("-", "−"),
          "still unknown (%)": Math.round(100 * v.left_fraction),
        })),
        {
          caption:
            "What was fitted; ± is a standard error, an absorption is a mean over bands, 100 % unknown means that nothing was learned",
        },
      ),
    ],
  };
}

/** The bands along a walk, at the target's scale, and where on it to stop. */
function walkSection(walk: WalkResult, { answer }: Study): Section {
  const { targetTilt_db } = answer.balance;
  return {
    heading: "Along the walk",
    parts: [
      { list: walk.reasons },
      {
        figure: balanceOverDistanceFigure(
          walk.points.map(({ point, low_db, mid_db }) => ({
            id: `${point.x.toFixed(1)} m from the stage`,
            point,
            people: 0,
            deviation_db: low_db - mid_db - targetTilt_db,
          })),
          { title: `Bass along the walk ${walk.recording}, as measured` },
        ),
      },
      "One microphone was carried while everything played: positions are those between marks at an even pace, and levels hold a metre or so.",
    ],
  };
}

function layoutsSection({ reasons, layouts }: LayoutComparison): Section {
  return {
    heading: "The same subs in other positions",
    parts: [
      "By the drawing alone and at fewer seats: compare these with each other, not with what was found above.",
      { list: reasons },
      table(
        layouts.map((l) => ({
          "the subs": l.name,
          "off the target, RMS (dB)": l.deviation_db,
          "within 3 dB (% of people)": Math.round(100 * l.audience.within3dB_fraction),
          "front over back (dB)": l.audience.frontToBack_db,
          "front row over all (dB)": l.frontRow_db,
          "stage over audience (dB)": l.spill_db,
        })),
        { caption: "Each at the level that suits the audience best, by the model" },
      ),
    ],
  };
}

function positionsSection({ answer, show }: Study): Section {
  const ranked = answer.ranking;
  if (!ranked) return { heading: "Where to judge it", parts: ["The venue has no front-of-house zone."] };
  return {
    heading: "Where to judge it",
    parts: [
      `Over the whole zone, ${byWhat(answer)}:`,
      { list: ranked.positions.slice(0, 3).map((p) => p.reason) },
      { figure: referenceFigure(show.venue, ranked) },
    ],
  };
}

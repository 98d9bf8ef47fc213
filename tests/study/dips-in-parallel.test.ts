import { readFileSync } from "node:fs";
import path from "node:path";
import { expect, it } from "vitest";
import { modelSurvey } from "../../lib/field/model-survey";
import { cutOf } from "../../lib/field/waves/low-band";
import { explainedDips } from "../../lib/study/dip-work";
import { startExplaining } from "../../lib/study/dips-in-parallel";
import { sent } from "../../lib/study/sent";
import { startThread } from "../../lib/study/threads";
import { readVenue } from "../../lib/venue/file/read";
import { seats } from "../../lib/venue/seats";

const venue = (name: string) =>
  readVenue(readFileSync(path.resolve(__dirname, `../../data/venues/${name}.json`), "utf8"), name);

it("a thread sends the dips as this one explains them", () => {
  const here = venue("ombrik-cellar");
  const survey = modelSurvey(here, seats(here, { count: 3 }));
  const { sender, take } = sent<ReturnType<typeof explainedDips>>();
  startThread({ dips: { venue: here, survey, cut: cutOf(here), to: sender } }, [sender.port]);
  const own = explainedDips(survey, here);
  expect(own.length).toBeGreaterThan(0);
  expect(take()?.value).toEqual(own);
});

it("where nothing is computed by waves no thread is started, and the dips are explained here", () => {
  const here = venue("ulverow-meadow");
  const survey = modelSurvey(here, seats(here, { count: 3 }));
  expect(startExplaining(survey, here, 2)()).toEqual(explainedDips(survey, here));
});

it("nothing comes from a thread that has failed, and nobody waits for it", () => {
  const { sender, take } = sent<number>();
  Atomics.store(sender.state, 0, 1);
  expect(take()).toBeUndefined();
});

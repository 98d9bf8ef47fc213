/** A whole study of the invented theatre: what was put into the recordings comes out again, and nothing unfit reaches a page. */
import { readFileSync } from "node:fs";
import path from "node:path";
import Ajv from "ajv";
import Ajv2020 from "ajv/dist/2020";
import { beforeAll, describe, expect, it } from "vitest";
import { unpack } from "../../lib/lesson/output/pack";
import { clientPage } from "../../lib/lesson/report/client";
import { mixEngineerPage } from "../../lib/lesson/report/mix-engineer";
import { pageHtml } from "../../lib/lesson/report/page";
import { balanceAfter } from "../../lib/lesson/report/settings";
import { technicianPage } from "../../lib/lesson/report/technician";
import { readShow } from "../../lib/study/read-show";
import { type StudyResult, studyResult } from "../../lib/study/result";
import { showJsonSchema } from "../../lib/study/show-json-schema";
import { runStudy, type Study } from "../../lib/study/study";
import { resultJsonSchema } from "../../scripts/schema/result";
import { headline } from "../../scripts/study/headline";

const root = path.resolve(__dirname, "../..");
const folder = path.join(root, "data/shows/harbour-theatre");
const json = (name: string) => JSON.parse(readFileSync(path.join(root, name), "utf8"));
let study: Study;
let result: StudyResult;
beforeAll(() => {
  study = runStudy(readShow(folder), { seatCount: 120 });
  result = JSON.parse(
    JSON.stringify(studyResult(study, { at: "2026-03-14T12:00:00Z", versions: { node: "20" } })),
  );
}, 300_000);

describe("what was put into the recordings", () => {
  it("the gain of each microphone is found to a fifth of a decibel", () => {
    // The gains are those that scripts/make-show.ts asks for; the median of the six is 0.05 dB.
    const asked = [0.3, -0.4, 0.1, -1.4, 0.2, 0];
    for (const [i, m] of result.microphones.entries())
      expect(Math.abs(m.level_db - (asked[i] - 0.05))).toBeLessThan(0.2);
    expect(result.microphones.map((m) => m.pass)).toEqual([true, true, true, false, true, true]);
  });

  it("the first arrival of the mains comes when the nearer hang's nearest element is due, with the console's 5.3 ms", () => {
    const c = 331.3 * Math.sqrt(1 + study.show.venue.air.temperature / 273.15); // textbook speed of sound in dry air
    const mains = study.show.venue.sources.filter((s) => s.group === "mains");
    for (const row of result.delays.filter((d) => d.playing === "mains")) {
      const at = study.show.venue.positions.find((p) => p.id === row.position)!.point;
      const paths = mains.map((s) => Math.hypot(s.point.x - at.x, s.point.y - at.y, s.point.z - at.z));
      const due = (r: number) => 5.3 + (1000 * r) / c;
      expect(row.delay_ms).toBeGreaterThan(due(Math.min(...paths)) - 0.5);
      expect(row.delay_ms).toBeLessThan(due(Math.max(...paths)) + 0.5);
    }
  });

  it("mains and subs sum to both at every place", () => {
    expect(study.measurement.survey!.checks.map((c) => c.agrees)).toEqual(Array(6).fill(true));
  });

  it("levels follow the model that made the recordings, place by place, within what a random tail allows", () => {
    const model = study.modelAtMicrophones!;
    const mean = (
      survey: { frequency: Float64Array },
      r: { re: Float64Array; im: Float64Array; diffuse?: Float64Array },
      from: number,
      to: number,
    ) => {
      const values = [...survey.frequency].flatMap((f, i) =>
        f >= from && f <= to ? [r.re[i] ** 2 + r.im[i] ** 2 + (r.diffuse?.[i] ?? 0)] : [],
      );
      return 10 * Math.log10(values.reduce((a, b) => a + b, 0) / values.length);
    };
    const measured = study.measurement.survey!;
    for (const [group, from, to, most] of [
      // The tail is one draw at random. Its spectrum is independent every 2.2/T hertz, T about 0.6 s: some 400 values in the
      // mid band, a dozen in the low one, so 0.2 and 1.2 dB of standard deviation where the tail rules; this is 3.5 of them.
      ["mains", 500, 2000, 0.8],
      ["subs", 31.5, 80, 4.2],
    ] as const) {
      // An echo 7 dB down, which only the recording has, adds 10 lg(1 + 10^-0.7) = 0.79 dB to the mains in row L.
      const echo = (id: string) => (group === "mains" && id === "row L" ? 0.79 : 0);
      const difference = measured.positions.map(
        ({ id }, i) =>
          mean(measured, measured[group][i], from, to) - mean(model, model[group][i], from, to) - echo(id),
      );
      const middle = difference.reduce((a, b) => a + b, 0) / difference.length;
      for (const d of difference) expect(Math.abs(d - middle)).toBeLessThan(most);
    }
  });
});

describe("the result", () => {
  it("holds to its schema, which is the one in data/", () => {
    expect(json("data/study-result.schema.json")).toEqual(JSON.parse(JSON.stringify(resultJsonSchema())));
    const validate = new Ajv({ allowUnionTypes: true, strict: false }).compile(resultJsonSchema());
    expect(validate(result), JSON.stringify(validate.errors?.slice(0, 3))).toBe(true);
  });

  it("names every mix position that was ranked, however many seats the model has", () => {
    expect(result.model.positions_count).toBeGreaterThan(100);
    const ranked = study.model.ranking!.positions.map(({ id }) => id);
    expect(ranked.length).toBeGreaterThan(10);
    expect(result.model.ranking!.positions.map(({ id }) => id)).toEqual(ranked);
  });

  // Of a fitted value, "unit" beside it says what "change" and "standardError" are in; the other names are counts and bare numbers.
  it("says its units in its keys", () => {
    const withoutUnit: string[] = [];
    const walk = (value: unknown, key: string) => {
      if (
        typeof value === "number" &&
        !/_(db|hz|ms|deg|s|m|fraction|count|per_m|octaves|db_per_m|dba|dbc|h)$|^(x|y|z|people|rank|channel|polarity|confidence|seed|row|of|coherence|seats|cabinets|misfit|correlation|change|standardError)$/.test(
          key,
        )
      )
        withoutUnit.push(key);
      else if (Array.isArray(value)) for (const each of value) walk(each, key);
      else if (value !== null && typeof value === "object")
        for (const [k, v] of Object.entries(value)) walk(v, k);
    };
    walk(result, "");
    expect([...new Set(withoutUnit)]).toEqual([]);
  });
});

describe("the show file's schema in data/", () => {
  it("is what the library says, and the course's show holds to it", () => {
    expect(json("data/show.schema.json")).toEqual(JSON.parse(JSON.stringify(showJsonSchema())));
    expect(
      new Ajv2020({ strict: false }).compile(showJsonSchema())(json("data/shows/harbour-theatre/show.json")),
    ).toBe(true);
  });
});

describe("the reports", () => {
  const pages = { technicianPage, mixEngineerPage, clientPage };

  it.each(Object.keys(pages) as (keyof typeof pages)[])(
    "%s holds no NaN, no undefined and no empty figure",
    (name) => {
      const html = pageHtml(pages[name](study, result));
      expect(html).not.toMatch(/\bNaN\b|undefined|Infinity|\[object/);
      for (const [, data] of html.matchAll(/<script type="application\/json">(.*?)<\/script>/gs)) {
        expect(JSON.parse(data).data.length).toBeGreaterThan(0);
      }
    },
  );

  it.each(Object.keys(pages) as (keyof typeof pages)[])("%s shows text from files as text", (name) => {
    const hostile = "<img src=x onerror=alert(1)></script><script>alert(2)</script>";
    const changed = {
      ...study,
      show: {
        ...study.show,
        file: { ...study.show.file, name: hostile, notes: hostile, measuredBy: hostile },
        venue: { ...study.show.venue, name: hostile },
      },
    };
    const html = pageHtml(
      pages[name](changed, {
        ...result,
        show: { ...result.show, notes: hostile },
        problems: [hostile],
        warnings: [hostile],
      }),
    );
    expect(html).not.toContain("<img src=x");
    expect(html).not.toContain("<script>alert");
  });

  it("the mix engineer's page speaks of the mix position that was measured", () => {
    expect(pageHtml(mixEngineerPage(study, result))).toMatch(
      /At &#34;mix position&#34;, 17\.0\u00a0m from the stage edge/,
    );
  });
});

describe("the one answer", () => {
  const pages = { technicianPage, mixEngineerPage, clientPage };
  const names = Object.keys(pages) as (keyof typeof pages)[];
  const words = (html: string) =>
    html
      .replace(/<figure.*?<\/figure>/gs, " ")
      .replace(/<(style|script).*?<\/\1>/gs, " ")
      .replace(/<[^>]+>/g, " ")
      .replace(/\s+/g, " ");
  /** What stands first: all that is set apart at the top. */
  const first = (name: keyof typeof pages) =>
    words(/<section class="short".*?<\/section>/s.exec(pageHtml(pages[name](study, result)))![0]);
  const decibels = (x: number) => `${x >= 0.05 ? "+" : x <= -0.05 ? "−" : ""}${Math.abs(x).toFixed(1)} dB`;
  const people = (fraction: number) => `${Math.round(100 * fraction)} %`;
  const told = () => {
    const { offset, intervals } = result.answer;
    return {
      offset: decibels(offset.offset_db),
      interval: intervals.offset_db.map(decibels),
      within: people(offset.audience.within3dB_fraction),
      withinInterval: intervals.within3dB_fraction.map(people),
      within6: people(offset.audience.within6dB_fraction),
    };
  };

  it("is told alike by the console and on all pages, as the result holds it", () => {
    const { offset, interval, within, withinInterval } = told();
    for (const text of [headline(result), ...names.map(first)]) {
      expect(text).toContain(offset);
      expect(text).toContain(`the right change lies between ${interval[0]} and ${interval[1]}`);
      expect(text).toContain(
        `With this ${within} of the people are to be expected within 3 dB of the target`,
      );
      expect(text).toContain(`${withinInterval[0]} to ${withinInterval[1]} of the people are within 3 dB`);
      expect(text).toContain("the drawing and 6 measured positions");
    }
  });

  it("has no other value beside it where it is told first", () => {
    const { offset, interval, within, withinInterval, within6 } = told();
    for (const text of [headline(result), ...names.map(first)]) {
      expect([...new Set(text.match(/[+−]\d+\.\d dB/g))].sort()).toEqual(
        [...new Set([offset, ...interval].filter((x) => /[+−]/.test(x)))].sort(),
      );
      expect([...new Set(text.match(/\d+ %/g))].sort()).toEqual(
        [...new Set([within, ...withinInterval, within6])].sort(),
      );
    }
  });

  it("is not that of the microphones or of the drawing, which stand behind it on the technician's page alone", () => {
    const { offset } = told();
    const others = [result.measured!, result.model].map((f) => decibels(f.offset.offset_db));
    expect(new Set([offset, ...others]).size).toBe(3);
    const [technician, ...sheets] = names.map((name) => words(pageHtml(pages[name](study, result))));
    expect(technician).toContain(
      `the 6 microphones by themselves, each for the people nearest to it, would ask for ${others[0]}, the drawing by itself for ${others[1]}`,
    );
    for (const text of sheets) expect(text).not.toContain("by itself");
    for (const text of [technician, ...sheets])
      expect(text).not.toMatch(/Noise in the measurement leaves|right offset lies|model of all seats says/);
  });

  it("has a map of the likeliest seats, of whom the result counts as many, and the sentence expects no more", () => {
    const html = pageHtml(clientPage(study, result));
    const { positions } = study.answer.survey;
    const areas = new Map(positions.map(({ area }) => [area, positions.filter((p) => p.area === area)]));
    const drawn = [...html.matchAll(/<script type="application\/json">(.*?)<\/script>/gs)]
      .flatMap(([, text]) => unpack<{ data: { customdata?: Float64Array }[] }>(text).data)
      .flatMap(({ customdata }) => (customdata ? [customdata] : []));
    let [within, all] = [0, 0];
    for (const seats of areas.values()) {
      // Each area is drawn by itself, its seats in their order; here no two have as many.
      const values = drawn.find(({ length }) => length === seats.length)!;
      seats.forEach(({ people }, i) => {
        all += people;
        if (Math.abs(values[i]) <= 3) within += people;
      });
    }
    expect(new Set([...areas.values()].map((s) => s.length)).size).toBe(areas.size);
    within /= all;
    expect(within).toBeCloseTo(balanceAfter(study).audience.within3dB_fraction, 2);
    expect(result.answer.offset.audience.within3dB_fraction).toBeLessThan(within);
  });

  it("says per group what to enter, with a box to sign", () => {
    const rows = (changed: Partial<StudyResult["answer"]>) => {
      const html = pageHtml(technicianPage(study, { ...result, answer: { ...result.answer, ...changed } }));
      const table = /<section class="short".*?<\/table>/s.exec(html)![0];
      return [...table.matchAll(/<tr>(.*?)<\/tr>/gs)].map(([, row]) =>
        [...row.matchAll(/<t[hd][^>]*>(.*?)<\/t[hd]>/gs)].map(([, cell]) => cell.replaceAll("\u00a0", " ")),
      );
    };
    const none = "no change";
    const { offset } = told();
    expect(rows({})).toEqual([
      ["group", "polarity", "delay", "gain", "entered by, at"],
      ["mains", none, none, none, ""],
      ["fills", none, none, none, ""],
      ["subs", none, none, offset, ""],
    ]);
    expect(rows({ setting: { polarity: -1, delay_ms: 2.5 } }).slice(1)).toEqual([
      ["mains", none, none, none, ""],
      ["fills", none, none, none, ""],
      ["subs", "invert", "+2.50 ms", offset, ""],
    ]);
    // Subs can't be made earlier: all others are made later.
    expect(rows({ setting: { polarity: 1, delay_ms: -2.5 } }).slice(1)).toEqual([
      ["mains", none, "+2.50 ms", none, ""],
      ["fills", none, "+2.50 ms", none, ""],
      ["subs", none, none, offset, ""],
    ]);
  });

  it("is in the same state everywhere, with the reason that the result gives", () => {
    const { state, why } = result.fitness;
    expect(state).toBe("use with care");
    for (const name of names) {
      const text = first(name).replaceAll("&#34;", '"').replaceAll("&#39;", "'");
      expect(text).toContain(`Use with care. ${why}`);
      expect(text).not.toMatch(/fit for use|measure again/i);
    }
  });

  it("is recommended and not set: nobody has entered anything yet", () => {
    for (const name of names) {
      const text = words(pageHtml(pages[name](study, result)));
      expect(text).toContain("Recommended changes, relative to the measurement");
      expect(text).not.toMatch(/\bsets?\b/i);
    }
  });

  it("has the front row's levels first, and no page has others", () => {
    const { levelA_db, levelC_db } = result.answer.offset.frontRow!;
    const [a, c] = [`${levelA_db.toFixed(0)} dB(A)`, `${levelC_db.toFixed(0)} dB(C)`];
    expect(first("technicianPage")).toContain(`at the level of the test signal ${a}, ${c}`);
    expect(first("technicianPage")).toMatch(/allows 6 minutes of it/);
    for (const name of names) {
      const levels = words(pageHtml(pages[name](study, result))).match(/[\d.]+ dB\([AC]\)/g) ?? [];
      // 85 dB(A) is the recommendation's own.
      expect(levels.filter((level) => ![a, c, "85 dB(A)"].includes(level))).toEqual([]);
    }
  });

  it("says date, version and who first, with lines to sign", () => {
    const made = { ...result, versions: { evenground: "1.2.3" } };
    const html = pageHtml(technicianPage(study, made));
    const top = words(html.slice(0, html.indexOf("</section>")));
    expect(top).toContain("measured on 2026-03-14 by the system technician");
    expect(top).toContain("report of 2026-03-14, Evenground 1.2.3");
    expect(top).toMatch(/Handed over by to on/);
  });

  it("tells the mix engineer the bands of the position, and the bias, as the result holds them", () => {
    const { correction } = result.answer.ranking!.positions.find(({ id }) => id === "mix position")!;
    const text = first("mixEngineerPage");
    const bands = [...text.matchAll(/(\d+) Hz: leave ([+−])(\d+) dB/g)];
    expect(bands.map(([, f, sign, db]) => [Number(f), Number(`${sign === "−" ? "-" : ""}${db}`)])).toEqual(
      correction.bands.map((b) => [b.frequency_hz, Math.round(b.heard_db)]),
    );
    expect(bands.length).toBeGreaterThan(0);
    const bias = Math.abs(correction.low_db);
    expect(text).toContain(bias < 0.5 ? "let it sound right" : `let it sound ${bias.toFixed(1)} dB`);
  });

  it("shows before and after as a pair on one scale, each as many people within 3 dB as the result says", () => {
    const html = pageHtml(technicianPage(study, result));
    const people = new Map(study.answer.survey.positions.map((p) => [p.id, p.people]));
    const maps = [...html.matchAll(/<script type="application\/json">(.*?)<\/script>/gs)]
      .map(([, text]) => unpack<{ data: Trace[] }>(text).data.filter((t) => t.customdata))
      .filter((traces) => traces.some((t) => t.marker?.cmax));
    expect(maps).toHaveLength(2);
    const shares = maps.map((traces) => {
      let [within, all] = [0, 0];
      for (const { customdata, hovertemplate } of traces)
        customdata!.forEach((value, i) => {
          const here = people.get(hovertemplate![i].split("<br>")[0])!;
          all += here;
          if (Math.abs(value) <= 3) within += here;
        });
      return within / all;
    });
    expect(shares[0]).toBeCloseTo(result.answer.balance.audience.within3dB_fraction, 2);
    expect(shares[1]).toBeCloseTo(balanceAfter(study).audience.within3dB_fraction, 2);
    const told = /on which (\d+)\s% of the people are within/.exec(html)?.[1];
    expect(Number(told)).toBeCloseTo(100 * shares[1], 0);
    const scales = maps.map((traces) => traces.map(({ marker }) => [marker!.cmin, marker!.cmax]));
    expect(scales[0]).toEqual(scales[1]);
  });

  it("has a plan whose numbers are those of the table beside it, each where the venue's file has it", () => {
    const html = pageHtml(technicianPage(study, result));
    const section = /Where everything stands.*?<\/section>/s.exec(html)![0];
    const rows = [...section.matchAll(/<tr><td.*?<\/tr>/gs)].map(([row]) =>
      [...row.matchAll(/<td[^>]*>(.*?)<\/td>/g)].map(([, cell]) => cell),
    );
    expect(rows.map(([number]) => Number(number))).toEqual(rows.map((_, i) => i + 1));
    const { layout } = unpack<{ layout: { annotations: { text: string; x: number; y: number }[] } }>(
      /<script type="application\/json">(.*?)<\/script>/s.exec(section)![1],
    );
    for (const [number, what, along, aside] of rows) {
      const mark = layout.annotations.find(({ text }) => text === number)!;
      const y = Number.parseFloat(aside) * (aside.endsWith("right") ? -1 : 1);
      expect(Math.abs(mark.y - Number(along.replace("−", "-"))), what).toBeLessThan(0.051);
      expect(Math.abs(mark.x - y), what).toBeLessThan(0.051);
    }
    for (const { id } of study.measured!.survey.positions) {
      const { point } = study.show.venue.positions.find((p) => p.id === id)!;
      const [, , along, aside] = rows.find(([, what]) => what === `measured: ${id}`)!;
      expect(Number(along)).toBeCloseTo(point.x, 1);
      expect(aside).toBe(`${Math.abs(point.y).toFixed(1)} ${point.y > 0 ? "left" : "right"}`);
    }
    const choices = rows.filter(([, what]) => what.startsWith("to mix from"));
    expect(choices[0][1]).toBe("to mix from: rank 1");
    expect(Number(choices[0][2])).toBeCloseTo(result.answer.ranking!.positions[0].point.x, 1);
  });

  it("has fitted values in plain quantities behind it, and no offset of the fit", () => {
    const html = words(pageHtml(technicianPage(study, result)));
    expect(html).not.toMatch(/logarithm|α/);
    const { values, reasons } = result.calibration!;
    expect(reasons.join(" ")).not.toMatch(/right offset|venue file alone/);
    const absorptions = values.filter(({ name }) => name.startsWith("absorption"));
    expect(absorptions.length).toBeGreaterThan(5);
    for (const { name, from_fraction, to_fraction, change } of absorptions) {
      const named = study.show.venue.boundaries.filter((b) => name === `absorption of "${b.name}"`);
      const drawn = named.flatMap((b) => [...b.absorption.value]);
      expect(from_fraction).toBeCloseTo(drawn.reduce((a, b) => a + b, 0) / drawn.length, 2);
      expect(Math.sign(to_fraction! - from_fraction!)).toBe(
        to_fraction === from_fraction ? 0 : Math.sign(change),
      );
      expect(html).toContain(`${from_fraction!.toFixed(2)} → ${to_fraction!.toFixed(2)}`);
    }
  });

  it("lists no setting at the crossover that is not worth a change", () => {
    const section = (of: StudyResult) =>
      /Mains and subs at the crossover.*?<\/section>/s.exec(pageHtml(technicianPage(study, of)))![0];
    expect(section(result)).not.toMatch(/<td[^>]*>(choice|recommended)/);
    expect(section(result)).toContain("none gains more than 0.5");
    // Of the drawing nobody can say that.
    const drawn = section({ ...result, answer: { ...result.answer, heard_count: 0 } });
    expect(drawn).toMatch(/a change of polarity or delay is a guess/);
    expect(drawn).not.toMatch(/none gains|as measured/);
    const changed = {
      ...result,
      answer: { ...result.answer, setting: { polarity: -1 as const, delay_ms: 1 } },
    };
    expect(section(changed)).toMatch(/<td[^>]*>recommended/);
  });

  it("breaks no line between a number and its unit", () => {
    for (const name of names) {
      const text = pageHtml(pages[name](study, result)).replace(/<(style|script).*?<\/\1>/gs, " ");
      expect(text.replace(/<[^>]+>/g, "<>")).not.toMatch(/\d (%|dB|Hz|ms|m)\b/);
    }
  });

  it("names one surface once to the client", () => {
    const names = study.show.venue.boundaries.map(({ name }) => name);
    const text = words(pageHtml(clientPage(study, result))).replaceAll("&#34;", '"');
    const named = names.flatMap((name) => text.split(`"${name}"`).slice(1));
    expect(named.length).toBeLessThanOrEqual(1);
  });
});

interface Trace {
  readonly customdata?: Float64Array;
  readonly hovertemplate?: readonly string[];
  readonly marker?: { readonly cmin: number; readonly cmax: number };
}

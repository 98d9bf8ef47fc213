/** From the file to the venue: names looked up, edges and boxes made into corners, hangs and layouts into sources. */

import { valueAt } from "../../acoustics/bands/curve";
import { atmosphericAbsorption, speedOfSound } from "../../acoustics/distance/air";
import type { Point } from "../../acoustics/point";
import { randomAbsorption } from "../../acoustics/reflection/local-wall";
import { equivalentAbsorptionArea, eyring, sabine } from "../../acoustics/room/reverberation";
import { bodiesOf } from "../body";
import type { Face } from "../box";
import { boxFaces, FACES } from "../box";
import { mirrored, orientation } from "../direction";
import { hang } from "../hang";
import type { AudienceArea, BandValues, Boundary, Cabinet, LevelCurve, Room, Source, Venue } from "../venue";
import { MOST_SOURCES } from "./checks";
import { expandSub } from "./expand-sub";
import { suggest } from "./explain";
import type { Problem } from "./problems";
import { show, writePath } from "./problems";
import type { VenueFile } from "./schema/file";

type Quad = { corners: AudienceArea["corners"] };
type Absorption = VenueFile["boundaries"][number]["absorption"];

/**
 * The venue that a checked file describes.
 *
 * @param file  the file, in metres
 * @returns the venue, the file's path behind each of its sources, and what could not be looked up or made; the venue is
 *   of use only where there is nothing such
 */
export function expandVenue(file: VenueFile): {
  venue: Venue;
  origins: readonly (readonly PropertyKey[])[];
  problems: Problem[];
} {
  const problems: Problem[] = [];
  const report = (path: readonly PropertyKey[], text: string) =>
    problems.push({ path: writePath(path), text });
  const cabinets = new Map(Object.entries(file.cabinets).map(([name, entry]) => [name, asCabinet(entry)]));
  const materials = new Map(Object.entries(file.materials).map(([name, entry]) => [name, inOrder(entry)]));
  const atRandom = ({ frequency, value }: BandValues): BandValues => ({
    frequency,
    value: file.absorptionIncidence === "normal" ? value.map(randomAbsorption) : value,
  });
  const soundSpeed = speedOfSound(file.air.temperature);
  const warnings: string[] = [];
  const made = [
    ...file.mains.map((entry, i) => ({ entry, path: ["mains", i], sources: mains(entry, i) })),
    ...file.subs.map((entry, i) => ({ entry, path: ["subs", i], sources: subs(entry, i) })),
    ...file.fills.map((entry, i) => ({ entry, path: ["fills", i], sources: fills(entry, i) })),
  ];
  const cabinetsOfSources = made.flatMap(({ entry, sources }) =>
    sources.map(() => file.cabinets[entry.cabinet]),
  );
  const boundaries = [
    ...box(),
    ...file.boundaries.map(({ name, corners, absorption }, i) => ({
      name,
      corners,
      absorption: soaked(absorption, ["boundaries", i, "absorption"]),
    })),
  ];

  const venue: Venue = {
    name: file.name,
    story: file.story,
    air: file.air,
    sources: withBodies(
      made.flatMap(({ sources }) => sources),
      cabinetsOfSources,
      boundaries,
    ),
    audience: file.audience.map(({ name, earHeight, density, ...quad }) => ({
      name,
      earHeight,
      density,
      ...cornersOf(quad),
    })),
    boundaries,
    cavities: file.cavities.map(({ absorption, ...cavity }, i) => ({
      ...cavity,
      absorption: asWritten(absorption, ["cavities", i, "absorption"]),
    })),
    frontOfHouse: { earHeight: file.frontOfHouse.earHeight, ...cornersOf(file.frontOfHouse) },
    ...(file.stage && { stage: { earHeight: file.stage.earHeight, ...cornersOf(file.stage) } }),
    ...(file.room && { room: room(file.room) }),
    positions: file.positions,
    warnings,
  };
  return { venue, origins: made.flatMap(({ path, sources }) => sources.map(() => path)), problems };

  function mains(entry: VenueFile["mains"][number], i: number): Source[] {
    const { splay, shading, elements } = entry;
    const gaps = elements - 1;
    if (Array.isArray(splay) && splay.length !== gaps) {
      report(["mains", i, "splay"], `is a list of ${splay.length}, expected ${gaps}, one for each gap`);
      return [];
    }
    if (shading && shading.length !== elements) {
      report(
        ["mains", i, "shading"],
        `is a list of ${shading.length}, expected ${elements}, one for each element`,
      );
      return [];
    }
    const cabinet = find(cabinets, entry.cabinet, ["mains", i, "cabinet"], "cabinets");
    if (!cabinet) return [];
    const { name, top, aim, spacing } = entry;
    return twice(entry.mirror, top, `mains ${name}`, (id) =>
      hang({ id, cabinet, top, elements, aim, splay, spacing, shading, ...processing(entry) }),
    );
  }

  function fills(entry: VenueFile["fills"][number], i: number): Source[] {
    const cabinet = find(cabinets, entry.cabinet, ["fills", i, "cabinet"], "cabinets");
    if (!cabinet) return [];
    const facing = orientation(entry.aim.horizontal, entry.aim.down);
    return twice(entry.mirror, entry.position, entry.name, (id) => [
      { id, group: "fills", point: entry.position, ...facing, ...cabinet, ...processing(entry) },
    ]);
  }

  function subs(entry: VenueFile["subs"][number], i: number): Source[] {
    const cabinet = find(cabinets, entry.cabinet, ["subs", i, "cabinet"], "cabinets");
    if (!cabinet) return [];
    if (entry.layout === "pair" && entry.position.y === 0) {
      report(["subs", i, "position", "y"], "is 0, expected a position beside the centre line for a pair");
      return [];
    }
    const common = { cabinet, soundSpeed, ...processing(entry) };
    return entry.layout === "flown"
      ? twice(entry.mirror, entry.top, entry.name, (id) => collect(expandSub(entry, { ...common, id })))
      : collect(expandSub(entry, { ...common, id: entry.name }));
  }

  function collect(layout: { sources: readonly Source[]; warnings: readonly string[] }): Source[] {
    warnings.push(...layout.warnings);
    return [...layout.sources];
  }

  function box() {
    if (!file.box) return [];
    const { from, to, absorption } = file.box;
    const soak: Partial<Record<Face, BandValues>> = {};
    for (const face of FACES) {
      const alike = typeof absorption !== "object";
      const one = alike ? absorption : absorption[face];
      if (one !== undefined) soak[face] = soaked(one, ["box", "absorption", ...(alike ? [] : [face])]);
    }
    return boxFaces(from, to, soak);
  }

  function room(entry: NonNullable<VenueFile["room"]>): Room {
    if ("reverberationTime" in entry) {
      return {
        volume: entry.volume,
        surface: entry.surface,
        reverberationTime: bands(entry.reverberationTime),
      };
    }
    const surfaces = entry.surfaces.map(({ area, absorption }, i) => ({
      area,
      absorption: soaked(absorption, ["room", "surfaces", i, "absorption"]),
    }));
    const surface = surfaces.reduce((sum, { area }) => sum + area, 0);
    const value = OCTAVES.map((frequency) => {
      const at = surfaces.map(({ area, absorption }) => ({
        area,
        absorption: valueAt(absorption, frequency),
      }));
      const options = {
        speedOfSound: soundSpeed,
        airAbsorption: atmosphericAbsorption(frequency, file.air),
      };
      const total = equivalentAbsorptionArea(at);
      return entry.formula === "sabine"
        ? sabine(entry.volume, total, options)
        : eyring(entry.volume, surface, total / surface, options);
    });
    return { volume: entry.volume, surface, reverberationTime: { frequency: OCTAVES, value } };
  }

  function soaked(absorption: Absorption, path: readonly PropertyKey[]): BandValues {
    return atRandom(asWritten(absorption, path));
  }

  function asWritten(absorption: Absorption, path: readonly PropertyKey[]): BandValues {
    if (typeof absorption !== "string") return bands(absorption);
    return find(materials, absorption, path, "materials") ?? bands(0);
  }

  function find<T>(
    among: Map<string, T>,
    name: string,
    path: readonly PropertyKey[],
    kind: string,
  ): T | undefined {
    const found = among.get(name);
    if (found === undefined) {
      report(path, `is ${show(name)}, expected one of the file's ${kind}${suggest(name, [...among.keys()])}`);
    }
    return found;
  }
}

const OCTAVES = [31.5, 63, 125, 250, 500, 1000, 2000, 4000, 8000];

/** One thing, or it and its mirror image, named by the side on which each is. */
function twice(mirror: boolean, at: Point, id: string, make: (id: string) => Source[]): Source[] {
  if (!mirror) return make(id);
  const [here, there] = at.y >= 0 ? ["left", "right"] : ["right", "left"];
  const image = make(`${id} ${there}`).map((source) => ({
    ...source,
    point: mirrored(source.point),
    axis: mirrored(source.axis),
    up: mirrored(source.up),
  }));
  return [...make(`${id} ${here}`), ...image];
}

function processing(
  entry: VenueFile["fills"][number] | VenueFile["subs"][number] | VenueFile["mains"][number],
) {
  return {
    gain: entry.gain,
    delay: entry.delayMs / 1000,
    polarity: entry.polarity === "inverted" ? (-1 as const) : (1 as const),
    filters: entry.filters,
  };
}

type FileEdge = { x: number; y: number; z: number; width: number };

function cornersOf(quad: Quad | { front: FileEdge; back: FileEdge }): Quad {
  if ("corners" in quad) return { corners: quad.corners };
  const [a, b] = endsOf(quad.front);
  const [d, c] = endsOf(quad.back);
  return { corners: [a, b, c, d] };
}

/** House left end first. */
const endsOf = ({ x, y, z, width }: FileEdge): [Point, Point] => [
  { x, y: y + width / 2, z },
  { x, y: y - width / 2, z },
];

function asCabinet({ size, pattern, level }: VenueFile["cabinets"][string]): Cabinet {
  return { size, pattern, level: curve(level) };
}

/** What the file leaves to the size of the cabinets: what an omni, a closed box, sends past itself, and where it sounds from. */
function withBodies(
  sources: readonly Source[],
  entries: readonly VenueFile["cabinets"][string][],
  boundaries: readonly Boundary[],
): Source[] {
  if (sources.length > MOST_SOURCES) return [...sources]; // refused anyway
  const boxes = sources.filter(({ pattern }) => pattern.kind === "omni");
  const bodies = new Map(bodiesOf(boxes, boundaries).map((body, i) => [boxes[i], body]));
  return sources.map((source, i) => {
    const body = bodies.get(source);
    const centre = entries[i].acousticCentre ?? body?.centre;
    return {
      ...source,
      ...(body && { pattern: { kind: "sphere" as const, radius: body.radius } }),
      ...(centre && { centre }),
    };
  });
}

function curve(level: number | Record<string, number>): LevelCurve {
  const { frequency, value } = typeof level === "number" ? bands(level) : inOrder(level);
  return { frequency, level: value };
}

function bands(value: number | Record<string, number>): BandValues {
  return typeof value === "number" ? { frequency: [1000], value: [value] } : inOrder(value);
}

function inOrder(byFrequency: Record<string, number>): BandValues {
  const entries = Object.entries(byFrequency).map(([key, value]) => [Number(key), value] as const);
  entries.sort((a, b) => a[0] - b[0]);
  return { frequency: entries.map(([f]) => f), value: entries.map(([, value]) => value) };
}

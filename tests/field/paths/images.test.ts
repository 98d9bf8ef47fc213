// Reference: pyroomacoustics 0.10.1, see scripts/reference/field_shoebox.py.
import { describe, expect, it } from "vitest";
import { images } from "../../../lib/field/paths/images";
import { type Path, pathFinder } from "../../../lib/field/paths/paths";
import { wallsOf } from "../../../lib/field/paths/walls";
import { expectAgreement } from "../../acoustics/deviation";
import reference from "../reference/field_shoebox.json";
import { box, source } from "../venues";

const point = ([x, y, z]: number[]) => ({ x, y, z });

describe("images in a shoebox", () => {
  for (const [index, room] of reference.rooms.entries()) {
    const boundaries = box(room.size, room.absorption);
    const walls = wallsOf({ boundaries, cavities: [] });
    const find = pathFinder(walls, { finiteSize: true, obstruction: true });
    const all = images(
      source(point(room.source)),
      walls.map((w) => w.rectangle),
      3,
    );
    const paths = all
      .map((image) => find(image, point(room.place)))
      .filter((path): path is Path => path !== undefined)
      .sort((a, b) => a.length - b.length);

    it(`are all found to order 3, each once (room ${index})`, () => {
      expect(paths.length).toBe(63);
      expect(room.paths.length).toBe(63);
      const count = (order: number) => paths.filter((p) => p.hits.length === order).length;
      expect([count(0), count(1), count(2), count(3)]).toEqual([1, 6, 18, 38]);
    });

    it(`arrive with the length and amplitude of the reference (room ${index})`, () => {
      const ours = paths.map((path) => {
        const kept = path.hits.reduce((p, h) => p * Math.sqrt(1 - boundaries[h.wall].absorption.value[0]), 1);
        return [path.length, kept / path.length];
      });
      // The reference computes in single precision.
      expectAgreement(
        "image length, m",
        ours.map(([length], i) => [length, room.paths[i][0], `path ${i}`]),
        1e-5,
      );
      expectAgreement(
        "image amplitude",
        ours.map(([, amplitude], i) => [amplitude, room.paths[i][1], `path ${i}`]),
        1e-5,
        true,
      );
    });

    it(`feel no edge where walls join (room ${index})`, () => {
      expect(paths.every((path) => path.edges.every((e) => e === undefined))).toBe(true);
      expect(paths.every((path) => path.obstructions.length === 0)).toBe(true);
    });
  }
});

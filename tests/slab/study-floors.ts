/** Floors and slabs of the study of how levels are carried to walls: shapes known everywhere, so that errors are too. */
import { readFileSync } from "node:fs";
import { type Point, type Polygon, point } from "../../src/geometry/point.ts";
import type { RandomSource } from "../../src/numeric/random.ts";

/** Level of a slab in millimetres at a place in metres. */
export type SlabShape = (x: number, y: number) => number;

export interface StudyFloor {
  readonly name: string;
  readonly polygon: Polygon;
  /** Grid of the readings: first point and spacing, metres. */
  readonly inset: number;
  readonly spacing: number;
}

export interface StudySlab {
  readonly name: string;
  shape(random: RandomSource): SlabShape;
}

const ring = (...corners: [number, number][]): Point[] => corners.map(([x, y]) => point(x, y));

/** Sides are whole decimetres, so that squares of 0.1 m fill them exactly. Grids of 6 ft, and of 3 ft in the bathroom. */
export const studyFloors: readonly StudyFloor[] = [
  {
    name: "hall 12 × 9 m",
    polygon: { outline: ring([0, 0], [12, 0], [12, 9], [0, 9]), holes: [] },
    inset: 0.6,
    spacing: 1.83,
  },
  {
    name: "L of 14 × 10 m",
    polygon: { outline: ring([0, 0], [14, 0], [14, 4], [6, 4], [6, 10], [0, 10]), holes: [] },
    inset: 0.6,
    spacing: 1.83,
  },
  {
    name: "corridor 18 × 3.1 m",
    polygon: { outline: ring([0, 0], [18, 0], [18, 3.1], [0, 3.1]), holes: [] },
    inset: 0.6,
    spacing: 1.83,
  },
  {
    name: "bathroom 3.4 × 2.6 m",
    polygon: { outline: ring([0, 0], [3.4, 0], [3.4, 2.6], [0, 2.6]), holes: [] },
    inset: 0.4,
    spacing: 0.91,
  },
];

const wave = (random: RandomSource, lengthM: number, amplitudeMm: number): SlabShape => {
  const direction = 2 * Math.PI * random.uniform();
  const kx = (2 * Math.PI * Math.cos(direction)) / lengthM;
  const ky = (2 * Math.PI * Math.sin(direction)) / lengthM;
  const phase = 2 * Math.PI * random.uniform();
  return (x, y) => amplitudeMm * Math.sin(kx * x + ky * y + phase);
};

const sum =
  (shapes: readonly SlabShape[]): SlabShape =>
  (x, y) =>
    shapes.reduce((level, shape) => level + shape(x, y), 0);

const tilt = (random: RandomSource, mmPerMetre: number): SlabShape => {
  const east = mmPerMetre * random.normal();
  const north = mmPerMetre * random.normal();
  return (x, y) => east * x + north * y;
};

/** Columns and rows of the volcano, metres of height; data/volcano.json of the npm package vega-datasets. */
const volcano = JSON.parse(
  readFileSync(new URL("../../node_modules/vega-datasets/data/volcano.json", import.meta.url), "utf8"),
) as { width: number; height: number; values: number[] };

/** A piece of the volcano with cells of 0.25 to 0.4 m, 1 m of its height made 0.35 mm; straight between the four corners of a cell. */
function volcanoPiece(random: RandomSource): SlabShape {
  const cell = 0.25 + 0.15 * random.uniform();
  const firstColumn = random.uniform() * Math.max(0, volcano.width - 1 - 18 / cell);
  const firstRow = random.uniform() * Math.max(0, volcano.height - 1 - 10 / cell);
  const height = (column: number, row: number) => volcano.values[row * volcano.width + column]!;
  return (x, y) => {
    const u = Math.min(volcano.width - 1.001, firstColumn + x / cell);
    const v = Math.min(volcano.height - 1.001, firstRow + y / cell);
    const column = Math.floor(u);
    const row = Math.floor(v);
    const a = u - column;
    const b = v - row;
    const south = (1 - a) * height(column, row) + a * height(column + 1, row);
    const north = (1 - a) * height(column, row + 1) + a * height(column + 1, row + 1);
    return 0.35 * ((1 - b) * south + b * north);
  };
}

export const studySlabs: readonly StudySlab[] = [
  {
    name: "waves",
    shape: (random) => sum([tilt(random, 0.7), ...[0, 1, 2].map(() => wave(random, 5 + 7 * random.uniform(), 3))]),
  },
  {
    name: "rough",
    // Longer waves are higher in proportion to their length, from 1 to 15 m, as on ground.
    shape: (random) =>
      sum(
        Array.from({ length: 50 }, () => {
          const length = 15 ** random.uniform();
          return wave(random, length, (2.2 * length) / 15);
        }),
      ),
  },
  {
    name: "curled panels",
    // Panels of 4.5 m whose edges stand 4 mm up, over the last 1.2 m.
    shape: (random) => {
      const east = 4.5 * random.uniform();
      const north = 4.5 * random.uniform();
      const lean = tilt(random, 0.5);
      const toJoint = (along: number) => {
        const inPanel = ((along % 4.5) + 4.5) % 4.5;
        return Math.min(inPanel, 4.5 - inPanel);
      };
      return (x, y) => 4 * Math.max(0, 1 - Math.min(toJoint(x - east), toJoint(y - north)) / 1.2) ** 2 + lean(x, y);
    },
  },
  { name: "volcano", shape: volcanoPiece },
  {
    name: "sag",
    shape: (random) => {
      const east = 3 + 6 * random.uniform();
      const north = 2 + 5 * random.uniform();
      return (x, y) => (12 * ((x - east) ** 2 + (y - north) ** 2)) / 64;
    },
  },
];

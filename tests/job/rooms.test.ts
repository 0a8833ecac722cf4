/** Rooms: taped walls, closing errors, doorways, columns. */
import { describe, expect, test } from "vitest";
import { distance, type Point } from "../../src/geometry/point.ts";
import { polygonArea, signedArea } from "../../src/geometry/polygon.ts";
import type { Job } from "../../src/job/model.ts";
import { changed, GOOD, printed, read } from "./job-text.ts";

const jobOf = (text: string): Job => {
  const { job, diagnostics } = read(text);
  if (job === undefined) throw new Error(printed(diagnostics));
  return job;
};

const oneRoom = (walls: string, more = "", plan = "ft-in"): Job =>
  jobOf(`job: small-hall
title: One room
units: { plan: ${plan}, height: mm }
rooms:
  - id: room
    ${walls}
${more}
floor: { support: on-ground, substrate: concrete, absorbency: porous }
survey:
  grid: { origin: [0, 0], spacing: 2 m }
target: { top: 0 mm }
material: cement-50lb
`);

const rounded = (points: readonly Point[], places = 4): number[][] =>
  points.map(({ x, y }) => [Number(x.toFixed(places)), Number(y.toFixed(places))]);

describe("a run of walls", () => {
  test("closes exactly, counter-clockwise as taped", () => {
    const room = oneRoom(`walls: E 24' 6", N 18', W 24' 6", S 18'`).rooms[0]!;
    expect(rounded(room.outline)).toEqual([
      [0, 0],
      [7.4676, 0],
      [7.4676, 5.4864],
      [0, 5.4864],
    ]);
    expect(room.misclosure).toBeCloseTo(0, 12);
    expect(room.walls.map(({ number, name }) => [number, name])).toEqual([
      [1, "south wall"],
      [2, "east wall"],
      [3, "north wall"],
      [4, "west wall"],
    ]);
  });

  test("taped clockwise, it is turned round and its walls keep their numbers", () => {
    const room = oneRoom("walls: N 4 m, E 6 m, S 4 m, W 6 m", "", "m").rooms[0]!;
    expect(signedArea(room.outline)).toBeCloseTo(24, 9);
    expect(rounded(room.outline)).toEqual([
      [0, 0],
      [6, 0],
      [6, 4],
      [0, 4],
    ]);
    expect(room.walls.map(({ number, side }) => [number, side])).toEqual([
      [4, "south"],
      [3, "east"],
      [2, "north"],
      [1, "west"],
    ]);
  });

  test("walls of one side are counted as taped", () => {
    const room = oneRoom("walls: E 6 m, N 2 m, W 2 m, N 2 m, W 4 m, S 4 m", "", "m").rooms[0]!;
    expect(room.walls.map(({ name }) => name)).toEqual([
      "south wall",
      "east wall 1",
      "north wall 1",
      "east wall 2",
      "north wall 2",
      "west wall",
    ]);
  });

  test.each([
    ["a list of parts", `walls:\n      - E 24' 6", N 18'\n      - W 24' 6"\n      - S 18'`],
    ["a folded block", `walls: >\n      E 24' 6", N 18',\n      W 24' 6",\n      S 18'`],
    ["a literal block, a wall to a line", `walls: |\n      E 24' 6"\n      N 18'\n      W 24' 6"\n      S 18'`],
    ["semicolons and small letters", `walls: e 24' 6"; n 18'; w 24' 6"; s 18'`],
    ["bare numbers in feet", "walls: E 24.5, N 18, W 24.5, S 18"],
    ["bearings", `walls: N 90 E 24' 6", N 0 E 18', S 90° W 24' 6", S 0 W 18'`],
  ])("may be written as %s", (_, walls) => {
    expect(polygonArea({ outline: oneRoom(walls).rooms[0]!.outline, holes: [] })).toBeCloseTo(7.4676 * 5.4864, 9);
  });

  test("runs in the eight directions", () => {
    // A square of 1 m on its corner, then an octagon of side 1: area 2(1 + √2), Euclid.
    expect(signedArea(oneRoom("walls: NE 1 m, NW 1 m, SW 1 m, SE 1 m", "", "m").rooms[0]!.outline)).toBeCloseTo(1, 12);
    const octagon = oneRoom("walls: E 1 m, NE 1 m, N 1 m, NW 1 m, W 1 m, SW 1 m, S 1 m, SE 1 m", "", "m").rooms[0]!;
    expect(signedArea(octagon.outline)).toBeCloseTo(2 * (1 + Math.SQRT2), 12);
    expect(octagon.walls.map(({ side }) => side)).toEqual([
      "south",
      "south-east",
      "east",
      "north-east",
      "north",
      "north-west",
      "west",
      "south-west",
    ]);
  });
});

describe("the closing error", () => {
  // A published closed traverse, balanced by the compass rule (teaching notes on traverse computations,
  // "Compass rule: adjustment of bearing and distance of a closed traverse"): AB 80.40 N 76° E,
  // BC 46.30 S 36° E, CD 72.80 S 61° W, DA 68.00 N 38° W; latitudes miss by 0.285, departures by −0.311.
  const traverse = oneRoom(
    "walls: N 76 E 80.40 m, S 36 E 46.30 m, S 61 W 72.80 m, N 38 W 68.00 m\n    closing_tolerance: 0.5 m",
    "",
    "m",
  ).rooms[0]!;

  test("is spread by the compass rule, as in a published traverse", () => {
    // Adjusted latitudes 19.3653, −37.5063, −35.3716; adjusted departures 78.1055, 27.2678, −63.5874.
    const taped = [traverse.outline[0]!, ...traverse.outline.slice(1).toReversed()];
    const steps = taped.slice(1).map((corner, k) => ({ east: corner.x - taped[k]!.x, north: corner.y - taped[k]!.y }));
    const published = [
      { east: 78.1055, north: 19.3653 },
      { east: 27.2678, north: -37.5063 },
      { east: -63.5874, north: -35.3716 },
    ];
    for (const [k, { east, north }] of published.entries()) {
      // The notes carry latitudes and departures to three places.
      expect(Math.abs(steps[k]!.east - east)).toBeLessThan(0.001);
      expect(Math.abs(steps[k]!.north - north)).toBeLessThan(0.001);
    }
    expect(traverse.misclosure).toBeCloseTo(Math.hypot(0.285, 0.311), 2);
  });

  test("is said where it is worth a word, and passed over where it is the rounding of the tape", () => {
    const codes = (walls: string) =>
      read(changed("E 20', N 12', W 20', S 12'", walls)).diagnostics.map(({ code }) => code);
    expect(codes(`E 20', N 12', W 20', S 12'`)).toEqual([]);
    expect(codes(`E 20', N 12', W 20' 1/32", S 12'`)).toEqual([]);
    expect(codes(`E 20', N 12', W 20' 1/4", S 12'`)).toEqual(["closing-error-spread"]);
    // Half an inch is allowed over 64 ft; nine sixteenths are not.
    expect(codes(`E 20', N 12', W 20' 1/2", S 12'`)).toEqual(["closing-error-spread"]);
    expect(codes(`E 20', N 12', W 20' 9/16", S 12'`)).toEqual(["walls-do-not-close"]);
  });

  test("grows with the way round, one part in 2000", () => {
    expect(() => oneRoom("walls: E 40 m, N 30 m, W 40.06 m, S 30 m", "", "m")).not.toThrow();
    expect(() => oneRoom("walls: E 40 m, N 30 m, W 40.08 m, S 30 m", "", "m")).toThrow("walls-do-not-close");
  });
});

describe("doors", () => {
  const doors = (job: Job) => job.rooms.flatMap(({ doors }) => doors);

  test("stand where they were taped, and their doorway reaches the other room", () => {
    const [street, store] = doors(jobOf(GOOD));
    // Wall 1 from the south-west corner: jambs at 4 ft and 7 ft.
    expect(rounded(street!.jambs)).toEqual([
      [1.2192, 0],
      [2.1336, 0],
    ]);
    expect(street!.doorway).toBeUndefined();
    expect(street!.wallThickness).toBe(0);
    // The rooms stand 6 in apart at the east wall.
    expect(store!.wallThickness).toBeCloseTo(0.1524, 9);
    expect(store!.joinsRoom).toBe(true);
    expect(signedArea(store!.doorway!)).toBeCloseTo(0.1524 * 0.9144, 9);
  });

  test("in a room that was taped clockwise are measured from where the wall's taping began", () => {
    const job = oneRoom(
      "walls: N 4 m, E 6 m, S 4 m, W 6 m",
      `    doors:\n      - { id: D, wall: 2, from: 1 m, width: 0.9 m, joins: yard, thickness: 0.2 m }`,
      "m",
    );
    const door = doors(job)[0]!;
    // Wall 2 was taped east along the north side; the outline runs it west.
    expect(rounded(door.jambs)).toEqual([
      [1.9, 4],
      [1, 4],
    ]);
    expect(job.rooms[0]!.walls[door.wallIndex]!.number).toBe(2);
    expect(signedArea(door.doorway!)).toBeCloseTo(0.18, 9);
    expect(Math.max(...door.doorway!.map(({ y }) => y))).toBeCloseTo(4.2, 9);
  });

  test("at a corner are at that corner exactly, though the closing error moved it", () => {
    const job = oneRoom(
      `walls: E 20', N 12', W 20' 1/4", S 12'`,
      `    doors:\n      - { id: D, wall: 1, from: 17', width: 3', joins: yard }`,
    );
    const { outline } = job.rooms[0]!;
    expect(doors(job)[0]!.jambs[1]).toEqual(outline[1]);
  });

  test("a given thickness within 10 mm of the rooms' own gives way to it", () => {
    const job = jobOf(changed("joins: store", "joins: store, thickness: 150 mm"));
    expect(doors(job)[1]!.wallThickness).toBeCloseTo(0.1524, 9);
  });

  test("zero from the corner and a finished level of zero are values like any other", () => {
    const job = jobOf(
      changed("from: 4', width: 3', joins: street", "from: 0, width: 3', joins: street, finish_level: 0"),
    );
    expect(doors(job)[0]).toMatchObject({ from: 0, neighbourFinish: 0 });
  });
});

describe("columns and openings", () => {
  test("run clockwise; a round one has the area of its circle and corners within 2 mm of it", () => {
    const job = oneRoom(
      "walls: E 20 m, N 20 m, W 20 m, S 20 m",
      `    columns:
      - { id: S, center: [5, 5], size: 400 mm x 600 mm }
      - { id: Q, center: [5, 10], size: 400 mm }
      - { id: R, center: [10, 10], diameter: 500 mm }
      - { id: T, vertices: [[15, 15], [16, 15], [15, 16]] }
    openings:
      - { id: SHAFT, center: [15, 5], size: 2 m x 1 m }`,
      "m",
    );
    const rings = job.rooms[0]!.columns.map(({ ring }) => ring);
    expect(rings.every((ring) => signedArea(ring) < 0)).toBe(true);
    const areas = rings.map((ring) => -signedArea(ring));
    expect(areas[0]).toBeCloseTo(0.24, 9);
    expect(areas[1]).toBeCloseTo(0.16, 9);
    expect(areas[2]).toBeCloseTo(Math.PI * 0.25 ** 2, 9);
    expect(areas[3]).toBeCloseTo(0.5, 9);
    expect(areas[4]).toBeCloseTo(2, 9);
    expect(job.rooms[0]!.columns.map(({ kind }) => kind)).toEqual(["column", "column", "column", "column", "opening"]);
    for (const [k, corner] of rings[2]!.entries()) {
      const next = rings[2]![(k + 1) % rings[2]!.length]!;
      const middle = { x: (corner.x + next.x) / 2, y: (corner.y + next.y) / 2 } as Point;
      const centre = { x: 10, y: 10 } as Point;
      expect(Math.abs(distance(corner, centre) - 0.25)).toBeLessThan(0.002);
      expect(Math.abs(distance(middle, centre) - 0.25)).toBeLessThan(0.002);
    }
  });
});

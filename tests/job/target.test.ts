/** Where the top of the pour goes: every form that the office can write, and what each refers to. */
import { describe, expect, test } from "vitest";
import type { TargetSpec } from "../../src/job/target-model.ts";
import { changed, printed, read } from "./job-text.ts";

const withTarget = (target: string) => {
  const text = changed("target: { top: 0 mm }", target).replace("joins: store }", "joins: store, finish_level: 9 mm }");
  return read(text);
};

const target = (text: string): TargetSpec => {
  const { job, diagnostics } = withTarget(text);
  if (job === undefined) throw new Error(printed(diagnostics));
  return job.target;
};

describe("one top", () => {
  test("a level; zero there means that zero was set at the top of the pour", () => {
    expect(target("target: { top: 0 }")).toEqual({ kind: "level", top: 0, zeroIsTop: true });
    expect(target("target: { top: 3/8 in }")).toMatchObject({ kind: "level", zeroIsTop: false });
    expect(target("target: { top: -5 }")).toEqual({ kind: "level", top: -5, zeroIsTop: false });
  });

  test("falling from a place towards another", () => {
    expect(target("target: { top: 0, at: [2', 2'], fall: 1 %, towards: [12', 2'] }")).toMatchObject({
      kind: "sloped",
      top: 0,
      fall: 10,
      at: { x: expect.closeTo(0.6096, 9) },
      towards: { x: expect.closeTo(3.6576, 9) },
    });
  });

  test("falling from all walls to a drain: by the least fall, by the height there, or both", () => {
    expect(target("target: { top: 0, drain: [5', 4'], fall: 1 % }")).toMatchObject({
      kind: "falls-to-drain",
      walls: { kind: "level", zeroIsTop: true },
      drain: { x: expect.closeTo(1.524, 9) },
      leastFall: 10,
    });
    const both = target("target: { bench_mark: BM1, above: 3 mm, drain: [5', 4'], drain_top: -9 mm, fall: 1 % }");
    expect(both).toMatchObject({ walls: { kind: "bench-mark" }, drainTop: -9, leastFall: 10 });
  });

  test("at a bench mark", () => {
    expect(target("target: { bench_mark: BM1, above: -10 mm }")).toEqual({
      kind: "bench-mark",
      benchMarkId: "BM1",
      above: -10,
    });
    expect(target("target: { bench_mark: BM1, above: 0 }")).toMatchObject({ above: 0 });
  });

  test("from the finish beyond a door, less the covering here, plus what is still to come there", () => {
    expect(
      target(
        "target: { door: DR2, build_up: [{ name: tile, thickness: 10 mm }, { name: adhesive, thickness: 1/8 in }], neighbour_build_up: [{ name: oak, thickness: 15 mm }] }",
      ),
    ).toEqual({
      kind: "door",
      doorId: "DR2",
      buildUp: [
        { name: "tile", thickness: 10 },
        { name: "adhesive", thickness: 3.175 },
      ],
      neighbourBuildUp: [{ name: "oak", thickness: 15 }],
    });
    expect(target("target: { door: DR2, build_up: [] }")).toMatchObject({ buildUp: [] });
  });

  test("sought, with what it has to keep", () => {
    expect(
      target(`target:
  seek: level
  at_doors:
    - { door: DR1, top: 3 mm }
    - { door: DR2, build_up: [{ name: tile, thickness: 9 mm }] }
    - { door: DR1, at_least: 0, at_most: 6 mm }
  grinding: { height: 3 mm, area: 10 ft², rooms: [hall], costs: { fill_per_litre: 2, grind_per_litre: 50 } }
  limits: { bags: 40, depth: 1 in, dead_load: 10 psf }`),
    ).toEqual({
      kind: "sought",
      shape: "level",
      atDoors: [
        { kind: "held", doorId: "DR1", top: 3 },
        { kind: "flush", doorId: "DR2", buildUp: [{ name: "tile", thickness: 9 }] },
        { kind: "bounded", doorId: "DR1", atLeast: 0, atMost: 6 },
      ],
      grinding: {
        height: 3,
        // 10 × 0.09290304.
        area: 0.9290304,
        roomIds: ["hall"],
        costs: { fillPerLitre: 2, grindPerLitre: 50 },
      },
      // 10 psf is 48.8243 kg/m².
      limits: { bags: 40, greatestDepth: 25.4, deadLoad: expect.closeTo(48.8243, 3) },
    });
    expect(target("target: { seek: plane, greatest_fall: 1 % }")).toEqual({
      kind: "sought",
      shape: "plane",
      greatestFall: 10,
      atDoors: [],
      limits: {},
    });
  });
});

const STIFF = `{ id: stiff, name: Stiff mix, binder: cement, data_sheet: { title: Made up }, bag: 50 lb, yield: 0.45 ft³, water: 4 qt, wet_density: 130 lb/ft³, flow_time: 30 min, depth_on: { concrete: { least: 0 mm, greatest: 3 in } }, greatest_lift: 3 in, greatest_fall: 10 %, feathers: true, pin_spacing: 4 ft, pin_spacing_at_doors: 2 ft }`;

describe("zones", () => {
  test("each over its rooms, with how they meet", () => {
    const spec = target(`target:
  zones:
    - { rooms: [hall], top: 0 mm }
    - { rooms: [store], door: DR2, build_up: [], material: ${STIFF.replace("least: 0 mm", "least: 1 mm")} }
  meets:
    - { door: DR2, how: feather, length: 4' }`);
    expect(spec).toMatchObject({
      kind: "zones",
      zones: [
        { roomIds: ["hall"], top: { kind: "level", top: 0 } },
        {
          roomIds: ["store"],
          top: { kind: "door", doorId: "DR2" },
          material: { id: "stiff", feathers: true, greatestFall: 100 },
        },
      ],
      meets: [{ doorId: "DR2", how: { kind: "feather", length: expect.closeTo(1.2192, 9) } }],
    });
  });

  test("a step, and a ramp in a material of the library", () => {
    const zones = "zones: [{ rooms: [hall], top: 0 }, { rooms: [store], top: 12 }]";
    expect(target(`target: { ${zones}, meets: [{ door: DR2, how: step }] }`)).toMatchObject({
      meets: [{ how: { kind: "step" } }],
    });
    expect(
      target(`target: { ${zones}, meets: [{ door: DR2, how: ramp, length: 6', material: gypsum-50lb }] }`),
    ).toMatchObject({
      meets: [{ how: { kind: "ramp", material: { id: "gypsum-50lb" } } }],
    });
  });
});

describe("refused", () => {
  const ZONES = "zones: [{ rooms: [hall], top: 0 }, { rooms: [store], top: 12 }]";
  test.each([
    ["two forms", "{ top: 0, seek: level }", "target-unclear"],
    ["a fall that says not where to", "{ top: 0, at: [2', 2'], fall: 1 % }", "target-unclear"],
    ["a fall towards the same place", "{ top: 0, at: [2', 2'], fall: 1 %, towards: [2', 2'] }", "target-unclear"],
    ["a fall from a bench mark", "{ bench_mark: BM1, above: 0, fall: 1 % }", "target-unclear"],
    ["a drain without a fall or a height there", "{ top: 0, drain: [5', 4'] }", "target-unclear"],
    ["a height at a drain that is not there", "{ top: 0, drain_top: -9 mm }", "target-unclear"],
    ["a fall to a drain and one way besides", "{ top: 0, drain: [5', 4'], fall: 1 %, at: [2', 2'] }", "target-unclear"],
    ["a drain under a top to be found", "{ seek: plane, drain: [5', 4'], fall: 1 % }", "target-unclear"],
    ["a key of another form", "{ top: 0, limits: { bags: 4 } }", "target-unclear"],
    ["zones and a top besides", `{ ${ZONES}, top: 0 }`, "target-unclear"],
    ["meets without zones", "{ top: 0, meets: [] }", "target-unclear"],
    ["a zone without a top", "{ zones: [{ rooms: [hall, store] }] }", "target-unclear"],
    ["a room in no zone", "{ zones: [{ rooms: [hall], top: 0 }] }", "room-in-no-zone"],
    [
      "a room in two zones",
      "{ zones: [{ rooms: [hall, store], top: 0 }, { rooms: [hall], top: 0 }] }",
      "room-in-two-zones",
    ],
    ["a room that is not there", "{ zones: [{ rooms: [hall, store, stoer], top: 0 }] }", "no-such-room"],
    ["a ramp without length", `{ ${ZONES}, meets: [{ door: DR2, how: ramp, material: gypsum-50lb }] }`, "missing-key"],
    ["a ramp without material", `{ ${ZONES}, meets: [{ door: DR2, how: ramp, length: 4' }] }`, "missing-key"],
    ["a step with a length", `{ ${ZONES}, meets: [{ door: DR2, how: step, length: 4' }] }`, "target-unclear"],
    ["a door that is not there", `{ ${ZONES}, meets: [{ door: DR9, how: step }] }`, "no-such-door"],
    [
      "bounds turned round",
      "{ seek: level, at_doors: [{ door: DR1, at_least: 5, at_most: 2 }] }",
      "bounds-turned-round",
    ],
    ["a door's height two ways", "{ seek: level, at_doors: [{ door: DR1, top: 5, at_most: 2 }] }", "target-unclear"],
    [
      "a flush door without a finish",
      "{ seek: level, at_doors: [{ door: DR1, build_up: [] }] }",
      "door-without-finish-level",
    ],
    [
      "a plane with a ground area",
      "{ seek: plane, grinding: { height: 3 mm, area: 2 m² } }",
      "grinding-area-with-plane",
    ],
  ])("%s", (_, text, code) => {
    const { job, diagnostics } = withTarget(`target: ${text}`);
    expect(diagnostics.map((problem) => problem.code)).toEqual([code]);
    expect(diagnostics[0]!.place!.line).toBe(30);
    expect(job).toBeUndefined();
  });
});

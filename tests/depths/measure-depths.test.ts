import { describe, expect, test } from "vitest";
import { measureDepths } from "../../src/depths/measure-depths.ts";
import { cutFor } from "../../src/depths/pin-depths.ts";
import { point } from "../../src/geometry/point.ts";
import type { PinSpec } from "../../src/job/library-model.ts";
import type { Job } from "../../src/job/model.ts";
import { FOOT, madeJob, madeRoom, madeSurvey, rectangle } from "../layout/made-job.ts";
import { depthsOf, levelTarget, measured } from "./made-slab.ts";

/** 20 × 20 ft, as in the job that anyone can do by head. */
const squareRoom = madeRoom("hall", rectangle(0, 0, 20 * FOOT, 20 * FOOT));

describe("the job by head: 20 × 20 ft, 10 mm low everywhere", () => {
  // 400 ft² = 37.161216 m²; 1 mm over 1 m² is 1 L: 371.6 L.
  test.each([
    ["read below zero, zero at the top", -10, 0],
    ["read above zero, the top 30 above", 20, 30],
    ["zero read everywhere, the top 10 above", 0, 10],
  ])("%s", (_, level, top) => {
    const { depths } = depthsOf(madeJob([squareRoom]), () => level, levelTarget(top));
    expect(depths.area).toBeCloseTo(37.161216, 9);
    expect(depths.volumeAsRead).toBeCloseTo(371.61216, 6);
    expect(depths.volumeToOrder).toBeCloseTo(371.61216, 6);
    expect([depths.least, depths.greatest]).toEqual([10, 10]);
    expect(depths.mean).toBeCloseTo(10, 9);
    expect([depths.proudArea, depths.thinArea]).toEqual([0, 0]);
    expect(depths.pouredArea).toBeCloseTo(37.161216, 9);
    expect(depths.highSpots).toEqual([]);
    expect(depths.contours).toEqual([]);
    expect(depths.bands.map(({ from, to }) => [from, to])).toEqual([[10, 11]]);
    expect(depths.pins.map(({ cut }) => cut)).toEqual(depths.pins.map(() => ({ kind: "cut", length: 10 })));
  });

  test("beyond the outermost readings lies what is carried on: 400 − 18 × 18 of 400 ft²", () => {
    // Grid points from 2 to 20 ft both ways: the last lines lie on the north and east walls.
    const { depths } = depthsOf(madeJob([squareRoom]), () => -10);
    expect(depths.extrapolatedVolume).toBeCloseTo((400 - 18 * 18) / 400, 6);
  });
});

describe("clipped at zero, one triangle of 1 m²", () => {
  // Calculated from the definitions: 0.45, 0.844444, 1/12 of the area, by the depths at the corners.
  test.each([
    [[3, -1, -2], 0.45],
    [[3, 1, -2], 0.844444],
    [[1, -1, -1], 1 / 12],
  ] as const)("depths %j hold %d L", (corner, volume) => {
    const side = Math.SQRT2;
    const room = madeRoom("triangle", [
      [0, 0],
      [side, 0],
      [0, side],
    ]); // no other corner, so one triangle
    const survey = madeSurvey([], { origin: point(0, 0), spacingEast: side, spacingNorth: side });
    const base = madeJob([room], { survey });
    const job: Job = { ...base, material: { ...base.material, depthOn: { concrete: { least: 0.5, greatest: 50 } } } };
    const [a, b, c] = corner;
    const { depths } = depthsOf(job, (p) => -(a + ((b - a) * p.x) / side + ((c - a) * p.y) / side));
    expect(depths.area).toBeCloseTo(1, 12);
    expect(depths.volumeAsRead).toBeCloseTo(volume, 6);
  });
});

describe("a hump in the middle of the floor, worked by hand", () => {
  // 4 × 4 m read at its corners and its middle. Depth 10 mm along the walls, −5 mm in the middle, straight
  // between: at a share s of the way out it is −5 + 15 s. Least depth 3 mm.
  const room = madeRoom("hump", rectangle(0, 0, 4, 4));
  const survey = madeSurvey([], { origin: point(2, 2), spacingEast: 2, spacingNorth: 2 });
  const levelAt = ({ x, y }: { x: number; y: number }) => -(-5 + 15 * (Math.max(Math.abs(x - 2), Math.abs(y - 2)) / 2));
  const { depths } = depthsOf(madeJob([room], { survey }), levelAt);

  test("three classes of floor", () => {
    // Above the target for s < 1/3, below the least depth for s < 8/15.
    const proud = 16 / 9;
    const tooThin = 16 * (8 / 15) ** 2;
    expect(depths.proudArea).toBeCloseTo(proud, 9);
    expect(depths.thinArea).toBeCloseTo(tooThin - proud, 9);
    expect(depths.pouredArea).toBeCloseTo(16 - tooThin, 9);
  });

  test("volumes: pyramids", () => {
    // ∫ depth = 16 × (−5 + 15 × 2/3) = 80 L; a pyramid of 5 mm stands out, one of 8 mm is ground away.
    const standsOut = ((16 / 9) * 5) / 3;
    const ground = (16 * (8 / 15) ** 2 * 8) / 3;
    expect(depths.volumeAsRead).toBeCloseTo(80 + standsOut, 9);
    expect(depths.volumeToOrder).toBeCloseTo(80 + ground, 9);
    expect(depths.highSpots).toHaveLength(1);
    const spot = depths.highSpots[0]!;
    expect(spot).toMatchObject({ id: "H1", roomIndex: 0, worst: point(2, 2), grind: 8, proud: true });
    expect(spot.area).toBeCloseTo(16 * (8 / 15) ** 2, 9);
    expect(spot.groundVolume).toBeCloseTo(ground, 9);
    expect(spot.regions).toHaveLength(1);
  });

  test("bands from below zero to the walls, contours every millimetre, every fifth heavier", () => {
    expect(depths.bands.map(({ from, to }) => [from, to])).toEqual([
      [undefined, 0],
      [0, 3],
      [3, 4],
      [4, 6],
      [6, 8],
      [8, 10],
    ]);
    expect(depths.bands.reduce((sum, band) => sum + band.area, 0)).toBeCloseTo(16, 9);
    expect(depths.bands.reduce((sum, band) => sum + band.volume, 0)).toBeCloseTo(depths.volumeToOrder, 9);
    expect(depths.contours.map(({ depth }) => depth)).toEqual([-4, -3, -2, -1, 0, 1, 2, 3, 4, 5, 6, 7, 8, 9]);
    expect(depths.contours.filter(({ index }) => index).map(({ depth }) => depth)).toEqual([0, 5]);
    // The contour of 5 mm is the square at s = 2/3.
    const line = depths.contours.find(({ depth }) => depth === 5)!.lines;
    expect(line).toHaveLength(1);
    for (const p of line[0]!) expect(Math.max(Math.abs(p.x - 2), Math.abs(p.y - 2))).toBeCloseTo(4 / 3, 9);
  });

  test("the pin on the hump waits for the grinder and is read again", () => {
    const a1 = depths.pins.find(({ pin }) => pin.id === "A1")!;
    expect(a1).toMatchObject({
      depth: -5,
      from: "read",
      cut: { kind: "after-grinding" },
      checkOnTheDay: true,
      sd: 0.5,
    });
  });
});

test("zones at different heights: each room has its own, along the wall between them there is a step", () => {
  const rooms = [madeRoom("west", rectangle(0, 0, 4, 3)), madeRoom("east", rectangle(4, 0, 2, 3))];
  const survey = madeSurvey([], { origin: point(1, 1), spacingEast: 1, spacingNorth: 1 });
  const target = {
    zones: [
      { roomIndices: [0], top: 0, fallEast: 0, fallNorth: 0 },
      { roomIndices: [1], top: 0, fallEast: 5, fallNorth: 0 },
    ],
    steps: [],
  };
  const { depths, slab } = depthsOf(madeJob(rooms, { survey }), () => -10, target);
  // West: 12 m² of 10 mm. East: 10 mm + 5 mm/m × x, at the middle of x = 4 … 6: 35 mm over 6 m².
  expect(depths.rooms.map(({ volumeToOrder }) => volumeToOrder)).toEqual([
    expect.closeTo(120, 6),
    expect.closeTo(210, 6),
  ]);
  expect(depths.volumeToOrder).toBeCloseTo(330, 6);
  expect(depths.rooms.map(({ least, greatest }) => [least, greatest])).toEqual([
    [10, 10],
    [30, 40],
  ]);
  const before = slab.mesh.xM.length;
  expect(depths.mesh.xM.length).toBeGreaterThan(before);
  expect([...depths.mesh.xM.slice(0, before)]).toEqual([...slab.mesh.xM]);
  for (let k = before; k < depths.mesh.xM.length; k++) expect(depths.mesh.xM[k]).toBeCloseTo(4, 9);
  // A pin on the step belongs to its own room.
  const pin = depths.pins.find(({ pin: { at } }) => at.x === 4)!;
  expect(pin.depth).toBe(10);
  expect(depths.bands.reduce((sum, { area }) => sum + area, 0)).toBeCloseTo(18, 9);
});

describe("cut length", () => {
  const spec: PinSpec = {
    id: "pin",
    name: "pin",
    foot: 1.5,
    scaleCountsFoot: false,
    leastCut: 4,
    greatestCut: 40,
    recutAt: 1.5,
  };
  test.each([
    ["the scale starts above the foot: depth less foot", 12, false, { kind: "cut", length: 10.5 }],
    ["the scale counts the foot: the depth", 12, true, { kind: "cut", length: 12 }],
    ["exactly the shortest that can be cut", 5.5, false, { kind: "cut", length: 4 }],
    ["shorter: no pin, grind", 5.4, false, { kind: "too-short" }],
    ["on a place to be ground: blank", 2.9, false, { kind: "after-grinding" }],
    ["a tenth of a millimetre more, and it is too short a pin", 2.95, false, { kind: "too-short" }],
    ["above the target", -1, true, { kind: "after-grinding" }],
  ] as const)("%s", (_, depth, scaleCountsFoot, cut) => {
    expect(cutFor(depth, { ...spec, scaleCountsFoot }, 3)).toEqual(cut);
  });
});

describe("pins to be checked on the day", () => {
  test("every interpolated one, and one in ten of the others, spread over the floor", () => {
    const room = madeRoom("hall", rectangle(0, 0, 11, 11));
    const survey = madeSurvey([], { origin: point(1, 1), spacingEast: 1, spacingNorth: 1 });
    const base = madeJob([room], { survey });
    const { depths } = depthsOf(base, ({ x, y }) => -10 - x - y / 10);
    const read = depths.pins.filter(({ from }) => from === "read");
    expect(read).toHaveLength(121);
    const checked = read.filter(({ checkOnTheDay }) => checkOnTheDay);
    expect(checked).toHaveLength(13);
    for (const east of [true, false]) {
      for (const north of [true, false]) {
        const quarter = checked.filter(({ pin: { at } }) => at.x > 6 === east && at.y > 6 === north);
        expect(quarter.length).toBeGreaterThanOrEqual(2);
      }
    }
    // Fewer than ten pins: one of them, the deepest.
    const few = depthsOf(
      madeJob([squareRoom], { survey: madeSurvey([], { spacingEast: 4, spacingNorth: 4 }) }),
      (p) => -10 - p.x + p.y / 10,
    );
    const marked = few.depths.pins.filter(({ checkOnTheDay, from }) => checkOnTheDay && from === "read");
    expect(marked.map(({ pin }) => pin.id)).toEqual(["A2"]);
    expect(few.depths.pins.filter(({ from }) => from === "interpolated").every((one) => one.checkOnTheDay)).toBe(true);
  });

  test("a pin where nothing was read takes the depth of the surface there", () => {
    const base = madeJob([squareRoom]);
    const job = { ...base, material: { ...base.material, pinSpacing: 3 * FOOT } };
    const { depths } = depthsOf(job, ({ x }) => -10 - 5 * x);
    const between = depths.pins.find(({ pin }) => pin.id === "B2e")!;
    expect(between.from).toBe("interpolated");
    expect(between.sd).toBeUndefined();
    // B2 stands 8 ft east, B2e half of 6 ft farther.
    expect(between.depth).toBeCloseTo(10 + 5 * 11 * FOOT, 5);
  });
});

describe("what is refused, and what is only said", () => {
  test("depth past the material, at the reading's line, the deepest first; past the pin", () => {
    const { outcome } = measured(madeJob([squareRoom]), ({ x, y }) =>
      x > 5 && y > 5 ? -60 : x > 5 && y < 1 ? -80 : -10,
    );
    expect(outcome.kind).toBe("refused");
    if (outcome.kind !== "refused") return;
    expect(outcome.problems.map(({ code, place }) => [code, place?.line])).toEqual([
      ["depth-past-material", 4],
      ["depth-past-material", 16],
    ]);
    expect(outcome.problems[0]!.message.replaceAll("\u00a0", " ")).toContain("80 mm deep at A4, past the 50 mm");
    const base = madeJob([squareRoom]);
    const short = measured({ ...base, pins: { ...base.pins, greatestCut: 20 } }, ({ x }) => (x > 5 ? -25 : -10));
    if (short.outcome.kind !== "refused") throw new Error("expected a refusal");
    expect(short.outcome.problems.map(({ code }) => code)).toEqual(new Array(4).fill("depth-past-pin"));
  });

  test("many readings too deep are counted, not listed", () => {
    const { outcome } = measured(madeJob([squareRoom]), () => -60);
    if (outcome.kind !== "refused") throw new Error("expected a refusal");
    expect(outcome.problems).toHaveLength(11);
    expect(outcome.problems[10]!.message).toContain("6 more readings");
  });

  test("a substrate that the data sheet does not name", () => {
    const base = madeJob([squareRoom]);
    const { outcome } = measured({ ...base, floor: { ...base.floor, substrate: "wood" } }, () => -10);
    expect(outcome).toMatchObject({ kind: "refused", problems: [{ code: "substrate-not-on-data-sheet" }] });
  });

  test("a target that leaves nowhere the least depth", () => {
    const { outcome } = measured(madeJob([squareRoom]), () => -2);
    expect(outcome).toMatchObject({ kind: "refused", problems: [{ code: "nowhere-deep-enough" }] });
  });

  test("too deep only where the surface is carried on: a warning that says where", () => {
    const { warnings } = depthsOf(madeJob([squareRoom]), ({ x }) => (x < 0.3 ? -70 : -10));
    expect(warnings.map(({ code }) => code)).toEqual(["carried-depth-past-material"]);
    expect(warnings[0]!.message).toContain("in room hall");
  });

  test("depths need the levels of their own plan", () => {
    const { plan, slab } = measured(madeJob([squareRoom]), () => -10);
    const levels = { points: [], unchecked: true };
    const outcome = measureDepths(madeJob([squareRoom]), plan, levels, slab, levelTarget(0));
    if (outcome.kind !== "ready") throw new Error("expected depths");
    expect(outcome.value.pins.every(({ from, depth }) => from === "interpolated" && depth === 10)).toBe(true);
  });
});

import { describe, expect, it } from "vitest";
import type { Diagnostic } from "../../src/diagnostics.ts";
import { point } from "../../src/geometry/point.ts";
import type { MeetSpec, SoughtTop, TargetSpec } from "../../src/job/target-model.ts";
import { placeTarget } from "../../src/target/place-target.ts";
import { topAt } from "../../src/target/top-at.ts";
import { door, gridMesh, jobWith, material, noLevels, planOf, slabOver } from "./floors.ts";

const rooms = [
  { x0: 0, y0: 0, x1: 4, y1: 3 },
  { x0: 4, y0: 0, x1: 6, y1: 3 },
];
const slab = slabOver(gridMesh(rooms, 0.5), (x) => -10 - x);

const readyTop = (spec: TargetSpec, more = {}, doors: Parameters<typeof planOf>[1] = []) => {
  const outcome = placeTarget(jobWith(spec, more), planOf(rooms, doors), noLevels, slab);
  if (outcome.kind !== "ready") throw new Error(JSON.stringify(outcome));
  return outcome.value;
};
/** With a plain space and hyphen for the ones of print, so that a message can be written down here. */
const inPlainText = (problem: Diagnostic): Diagnostic =>
  JSON.parse(JSON.stringify(problem).replaceAll("\u00a0", " ").replaceAll("\u2212", "-"));
const problemsOf = (spec: TargetSpec, more = {}, doors: Parameters<typeof planOf>[1] = []) => {
  const outcome = placeTarget(jobWith(spec, more), planOf(rooms, doors), noLevels, slab);
  return outcome.kind === "refused" ? outcome.problems.map(inPlainText) : [];
};

describe("a level that the job gives", () => {
  it("takes zero as the top where zero was set there, and does not subtract it again", () => {
    const target = readyTop({ kind: "level", top: 0, zeroIsTop: true });
    expect(topAt(target, 0, point(1, 1))).toBe(0);
    expect(topAt(target, 1, point(5, 1))).toBe(0);
    expect(target.steps).toEqual([{ kind: "zero-is-top", amount: 0 }]);
  });

  it("takes a level from zero", () => {
    const target = readyTop({ kind: "level", top: -2.5, zeroIsTop: false });
    expect(topAt(target, 1, point(5, 2))).toBe(-2.5);
    expect(target.steps).toEqual([{ kind: "given", amount: -2.5 }]);
  });

  it("refuses a top below the slab everywhere, and says where the slab is", () => {
    const [problem] = problemsOf({ kind: "level", top: -16, zeroIsTop: false });
    expect(problem?.code).toBe("target-below-slab");
    expect(problem?.message).toContain("by 0.0 mm");
    expect(problemsOf({ kind: "level", top: -18, zeroIsTop: false })[0]?.expected).toContain("2.0 mm higher");
    expect(problem?.place?.lineText).toBe("target");
    expect(problemsOf({ kind: "level", top: -15.9, zeroIsTop: false })).toEqual([]);
  });
});

describe("a level from a bench mark", () => {
  const benchMarks = [{ id: "BM1", at: point(0, 0), level: 1000 }];
  it("adds what stands above it", () => {
    const target = readyTop({ kind: "bench-mark", benchMarkId: "BM1", above: -998 }, { benchMarks });
    expect(topAt(target, 0, point(0, 0))).toBe(2);
    expect(target.steps).toEqual([
      { kind: "bench-mark", name: "BM1", amount: 1000 },
      { kind: "above", name: "BM1", amount: -998 },
    ]);
  });
  it("refuses one that is not there and lists those that are", () => {
    const [problem] = problemsOf({ kind: "bench-mark", benchMarkId: "BM2", above: 0 }, { benchMarks });
    expect(problem?.code).toBe("bench-mark-unknown");
    expect(problem?.expected).toBe("one of BM1");
  });
});

describe("a level from the finish beyond a door", () => {
  const buildUp = [
    { name: "tile", thickness: 8 },
    { name: "adhesive", thickness: 3 },
  ];
  // The slab at x = 4 lies at -14.
  const at4 = (neighbourFinish?: number) => [
    [door("D1", [4, 1], [4, 2], neighbourFinish === undefined ? {} : { neighbourFinish })],
  ];

  it("takes the new covering off the neighbour's finish", () => {
    const target = readyTop({ kind: "door", doorId: "D1", buildUp }, {}, at4(5));
    expect(topAt(target, 0, point(0, 0))).toBe(-6);
    expect(target.steps.map(({ name, amount }) => [name, amount])).toEqual([
      ["D1", 5],
      ["tile", -8],
      ["adhesive", -3],
    ]);
  });
  it("refuses a door that was not read beyond", () => {
    expect(problemsOf({ kind: "door", doorId: "D1", buildUp }, {}, at4())[0]?.code).toBe("door-without-finish-level");
  });
  it("refuses a door that is not there", () => {
    expect(problemsOf({ kind: "door", doorId: "D9", buildUp }, {}, at4(5))[0]?.expected).toBe("one of D1");
  });
  it("refuses a covering thicker than the drop at the door, to the millimetre", () => {
    expect(problemsOf({ kind: "door", doorId: "D1", buildUp }, {}, at4(-3))[0]?.code).toBe("build-up-exceeds-drop");
    expect(problemsOf({ kind: "door", doorId: "D1", buildUp }, {}, at4(-2.9))).toEqual([]);
  });
});

describe("a top that is to be found", () => {
  const sought = (more: Partial<SoughtTop> = {}): SoughtTop => ({
    kind: "sought",
    shape: "level",
    atDoors: [],
    limits: {},
    ...more,
  });
  const trowelled = material({ id: "stiff", name: "stiff mix", greatestFall: 20 });

  it("finds the lowest level, with steps that add up to it", () => {
    const target = readyTop(sought());
    // The slab's highest place is at x = 0, at −10; 3 mm over it.
    expect(target.zones[0]).toMatchObject({ top: -7, fallEast: 0, fallNorth: 0 });
    expect(target.steps).toEqual([
      { kind: "high-place", name: "Room 0", amount: -10 },
      { kind: "least-depth", amount: 3 },
    ]);
    const [placement] = target.placements!;
    // Mean slab level −13 over 18 m².
    expect(placement!.volume).toBeCloseTo(6 * 18, 8);
    expect(placement!.how).toBe("lowest-level");
  });

  it("counts what is ground as a step of its own, and tries grinding where none was allowed", () => {
    const target = readyTop(sought({ grinding: { height: 2 } }));
    expect(target.zones[0]!.top).toBeCloseTo(-9, 9);
    expect(target.steps.reduce((sum, { amount }) => sum + amount, 0)).toBeCloseTo(-9, 9);
    expect(target.steps.map(({ kind }) => kind)).toEqual(["high-place", "least-depth", "ground"]);
    const [trial] = readyTop(sought()).placements![0]!.trials;
    // 1 mm off the first metre: 17 m² of 18 go down with the top by 1 mm, and of the first metre all but what is ground.
    expect(trial!.height).toBe(1);
    expect(trial!.savedVolume).toBeCloseTo(18 - 1.5, 8);
  });

  it("finds the plane that the slab is, in a material that keeps a fall", () => {
    const target = readyTop(sought({ shape: "plane" }), { material: trowelled });
    expect(target.zones[0]!.fallEast).toBeCloseTo(-1, 8);
    expect(target.zones[0]!.top).toBeCloseTo(-7, 7);
    expect(target.steps.reduce((sum, { amount }) => sum + amount, 0)).toBeCloseTo(-7, 7);
    expect(target.placements![0]!.volume).toBeCloseTo(3 * 18, 6);
  });

  it("refuses a fall that the material does not keep, with the reason", () => {
    const [seeksLevel] = problemsOf(sought({ shape: "plane", greatestFall: 5 }));
    expect(seeksLevel).toMatchObject({ code: "fall-past-material", place: { lineText: "target.greatest_fall" } });
    expect(seeksLevel?.message).toContain("seeks level");
    expect(problemsOf(sought({ shape: "plane", greatestFall: 21 }), { material: trowelled })[0]?.message).toContain(
      "allows 20.0 mm/m",
    );
    const outcome = placeTarget(jobWith(sought({ shape: "plane" })), planOf(rooms), noLevels, slab);
    expect(outcome.kind === "ready" && outcome.warnings.map(({ code }) => code)).toEqual(["plane-is-level"]);
  });

  it("splits grinding and filling where their costs are given", () => {
    const target = readyTop(sought({ grinding: { height: 5, costs: { fillPerLitre: 1, grindPerLitre: 5 } } }));
    const { cost, ground, how } = target.placements![0]!;
    expect(how).toBe("grind-or-fill");
    expect(cost!.total - cost!.bound).toBeLessThanOrEqual(1e-6 * cost!.total);
    // A sixth of the floor is ground: 1/(1 + 5), and the slab falls evenly from x = 0 to 6.
    expect(ground.area).toBeCloseTo(3, 1);
    expect(target.zones[0]!.top).toBeCloseTo(-8, 1);
  });

  const doors = [
    [door("D1", [0, 1], [0, 2], { neighbourFinish: 0 }), door("D2", [4, 1], [4, 2], { joins: "r1", joinsRoom: true })],
  ];

  it("holds a door flush with the finish beyond", () => {
    const target = readyTop(
      sought({ atDoors: [{ kind: "flush", doorId: "D1", buildUp: [{ name: "tile", thickness: 5 }] }] }),
      {},
      doors,
    );
    expect(target.zones[0]!.top).toBeCloseTo(-5, 9);
    expect(target.steps).toEqual([{ kind: "door-bound", name: "D1", amount: -5 }]);
  });

  it("adds what is still to be laid beyond, where the neighbour was read bare", () => {
    const target = readyTop(
      {
        kind: "door",
        doorId: "D1",
        buildUp: [{ name: "tile", thickness: 5 }],
        neighbourBuildUp: [{ name: "wood", thickness: 14 }],
      },
      {},
      doors,
    );
    expect(target.zones[0]!.top).toBe(9);
    expect(target.steps.map(({ kind }) => kind)).toEqual(["neighbour-finish", "neighbour-layer", "layer"]);
  });

  it("says which wishes contradict each other, and what each would take", () => {
    const [problem] = problemsOf(
      sought({ atDoors: [{ kind: "bounded", doorId: "D1", atMost: -8.5 }], limits: { deadLoad: 100 } }),
      {},
      doors,
    );
    expect(problem?.code).toBe("target-contradiction");
    expect(problem?.message).toContain("at least 3.0 mm over the high place");
    expect(problem?.message).toContain("not over -8.5 mm at door D1");
    expect(problem?.message).not.toContain("dead load");
    expect(problem?.hint).toContain("grinding 2.0 mm more");
    expect(problem?.hint).toContain("2.0 mm of play at door D1");
    expect(problem?.hint).not.toContain("of fall");
  });

  it("prices a bound at a door once for both jambs, and area that may be ground, by what solving again gives", () => {
    const stiffer = { material: material({ greatestFall: 20 }) };
    const atLeast = (height: number) => {
      const spec = sought({ shape: "plane", atDoors: [{ kind: "bounded", doorId: "D1", atLeast: height }] });
      return readyTop(spec, stiffer, doors).placements![0]!;
    };
    const high = atLeast(-2);
    const [bound, ...others] = high.binding.filter(({ wish }) => wish.kind === "place-at-least");
    expect(others).toEqual([]);
    expect(bound!.price).toBeCloseTo((high.volume - atLeast(-2.01).volume) / 0.01, 4);

    const ground = (area: number) => {
      const placed = readyTop(sought({ grinding: { height: 5, area } }));
      return placed.placements![0]!;
    };
    const little = ground(0.5);
    const price = little.binding.find(({ wish }) => wish.kind === "ground-area")!.price;
    expect(price).toBeCloseTo((little.volume - ground(0.6).volume) / 0.1, 6);
    expect(price).toBeGreaterThan(0);
  });

  it("tells of each contradiction where there are several, and what resolves it once the others are resolved", () => {
    // The slab lies at -10 mm and, at its lowest, at -16 mm; the least depth is 3 mm.
    const problems = problemsOf(
      sought({ atDoors: [{ kind: "bounded", doorId: "D1", atMost: -8.5 }], limits: { bags: 6 } }),
      {},
      doors,
    );
    expect(problems.map(({ code }) => code)).toEqual(["target-contradiction", "target-contradiction"]);
    const [first, second] = problems.map(({ message, hint }) => `${message} ${hint}`);
    expect(first).toContain("not over -8.5 mm at door D1");
    expect(first).toContain("one of 2 contradictions");
    // 2 mm of play at the door: a top at -6.5 mm, or by the least depth -7 mm: 108 L, which makes 8 bags of 14 L.
    expect(first).toContain("2.0 mm of play at door D1");
    expect(first).toContain("gives 108.0 L, 8 bags");
    expect(second).toContain("at most 6 bags");
    // 84 L of 108 L: 24 L are two bags of 14 L more.
    expect(second).toContain("2 bags more");
    expect(problems.map(({ place }) => place!.lineText)).toEqual(["target.at_doors.0", "target.limits.bags"]);
    for (const text of [first, second]) expect(text).not.toContain("does not help");
  });

  it("keeps limits on bags, depth and dead load", () => {
    // 108 L at the least.
    expect(problemsOf(sought({ limits: { bags: 8 } }))).toEqual([]);
    expect(problemsOf(sought({ limits: { bags: 7 } }))[0]?.message).toContain("at most 7 bags (98.0 L in place)");
    const lossy = { pour: { lossAllowance: 0.05, profileAllowance: 0 } };
    expect(problemsOf(sought({ limits: { bags: 8 } }), lossy)[0]?.message).toContain(
      "at most 8 bags (106.7 L in place)",
    );
    expect(problemsOf(sought({ limits: { greatestDepth: 8 } }))[0]?.message).toContain("low place at (6.000 m,");
    // 6 mm of 2 kg/L on the mean, 8 mm in the second room.
    expect(problemsOf(sought({ limits: { deadLoad: 12.01, roomDeadLoad: 16.01 } }))).toEqual([]);
    expect(problemsOf(sought({ limits: { roomDeadLoad: 15.9 } }))[0]?.message).toContain(
      "a dead load of at most 0.16 kPa in Room 1 (47.7 L in place)",
    );
  });

  it("refuses what names a door or room that is not there, and heights that contradict each other at one door", () => {
    const code = (spec: SoughtTop) =>
      problemsOf(spec, {}, doors).map((problem) => [problem.code, problem.place?.lineText]);
    expect(code(sought({ atDoors: [{ kind: "held", doorId: "D9", top: 0 }] }))).toEqual([
      ["door-unknown", "target.at_doors.0.door"],
    ]);
    expect(code(sought({ atDoors: [{ kind: "bounded", doorId: "D1", atLeast: 2, atMost: 1 }] }))).toEqual([
      ["heights-contradict", "target.at_doors.0"],
    ]);
    expect(code(sought({ grinding: { height: 1, roomIds: ["r7"] } }))).toEqual([
      ["room-unknown", "target.grinding.rooms.0"],
    ]);
    expect(code(sought({ shape: "plane", grinding: { height: 1, area: 1 } }))).toEqual([
      ["ground-area-with-plane", "target.grinding.area"],
    ]);
    expect(problemsOf(sought(), { floor: { substrate: "wood" } })[0]?.code).toBe("no-depth-on-substrate");
  });
});

describe("a plane that falls as the job says", () => {
  const sloped = (fall: number, towards = point(6, 1)): TargetSpec => ({
    kind: "sloped",
    at: point(0, 1),
    top: -4,
    fall,
    towards,
  });
  const stiff = { material: material({ name: "stiff mix", greatestFall: 20 }) };

  it("has its height at the place, and falls from there", () => {
    const target = readyTop(sloped(2), stiff);
    expect(topAt(target, 0, point(0, 2))).toBeCloseTo(-4, 12);
    expect(topAt(target, 1, point(5, 0))).toBeCloseTo(-14, 12);
    expect(target.steps.reduce((sum, { amount }) => sum + amount, 0)).toBeCloseTo(target.zones[0]!.top, 12);
  });

  it("refuses what seeks level, too steep a fall, and no direction", () => {
    expect(problemsOf(sloped(2))[0]?.message).toContain("seeks level");
    expect(problemsOf(sloped(21), stiff)[0]?.code).toBe("fall-past-material");
    expect(problemsOf(sloped(2, point(0, 1)), stiff)[0]?.code).toBe("fall-without-direction");
  });
});

describe("zones", () => {
  const between = door("D2", [4, 1], [4, 2], { joins: "r1", joinsRoom: true });
  const zoned = (tops: readonly [number, number], meets: readonly MeetSpec[] = []): TargetSpec => ({
    kind: "zones",
    zones: tops.map((top, index) => ({ roomIds: [`r${index}`], top: { kind: "level", top, zeroIsTop: false } })),
    meets,
  });
  const stiff = material({ id: "stiff", name: "stiff mix", greatestFall: 50, feathers: true });
  const codes = (spec: TargetSpec) => problemsOf(spec, {}, [[between]]).map(({ code }) => code);

  it("gives each room its own top, and says how they meet", () => {
    const target = readyTop(zoned([0, -6], [{ doorId: "D2", how: { kind: "step" } }]), {}, [[between]]);
    expect(topAt(target, 0, point(4, 1))).toBe(0);
    expect(topAt(target, 1, point(4, 1))).toBe(-6);
    expect(target.meets).toEqual([
      { doorId: "D2", higherZone: 0, lowerZone: 1, lowerRoom: 1, step: 6, how: { kind: "step", dam: 6, length: 1 } },
    ]);
  });

  it("lets zones at one height meet without a word", () => {
    expect(readyTop(zoned([-4, -4]), {}, [[between]]).meets![0]!.how.kind).toBe("level");
  });

  it("refuses a door between two heights with no word on how", () => {
    expect(codes(zoned([0, -6]))).toEqual(["door-between-two-heights"]);
  });

  it("lays a ramp with its volume, and refuses one that is too short or runs off the floor", () => {
    const ramp = (length: number): MeetSpec[] => [{ doorId: "D2", how: { kind: "ramp", length, material: stiff } }];
    const [meet] = readyTop(zoned([0, -6], ramp(0.5)), {}, [[between]]).meets!;
    // A wedge 6 mm high, 0.5 m long, 1 m wide: half of 3 L.
    expect(meet!.how).toMatchObject({ kind: "ramp", fall: 12, volume: 1.5 });
    const [short] = problemsOf(zoned([0, -6], ramp(0.1)), {}, [[between]]);
    expect(short?.code).toBe("ramp-too-short");
    expect(short?.expected).toContain("0.120 m");
    expect(codes(zoned([0, -6], ramp(2.5)))).toEqual(["ramp-leaves-room"]);
    expect(codes(zoned([-6, 0], ramp(3.9)))).toEqual([]);
  });

  it("feathers only where the data sheet allows it", () => {
    const feather: MeetSpec[] = [{ doorId: "D2", how: { kind: "feather", length: 0.5 } }];
    expect(codes(zoned([0, -6], feather))).toEqual(["material-does-not-feather"]);
    const outcome = placeTarget(
      jobWith(zoned([0, -6], feather), { material: stiff }),
      planOf(rooms, [[between]]),
      noLevels,
      slab,
    );
    expect(outcome.kind).toBe("ready");
  });

  it("refuses rooms in no zone, in two, or unknown, and a zone without a floor", () => {
    const zone = (...roomIds: string[]) => ({ roomIds, top: { kind: "level" as const, top: 0, zeroIsTop: true } });
    const of = (...zones: ReturnType<typeof zone>[]) => codes({ kind: "zones", zones, meets: [] });
    expect(of(zone("r0"))).toEqual(["room-without-zone"]);
    expect(of(zone("r0", "r1"), zone("r1"))).toEqual(["room-in-two-zones", "zone-without-area"]);
    expect(of(zone("r0", "r1", "r9"))).toEqual(["room-unknown"]);
    expect(of(zone("r0", "r1"), zone())).toEqual(["zone-without-area"]);
  });

  it("refuses a word on a door within one zone", () => {
    const spec: TargetSpec = {
      kind: "zones",
      zones: [{ roomIds: ["r0", "r1"], top: { kind: "level", top: 0, zeroIsTop: true } }],
      meets: [{ doorId: "D2", how: { kind: "step" } }],
    };
    expect(codes(spec)).toEqual(["door-within-a-zone"]);
  });
});

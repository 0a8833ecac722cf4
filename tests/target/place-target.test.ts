import { describe, expect, it } from "vitest";
import { point } from "../../src/geometry/point.ts";
import type { TargetSpec } from "../../src/job/model.ts";
import { placeTarget } from "../../src/target/place-target.ts";
import { topAt } from "../../src/target/top-at.ts";
import { door, gridMesh, jobWith, noLevels, planOf, slabOver } from "./floors.ts";

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
const problemsOf = (spec: TargetSpec, more = {}, doors: Parameters<typeof planOf>[1] = []) => {
  const outcome = placeTarget(jobWith(spec, more), planOf(rooms, doors), noLevels, slab);
  return outcome.kind === "refused" ? outcome.problems : [];
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
    expect(problem?.message).toContain("-16 mm");
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
      { kind: "above", amount: -998 },
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

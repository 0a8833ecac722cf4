/** Ramps at doors: where they lie, how high they stand, and what becomes of the pins in them. */
import { describe, expect, it } from "vitest";
import { depthSurface } from "../../src/depths/depth-surface.ts";
import { pinDepths } from "../../src/depths/pin-depths.ts";
import { point } from "../../src/geometry/point.ts";
import type { PinSpec } from "../../src/job/library-model.ts";
import type { Door } from "../../src/job/model.ts";
import type { Plan, PlanPin } from "../../src/layout/model.ts";
import type { Levels } from "../../src/survey/model.ts";
import type { Target } from "../../src/target/model.ts";
import { onWedge, riseAt, wedgeOf } from "../../src/target/wedge.ts";
import { metres } from "../../src/units.ts";
import { gridMesh, material, slabOver } from "./floors.ts";

/** A door 1 m wide in the east wall (x = 4) of a room to the west of it, the wall 0.2 m thick. */
const door = {
  id: "D2",
  jambs: [point(4, 1), point(4, 2)],
  width: metres(1),
  wallThickness: metres(0.2),
} as unknown as Door;

describe("a wedge", () => {
  it("into the room of the door begins at its wall, falls straight to nothing, and is nowhere else", () => {
    const wedge = wedgeOf(door, true, metres(0.5), [10, 20]);
    expect(onWedge(wedge, 0.25, 0.5)).toEqual({ x: 3.5, y: 1.25 });
    expect(riseAt(wedge, point(4, 1))).toBe(10);
    expect(riseAt(wedge, point(4, 2))).toBe(20);
    expect(riseAt(wedge, point(3.75, 1.5))).toBeCloseTo(7.5, 12);
    expect(riseAt(wedge, point(3.5, 1.5))).toBe(0);
    for (const [x, y] of [
      [4.1, 1.5],
      [3.9, 0.9],
      [3.9, 2.1],
      [3.4, 1.5],
    ] as const)
      expect(riseAt(wedge, point(x, y))).toBe(0);
  });

  it("into the room beyond begins behind the wall", () => {
    const wedge = wedgeOf(door, false, metres(0.5), [10, 10]);
    expect(riseAt(wedge, point(4.1, 1.5))).toBe(0);
    expect(riseAt(wedge, point(4.2, 1.5))).toBeCloseTo(10, 9);
    expect(riseAt(wedge, point(4.45, 1.5))).toBeCloseTo(5, 9);
  });
});

describe("pins in a ramp", () => {
  const own = material({ id: "own" });
  const stiff = material({ id: "stiff" });
  const slab = slabOver(gridMesh([{ x0: 0, y0: 0, x1: 4, y1: 3 }], 1), () => -20);
  const at = point(3.75, 1.5);
  const pins = [
    { id: "A1", at: point(1, 1.5), roomIndex: 0, kind: "grid" },
    { id: "A2", at, roomIndex: 0, kind: "grid" },
  ] as PlanPin[];
  const spec = { leastCut: 3, greatestCut: 80, foot: 0, scaleCountsFoot: true } as unknown as PinSpec;
  const targetWith = (ramp: typeof own): Target => ({
    zones: [{ roomIndices: [0], top: -6, fallEast: 0, fallNorth: 0 }],
    steps: [],
    meets: [
      {
        doorId: "D2",
        higherZone: 1,
        lowerZone: 0,
        lowerRoom: 0,
        step: 12,
        how: {
          kind: "ramp",
          length: metres(0.5),
          fall: 24,
          volume: 3,
          material: ramp,
          wedge: wedgeOf(door, true, metres(0.5), [12, 12]),
          onto: { material: own, depth: 14, rise: 12 },
        },
      },
    ],
  });
  const depthsOf = (ramp: typeof own, read: boolean) => {
    const target = targetWith(ramp);
    const points = read ? pins.map((pin) => ({ ...pin, level: -20, sd: 0.5, timesRead: 1 })) : [];
    const levels = { points, unchecked: true } as unknown as Levels;
    return pinDepths({ pins } as unknown as Plan, levels, target, depthSurface(slab, target, 1), spec, () => 3);
  };

  it.each([true, false])("laid with the room, are cut to its surface (read: %s)", (read) => {
    const [away, inside] = depthsOf(own, read);
    // 14 mm of pour; halfway down a ramp of 12 mm there are 6 more.
    expect(away).toMatchObject({ depth: 14, cut: { kind: "cut", length: 14 } });
    expect(away!.ramp).toBeUndefined();
    expect(inside).toMatchObject({ depth: 20, ramp: { doorId: "D2", laid: "with-the-room" }, cut: { length: 20 } });
  });

  it("under a ramp that is laid on top, are cut for the pour below it", () => {
    expect(depthsOf(stiff, true)[1]).toMatchObject({
      depth: 14,
      ramp: { doorId: "D2", laid: "on-top" },
      cut: { kind: "cut", length: 14 },
    });
  });
});

import { describe, expect, it } from "vitest";
import { point } from "../../src/geometry/point.ts";
import { randomFrom } from "../../src/numeric/random.ts";
import { surfaceOf } from "../../src/slab/surface-of.ts";
import type { AdjustedLevels } from "../../src/survey/model.ts";
import { placeTarget } from "../../src/target/place-target.ts";
import { studyTarget } from "../../src/target/study-target.ts";
import { door, jobWith, material, planOf } from "./floors.ts";

const rooms = [
  { x0: 0, y0: 0, x1: 6, y1: 5 },
  { x0: 6, y0: 0, x1: 9, y1: 5 },
];
const random = randomFrom(2);
const points = rooms.flatMap(({ x0, y0, x1, y1 }, roomIndex) => {
  const found: AdjustedLevels["points"][number][] = [];
  for (let y = y0 + 0.5; y < y1; y += 1) {
    for (let x = x0 + 0.5; x < x1; x += 1) {
      found.push({
        id: `P${roomIndex}-${found.length}`,
        at: point(x, y),
        roomIndex,
        level: -12 + 2 * random.normal(),
        sd: 0.5,
        timesRead: 1,
      });
    }
  }
  return found;
});
const levels = {
  points,
  unchecked: true,
  covariance: {
    ownMm2: new Float64Array(points.length).fill(0.25),
    common: new Float64Array(points.length),
    setUpsMm2: Float64Array.of(0),
    columns: 1,
  },
} as unknown as AdjustedLevels;

describe("the study of a placed top", () => {
  const doors = [[door("D1", [0, 1], [0, 2], { neighbourFinish: 4 })], []];
  const plan = planOf(rooms, doors);
  const surface = surfaceOf(plan, levels);
  if (surface.kind !== "ready") throw new Error(JSON.stringify(surface));
  const slab = surface.value;
  const study = (more: Parameters<typeof jobWith>[1] = {}) => {
    const job = jobWith(
      { kind: "door", doorId: "D1", buildUp: [{ name: "tile", thickness: 6 }] },
      { material: material({ yieldTolerance: 0.03 }), ...more },
    );
    const target = placeTarget(job, plan, levels, slab);
    if (target.kind !== "ready") throw new Error(JSON.stringify(target));
    return { target: target.value, ...studyTarget(job, plan, levels, slab, target.value) };
  };

  it("has the volume of the top in the middle of the trade-off, as the placement and the uncertainty have it", () => {
    const { tradeOff, target, sure } = study();
    const middle = tradeOff[10]!;
    expect(middle.lift).toBe(0);
    expect(tradeOff).toHaveLength(21);
    expect(middle.volume).toBeCloseTo(target.placements![0]!.volume, 8);
    expect(sure!.volume).toBeCloseTo(middle.volume, 8);
    expect(sure!.nineInTen).toBeGreaterThan(sure!.evenOdds);
  });

  it("steps by the job's unit of height, and knows the covering that the target names", () => {
    const { step, transitions, bareRooms, yieldToleranceKnown } = study({ units: { plan: "ft-in", height: "in" } });
    expect(step).toBe(1.5875);
    expect(transitions.map(({ step: height, kind }) => [height, kind.kind])).toEqual([[0, "flush"]]);
    expect(bareRooms).toEqual([]);
    expect(yieldToleranceKnown).toBe(true);
    expect(study({ material: material() }).yieldToleranceKnown).toBe(false);
  });
});

import { describe, expect, it } from "vitest";
import { areaAbove } from "../../src/geometry/level.ts";
import { point } from "../../src/geometry/point.ts";
import { randomFrom } from "../../src/numeric/random.ts";
import { depthsUnder, leastPlane } from "../../src/target/least-plane.ts";
import { type LowestLevel, lowestLevel } from "../../src/target/lowest-level.ts";
import { relaxations } from "../../src/target/relax.ts";
import type { PlaneWishes } from "../../src/target/wishes.ts";
import { zoneFloor } from "../../src/target/zone-floor.ts";
import { gridMesh, slabOver } from "./floors.ts";

const hall = { x0: 0, y0: 0, x1: 10, y1: 6 };
const wish = (more: Partial<PlaneWishes> = {}): PlaneWishes => ({
  leastDepth: 6,
  greatestFall: 0,
  places: [],
  limits: [],
  grinding: new Map(),
  ...more,
});
const found = (result: ReturnType<typeof lowestLevel>): LowestLevel => {
  if (result.kind === "contradiction") throw new Error(JSON.stringify(result.wishes));
  return result;
};
/** One knob 10 mm high: six half-squares of a metre round it, 3 m², falling off straight. */
const knob = zoneFloor(
  slabOver(gridMesh([hall], 1), (x, y) => (x === 5 && y === 3 ? 10 : 0)),
  [0],
);

describe("the lowest level", () => {
  it("keeps the least depth on the highest place where nothing may be ground", () => {
    const { plane, volume, ground, binding } = found(lowestLevel(knob, wish()));
    expect(plane.top).toBeCloseTo(16, 8);
    // 16 mm over 60 m², less the knob: a third of 10 mm over 3 m².
    expect(volume).toBeCloseTo(16 * 60 - 10, 6);
    expect(ground.area).toBeCloseTo(0, 9);
    expect(binding[0]!.wish).toMatchObject({ kind: "least-depth", at: { x: 5, y: 3 } });
  });

  it("goes down by the height that may be ground", () => {
    const { plane, ground } = found(lowestLevel(knob, wish({ grinding: new Map([[0, 4]]) })));
    expect(plane.top).toBeCloseTo(12, 8);
    expect(ground.height).toBeCloseTo(4, 8);
    expect(ground.area).toBeCloseTo(3 * 0.4 ** 2, 8);
    expect(ground.volume).toBeCloseTo((3 * 0.4 ** 2 * 4) / 3, 8);
  });

  it("stops where no more area may be ground", () => {
    const { plane, ground, binding } = found(
      lowestLevel(knob, wish({ grinding: new Map([[0, 4]]), groundArea: { area: 3 * 0.3 ** 2 } })),
    );
    expect(ground.area).toBeCloseTo(3 * 0.3 ** 2, 8);
    expect(plane.top).toBeCloseTo(13, 7);
    expect(binding[0]!.wish).toMatchObject({ kind: "ground-area", area: 3 * 0.3 ** 2 });
  });

  it("is what a search over every tenth of a millimetre finds on rough floors", () => {
    const random = randomFrom(3);
    for (let round = 0; round < 8; round++) {
      const slab = slabOver(gridMesh([hall], 0.5), () => 3 * random.normal());
      const floor = zoneFloor(slab, [0]);
      const height = 2 + random.uniform() * 4;
      const area = random.uniform() * 2;
      const { plane } = found(lowestLevel(floor, wish({ grinding: new Map([[0, height]]), groundArea: { area } })));
      let searched = Math.max(...floor.levelMm) + 6;
      for (let top = searched; ; top -= 0.1) {
        const depths = depthsUnder(floor, { top, fallEast: 0, fallNorth: 0 });
        const missing = depths.map((depth) => 6 - depth);
        if (Math.max(...missing) > height || areaAbove(floor.mesh, missing, 0) > area) break;
        searched = top;
      }
      expect(searched - plane.top).toBeGreaterThanOrEqual(-1e-9);
      expect(searched - plane.top).toBeLessThan(0.1 + 1e-9);
    }
  });

  it("names the area as a wish where a door must stay low, and says what more of it would do", () => {
    const wishes = wish({
      grinding: new Map([[0, 10]]),
      groundArea: { area: 3 * 0.3 ** 2 },
      places: [{ name: "D1", at: [point(0, 3)], atMost: 11 }],
    });
    const result = lowestLevel(knob, wishes);
    if (result.kind === "found") throw new Error("found");
    expect(result.wishes.map(({ kind }) => kind).sort()).toEqual(["greatest-fall", "ground-area", "place-at-most"]);
    const steps = { height: 0.5, fall: 1, volume: 1, area: 0.01 };
    const ways = relaxations(knob, wishes, result, steps, lowestLevel);
    const area = ways.find(({ wish: w }) => w.kind === "ground-area")!;
    // From 13 down to 11: 5 mm off the knob, 3 m² × 0.5², instead of 3 m² × 0.3²: 0.48 m² more.
    expect(area.kind === "enough" && area.by).toBeCloseTo(0.48, 9);
    const door = ways.find(({ wish: w }) => w.kind === "place-at-most")!;
    expect(door.kind === "enough" && door.by).toBeCloseTo(2, 9);
    // A fall is no way out of a level top.
    expect(ways.find(({ wish: w }) => w.kind === "greatest-fall")?.kind).toBe("not-enough");
  });

  it("agrees with the plane that may not fall", () => {
    const result = leastPlane(knob, wish());
    if (result.kind === "contradiction") throw new Error("contradiction");
    expect(found(lowestLevel(knob, wish())).volume).toBeCloseTo(result.volume, 8);
  });
});

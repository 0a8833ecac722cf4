import { describe, expect, it } from "vitest";
import { areaAbove } from "../../src/geometry/level.ts";
import { point } from "../../src/geometry/point.ts";
import { randomFrom } from "../../src/numeric/random.ts";
import { positiveParts } from "../../src/target/clipped-moments.ts";
import { type GrindOrFill, grindOrFill, heldBy } from "../../src/target/grind-or-fill.ts";
import { type Contradiction, depthsUnder, leastPlane } from "../../src/target/least-plane.ts";
import type { Plane, PlaneWishes } from "../../src/target/wishes.ts";
import { type ZoneFloor, zoneFloor } from "../../src/target/zone-floor.ts";
import { gridMesh, type Rectangle, slabOver } from "./floors.ts";

const hall: Rectangle = { x0: 20, y0: 10, x1: 32, y1: 18 };
const floorOf = (level: (x: number, y: number) => number, rooms = [hall]): ZoneFloor =>
  zoneFloor(
    slabOver(gridMesh(rooms, 1), level),
    rooms.map((_, index) => index),
  );
const wish = (more: Partial<PlaneWishes> = {}): PlaneWishes => ({
  leastDepth: 5,
  greatestFall: 10,
  places: [],
  limits: [],
  grinding: new Map([
    [0, 100],
    [1, 100],
  ]),
  ...more,
});
const found = (result: GrindOrFill | Contradiction): GrindOrFill => {
  if (result.kind === "contradiction") throw new Error(JSON.stringify(result.wishes));
  return result;
};

/** The two volumes by a sum over the middles of k² small triangles in each triangle: no clipping, no closed form. */
function volumesBySampling(floor: ZoneFloor, plane: Plane, leastDepth: number, k: number) {
  const depth = depthsUnder(floor, plane);
  let fill = 0;
  let grind = 0;
  for (let t = 0; t < floor.mesh.regionOf.length; t++) {
    const [a, b, c] = [0, 1, 2].map((i) => floor.mesh.corners[3 * t + i]!) as [number, number, number];
    const { xM, yM } = floor.mesh;
    const area = ((xM[b]! - xM[a]!) * (yM[c]! - yM[a]!) - (xM[c]! - xM[a]!) * (yM[b]! - yM[a]!)) / 2;
    const sample = (i: number, j: number) => {
      const spare = depth[a]! + ((depth[b]! - depth[a]!) * i + (depth[c]! - depth[a]!) * j) / k - leastDepth;
      fill += (area / k ** 2) * (leastDepth + Math.max(spare, 0));
      grind += (area / k ** 2) * Math.max(-spare, 0);
    };
    for (let i = 0; i < k; i++) {
      for (let j = 0; j < k - i; j++) {
        sample(i + 1 / 3, j + 1 / 3);
        if (i + j < k - 1) sample(i + 2 / 3, j + 2 / 3);
      }
    }
  }
  return { fill, grind };
}

describe("moments of what lies on one side of a plane", () => {
  it("has the area and volume of a triangle clipped by hand, and the centre of its tip", () => {
    const mesh = {
      xM: Float64Array.of(0, 1, 0),
      yM: Float64Array.of(0, 0, 2),
      corners: Uint32Array.of(0, 1, 2),
      regionOf: Uint32Array.of(0),
    };
    // One corner above: the closed form a³/(3(a−b)(a−c)) with (3, −1, −2) gives 0.45 over area 1.
    const [one] = positiveParts(mesh, Float64Array.of(3, -1, -2), mesh.xM, mesh.yM, 1);
    expect(one!.volume).toBeCloseTo(0.45, 12);
    expect(one!.area).toBeCloseTo(0.75 * 0.6, 12);
    // The tip (0,0), (0.75,0), (0,1.2): its centre is the mean of its corners.
    expect(one!.momentU).toBeCloseTo(0.45 * 0.25, 12);
    expect(one!.momentV).toBeCloseTo(0.45 * 0.4, 12);
    const [two] = positiveParts(mesh, Float64Array.of(3, 1, -2), mesh.xM, mesh.yM, 1);
    expect(two!.volume).toBeCloseTo(0.844444, 6);
  });
});

describe("the split of grinding and filling", () => {
  const random = randomFrom(4);
  const roughness = new Map<string, number>();
  const rough = (x: number, y: number) => {
    const key = `${x},${y}`;
    if (!roughness.has(key)) roughness.set(key, 2 * random.normal());
    return 0.8 * x - 0.3 * y + 4 * Math.sin(x) + roughness.get(key)!;
  };
  const floor = floorOf(rough);

  it("grinds nothing where grinding is dear, and lies where the least plane lies", () => {
    const best = leastPlane(floor, wish({ grinding: new Map() }));
    if (best.kind === "contradiction") throw new Error("contradiction");
    const split = found(grindOrFill(floor, wish(), { fill: 1, grind: 1e6 }, 1e-7));
    expect(split.volume).toBeGreaterThan(best.volume * 0.98);
    expect(split.cost).toBeLessThanOrEqual(best.volume * (1 + 1e-7));
    expect(split.ground.volume).toBeLessThan(1e-3);
  });

  it("has the level where the ground share of the area is what the costs make it (the newsboy's rule)", () => {
    // d cost/d height = fill × area filled − grind × area ground = 0.
    for (const grind of [0.5, 1, 4, 20]) {
      const split = found(grindOrFill(floor, wish({ greatestFall: 0 }), { fill: 1, grind }, 1e-8));
      const spare = depthsUnder(floor, split.plane).map((depth) => 5 - depth);
      expect(areaAbove(floor.mesh, spare, 0) / floor.whole.area).toBeCloseTo(1 / (1 + grind), 3);
    }
  });

  it("costs no more than any plane of a fine search with volumes summed another way", () => {
    const cost = { fill: 1, grind: 3 };
    const split = found(grindOrFill(floor, wish(), cost, 1e-6));
    expect(split.cost - split.costBound).toBeLessThanOrEqual(1e-6 * split.cost);
    const costOf = (plane: Plane) => {
      const { fill, grind } = volumesBySampling(floor, plane, 5, 8);
      return cost.fill * fill + cost.grind * grind;
    };
    expect(costOf(split.plane)).toBeCloseTo(split.cost, 0);
    expect(Math.abs(costOf(split.plane) / split.cost - 1)).toBeLessThan(1e-3);
    const { centroid } = floor.whole;
    for (const lift of [-0.3, -0.1, 0, 0.1, 0.3]) {
      for (const east of [-0.1, 0, 0.1]) {
        for (const north of [-0.1, 0, 0.1]) {
          const other = {
            top: split.plane.top + lift - east * centroid.x - north * centroid.y,
            fallEast: split.plane.fallEast + east,
            fallNorth: split.plane.fallNorth + north,
          };
          expect(costOf(other)).toBeGreaterThan(costOf(split.plane) - 1e-3 * split.cost);
        }
      }
    }
  });

  it("is exact on a flat floor with a kink, where every place is at the turn", () => {
    const flat = floorOf(() => 3);
    const split = found(grindOrFill(flat, wish(), { fill: 2, grind: 5 }, 1e-8));
    expect(split.plane.top).toBeCloseTo(8, 6);
    expect(split.cost).toBeCloseTo(2 * 5 * 96, 4);
  });

  it("grinds no higher than allowed, and not in a room that is to be left alone", () => {
    const split = found(
      grindOrFill(floor, wish({ greatestFall: 0, grinding: new Map([[0, 1.5]]) }), { fill: 1, grind: 0.01 }, 1e-6),
    );
    expect(split.ground.height).toBeCloseTo(1.5, 6);
    const rooms = [hall, { x0: 32, y0: 10, x1: 36, y1: 18 }];
    const two = floorOf((x, y) => (x === 25 && y === 14 ? 9 : x === 34 && y === 14 ? 4 : 0), rooms);
    const spared = found(
      grindOrFill(two, wish({ greatestFall: 0, grinding: new Map([[0, 100]]) }), { fill: 1, grind: 0.01 }, 1e-6),
    );
    expect(spared.plane.top).toBeCloseTo(9, 6);
  });

  it("names what holds the split where it is: the height that may be ground, a bound at a door", () => {
    const wishes = wish({ greatestFall: 0, grinding: new Map([[0, 1.5]]) });
    const split = found(grindOrFill(floor, wishes, { fill: 1, grind: 0.01 }, 1e-6));
    const [held] = heldBy(floor, wishes, split.plane);
    expect(held!.wish).toMatchObject({ kind: "least-depth", grinding: 1.5 });
    // Where grinding is dear nothing but the highest place matters, and no grinding is used up.
    const dear = wish({ greatestFall: 0, grinding: new Map([[0, 100]]) });
    expect(heldBy(floor, dear, found(grindOrFill(floor, dear, { fill: 1, grind: 2 }, 1e-6)).plane)).toEqual([]);
    const door = wish({ ...dear, places: [{ name: "D1", at: [point(25, 14), point(26, 14)], atLeast: 40 }] });
    const high = found(grindOrFill(floor, door, { fill: 1, grind: 2 }, 1e-6));
    expect(heldBy(floor, door, high.plane).map(({ wish: { kind } }) => kind)).toEqual(["place-at-least"]);
  });

  it("keeps a limit on the filled volume, and names it where it cannot be kept", () => {
    const free = found(grindOrFill(floor, wish({ greatestFall: 0 }), { fill: 1, grind: 8 }, 1e-7));
    const limits = [{ reason: "bags" as const, stated: 9, greatest: free.volume * 0.9 }];
    const kept = found(grindOrFill(floor, wish({ greatestFall: 0, limits }), { fill: 1, grind: 8 }, 1e-7));
    expect(kept.volume).toBeLessThanOrEqual(free.volume * 0.9 * (1 + 1e-7));
    expect(kept.volume).toBeGreaterThan(free.volume * 0.9 * (1 - 1e-4));
    const none = grindOrFill(
      floor,
      wish({
        greatestFall: 0,
        limits: [{ reason: "bags", stated: 9, greatest: 5 * 96 + 1 }],
        grinding: new Map([[0, 2]]),
      }),
      { fill: 1, grind: 8 },
      1e-7,
    );
    if (none.kind === "found") throw new Error("found");
    expect(none.wishes.map(({ kind }) => kind)).toContain("volume");
    expect(none.wishes.map(({ kind }) => kind)).toContain("least-depth");
  });
});

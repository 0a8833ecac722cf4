import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { point } from "../../src/geometry/point.ts";
import { type Contradiction, depthsUnder, type LeastPlane, leastPlane } from "../../src/target/least-plane.ts";
import { grindingTrial, relaxations } from "../../src/target/relax.ts";
import type { PlaneWishes } from "../../src/target/wishes.ts";
import { zoneFloor } from "../../src/target/zone-floor.ts";
import { gridMesh, type Rectangle, slabOver } from "./floors.ts";

const hall: Rectangle = { x0: 100, y0: 50, x1: 110, y1: 56 };
const floorOf = (level: (x: number, y: number) => number, rooms = [hall], step = 1) =>
  zoneFloor(
    slabOver(gridMesh(rooms, step), level),
    rooms.map((_, index) => index),
  );
const wish = (more: Partial<PlaneWishes> = {}): PlaneWishes => ({
  leastDepth: 6,
  greatestFall: 20,
  places: [],
  limits: [],
  grinding: new Map(),
  ...more,
});
const found = (result: LeastPlane | Contradiction): LeastPlane => {
  if (result.kind === "contradiction") throw new Error(JSON.stringify(result.wishes));
  return result;
};
const contradiction = (result: LeastPlane | Contradiction): Contradiction => {
  if (result.kind === "found") throw new Error("no contradiction");
  return result;
};

describe("the plane with the least material", () => {
  it("finds the plane that a slab was made from, the least depth above it", () => {
    const { plane, volume } = found(
      leastPlane(
        floorOf((x, y) => 2.5 * x - 4 * y + 30),
        wish(),
      ),
    );
    expect(plane.fallEast).toBeCloseTo(2.5, 9);
    expect(plane.fallNorth).toBeCloseTo(-4, 9);
    expect(plane.top).toBeCloseTo(36, 7);
    expect(volume).toBeCloseTo(6 * 60, 7);
  });

  it("finds it below pits and dents too, which change nothing but the volume", () => {
    const floor = floorOf((x, y) => 2.5 * x - 4 * y + 30 - (x === 104 && y === 53 ? 9 : 0));
    const { plane, volume } = found(leastPlane(floor, wish()));
    expect(plane.top).toBeCloseTo(36, 7);
    // One vertex in the middle of six half-squares of a 1 m grid: 6 triangles of 0.5 m², a third of 9 mm over each.
    expect(volume).toBeCloseTo(6 * 60 + (6 * 0.5 * 9) / 3, 7);
  });

  it("is level at the highest place where no fall is allowed, whatever the slab", () => {
    fc.assert(
      fc.property(
        fc.array(fc.double({ min: -20, max: 20, noNaN: true }), { minLength: 77, maxLength: 77 }),
        (levels) => {
          const floor = floorOf((x, y) => levels[(x - 100) * 7 + (y - 50)]!);
          const { plane, volume } = found(leastPlane(floor, wish({ greatestFall: 0 })));
          expect(plane.fallEast).toBe(0);
          expect(plane.fallNorth).toBe(0);
          expect(plane.top).toBeCloseTo(Math.max(...levels) + 6, 8);
          // Volume under a level: area × (level − mean slab level).
          expect(volume).toBeCloseTo(60 * (Math.max(...levels) + 6 - floor.whole.meanLevel), 6);
        },
      ),
      { seed: 5, numRuns: 40 },
    );
  });

  it("lies no higher in volume than any plane near it that keeps the least depth", () => {
    const floor = floorOf((x, y) => 5 * Math.sin(x) + 3 * Math.cos(2 * y) + x);
    const best = found(leastPlane(floor, wish()));
    for (const [east, north] of [
      [1, 0],
      [-1, 0],
      [0, 1],
      [0, -1],
      [1, 1],
      [-1, 1],
    ] as const) {
      const tilted = {
        top: 0,
        fallEast: best.plane.fallEast + east * 0.01,
        fallNorth: best.plane.fallNorth + north * 0.01,
      };
      // Brute force: the tilted plane, lifted until it just keeps the least depth.
      const lift = 6 - Math.min(...depthsUnder(floor, tilted));
      const depths = depthsUnder(floor, { ...tilted, top: lift });
      const mean = lift + tilted.fallEast * floor.whole.centroid.x + tilted.fallNorth * floor.whole.centroid.y;
      expect(Math.min(...depths)).toBeCloseTo(6, 9);
      expect((mean - floor.whole.meanLevel) * 60).toBeGreaterThan(best.volume - 1e-9);
    }
  });

  it("moves with the floor: a shift and a turn of the plan and a lift leave the volume alone", () => {
    const level = (x: number, y: number) => 5 * Math.sin(x) + 3 * Math.cos(2 * y) + x;
    const here = found(leastPlane(floorOf(level), wish({ greatestFall: 1.5 })));
    const shifted = found(
      leastPlane(
        floorOf((x, y) => level(x - 1000, y + 400) + 77, [{ x0: 1100, y0: -350, x1: 1110, y1: -344 }]),
        wish({ greatestFall: 1.5 }),
      ),
    );
    expect(shifted.volume).toBeCloseTo(here.volume, 6);
    expect(shifted.plane.fallEast).toBeCloseTo(here.plane.fallEast, 7);
    // The very same triangles, turned by 37° about the plan's origin.
    const { mesh, levelMm } = slabOver(gridMesh([hall], 1), level);
    const [cos, sin] = [Math.cos(0.645771823), Math.sin(0.645771823)];
    const turnedMesh = {
      ...mesh,
      xM: mesh.xM.map((x, i) => cos * x - sin * mesh.yM[i]!),
      yM: mesh.yM.map((y, i) => sin * mesh.xM[i]! + cos * y),
    };
    const turned = found(
      leastPlane(zoneFloor({ ...slabOver(turnedMesh, () => 0), levelMm }, [0]), wish({ greatestFall: 1.5 })),
    );
    expect(turned.volume).toBeCloseTo(here.volume, 6);
    expect(turned.plane.fallEast).toBeCloseTo(cos * here.plane.fallEast - sin * here.plane.fallNorth, 6);
  });

  it("names what binds: three high places on a floor of one plane with three knobs", () => {
    const knobs: Record<string, number> = { "101,51": 4, "109,51": 5, "105,55": 6 };
    const floor = floorOf((x, y) => knobs[`${x},${y}`] ?? 0);
    const { binding, plane } = found(leastPlane(floor, wish()));
    expect(binding.map(({ wish: w }) => (w.kind === "least-depth" ? `${w.at.x},${w.at.y}` : w.kind)).sort()).toEqual(
      Object.keys(knobs).sort(),
    );
    // By hand: through (1,1,10), (9,1,11), (5,5,12) from the corner (100, 50): east 1/8, north (12 − 10.5)/4.
    expect(plane.fallEast).toBeCloseTo(1 / 8, 9);
    expect(plane.fallNorth).toBeCloseTo(1.5 / 4, 9);
    // The prices of heights add up to the area: raise all three and the whole plane rises.
    expect(binding.reduce((sum, { price }) => sum + price, 0)).toBeCloseTo(60, 6);
  });
});

describe("heights at doors", () => {
  const flat = floorOf(() => 0);
  it("holds one in the middle of its opening and keeps another under its bound", () => {
    const { plane, binding } = found(
      leastPlane(
        flat,
        wish({
          places: [
            { name: "D1", at: [point(100, 53)], atLeast: 12, atMost: 12 },
            { name: "D2", at: [point(110, 52), point(110, 54)], atLeast: 8 },
          ],
        }),
      ),
    );
    expect(plane.top + plane.fallEast * 100 + plane.fallNorth * 53).toBeCloseTo(12, 7);
    // From 12 at D1 down to 8 at D2: 4 mm in 10 m.
    expect(plane.fallEast).toBeCloseTo(-0.4, 6);
    expect(plane.fallNorth).toBeCloseTo(0, 6);
    expect(binding.map(({ wish: w }) => w.kind)).toContain("place-held");
  });

  it("says which heights contradict each other, and what each would have to give", () => {
    const wishes = wish({
      greatestFall: 0.2,
      places: [
        { name: "D1", at: [point(100, 53)], atLeast: 12, atMost: 12 },
        { name: "D2", at: [point(110, 53)], atMost: 8 },
      ],
    });
    const result = contradiction(leastPlane(flat, wishes));
    expect(result.wishes.map(({ kind }) => kind).sort()).toEqual(["greatest-fall", "place-at-most", "place-held"]);
    const steps = { height: 1, fall: 0.1, volume: 10, area: 0.1 };
    const byKind = new Map(relaxations(flat, wishes, result, steps, leastPlane).map((r) => [r.wish.kind, r]));
    // 4 mm in 10 m need 0.4 mm/m; with 0.2 mm/m only 2 mm are got over, and the other 2 must come from a height.
    for (const [kind, by] of [
      ["greatest-fall", 0.2],
      ["place-at-most", 2],
      ["place-held", 2],
    ] as const) {
      const relaxation = byKind.get(kind)!;
      if (relaxation.kind !== "enough") throw new Error(`${kind} not enough`);
      expect(relaxation.by).toBeCloseTo(by, 9);
      expect(relaxation.ground.volume).toBeCloseTo(0, 6);
    }
  });

  it("sets a knob against a door that must stay low, and grinding is one way out", () => {
    const floor = floorOf((x, y) => (x === 105 && y === 53 ? 10 : 0));
    const wishes = wish({ greatestFall: 0, places: [{ name: "D1", at: [point(100, 53)], atMost: 12 }] });
    const result = contradiction(leastPlane(floor, wishes));
    expect(result.wishes.map(({ kind }) => kind).sort()).toEqual(["greatest-fall", "least-depth", "place-at-most"]);
    const ways = relaxations(floor, wishes, result, { height: 1, fall: 1, volume: 10, area: 0.1 }, leastPlane);
    const grinding = ways.find(({ wish: w }) => w.kind === "least-depth")!;
    if (grinding.kind !== "enough") throw new Error("grinding not enough");
    // 10 + 6 − 12 = 4 mm off the knob: a cone of six half-squares, cut 4 of 10 mm down its height.
    expect(grinding.by).toBe(4);
    expect(grinding.ground.height).toBeCloseTo(4, 7);
    expect(grinding.ground.area).toBeCloseTo(3 * 0.4 ** 2, 6);
    expect(grinding.ground.volume).toBeCloseTo((3 * 0.4 ** 2 * 4) / 3, 6);
  });
});

describe("limits", () => {
  it("sets the greatest depth in a pit against the least on a knob", () => {
    const floor = floorOf((x, y) => (x === 105 && y === 53 ? 10 : x === 102 && y === 52 ? -40 : 0));
    const result = contradiction(leastPlane(floor, wish({ greatestFall: 0, greatestDepth: 50 })));
    expect(result.wishes.map(({ kind }) => kind).sort()).toEqual(["greatest-depth", "greatest-fall", "least-depth"]);
  });
  it("sets the bags that are allowed against what the least depth needs", () => {
    const floor = floorOf(() => 0);
    const limits = [{ reason: "bags" as const, stated: 9, greatest: 350 }];
    const result = contradiction(leastPlane(floor, wish({ greatestFall: 0, limits })));
    expect(result.wishes.map(({ kind }) => kind).sort()).toEqual(["greatest-fall", "least-depth", "volume"]);
    expect(
      found(leastPlane(floor, wish({ limits: [{ reason: "bags", stated: 9, greatest: 361 }] }))).volume,
    ).toBeCloseTo(360, 6);
    // 10 L are missing of 6 mm × 60 m².
    const [volume] = relaxations(
      floor,
      wish({ greatestFall: 0, limits }),
      result,
      {
        height: 1,
        fall: 1,
        volume: 5,
        area: 0.1,
      },
      leastPlane,
    ).filter(({ wish: w }) => w.kind === "volume");
    expect(volume).toMatchObject({ kind: "enough", by: 10 });
  });
  it("limits the dead load of one room apart", () => {
    const rooms: Rectangle[] = [hall, { x0: 110, y0: 50, x1: 112, y1: 56 }];
    const floor = floorOf((x) => (x > 110 ? -10 : 0), rooms);
    // The room lies 10 mm lower but for the strip along its door: mean of its first strip −5, of its second −10.
    const least = 12 * 6 + 6 * 5 + 6 * 10;
    const limit = (greatest: number) =>
      wish({ greatestFall: 0, limits: [{ reason: "dead-load", stated: 9, roomIndex: 1, greatest }] });
    expect(found(leastPlane(floor, limit(least + 1))).plane.top).toBeCloseTo(6, 7);
    const result = contradiction(leastPlane(floor, limit(least - 1)));
    expect(result.wishes.map(({ kind }) => kind).sort()).toEqual(["greatest-fall", "least-depth", "volume"]);
  });
});

describe("grinding a high spot", () => {
  it("saves what lowering the whole floor saves, less what fills the spot again", () => {
    const floor = floorOf((x, y) => (x === 105 && y === 53 ? 10 : 0));
    const wishes = wish({ greatestFall: 0 });
    const best = found(leastPlane(floor, wishes));
    const trial = grindingTrial(floor, wishes, best, best.binding[0]!.wish, 3);
    expect(trial.ground.area).toBeCloseTo(3 * 0.3 ** 2, 6);
    expect(trial.plane.top).toBeCloseTo(13, 7);
    // 3 mm over 60 m² less the cone 3 mm high that is ground off and filled with the least depth all the same.
    expect(trial.savedVolume).toBeCloseTo(3 * 60 - (3 * 0.3 ** 2 * 3) / 3, 6);
  });
  it("stops where another spot takes over", () => {
    const floor = floorOf((x, y) => (x === 105 && y === 53 ? 10 : x === 102 && y === 52 ? 9 : 0));
    const wishes = wish({ greatestFall: 0 });
    const best = found(leastPlane(floor, wishes));
    expect(grindingTrial(floor, wishes, best, best.binding[0]!.wish, 3).plane.top).toBeCloseTo(15, 7);
  });
});

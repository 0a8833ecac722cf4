/** Slivers and touching features against a slow referee that reckons without rounding. */
import { describe, expect, it } from "vitest";
import { perimeterOf } from "../../src/geometry/arrangement.ts";
import { regionsBetween } from "../../src/geometry/bands.ts";
import { above, meshArea, meshIntegral } from "../../src/geometry/level.ts";
import { type Mesh, triangleCount, vertexAt } from "../../src/geometry/mesh.ts";
import { cutMesh } from "../../src/geometry/overlay.ts";
import type { Point, Polygon } from "../../src/geometry/point.ts";
import {
  differenceOf,
  intersectionOf,
  ON_LINE_M,
  placeAgainstRing,
  polygonArea,
  polygonContains,
  ringCrossings,
  unionOf,
} from "../../src/geometry/polygon.ts";
import { triangulateFloor } from "../../src/geometry/triangulate.ts";
import { withoutObstacles } from "../../src/layout/room-floor.ts";
import { randomFrom } from "../../src/numeric/random.ts";
import { distanceToEdges, exactArea, exactPart, exactPlace, narrowest, turnOf } from "./exact.ts";
import { moved, rectangle, ring, room } from "./made-floors.ts";
import { sliverFloor, stepOff } from "./slivers.ts";

const SEEDS = Array.from({ length: 60 }, (_, k) => k + 1);
const areaOf = (polygons: readonly Polygon[]) => polygons.reduce((sum, polygon) => sum + polygonArea(polygon), 0);
const edgeLength = (polygons: readonly Polygon[]) => polygons.reduce((sum, polygon) => sum + perimeterOf(polygon), 0);
const cornersOf = (mesh: Mesh, t: number): Point[] => [0, 1, 2].map((k) => vertexAt(mesh, mesh.corners[3 * t + k]!));

/** Boolean operations leave corners on whole micrometres, and a crossing up to half of one off: so much along every edge. */
const operationError = (polygons: readonly Polygon[]) => 1e-6 * edgeLength(polygons) + 1e-9;

describe("the referee", () => {
  it("knows areas that a hand reckons", () => {
    const a = room(rectangle(0, 0, 4, 3), rectangle(1, 1, 2, 2).reverse());
    const b = room(rectangle(2, 1, 6, 5));
    expect(exactArea([a], [b], (inA) => inA)).toBe(11);
    expect(exactArea([a], [b], (inA, inB) => inA && inB)).toBe(4);
    expect(exactArea([a], [b], (inA, inB) => inA || inB)).toBe(23);
    // A bow tie has a triangle of 4 × 2 / 2 on either side of its middle.
    expect(exactArea([room(ring([0, 0], [4, 4], [4, 0], [0, 4]))], [], (inA) => inA)).toBe(8);
    // A ramp 0 to 6 mm over half of 2 × 1 m: above 3 mm a triangle of a quarter of it, 1 mm deep in the mean.
    const ramp = [
      { x: 0, y: 0, value: 0 },
      { x: 2, y: 0, value: 6 },
      { x: 0, y: 1, value: 0 },
    ];
    expect(exactPart(ramp, 3)).toEqual({ area: 0.25, integral: 1 });
    expect(exactPlace(a, { x: 2, y: 1.5 } as Point)).toBe("on");
    expect(exactPlace(a, { x: 1.5, y: 1.5 } as Point)).toBe("outside");
    expect(narrowest(ring([0, 0], [4, 0], [4, 3], [2, 0.001], [0, 3]))).toBeCloseTo(0.001, 12);
  });
});

describe("ragged rooms with columns at their walls", () => {
  it("add up: union, intersection and difference have the areas that fractions give", () => {
    for (const seed of SEEDS) {
      const { outline, columns } = sliverFloor(randomFrom(seed));
      const within = operationError([outline, ...columns]);
      const held = (made: readonly Polygon[], isIn: (inA: boolean, inB: boolean) => boolean, what: string) => {
        const due = exactArea([outline], columns, isIn);
        if (!(Math.abs(areaOf(made) - due) <= within))
          throw new Error(`seed ${seed}: ${what} ${areaOf(made)}, due ${due}`);
      };
      held(differenceOf([outline], columns), (inA, inB) => inA && !inB, "difference");
      held(intersectionOf([outline], columns), (inA, inB) => inA && inB, "intersection");
      held(unionOf([outline, ...columns]), (inA, inB) => inA || inB, "union");
    }
  });

  it("say of every place whether it is inside, and call it on the wall within a hundredth of a millimetre", () => {
    for (const seed of SEEDS) {
      const { outline, points } = sliverFloor(randomFrom(seed));
      for (const p of points) {
        const apart = distanceToEdges(outline, p);
        const said = placeAgainstRing(outline.outline, p);
        // Doubles at 9 km keep a micrometre's millionth.
        if (Math.abs(apart - ON_LINE_M) < 1e-11) continue;
        expect({ seed, said }).toEqual({ seed, said: apart < ON_LINE_M ? "on" : exactPlace(outline, p) });
      }
    }
  });

  it("meet themselves where two of their walls come within a hundredth of a millimetre, and nowhere else", () => {
    let [meeting, clear] = [0, 0];
    for (const seed of SEEDS) {
      const { outline } = sliverFloor(randomFrom(seed));
      const least = narrowest(outline.outline);
      if (Math.abs(least - ON_LINE_M) < 1e-11) continue;
      const crossings = ringCrossings(outline.outline).filter(({ edges: [i, j] }) => {
        const n = outline.outline.length;
        return j !== i + 1 && !(i === 0 && j === n - 1);
      });
      if (least < ON_LINE_M) meeting += 1;
      else clear += 1;
      expect({ seed, meets: crossings.length > 0 }).toEqual({ seed, meets: least < ON_LINE_M });
    }
    expect(Math.min(meeting, clear)).toBeGreaterThan(5);
  });
});

interface Made {
  readonly outline: Polygon;
  readonly columns: readonly Polygon[];
  readonly floor: readonly Polygon[];
  readonly mesh: Mesh;
  readonly vertexOfPoint: Uint32Array;
  readonly points: readonly Point[];
}

/** The floor as a room's is made, triangulated with the points that lie on it; undefined where the walls meet themselves. */
function madeFloor(seed: number): Made | undefined {
  const { outline, columns, points } = sliverFloor(randomFrom(seed));
  if (ringCrossings(outline.outline).length > 0) return undefined;
  const floor = withoutObstacles(
    outline.outline,
    columns.map((column) => column.outline.toReversed()),
  );
  const on = points.filter((p) => floor.some((part) => polygonContains(part, p)));
  const made = triangulateFloor(floor, on);
  if (made.kind === "failed") throw new Error(`seed ${seed}: ${made.why} at ${JSON.stringify(made.at)}`);
  return { outline, columns, floor, points: on, mesh: made.mesh, vertexOfPoint: made.vertexOfPoint };
}

describe("triangulated", () => {
  it("every triangle turns left by the signs of whole numbers, and they have the floor's area", () => {
    let count = 0;
    for (const seed of SEEDS) {
      const made = madeFloor(seed);
      if (made === undefined) continue;
      count += 1;
      const { outline, columns, floor, mesh, points, vertexOfPoint } = made;
      for (let t = 0; t < triangleCount(mesh); t++) {
        const [a, b, c] = cornersOf(mesh, t) as [Point, Point, Point];
        if (turnOf(a, b, c) <= 0n) throw new Error(`seed ${seed}: triangle ${t} is turned over`);
      }
      // A corner that is all but on a wall or column is put on it: a strip of ON_LINE_M along all sides at most.
      const due = exactArea([outline], columns, (inA, inB) => inA && !inB);
      const within = ON_LINE_M * (edgeLength(floor) + edgeLength(columns)) + 1e-9;
      if (!(Math.abs(meshArea(mesh) - due) <= within))
        throw new Error(`seed ${seed}: ${meshArea(mesh)} m², due ${due}`);
      points.forEach((p, k) => {
        const q = vertexAt(mesh, vertexOfPoint[k]!);
        // Once to another point, and once more to a wall.
        expect(Math.hypot(p.x - q.x, p.y - q.y)).toBeLessThanOrEqual(2 * ON_LINE_M + 1e-11);
      });
    }
    expect(count).toBeGreaterThan(20);
  });

  it("areas and volumes above a level and in a band are those of fractions, with values on the level and next to it", () => {
    for (const seed of SEEDS) {
      const made = madeFloor(seed);
      if (made === undefined) continue;
      const { mesh } = made;
      const random = randomFrom(seed + 1000);
      const value = mesh.xM.map(() => {
        const whole = random.below(7) - 3;
        return random.below(3) === 0 ? whole : whole + 1000 * stepOff(random);
      });
      const partOf = (from?: number, to?: number) => {
        let [area, integral] = [0, 0];
        for (let t = 0; t < triangleCount(mesh); t++) {
          const corners = cornersOf(mesh, t).map((p, k) => ({ ...p, value: value[mesh.corners[3 * t + k]!]! }));
          const part = exactPart(corners, from, to);
          // All of it on the upper level belongs to the band above.
          if (to !== undefined && corners.every((corner) => corner.value === to)) continue;
          area += part.area;
          integral += part.integral;
        }
        return { area, integral };
      };
      const whole = partOf();
      expect(meshArea(mesh)).toBeCloseTo(whole.area, 9);
      expect(meshIntegral(mesh, value)).toBeCloseTo(whole.integral, 9);
      for (const level of [-1, 0, 2]) {
        const due = partOf(level);
        const { area, integral } = above(mesh, value, level);
        expect(integral).toBeCloseTo(due.integral - level * due.area, 8);
        const band = regionsBetween(mesh, value, level, level + 1);
        const banded = partOf(level, level + 1);
        expect(band.area).toBeCloseTo(banded.area, 8);
        expect(band.integral).toBeCloseTo(banded.integral, 8);
        // Its outlines leave out what is thinner than ON_LINE_M, and no more.
        expect(Math.abs(areaOf(band.polygons) - banded.area)).toBeLessThan(1e-3);
        // What is flat and on the level counts as not above it.
        expect(area).toBeLessThanOrEqual(due.area + 1e-9);
        expect(
          area +
            above(
              mesh,
              value.map((v) => -v),
              -level,
            ).area,
        ).toBeLessThanOrEqual(whole.area + 1e-9);
      }
    }
  });

  it("cut by a zone whose sides run a step off its corners, parts and volumes are those of fractions", () => {
    for (const seed of SEEDS.slice(0, 30)) {
      const made = madeFloor(seed);
      if (made === undefined) continue;
      const { mesh, floor } = made;
      const random = randomFrom(seed + 2000);
      const pick = () => vertexAt(mesh, random.below(mesh.xM.length));
      const [p, q] = [pick(), pick()];
      const [x0, x1] = [Math.min(p.x, q.x) + stepOff(random), Math.max(p.x, q.x) + stepOff(random)];
      const [y0, y1] = [Math.min(p.y, q.y) + stepOff(random), Math.max(p.y, q.y) + stepOff(random)];
      if (x1 - x0 < 0.01 || y1 - y0 < 0.01) continue;
      const zone = moved(room(rectangle(x0, y0, x1, y1)), (at) => at);
      const value = mesh.xM.map(() => 5 * random.normal());
      const cut = cutMesh(mesh, [value], [zone]);
      let inZone = 0;
      for (let t = 0; t < triangleCount(cut.mesh); t++) {
        const [a, b, c] = cornersOf(cut.mesh, t) as [Point, Point, Point];
        if (turnOf(a, b, c) <= 0n) throw new Error(`seed ${seed}: triangle ${t} is turned over`);
        if (cut.zoneOf[t] === 0) inZone += exactPart([a, b, c].map((at) => ({ ...at, value: 0 }))).area;
      }
      const due = exactArea(floor, [zone], (inA, inB) => inA && inB);
      expect(Math.abs(inZone - due)).toBeLessThanOrEqual(2 * ON_LINE_M * edgeLength([...floor, zone]) + 1e-9);
      expect(meshArea(cut.mesh)).toBeCloseTo(meshArea(mesh), 8);
      expect(meshIntegral(cut.mesh, cut.values[0]!)).toBeCloseTo(meshIntegral(mesh, value), 7);
    }
  });
});

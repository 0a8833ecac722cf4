/** What must hold for any floor and any readings: areas, volumes, bands, cuts, and moving the plan. */
import fc from "fast-check";
import { describe, expect, it } from "vitest";
import { connectedRegions, contourLines, regionsBetween } from "../../src/geometry/bands.ts";
import { above, clipTriangle, integralAbove, meshArea, meshIntegral } from "../../src/geometry/level.ts";
import { type Mesh, triangleCount, vertexAt } from "../../src/geometry/mesh.ts";
import { cutMeshAlong, cutMeshByLine } from "../../src/geometry/overlay.ts";
import { type Point, type Polygon, point } from "../../src/geometry/point.ts";
import { polygonArea, polygonContains, signedArea } from "../../src/geometry/polygon.ts";
import { triangulateFloor } from "../../src/geometry/triangulate.ts";
import { randomFrom } from "../../src/numeric/random.ts";
import { motion, moved, rectangle, ring, room } from "../geometry/made-floors.ts";

const runs = { seed: 20, numRuns: 60 };

interface Floor {
  readonly regions: readonly Polygon[];
  readonly points: readonly Point[];
  readonly seed: number;
}

/** An L with a column, a room behind a doorway and one apart; strewn points; turned and moved. */
const floors: fc.Arbitrary<Floor> = fc
  .record({
    width: fc.integer({ min: 30, max: 150 }),
    depth: fc.integer({ min: 30, max: 120 }),
    notch: fc.integer({ min: 2, max: 8 }),
    count: fc.integer({ min: 0, max: 60 }),
    seed: fc.integer({ min: 0, max: 1e6 }),
    angle: fc.integer({ min: 0, max: 359 }),
    far: fc.integer({ min: -1000, max: 1000 }),
  })
  .map(({ width, depth, notch, count, seed, angle, far }) => {
    const [w, d] = [width / 10, depth / 10];
    const shape = ring([0, 0], [w, 0], [w, d * 0.4], [(w * notch) / 10, d * 0.5], [(w * notch) / 10, d], [0, d]);
    const column = rectangle(w * 0.05, d * 0.1, w * 0.1, d * 0.2).reverse();
    const plain = [
      room(shape, column),
      room(rectangle(w, d * 0.1, w + 2, d * 0.3)),
      room(rectangle(w + 3, 0, w + 5, 2)),
    ];
    const move = motion((angle * Math.PI) / 180, far, -2 * far);
    const random = randomFrom(seed);
    const strewn: Point[] = [];
    while (strewn.length < count) {
      const p = point(random.uniform() * w, random.uniform() * d);
      if (polygonContains(plain[0]!, p)) strewn.push(p);
    }
    return { regions: plain.map((polygon) => moved(polygon, move)), points: strewn.map(move), seed };
  });

function meshOf(regions: readonly Polygon[], points: readonly Point[]) {
  const made = triangulateFloor(regions, points);
  if (made.kind === "failed") throw new Error(made.why);
  return made.mesh;
}

/** Whole numbers among the values, so that some lie exactly on levels. */
function surfaceOver({ regions, points, seed }: Floor) {
  const mesh = meshOf(regions, points);
  const random = randomFrom(seed + 1);
  const value = mesh.xM.map(() => (random.uniform() < 0.3 ? random.below(9) - 4 : 4 * random.normal()));
  return { mesh, value };
}

/** The same by another road: each triangle clipped corner by corner. Flat ground exactly on a level belongs above it. */
function clippedArea(mesh: Mesh, value: Float64Array, from: number | undefined, to: number | undefined): number {
  let sum = 0;
  for (let t = 0; t < triangleCount(mesh); t++) {
    const corners = [...mesh.corners.subarray(3 * t, 3 * t + 3)].map((v) => ({
      ...vertexAt(mesh, v),
      value: value[v]!,
    }));
    if (to !== undefined && corners.every((corner) => corner.value >= to)) continue;
    sum += signedArea(clipTriangle(corners, from, to));
  }
  return sum;
}

const near = (a: number, b: number, scale: number) => expect(Math.abs(a - b)).toBeLessThanOrEqual(1e-9 * (1 + scale));

describe("any floor", () => {
  it("has the area of its rooms", () => {
    fc.assert(
      fc.property(floors, ({ regions, points }) => {
        const due = regions.reduce((sum, polygon) => sum + polygonArea(polygon), 0);
        near(meshArea(meshOf(regions, points)), due, due);
      }),
      runs,
    );
  });

  it("has V⁺(h) − V⁺(−h) = ∫h, and areas above and below that make the whole", () => {
    fc.assert(
      fc.property(floors, fc.integer({ min: -5, max: 5 }), (floor, level) => {
        const { mesh, value } = surfaceOver(floor);
        const up = above(mesh, value, level);
        const down = above(
          mesh,
          value.map((v) => -v),
          -level,
        );
        near(up.integral - down.integral, meshIntegral(mesh, value) - level * meshArea(mesh), 1000);
        // Ground exactly on the level is above in neither; here that are triangles with three equal corners.
        expect(up.area + down.area).toBeLessThanOrEqual(meshArea(mesh) + 1e-9);
      }),
      runs,
    );
  });

  it("has a volume that falls as the level rises, at the rate of the area above it", () => {
    fc.assert(
      fc.property(floors, fc.integer({ min: -5, max: 5 }), (floor, level) => {
        const { mesh, value } = surfaceOver(floor);
        const step = 0.25;
        const fall = integralAbove(mesh, value, level) - integralAbove(mesh, value, level + step);
        expect(fall).toBeLessThanOrEqual(step * above(mesh, value, level).area + 1e-9);
        expect(fall).toBeGreaterThanOrEqual(step * above(mesh, value, level + step).area - 1e-9);
      }),
      runs,
    );
  });

  it("has bands that add up to it, and outlines with their areas", () => {
    fc.assert(
      fc.property(floors, (floor) => {
        const { mesh, value } = surfaceOver(floor);
        const levels = [undefined, -4, -1, 0, 2, 3, undefined];
        let area = 0;
        let integral = 0;
        for (let k = 0; k + 1 < levels.length; k++) {
          const band = regionsBetween(mesh, value, levels[k], levels[k + 1]);
          near(band.area, clippedArea(mesh, value, levels[k], levels[k + 1]), 100);
          const pieces = connectedRegions(mesh, value, levels[k], levels[k + 1]);
          area += band.area;
          integral += band.integral;
          // Outlines drop what is thinner than 0.01 mm.
          const outlined = band.polygons.reduce((sum, polygon) => sum + polygonArea(polygon), 0);
          expect(Math.abs(outlined - band.area)).toBeLessThan(1e-4);
          near(
            pieces.reduce((sum, piece) => sum + piece.area, 0),
            band.area,
            100,
          );
          near(
            pieces.reduce((sum, piece) => sum + piece.integral, 0),
            band.integral,
            1000,
          );
        }
        near(area, meshArea(mesh), 100);
        near(integral, meshIntegral(mesh, value), 1000);
      }),
      runs,
    );
  });

  it("has contours that close or end at the rim", () => {
    fc.assert(
      fc.property(floors, fc.integer({ min: -3, max: 3 }), (floor, level) => {
        const { mesh, value } = surfaceOver(floor);
        const rims = floor.regions.flatMap((polygon) => [polygon.outline, ...polygon.holes]);
        const onRim = (p: Point) =>
          rims.some((rim) =>
            rim.some((a, k) => {
              const b = rim[(k + 1) % rim.length]!;
              const long = Math.hypot(b.x - a.x, b.y - a.y);
              const across = Math.abs((b.x - a.x) * (p.y - a.y) - (b.y - a.y) * (p.x - a.x)) / long;
              return across < 1e-6;
            }),
          );
        for (const line of contourLines(mesh, value, level)) {
          const [first, last] = [line[0]!, line[line.length - 1]!];
          expect((first.x === last.x && first.y === last.y) || (onRim(first) && onRim(last))).toBe(true);
        }
      }),
      runs,
    );
  });

  it("keeps its quantities when an open line is drawn across a room, or a straight line through all", () => {
    fc.assert(
      fc.property(floors, fc.integer({ min: 0, max: 1000 }), (floor, seed) => {
        const { mesh, value } = surfaceOver(floor);
        const random = randomFrom(seed);
        const { outline } = floor.regions[0]!;
        const place = () => {
          const [a, b] = [outline[random.below(outline.length)]!, outline[random.below(outline.length)]!];
          const t = random.uniform();
          return point(a.x + t * (b.x - a.x), a.y + t * (b.y - a.y));
        };
        const [p, q, r] = [place(), place(), place()];
        const across = cutMeshAlong(mesh, [value], [p, q, r]);
        near(integralAbove(across.mesh, across.values[0]!, 0), integralAbove(mesh, value, 0), 1000);
        near(meshArea(across.mesh), meshArea(mesh), 100);
        const halves = cutMeshByLine(mesh, [value], point(p.x, p.y + 0.1), point(q.x + 1, q.y));
        near(integralAbove(halves.mesh, halves.values[0]!, 1), integralAbove(mesh, value, 1), 1000);
      }),
      runs,
    );
  });

  it("keeps its quantities when it is turned and moved, up to the digits of the coordinates", () => {
    fc.assert(
      fc.property(
        floors,
        fc.integer({ min: 0, max: 359 }),
        fc.integer({ min: -500, max: 500 }),
        (floor, angle, far) => {
          const { mesh, value } = surfaceOver(floor);
          const move = motion((angle * Math.PI) / 180, far, far / 3);
          const turned = meshOf(
            floor.regions.map((polygon) => moved(polygon, move)),
            floor.points.map(move),
          );
          expect(turned.xM.length).toBe(mesh.xM.length);
          const [there, here] = [above(turned, value, 0), above(mesh, value, 0)];
          expect(Math.abs(there.integral - here.integral)).toBeLessThan(1e-7);
          expect(Math.abs(there.area - here.area)).toBeLessThan(1e-7);
        },
      ),
      runs,
    );
  });
});

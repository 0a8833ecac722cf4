import { describe, expect, it } from "vitest";
import { type Polygon, point } from "../../src/geometry/point.ts";
import {
  boundsOf,
  centroid,
  convexHull,
  crossingOf,
  differenceOf,
  distanceToSegment,
  intersectionOf,
  nearestOnRing,
  offsetRing,
  placeAgainstRing,
  polygonArea,
  polygonContains,
  ringContains,
  ringCrossings,
  signedArea,
  unionOf,
} from "../../src/geometry/polygon.ts";
import { randomFrom } from "../../src/numeric/random.ts";
import { motion, moved, rectangle, ring, room } from "./made-floors.ts";

const areaOf = (polygons: readonly Polygon[]) => polygons.reduce((sum, polygon) => sum + polygonArea(polygon), 0);

describe("measures", () => {
  it("area is positive counter-clockwise, and less by the holes", () => {
    expect(signedArea(rectangle(1, 2, 5, 4))).toBe(8);
    expect(signedArea(rectangle(1, 2, 5, 4).reverse())).toBe(-8);
    expect(polygonArea(room(rectangle(1, 2, 5, 4), rectangle(2, 3, 3, 4).reverse()))).toBe(7);
  });

  it("the centroid of an L is where its two rectangles balance", () => {
    // 4 × 1 at (2, 0.5) and 1 × 2 at (0.5, 2): (4·2 + 2·0.5)/6, (4·0.5 + 2·2)/6.
    const shape = room(ring([0, 0], [4, 0], [4, 1], [1, 1], [1, 3], [0, 3]));
    expect(centroid(shape).x).toBeCloseTo(1.5, 12);
    expect(centroid(shape).y).toBeCloseTo(1, 12);
    // A square with a square hole to one side: (16·2 − 1·3.5)/15.
    expect(centroid(room(rectangle(0, 0, 4, 4), rectangle(3, 1.5, 4, 2.5).reverse())).x).toBeCloseTo(1.9, 12);
    expect(() => centroid(room(ring([0, 0], [1, 0], [2, 0])))).toThrow(/without area/);
  });

  it("distances to a segment and to a ring", () => {
    expect(distanceToSegment(point(1, 2), point(0, 0), point(4, 0))).toBe(2);
    expect(distanceToSegment(point(-3, 4), point(0, 0), point(4, 0))).toBe(5);
    expect(distanceToSegment(point(3, 4), point(0, 0), point(0, 0))).toBe(5);
    expect(nearestOnRing(point(3.9, 1), rectangle(0, 0, 4, 3))).toMatchObject({ at: { x: 4, y: 1 }, edge: 1 });
  });

  it("bounds of nothing are refused", () => {
    expect(boundsOf(rectangle(1, 2, 5, 4))).toEqual({ minX: 1, minY: 2, maxX: 5, maxY: 4 });
    expect(() => boundsOf([])).toThrow();
    expect(() => boundsOf([point(Number.NaN, 0)])).toThrow();
  });
});

describe("inside and outside", () => {
  const shape = room(rectangle(0, 0, 6, 4), rectangle(2, 1, 3, 2).reverse());

  it.each([
    [1, 1, true],
    [2.5, 1.5, false],
    [2, 1.5, true],
    [6, 4, true],
    [6, 2, true],
    [6.000009, 2, true],
    [6.00002, 2, false],
    [2.00002, 1.5, false],
    [-1, 4, false],
    [7, 0, false],
  ])("(%d, %d) inside: %s", (x, y, inside) => {
    expect(polygonContains(shape, point(x, y))).toBe(inside);
  });

  it("a ray through corners counts once", () => {
    const diamond = ring([0, -2], [2, 0], [0, 2], [-2, 0]);
    expect(placeAgainstRing(diamond, point(0, 0))).toBe("inside");
    expect(placeAgainstRing(diamond, point(-3, 0))).toBe("outside");
    expect(placeAgainstRing(diamond, point(-3, 2))).toBe("outside");
    expect(ringContains(diamond.toReversed(), point(0.5, 0.5))).toBe(true);
  });
});

describe("where a ring meets itself", () => {
  it("a plain room does nowhere, turned or not", () => {
    const shape = ring([0, 0], [4, 0], [4, 1], [1, 1], [1, 3], [0, 3]);
    for (let k = 0; k < 12; k++) expect(ringCrossings(shape.map(motion(k, 10, 20)))).toEqual([]);
  });

  it("a bow tie crosses once, at its middle", () => {
    const [only, ...rest] = ringCrossings(ring([0, 0], [4, 4], [4, 0], [0, 4]));
    expect(rest).toEqual([]);
    expect(only).toMatchObject({ edges: [0, 2], kind: "cross" });
    expect(only!.at.x).toBeCloseTo(2, 12);
    expect(only!.at.y).toBeCloseTo(2, 12);
  });

  it("a corner on another wall touches it", () => {
    const found = ringCrossings(ring([0, 0], [6, 0], [6, 4], [3, 0], [0, 4]));
    expect(found.map(({ edges }) => edges)).toEqual([
      [0, 2],
      [0, 3],
    ]);
    expect(found.every(({ kind, at }) => kind === "touch" && at.x === 3 && at.y === 0)).toBe(true);
  });

  it("a wall that runs back on itself overlaps", () => {
    expect(ringCrossings(ring([0, 0], [4, 0], [6, 0], [4, 0], [4, 3], [0, 3]))).toContainEqual({
      edges: [1, 2],
      at: { x: 4, y: 0 },
      kind: "overlap",
    });
  });
});

describe("crossing of two segments", () => {
  it("is where they go through each other, not where one ends on the other", () => {
    expect(crossingOf(point(0, 0), point(4, 2), point(0, 2), point(4, 0))).toEqual({ x: 2, y: 1 });
    expect(crossingOf(point(0, 0), point(4, 0), point(2, 0), point(2, 3))).toBeUndefined();
    expect(crossingOf(point(0, 0), point(1, 0), point(2, -1), point(2, 1))).toBeUndefined();
    expect(crossingOf(point(0, 0), point(4, 0), point(1, 0), point(3, 0))).toBeUndefined();
  });
});

describe("convex hull", () => {
  it("runs counter-clockwise and leaves out what lies on its edges", () => {
    const hull = convexHull([...rectangle(0, 0, 4, 2), point(2, 0), point(1, 1), point(4, 1), point(0, 0)]);
    expect(hull).toEqual(rectangle(0, 0, 4, 2));
  });

  it("holds every point, and is convex", () => {
    const random = randomFrom(5);
    for (let round = 0; round < 20; round++) {
      const points = Array.from({ length: 60 }, () => point(random.normal(), random.normal()));
      const hull = convexHull(points);
      expect(points.every((p) => ringContains(hull, p))).toBe(true);
      hull.forEach((p, k) => {
        expect(signedArea([p, hull[(k + 1) % hull.length]!, hull[(k + 2) % hull.length]!])).toBeGreaterThan(0);
      });
    }
  });

  it("of points on a line has no area", () => {
    expect(convexHull([point(0, 0), point(1, 1), point(2, 2)]).length).toBeLessThan(3);
    expect(convexHull([point(1, 1), point(1, 1)]).length).toBe(1);
  });
});

describe("union, intersection, difference", () => {
  const a = room(rectangle(0, 0, 4, 3));
  const b = room(rectangle(2, 1, 6, 5));

  it("have the areas that they should", () => {
    expect(areaOf(unionOf([a, b]))).toBeCloseTo(12 + 16 - 4, 9);
    expect(intersectionOf([a], [b])).toEqual([
      { outline: expect.arrayContaining([point(2, 1), point(4, 3)]), holes: [] },
    ]);
    expect(areaOf(intersectionOf([a], [b]))).toBeCloseTo(4, 9);
    expect(areaOf(differenceOf([a], [b]))).toBeCloseTo(8, 9);
  });

  it("make rooms that share an edge one, keep those apart, and holes as holes", () => {
    expect(unionOf([a, room(rectangle(4, 0, 5, 3))]).length).toBe(1);
    expect(unionOf([a, room(rectangle(4.1, 0, 5, 3))]).length).toBe(2);
    const [cut, ...rest] = differenceOf([a], [room(rectangle(1, 1, 2, 2))]);
    expect(rest).toEqual([]);
    expect(cut!.holes.length).toBe(1);
    expect(signedArea(cut!.outline)).toBeGreaterThan(0);
    expect(signedArea(cut!.holes[0]!)).toBeLessThan(0);
    // The hole filled by an island: what lies within the island is floor again.
    const island = unionOf([cut!, room(rectangle(1.2, 1.2, 1.8, 1.8))]);
    expect(areaOf(island)).toBeCloseTo(11 + 0.36, 9);
    expect(island.length).toBe(2);
  });

  it("give corners back as they came", () => {
    const odd = room(ring([1 / 3, 1 / 7], [4 + 1 / 9, 0], [4, 3 + 1 / 11], [0, 3]));
    const [back] = intersectionOf([odd], [room(rectangle(-1, -1, 9, 9))]);
    for (const corner of odd.outline) expect(back!.outline).toContainEqual(corner);
  });

  it("add up on turned rooms: |A| + |B| = |A ∪ B| + |A ∩ B|, |A| = |A ∩ B| + |A \\ B|", () => {
    const random = randomFrom(9);
    for (let round = 0; round < 60; round++) {
      const turn = () => motion(6.28 * random.uniform(), 3 * random.normal(), 3 * random.normal());
      const one = moved(
        room(ring([0, 0], [6, 0], [6, 2], [3, 2], [3, 5], [0, 5]), rectangle(1, 1, 2, 2).reverse()),
        turn(),
      );
      const two = moved(room(rectangle(0, 0, 5, 4), rectangle(2, 1, 4, 2).reverse()), turn());
      const both = areaOf(intersectionOf([one], [two]));
      expect(areaOf(unionOf([one, two])) + both).toBeCloseTo(polygonArea(one) + polygonArea(two), 4);
      expect(areaOf(differenceOf([one], [two])) + both).toBeCloseTo(polygonArea(one), 4);
    }
  });
});

describe("moving a ring in or out", () => {
  it("keeps square corners square", () => {
    expect(areaOf(offsetRing(rectangle(0, 0, 4, 3), 0.5))).toBeCloseTo(5 * 4, 5);
    expect(areaOf(offsetRing(rectangle(0, 0, 4, 3), -0.5))).toBeCloseTo(3 * 2, 5);
    expect(areaOf(offsetRing(rectangle(0, 0, 4, 3).reverse(), -0.5))).toBeCloseTo(3 * 2, 5);
  });

  it("inwards can leave two pieces, or none", () => {
    const dumbbell = ring(
      [0, 0],
      [3, 0],
      [3, 1],
      [5, 1],
      [5, 0],
      [8, 0],
      [8, 3],
      [5, 3],
      [5, 2],
      [3, 2],
      [3, 3],
      [0, 3],
    );
    expect(offsetRing(dumbbell, -0.6).length).toBe(2);
    expect(offsetRing(rectangle(0, 0, 4, 1), -0.6)).toEqual([]);
  });
});

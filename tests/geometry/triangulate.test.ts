import { describe, expect, it } from "vitest";
import { areaByRegion, meshArea, triangleArea } from "../../src/geometry/level.ts";
import { type Mesh, triangleCount, twinsOf } from "../../src/geometry/mesh.ts";
import { type Point, type Polygon, point } from "../../src/geometry/point.ts";
import { polygonArea } from "../../src/geometry/polygon.ts";
import { triangulateFloor } from "../../src/geometry/triangulate.ts";
import { randomFrom } from "../../src/numeric/random.ts";
import { awkwardRoom, grid, motion, moved, rectangle, ring, room } from "./made-floors.ts";

function triangulated(regions: readonly Polygon[], points: readonly Point[], breakLines?: readonly Point[][]) {
  const made = triangulateFloor(regions, points, breakLines);
  if (made.kind === "failed") throw new Error(`${made.why} ${JSON.stringify(made.at)}`);
  return made;
}

/** Every mesh must pass this: positive triangles, twins that agree with the corners, areas of the regions. */
function expectSound(mesh: Mesh, regions: readonly Polygon[]) {
  for (let t = 0; t < triangleCount(mesh); t++) expect(triangleArea(mesh, t)).toBeGreaterThan(0);
  expect(mesh.twin).toEqual(twinsOf({ xM: mesh.xM, yM: mesh.yM, corners: mesh.corners, regionOf: mesh.regionOf }));
  areaByRegion(mesh, regions.length).forEach((area, r) => {
    const due = polygonArea(regions[r]!);
    expect(Math.abs(area - due) / due).toBeLessThan(1e-9);
  });
}

describe("a floor", () => {
  it("keeps outlines, holes and points, in the order given", () => {
    const regions = [room(rectangle(0, 0, 6, 4), rectangle(2, 1, 3, 2).reverse())];
    const points = grid(0.5, 0.5, 5.6, 3.6, 0.75).filter((p) => !(p.x >= 2 && p.x <= 3 && p.y >= 1 && p.y <= 2));
    const { mesh, vertexOfPoint } = triangulated(regions, points);
    expectSound(mesh, regions);
    expect([...vertexOfPoint]).toEqual(points.map((_, k) => k));
    points.forEach((p, k) => {
      expect(mesh.xM[k]).toBeCloseTo(p.x, 12);
      expect(mesh.yM[k]).toBeCloseTo(p.y, 12);
    });
    expect(mesh.xM.length).toBe(points.length + 8);
  });

  it("joins rooms that share an edge and leaves apart those that do not", () => {
    const regions = [
      room(ring([0, 0], [4, 0], [4, 1], [4.2, 1], [4.2, 2], [4, 2], [4, 3], [0, 3])),
      room(rectangle(4.2, 0, 8, 3)),
      room(rectangle(10, 0, 12, 2)),
    ];
    const { mesh } = triangulated(regions, []);
    expectSound(mesh, regions);
    const shared: string[] = [];
    mesh.twin!.forEach((across, h) => {
      const [here, there] = [mesh.regionOf[Math.floor(h / 3)]!, mesh.regionOf[Math.floor(across / 3)]!];
      if (across >= 0 && here < there) shared.push(`${here} ${there}`);
    });
    expect(shared).toEqual(["0 1"]);
  });

  it("takes outlines either way round", () => {
    const regions = [room(rectangle(0, 0, 6, 4).reverse(), rectangle(2, 1, 3, 2))];
    expect(meshArea(triangulated(regions, []).mesh)).toBeCloseTo(23, 12);
  });

  it("far from the origin keeps its area", () => {
    const regions = [moved(room(rectangle(0, 0, 6, 4)), motion(0.3, 4e5, 5e6))];
    const { mesh } = triangulated(regions, grid(1, 1, 5, 3, 1).map(motion(0.3, 4e5, 5e6)));
    expect(meshArea(mesh)).toBeCloseTo(24, 6);
  });
});

describe("what lies as good as together", () => {
  const floor = room(rectangle(0, 0, 6, 4));

  it("is one vertex within 0.01 mm, and two beyond", () => {
    const near = triangulated([floor], [point(2, 2), point(2 + 9e-6, 2), point(2, 2)]);
    expect([...near.vertexOfPoint]).toEqual([0, 0, 0]);
    const apart = triangulated([floor], [point(2, 2), point(2 + 2e-5, 2)]);
    expect([...apart.vertexOfPoint]).toEqual([0, 1]);
  });

  it("as a wall's corner gives the corner's place to the point", () => {
    const { mesh, vertexOfPoint } = triangulated([floor], [point(6 - 7e-6, 7e-6)]);
    expect([mesh.xM[vertexOfPoint[0]!], mesh.yM[vertexOfPoint[0]!]]).toEqual([6, 0]);
  });

  it.each([0, 1e-9, 1e-8, 1e-7, 1e-6, 9e-6, -1e-9, -1e-7, -9e-6])("puts a point %d m off the wall on it", (off) => {
    const { mesh, vertexOfPoint } = triangulated([floor], [point(2.5, off)]);
    expect(mesh.yM[vertexOfPoint[0]!]).toBe(0);
    expectSound(mesh, [floor]);
  });

  it.each([2e-5, 1e-4, 1e-3])("leaves a point %d m off the wall where it is", (off) => {
    const { mesh, vertexOfPoint } = triangulated([floor], [point(2.5, off)]);
    expect(mesh.yM[vertexOfPoint[0]!]).toBeCloseTo(off, 12);
    expectSound(mesh, [floor]);
  });
});

describe("awkward rooms", () => {
  it("all come out: 240 turned rooms with points along walls, next to them, in line and twice", () => {
    for (let seed = 0; seed < 240; seed++) {
      const random = randomFrom(seed);
      const { polygon, points } = awkwardRoom(random);
      const move = motion(2 * Math.PI * random.uniform(), 100 * random.normal(), 100 * random.normal());
      const turned = moved(polygon, move);
      const { mesh, vertexOfPoint } = triangulated([turned], points.map(move));
      expect(Math.abs(meshArea(mesh) / polygonArea(turned) - 1)).toBeLessThan(1e-9);
      for (let t = 0; t < triangleCount(mesh); t++) if (!(triangleArea(mesh, t) > 0)) throw new Error(`seed ${seed}`);
      points.forEach((p, k) => {
        const q = move(p);
        const v = vertexOfPoint[k]!;
        const off = Math.hypot(mesh.xM[v]! - q.x, mesh.yM[v]! - q.y);
        if (off > 2e-5) throw new Error(`seed ${seed}: point ${k} was moved by ${off} m`);
      });
    }
  });
});

describe("cells of a grid, whose corners lie on one circle", () => {
  it("are divided the same way however the plan is turned and moved", () => {
    const floor = room(rectangle(0, 0, 11, 8));
    const points = grid(0.6, 0.6, 10.9, 7.9, 1.25);
    const plain = triangulated([floor], points).mesh.corners;
    const sets = (corners: Uint32Array) =>
      Array.from({ length: corners.length / 3 }, (_, t) =>
        [...corners.subarray(3 * t, 3 * t + 3)].sort().join(" "),
      ).sort();
    for (let k = 1; k <= 24; k++) {
      const move = motion(k * 0.2617993877991494, 17.3 * k, -91.7 * k);
      const { mesh } = triangulated([moved(floor, move)], points.map(move));
      expect(sets(mesh.corners)).toEqual(sets(plain));
    }
  });

  it("have their diagonal at the first of their points", () => {
    const { mesh } = triangulated([room(rectangle(0, 0, 3, 3))], [point(3, 0), point(0, 0), point(0, 3), point(3, 3)]);
    const first = Array.from({ length: 2 }, (_, t) => [...mesh.corners.subarray(3 * t, 3 * t + 3)].includes(0));
    expect(first).toEqual([true, true]);
  });

  it("fan from the first of any number of points on one circle", () => {
    const circle = Array.from({ length: 12 }, (_, k) =>
      point(5 + 2 * Math.cos((k * Math.PI) / 6), 5 + 2 * Math.sin((k * Math.PI) / 6)),
    );
    for (const start of [0, 5, 7]) {
      const order = [...circle.slice(start), ...circle.slice(0, start)];
      const { mesh } = triangulated([room(rectangle(0, 0, 10, 10))], order);
      const inside = Array.from({ length: triangleCount(mesh) }, (_, t) => [
        ...mesh.corners.subarray(3 * t, 3 * t + 3),
      ]).filter((corners) => corners.every((v) => v < 12));
      expect(inside.length).toBe(10);
      expect(inside.every((corners) => corners.includes(0))).toBe(true);
    }
  });
});

describe("break lines", () => {
  const floor = room(rectangle(0, 0, 6, 4));

  it("from wall to wall give each side vertices of its own", () => {
    const line = [point(3, 0), point(3, 2), point(3, 4)];
    const { mesh, leftOfBreak } = triangulated([floor], [point(1, 1), point(5, 3)], [line]);
    expect(meshArea(mesh)).toBeCloseTo(24, 12);
    const onLine = [...mesh.xM.keys()].filter((v) => mesh.xM[v] === 3);
    expect(onLine.length).toBe(6);
    // North is ahead of the line: its left is the west. No triangle of the west uses a vertex of the east.
    for (let t = 0; t < triangleCount(mesh); t++) {
      const corners = [...mesh.corners.subarray(3 * t, 3 * t + 3)];
      const west = corners.reduce((sum, v) => sum + mesh.xM[v]!, 0) / 3 < 3;
      for (const v of corners) if (mesh.xM[v] === 3) expect(leftOfBreak[v] === v).toBe(west);
    }
  });

  it("that end inside the floor are one vertex there", () => {
    const line = [point(3, 0), point(3, 1), point(3, 2)];
    const { mesh } = triangulated([floor], [], [line]);
    const at = (y: number) => [...mesh.xM.keys()].filter((v) => mesh.xM[v] === 3 && mesh.yM[v] === y).length;
    expect([at(0), at(1), at(2)]).toEqual([2, 2, 1]);
    expect(meshArea(mesh)).toBeCloseTo(24, 12);
  });

  it("that close round a patch cut it out of the rest", () => {
    const patch = [...rectangle(2, 1, 4, 3), point(2, 1)];
    const { mesh } = triangulated([floor], [point(3, 2)], [patch]);
    const patchVertex = [...mesh.xM.keys()].find((v) => mesh.xM[v] === 3 && mesh.yM[v] === 2)!;
    const reached = new Set([patchVertex]);
    for (let round = 0; round < 5; round++)
      for (let t = 0; t < triangleCount(mesh); t++) {
        const corners = [...mesh.corners.subarray(3 * t, 3 * t + 3)];
        if (corners.some((v) => reached.has(v))) for (const v of corners) reached.add(v);
      }
    expect([...reached].every((v) => mesh.xM[v]! >= 2 && mesh.xM[v]! <= 4)).toBe(true);
    expect(meshArea(mesh)).toBeCloseTo(24, 12);
  });

  it("take a point on them to the left side", () => {
    const { mesh, vertexOfPoint, leftOfBreak } = triangulated([floor], [point(3, 1)], [[point(3, 0), point(3, 4)]]);
    const v = vertexOfPoint[0]!;
    expect([mesh.xM[v], mesh.yM[v]]).toEqual([3, 1]);
    expect(leftOfBreak[v]).toBe(v);
    expect([...leftOfBreak].filter((left) => left === v).length).toBe(2);
  });
});

describe("what cannot be triangulated is refused, with the place", () => {
  const floor = room(rectangle(0, 0, 6, 4), rectangle(2, 1, 3, 2).reverse());

  it.each([
    ["outside", point(7, 1)],
    ["in a column", point(2.5, 1.5)],
    ["past the wall by 0.02 mm", point(3, -2e-5)],
  ])("a point %s", (_, p) => {
    expect(triangulateFloor([floor], [point(1, 1), p])).toEqual({
      kind: "failed",
      why: "a point lies on no region",
      at: p,
    });
  });

  it("a coordinate that is not a number", () => {
    expect(triangulateFloor([floor], [point(Number.NaN, 1)])).toMatchObject({
      kind: "failed",
      why: /not a finite number/,
    });
    expect(triangulateFloor([room(ring([0, 0], [Infinity, 0], [1, 1]))], [])).toMatchObject({ kind: "failed" });
  });

  it.each([
    ["that overlap across", rectangle(4, 1, 9, 3)],
    ["one inside the other", rectangle(4, 1, 5, 3)],
    ["twice the same", rectangle(0, 0, 6, 4)],
  ])("regions %s", (_, other) => {
    const made = triangulateFloor([room(rectangle(0, 0, 6, 4)), room(other)], []);
    expect(made.kind).toBe("failed");
    if (made.kind === "failed") expect(made.at).toBeDefined();
  });

  it("an outline that crosses itself", () => {
    expect(triangulateFloor([room(ring([0, 0], [4, 4], [4, 0], [0, 3]))], [])).toMatchObject({
      kind: "failed",
      why: /cross/,
    });
  });

  it("no region, or one without area", () => {
    expect(triangulateFloor([], [])).toMatchObject({ kind: "failed" });
    expect(triangulateFloor([room(ring([0, 0], [4, 0], [2, 0]))], [])).toMatchObject({ kind: "failed" });
  });

  it("a break line that goes through a wall", () => {
    expect(triangulateFloor([floor], [], [[point(5, -1), point(5, 2)]])).toMatchObject({ kind: "failed" });
    expect(triangulateFloor([floor], [], [[point(1, 1.5), point(4, 1.5)]])).toMatchObject({ kind: "failed" });
  });
});

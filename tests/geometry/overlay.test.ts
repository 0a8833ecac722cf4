import { describe, expect, it } from "vitest";
import { regionsBetween } from "../../src/geometry/bands.ts";
import { areaByRegion, integralAbove, meshArea, meshIntegral, triangleArea } from "../../src/geometry/level.ts";
import { triangleFinder, valueAt } from "../../src/geometry/locate.ts";
import { type Mesh, triangleCount, twinsOf } from "../../src/geometry/mesh.ts";
import { cutMesh, cutMeshAlong, cutMeshByLine, takeTriangles } from "../../src/geometry/overlay.ts";
import { point } from "../../src/geometry/point.ts";
import { intersectionOf, polygonArea } from "../../src/geometry/polygon.ts";
import { triangulateFloor } from "../../src/geometry/triangulate.ts";
import { randomFrom } from "../../src/numeric/random.ts";
import { grid, motion, moved, rectangle, ring, room } from "./made-floors.ts";

const floor = room(rectangle(0, 0, 12, 8), rectangle(5, 3, 6, 4).reverse());

function madeFloor(seed: number) {
  const points = grid(0.6, 0.6, 11.9, 7.9, 1.3).filter((p) => !(p.x >= 5 && p.x <= 6 && p.y >= 3 && p.y <= 4));
  const made = triangulateFloor([floor, room(rectangle(12, 2, 13, 3))], points);
  if (made.kind === "failed") throw new Error(made.why);
  const random = randomFrom(seed);
  return { mesh: made.mesh, value: made.mesh.xM.map(() => 4 * random.normal()) };
}

const sumByZone = (mesh: Mesh, zoneOf: Int32Array, zone: number) => {
  let sum = 0;
  for (let t = 0; t < triangleCount(mesh); t++) if (zoneOf[t] === zone) sum += triangleArea(mesh, t);
  return sum;
};

function expectSound(mesh: Mesh) {
  for (let t = 0; t < triangleCount(mesh); t++) expect(triangleArea(mesh, t)).toBeGreaterThan(0);
  expect(mesh.twin).toEqual(twinsOf({ xM: mesh.xM, yM: mesh.yM, corners: mesh.corners, regionOf: mesh.regionOf }));
}

describe("cutting by zones", () => {
  it("parts a flat floor as its zones do", () => {
    const { mesh, value } = madeFloor(1);
    const zones = [room(rectangle(-1, -1, 4.5, 9)), room(rectangle(4.5, -1, 20, 5)), room(rectangle(4.5, 5, 9, 9))];
    const cut = cutMesh(mesh, [value], zones);
    expectSound(cut.mesh);
    expect(sumByZone(cut.mesh, cut.zoneOf, 0)).toBeCloseTo(4.5 * 8, 9);
    expect(sumByZone(cut.mesh, cut.zoneOf, 1)).toBeCloseTo(7.5 * 5 - 1 + 1, 9);
    expect(sumByZone(cut.mesh, cut.zoneOf, 2)).toBeCloseTo(4.5 * 3, 9);
    expect(sumByZone(cut.mesh, cut.zoneOf, -1)).toBeCloseTo(3 * 3, 9);
  });

  it("has the areas that boolean operations find, for turned zones with holes, and keeps every volume", () => {
    for (let seed = 0; seed < 12; seed++) {
      const { mesh, value } = madeFloor(seed);
      const random = randomFrom(100 + seed);
      const shape = room(
        ring([-3, -2], [3, -2], [3, 0], [0.5, 0.5], [0, 3], [-3, 2]),
        rectangle(-2, -1, -1, 0).reverse(),
      );
      const zone = moved(shape, motion(6.28 * random.uniform(), 12 * random.uniform(), 8 * random.uniform()));
      const cut = cutMesh(mesh, [value, value.map((v) => 2 * v)], [zone]);
      expectSound(cut.mesh);
      const due = intersectionOf([zone], [floor, room(rectangle(12, 2, 13, 3))]).reduce(
        (sum, p) => sum + polygonArea(p),
        0,
      );
      // A corner of the zone within 0.01 mm of an edge is moved onto it, and boolean operations round to 0.001 mm.
      expect(sumByZone(cut.mesh, cut.zoneOf, 0)).toBeCloseTo(due, 3);
      const [carried, doubled] = cut.values as [Float64Array, Float64Array];
      expect(meshArea(cut.mesh)).toBeCloseTo(meshArea(mesh), 9);
      expect(meshIntegral(cut.mesh, carried)).toBeCloseTo(meshIntegral(mesh, value), 9);
      for (const level of [-3, 0, 2]) {
        expect(integralAbove(cut.mesh, carried, level)).toBeCloseTo(integralAbove(mesh, value, level), 9);
        expect(regionsBetween(cut.mesh, carried, level, level + 1).area).toBeCloseTo(
          regionsBetween(mesh, value, level, level + 1).area,
          9,
        );
      }
      doubled.forEach((v, k) => {
        expect(v).toBeCloseTo(2 * carried[k]!, 12);
      });
      expect(areaByRegion(cut.mesh, 2)).toEqual(areaByRegion(mesh, 2).map((area) => expect.closeTo(area, 9)));
    }
  });

  it("along edges that are there already changes nothing", () => {
    const { mesh, value } = madeFloor(3);
    const once = cutMesh(mesh, [value], [room(rectangle(2, 2, 7, 6))]);
    const twice = cutMesh(once.mesh, once.values, [room(rectangle(2, 2, 7, 6))]);
    expect(twice.mesh.corners).toEqual(once.mesh.corners);
    expect([...twice.zoneOf]).toEqual([...once.zoneOf]);
  });

  it("tells the triangle that each part came from", () => {
    const { mesh, value } = madeFloor(4);
    const cut = cutMesh(mesh, [value], [room(rectangle(2.1, 2.2, 7.3, 6.4))]);
    const back = new Float64Array(triangleCount(mesh));
    cut.parentOf.forEach((parent, t) => {
      back[parent]! += triangleArea(cut.mesh, t);
    });
    back.forEach((area, t) => {
      expect(area).toBeCloseTo(triangleArea(mesh, t), 10);
    });
  });
});

describe("cutting by a line", () => {
  it("gives its left and its right", () => {
    const { mesh, value } = madeFloor(5);
    const cut = cutMeshByLine(mesh, [value], point(4, 1), point(4, 2));
    expectSound(cut.mesh);
    expect(sumByZone(cut.mesh, cut.zoneOf, 0)).toBeCloseTo(32, 9);
    expect(sumByZone(cut.mesh, cut.zoneOf, 1)).toBeCloseTo(64, 9);
    expect(() => cutMeshByLine(mesh, [value], point(1, 1), point(1, 1))).toThrow(/no direction/);
  });

  it("drawn open across the room changes no quantity", () => {
    const { mesh, value } = madeFloor(6);
    const cut = cutMeshAlong(mesh, [value], [point(1.2, 0), point(3, 3.3), point(8.8, 3.1), point(8.8, 8)]);
    expectSound(cut.mesh);
    expect(triangleCount(cut.mesh)).toBeGreaterThan(triangleCount(mesh));
    expect(integralAbove(cut.mesh, cut.values[0]!, 0)).toBeCloseTo(integralAbove(mesh, value, 0), 10);
    expect([...cut.zoneOf].every((zone) => zone === -1)).toBe(true);
  });
});

describe("taking a part of a mesh", () => {
  it("keeps areas, values and neighbours", () => {
    const { mesh, value } = madeFloor(7);
    const cut = cutMesh(mesh, [value], [room(rectangle(1, 1, 6.5, 5))]);
    const part = takeTriangles(cut.mesh, cut.values, (t) => cut.zoneOf[t] === 0);
    expectSound(part.mesh);
    expect(meshArea(part.mesh)).toBeCloseTo(5.5 * 4 - 1, 9);
    const rest = takeTriangles(cut.mesh, cut.values, (t) => cut.zoneOf[t] !== 0);
    expect(meshIntegral(part.mesh, part.values[0]!) + meshIntegral(rest.mesh, rest.values[0]!)).toBeCloseTo(
      meshIntegral(mesh, value),
      9,
    );
  });
});

describe("finding a place", () => {
  it("gives the value of the plane through the corners, on edges and vertices too", () => {
    const { mesh } = madeFloor(8);
    const plane = mesh.xM.map((x, v) => 2 + 0.7 * x - 1.3 * mesh.yM[v]!);
    const find = triangleFinder(mesh);
    const random = randomFrom(8);
    for (let k = 0; k < 300; k++) {
      const p = point(random.uniform() * 12, random.uniform() * 8);
      const found = find(p);
      const inHole = p.x > 5 && p.x < 6 && p.y > 3 && p.y < 4;
      if (inHole) expect(found).toBeUndefined();
      else expect(valueAt(mesh, plane, found!)).toBeCloseTo(2 + 0.7 * p.x - 1.3 * p.y, 10);
    }
    expect(valueAt(mesh, plane, find(point(12, 8))!)).toBeCloseTo(2 + 8.4 - 10.4, 10);
  });

  it("takes 0.01 mm past a wall for on it, and no more", () => {
    const { mesh } = madeFloor(9);
    const find = triangleFinder(mesh);
    expect(find(point(-9e-6, 4))).toBeDefined();
    expect(find(point(-2e-5, 4))).toBeUndefined();
    expect(find(point(5 + 2e-5, 3.5))).toBeUndefined();
  });

  it("in one region only, where that is asked for", () => {
    const { mesh } = madeFloor(10);
    const find = triangleFinder(mesh);
    expect(mesh.regionOf[find(point(12, 2.5), 0)!.triangle]).toBe(0);
    expect(mesh.regionOf[find(point(12, 2.5), 1)!.triangle]).toBe(1);
    expect(find(point(1, 1), 1)).toBeUndefined();
  });
});

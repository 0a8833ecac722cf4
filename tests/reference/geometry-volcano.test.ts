/**
 * Real terrain: the 87 × 61 grid of a volcano, data/volcano.json of the npm package vega-datasets; and a second
 * triangulation as referee, the npm package cdt2d.
 */
import { readFileSync } from "node:fs";
import cdt2d from "cdt2d";
import { describe, expect, it } from "vitest";
import { contourLines, regionsBetween } from "../../src/geometry/bands.ts";
import { above, meshArea, meshIntegral } from "../../src/geometry/level.ts";
import { type Point, point } from "../../src/geometry/point.ts";
import { polygonArea, polygonContains } from "../../src/geometry/polygon.ts";
import { triangulateFloor } from "../../src/geometry/triangulate.ts";
import { randomFrom } from "../../src/numeric/random.ts";
import { motion, moved, rectangle, ring, room } from "../geometry/made-floors.ts";

const { width, height, values } = JSON.parse(
  readFileSync(new URL("../../node_modules/vega-datasets/data/volcano.json", import.meta.url), "utf8"),
) as { width: number; height: number; values: number[] };
const at = (column: number, row: number) => values[row * width + column]!;
const outline = rectangle(0, 0, width - 1, height - 1);

function volcano(mirrored: boolean) {
  const columns = Array.from({ length: width }, (_, k) => (mirrored ? width - 1 - k : k));
  const places = Array.from({ length: height }, (_, row) => columns.map((column) => ({ column, row }))).flat();
  const made = triangulateFloor(
    [room(outline)],
    places.map(({ column, row }) => point(column, row)),
  );
  if (made.kind === "failed") throw new Error(made.why);
  const value = new Float64Array(made.mesh.xM.length);
  places.forEach(({ column, row }, k) => {
    value[made.vertexOfPoint[k]!] = at(column, row);
  });
  return { mesh: made.mesh, value };
}

describe("the volcano grid", () => {
  it("has two triangles a cell and no vertex but its points", () => {
    const { mesh } = volcano(false);
    expect(mesh.regionOf.length).toBe(2 * (width - 1) * (height - 1));
    expect(mesh.xM.length).toBe(width * height);
    expect(meshArea(mesh)).toBeCloseTo((width - 1) * (height - 1), 8);
  });

  it("has the volume of triangles s² (h₁ + h₂ + h₃)/6, divided from the first corner of each cell", () => {
    let sum = 0;
    for (let row = 0; row + 1 < height; row++)
      for (let column = 0; column + 1 < width; column++) {
        const [a, b, c, d] = [at(column, row), at(column + 1, row), at(column, row + 1), at(column + 1, row + 1)];
        sum += (a + b + d) / 6 + (a + d + c) / 6;
      }
    const { mesh, value } = volcano(false);
    expect(meshIntegral(mesh, value)).toBeCloseTo(sum, 6);
  });

  it("divided both ways has on average the mean of four corners for each cell", () => {
    let sum = 0;
    for (let row = 0; row + 1 < height; row++)
      for (let column = 0; column + 1 < width; column++)
        sum += (at(column, row) + at(column + 1, row) + at(column, row + 1) + at(column + 1, row + 1)) / 4;
    const one = volcano(false);
    const other = volcano(true);
    const volumes = [meshIntegral(one.mesh, one.value), meshIntegral(other.mesh, other.value)];
    expect((volumes[0]! + volumes[1]!) / 2).toBeCloseTo(sum, 6);
    expect(Math.abs(volumes[0]! - volumes[1]!)).toBeGreaterThan(0.5);
  });

  it("has bands that add up, in area, volume and outlines, though heights are whole numbers and lie on the levels", () => {
    const { mesh, value } = volcano(false);
    const levels = [undefined, 100, 110, 120, 140, 160, 195, undefined];
    let area = 0;
    let integral = 0;
    for (let k = 0; k + 1 < levels.length; k++) {
      const band = regionsBetween(mesh, value, levels[k], levels[k + 1]);
      expect(band.polygons.reduce((sum, polygon) => sum + polygonArea(polygon), 0)).toBeCloseTo(band.area, 6);
      area += band.area;
      integral += band.integral;
    }
    expect(area).toBeCloseTo(meshArea(mesh), 6);
    expect(integral).toBeCloseTo(meshIntegral(mesh, value), 5);
  });

  it("puts every place into the band that its height says", () => {
    const { mesh, value } = volcano(false);
    const band = regionsBetween(mesh, value, 120, 150);
    const random = randomFrom(3);
    let inside = 0;
    for (let k = 0; k < 400; k++) {
      const x = random.uniform() * (width - 1);
      const y = random.uniform() * (height - 1);
      const column = Math.floor(x);
      const row = Math.floor(y);
      const [u, v] = [x - column, y - row];
      const [a, b, c, d] = [at(column, row), at(column + 1, row), at(column, row + 1), at(column + 1, row + 1)];
      // The cell's diagonal runs from its first corner to the opposite one.
      const z = u >= v ? a + u * (b - a) + v * (d - b) : a + v * (c - a) + u * (d - c);
      if (Math.min(Math.abs(z - 120), Math.abs(z - 150)) < 1e-3) continue;
      const expected = z >= 120 && z < 150;
      if (expected) inside++;
      expect(band.polygons.some((polygon) => polygonContains(polygon, point(x, y)))).toBe(expected);
    }
    expect(inside).toBeGreaterThan(50);
  });

  it("has contours that close or end at the rim, and enclose what lies above", () => {
    const { mesh, value } = volcano(false);
    const onRim = (p: Point) => p.x === 0 || p.y === 0 || p.x === width - 1 || p.y === height - 1;
    for (const level of [100, 117.5, 150, 180]) {
      const lines = contourLines(mesh, value, level);
      expect(lines.length).toBeGreaterThan(0);
      for (const line of lines) {
        const [first, last] = [line[0]!, line[line.length - 1]!];
        const closed = first.x === last.x && first.y === last.y;
        expect(closed || (onRim(first) && onRim(last))).toBe(true);
      }
    }
    // The crater's rim: all contours there are closed, and what they enclose is what is above.
    const enclosed = contourLines(mesh, value, 180.5).reduce(
      (sum, line) =>
        sum + line.reduce((part, p, k) => (k === 0 ? 0 : part + (line[k - 1]!.x * p.y - p.x * line[k - 1]!.y) / 2), 0),
      0,
    );
    expect(enclosed).toBeCloseTo(above(mesh, value, 180.5).area, 6);
  });
});

/** Corner triples in one order, for comparing sets of triangles. */
const canonical = (triangles: readonly (readonly number[])[]): string[] =>
  triangles.map((corners) => [...corners].sort((a, b) => a - b).join(" ")).sort();

describe("a second triangulation as referee (cdt2d)", () => {
  it.each([1, 2, 3, 4, 5, 6, 7, 8])("agrees on points in general position, seed %d", (seed) => {
    const random = randomFrom(seed);
    const move = motion(6.28 * random.uniform(), 30 * random.normal(), 30 * random.normal());
    const floor = moved(
      room(
        ring([0, 0], [14, 0], [14.3, 4.1], [6.1, 4.4], [6, 10.2], [-0.2, 10]),
        ring([2, 2], [2.1, 3.3], [3.2, 3.1], [3, 2.2]),
      ),
      move,
    );
    const points: Point[] = [];
    while (points.length < 150) {
      const p = move(point(15 * random.uniform(), 11 * random.uniform()));
      if (polygonContains(floor, p)) points.push(p);
    }
    const made = triangulateFloor([floor], points);
    if (made.kind === "failed") throw new Error(made.why);
    const { mesh } = made;
    const coordinates = Array.from(mesh.xM, (x, v): [number, number] => [x, mesh.yM[v]!]);
    const corner = (p: Point) => coordinates.findIndex(([x, y]) => Math.hypot(x - p.x, y - p.y) < 1e-9);
    const edges = [floor.outline, ...floor.holes].flatMap((edge) => {
      const vertices = edge.map(corner);
      return vertices.map((v, k): [number, number] => [v, vertices[(k + 1) % vertices.length]!]);
    });
    const referee = cdt2d(coordinates, edges, { exterior: false });
    const ours = Array.from(mesh.regionOf, (_, t) => [...mesh.corners.subarray(3 * t, 3 * t + 3)]);
    expect(canonical(ours)).toEqual(canonical(referee));
  });
});

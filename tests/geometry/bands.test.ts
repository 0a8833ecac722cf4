import { describe, expect, it } from "vitest";
import { connectedRegions, contourLines, regionsBetween } from "../../src/geometry/bands.ts";
import type { Mesh } from "../../src/geometry/mesh.ts";
import { type Point, type Polygon, point } from "../../src/geometry/point.ts";
import { polygonArea } from "../../src/geometry/polygon.ts";
import { triangulateFloor } from "../../src/geometry/triangulate.ts";
import { grid, rectangle, room } from "./made-floors.ts";

function meshOf(regions: readonly Polygon[], points: readonly Point[], breakLines?: readonly Point[][]): Mesh {
  const made = triangulateFloor(regions, points, breakLines);
  if (made.kind === "failed") throw new Error(made.why);
  return made.mesh;
}

const valuesOf = (mesh: Mesh, value: (x: number, y: number) => number) => mesh.xM.map((x, v) => value(x, mesh.yM[v]!));

describe("a slope", () => {
  const mesh = meshOf([room(rectangle(0, 0, 10, 4))], grid(1, 1, 9.5, 3.5, 1.1));
  const value = valuesOf(mesh, (x) => x);

  it("has bands that are strips, each one polygon without slivers", () => {
    const band = regionsBetween(mesh, value, 2.5, 4);
    expect(band.area).toBeCloseTo(6, 10);
    expect(band.integral).toBeCloseTo(6 * 3.25, 10);
    expect(band.polygons.length).toBe(1);
    expect(band.polygons[0]!.holes).toEqual([]);
    expect(polygonArea(band.polygons[0]!)).toBeCloseTo(6, 10);
    for (const p of band.polygons[0]!.outline) expect(p.x >= 2.5 - 1e-12 && p.x <= 4 + 1e-12).toBe(true);
  });

  it("has contours from wall to wall with higher ground on the left", () => {
    const [line, ...rest] = contourLines(mesh, value, 3);
    expect(rest).toEqual([]);
    expect(line!.every((p) => Math.abs(p.x - 3) < 1e-12)).toBe(true);
    // East is up: going south, east is on the left.
    expect([line![0]!.y, line![line!.length - 1]!.y]).toEqual([4, 0]);
  });

  it("without limits is the whole floor", () => {
    expect(regionsBetween(mesh, value).area).toBeCloseTo(40, 10);
    expect(regionsBetween(mesh, value, undefined, 3).area).toBeCloseTo(12, 10);
    expect(regionsBetween(mesh, value, 3).area).toBeCloseTo(28, 10);
    expect(regionsBetween(mesh, value, 11).polygons).toEqual([]);
    expect(regionsBetween(mesh, value, 11).area).toBe(0);
  });
});

describe("a cone with a pit", () => {
  // |distance from the middle − 2|: a ring of low ground round a peak.
  const mesh = meshOf([room(rectangle(-5, -5, 5, 5))], grid(-4.75, -4.75, 4.9, 4.9, 0.5));
  const value = valuesOf(mesh, (x, y) => Math.abs(Math.hypot(x, y) - 2));

  it("has a band with a hole, and a contour inside the other", () => {
    const band = regionsBetween(mesh, value, undefined, 0.7);
    expect(band.polygons.length).toBe(1);
    expect(band.polygons[0]!.holes.length).toBe(1);
    expect(polygonArea(band.polygons[0]!)).toBeCloseTo(band.area, 10);
    // Annulus from 1.3 to 2.7: π(2.7² − 1.3²) = 17.59; the mesh is straight between points 0.5 m apart.
    expect(band.area).toBeGreaterThan(16);
    expect(band.area).toBeLessThan(19);
    const lines = contourLines(mesh, value, 0.7);
    expect(lines.length).toBe(2);
    for (const line of lines) expect(line[0]).toEqual(line[line.length - 1]);
  });

  it("has high ground in pieces, with their greatest places", () => {
    const pieces = connectedRegions(mesh, value, 1.5);
    expect(pieces.length).toBe(2);
    const middle = pieces.find((piece) => piece.greatest.value < 2.1)!;
    expect(Math.hypot(middle.greatest.at.x, middle.greatest.at.y)).toBeLessThan(0.5);
    expect(middle.least.value).toBe(1.5);
    expect(pieces.reduce((sum, piece) => sum + piece.area, 0)).toBeCloseTo(regionsBetween(mesh, value, 1.5).area, 10);
  });
});

describe("exactly on the level", () => {
  const mesh = meshOf([room(rectangle(0, 0, 4, 4))], grid(0, 0, 4, 4, 1));

  it("a flat floor belongs to the class that starts there, whole", () => {
    const flat = valuesOf(mesh, () => 3);
    expect(regionsBetween(mesh, flat, 3, 6).area).toBeCloseTo(16, 12);
    expect(regionsBetween(mesh, flat, 3, 6).integral).toBeCloseTo(48, 12);
    expect(regionsBetween(mesh, flat, 3, 6).polygons.length).toBe(1);
    expect(regionsBetween(mesh, flat, 0, 3).area).toBe(0);
    expect(regionsBetween(mesh, flat, 0, 3).polygons).toEqual([]);
    expect(contourLines(mesh, flat, 3)).toEqual([]);
  });

  it("a terrace gets one contour, at its foot", () => {
    const terrace = valuesOf(mesh, (x) => Math.min(2, x));
    const lines = contourLines(mesh, terrace, 2);
    expect(lines.length).toBe(1);
    expect(lines[0]!.every((p) => p.x === 2)).toBe(true);
    expect(regionsBetween(mesh, terrace, 2).area).toBeCloseTo(8, 12);
  });

  it("a single vertex at its level makes neither a line nor an area", () => {
    const peak = valuesOf(mesh, (x, y) => (x === 2 && y === 2 ? 1 : 0));
    expect(contourLines(mesh, peak, 1)).toEqual([]);
    expect(regionsBetween(mesh, peak, 1).polygons).toEqual([]);
    expect(regionsBetween(mesh, peak, 1).area).toBe(0);
  });

  it("a saddle whose middle is on the level keeps its corners apart", () => {
    const saddle = valuesOf(mesh, (x, y) => (x - 2) * (y - 2));
    const pieces = connectedRegions(mesh, saddle, 0.5);
    expect(pieces.length).toBe(2);
    const area = regionsBetween(mesh, saddle, 0).area + regionsBetween(mesh, saddle, undefined, 0).area;
    expect(area).toBeCloseTo(16, 12);
  });
});

describe("several rooms", () => {
  const rooms = [room(rectangle(0, 0, 4, 4)), room(rectangle(4, 1, 8, 3)), room(rectangle(9, 0, 11, 2))];
  const mesh = meshOf(rooms, []);
  const value = valuesOf(mesh, () => 5);

  it("a band reaches through from one into the next", () => {
    const band = regionsBetween(mesh, value, 0, 10);
    expect(band.polygons.map(polygonArea).sort((a, b) => a - b)).toEqual([4, 24]);
  });

  it("a connected piece stays in its room", () => {
    expect(connectedRegions(mesh, value, 0, 10).map(({ region, area }) => [region, area])).toEqual(
      expect.arrayContaining([
        [0, 16],
        [1, 8],
        [2, 4],
      ]),
    );
  });
});

describe("a step", () => {
  const mesh = meshOf([room(rectangle(0, 0, 6, 4))], [], [[point(3, 0), point(3, 4)]]);
  // The vertices of the right side come last.
  const value = mesh.xM.map((x, v) => (x > 3 || v >= mesh.xM.length - 2 ? 8 : 2));

  it("parts the bands along the break line", () => {
    const low = regionsBetween(mesh, value, 0, 5);
    const high = regionsBetween(mesh, value, 5, 10);
    expect(low.polygons.map(polygonArea)).toEqual([12]);
    expect(high.polygons.map(polygonArea)).toEqual([12]);
    expect(contourLines(mesh, value, 5)).toEqual([]);
  });
});

it("values of another mesh are refused", () => {
  const mesh = meshOf([room(rectangle(0, 0, 4, 4))], []);
  expect(() => regionsBetween(mesh, new Float64Array(3), 0, 1)).toThrow(/3 values for a mesh of 4/);
});

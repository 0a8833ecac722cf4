/** Volumes and areas against published formulas and values calculated by hand from the definitions. */
import { describe, expect, it } from "vitest";
import {
  above,
  areaAbove,
  clipTriangle,
  integralAbove,
  meshIntegral,
  positiveMean,
  positiveShare,
} from "../../src/geometry/level.ts";
import type { Mesh } from "../../src/geometry/mesh.ts";
import { triangulateFloor } from "../../src/geometry/triangulate.ts";
import { grid, rectangle, room } from "../geometry/made-floors.ts";

/** One triangle of area 1 m². */
const unitTriangle: Mesh = {
  xM: Float64Array.of(0, 2, 0),
  yM: Float64Array.of(0, 0, 1),
  corners: Uint32Array.of(0, 1, 2),
  regionOf: Uint32Array.of(0),
};

describe("volume over a triangle", () => {
  it("is a prism: A (h₁ + h₂ + h₃)/3 (any surveying text)", () => {
    expect(meshIntegral(unitTriangle, Float64Array.of(3, 4.5, 6))).toBeCloseTo(4.5, 12);
  });

  // Calculated by hand from the definition, A = 1.
  it.each([
    [[3, -1, -2], 0.45],
    [[3, 1, -2], 0.844444444444],
    [[1, -1, -1], 1 / 12],
    [[-1, 1, -1], 1 / 12],
    [[-2, 3, 1], 0.844444444444],
    [[0, 0, 0], 0],
    [[-1, -2, -3], 0],
    [[2, 2, 2], 2],
    [[6, 0, 0], 2],
    [[0, 0, -6], 0],
  ])("clipped at zero: %j gives %d", (values, volume) => {
    expect(integralAbove(unitTriangle, Float64Array.from(values), 0)).toBeCloseTo(volume, 11);
    expect(positiveMean(values[0]!, values[1]!, values[2]!)).toBeCloseTo(volume, 11);
  });

  // One corner above: similar triangles, (3/4)(3/5) of the area; two above: all but (1/2)(1/2) … of the third corner.
  it.each([
    [[3, -1, -2], 0.45],
    [[1, 1, -1], 0.75],
    [[1, -1, -1], 0.25],
    [[0, -1, -1], 0],
    [[0, 1, 1], 1],
  ])("area above zero: %j gives %d", (values, area) => {
    expect(areaAbove(unitTriangle, Float64Array.from(values), 0)).toBeCloseTo(area, 12);
    expect(positiveShare(values[0]!, values[1]!, values[2]!)).toBeCloseTo(area, 12);
  });
});

describe("volume over a grid", () => {
  it("is s² (h₁ + h₂ + h₃)/6 a triangle (surveying text)", () => {
    const made = triangulateFloor([room(rectangle(0, 0, 3, 3))], grid(0, 0, 3, 3, 3));
    if (made.kind === "failed") throw new Error(made.why);
    // The diagonal starts at the first point: triangles of 10, 20, 50 and 10, 50, 40.
    const volume = meshIntegral(made.mesh, Float64Array.of(10, 20, 40, 50));
    expect(volume).toBeCloseTo((9 * (10 + 20 + 50)) / 6 + (9 * (10 + 50 + 40)) / 6, 10);
  });

  it("of a borrow pit: corners 75.4, 77.5, 74.6, 80.5 down from 83 over 2000 ft² give 444.44 yd³ (calculated)", () => {
    const values = Float64Array.of(83 - 75.4, 83 - 77.5, 83 - 74.6, 83 - 80.5);
    const splits = [grid(0, 0, 50, 40, 40), []].map((_, k) => {
      const corners = rectangle(0, 0, 50, 40);
      const turned = k === 0 ? corners : [...corners.slice(1), corners[0]!];
      const made = triangulateFloor([room(corners)], turned);
      if (made.kind === "failed") throw new Error(made.why);
      return meshIntegral(
        made.mesh,
        k === 0 ? values : Float64Array.of(values[1]!, values[2]!, values[3]!, values[0]!),
      );
    });
    // The mean of both ways to divide the cell is the mean of its four corners times its area.
    expect((splits[0]! + splits[1]!) / 2 / 27).toBeCloseTo(444.44, 2);
    expect(splits[0]).not.toBeCloseTo(splits[1]!, 3);
  });

  it("of a pyramid by the prismoidal formula: areas 36, 9, 0 over length 9 give 108 (calculated)", () => {
    const made = triangulateFloor([room(rectangle(-3, -3, 3, 3))], [{ x: 0, y: 0 }]);
    if (made.kind === "failed") throw new Error(made.why);
    const height = made.mesh.xM.map((x, v) => (x === 0 && made.mesh.yM[v] === 0 ? 9 : 0));
    expect(areaAbove(made.mesh, height, 0)).toBeCloseTo(36, 10);
    expect(areaAbove(made.mesh, height, 4.5)).toBeCloseTo(9, 10);
    expect(integralAbove(made.mesh, height, 0)).toBeCloseTo(108, 10);
  });

  it("of 1 mm over 1 m² is 1 L (definition), of 10 mm over 20 × 20 ft 371.6 L", () => {
    const side = 20 * 0.3048;
    const made = triangulateFloor([room(rectangle(0, 0, side, side))], grid(0.6, 0.6, side, side, 1.8));
    if (made.kind === "failed") throw new Error(made.why);
    const { area, integral } = above(made.mesh, new Float64Array(made.mesh.xM.length).fill(10), 0);
    expect(area).toBeCloseTo(37.1612, 4);
    expect(integral).toBeCloseTo(371.612, 3);
  });
});

describe("clipping a triangle between two values", () => {
  const corners = [
    { x: 0, y: 0, value: 0 },
    { x: 4, y: 0, value: 4 },
    { x: 0, y: 4, value: 4 },
  ];
  const area = (ring: readonly { x: number; y: number }[]) =>
    ring.reduce((sum, p, k) => {
      const q = ring[(k + 1) % ring.length]!;
      return sum + (p.x * q.y - q.x * p.y) / 2;
    }, 0);

  it.each([
    [1, 3, 4],
    [0, 4, 8],
    [0, 2, 2],
    [2, undefined, 6],
    [undefined, 1, 0.5],
    [5, 9, 0],
  ])("from %s to %s leaves %d m²", (from, to, left) => {
    // The value is x + y: lines of equal value cut off right triangles of side c, area c²/2.
    expect(area(clipTriangle(corners, from, to))).toBeCloseTo(left, 12);
  });
});

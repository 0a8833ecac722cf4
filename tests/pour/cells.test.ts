/** Cells cut by lines: nothing lost, nothing twice, also where a line runs along a wall or a column. */
import { describe, expect, test } from "vitest";
import { type Polygon, point } from "../../src/geometry/point.ts";
import { differenceOf, intersectionOf, polygonArea } from "../../src/geometry/polygon.ts";
import { randomFrom } from "../../src/numeric/random.ts";
import { type Cell, cellMeasures, lineThrough, splitCell, withoutSpikes } from "../../src/pour/cells.ts";
import { rectangle } from "../layout/made-job.ts";

const ring = (corners: readonly (readonly [number, number])[]) => corners.map(([x, y]) => point(x, y));
const areaOf = (parts: readonly Polygon[]): number => parts.reduce((sum, part) => sum + polygonArea(part), 0);

/** A room of squares of a metre, each two triangles, with a fill that grows eastward; a column of one square left out. */
function roomWithColumn(): Cell {
  const pieces = [];
  for (let x = 0; x < 6; x++) {
    for (let y = 0; y < 4; y++) {
      if (x === 3 && y === 1) continue;
      const at = (dx: number, dy: number) => ({ x: x + dx, y: y + dy, value: 5 + x + dx });
      pieces.push([at(0, 0), at(1, 0), at(1, 1)], [at(0, 0), at(1, 1), at(0, 1)]);
    }
  }
  const hole = ring(rectangle(3, 1, 1, 1)).reverse();
  return { floor: { outline: ring(rectangle(0, 0, 6, 4)), holes: [hole] }, pieces };
}

describe("a cut", () => {
  const whole = roomWithColumn();
  const { area, volume } = cellMeasures(whole);

  test("the whole, by hand: 23 m², and 24 × 8 mm less the column's 8.5", () => {
    expect(area).toBeCloseTo(23, 12);
    expect(volume).toBeCloseTo(24 * 8 - 8.5, 10);
  });

  test("leaves the same area and volume on its two sides, wherever it runs", () => {
    const random = randomFrom(4);
    for (let k = 0; k < 200; k++) {
      const through = point(6 * random.uniform(), 4 * random.uniform());
      const angle = 2 * Math.PI * random.uniform();
      const line = lineThrough(through, point(through.x + Math.cos(angle), through.y + Math.sin(angle)));
      const { left, right } = splitCell(whole, line);
      const parts = [...left, ...right];
      const sums = parts.map(cellMeasures);
      expect(sums.reduce((sum, one) => sum + one.volume, 0)).toBeCloseTo(volume, 9);
      expect(areaOf(parts.map(({ floor }) => floor))).toBeCloseTo(area, 3);
      for (const [j, part] of parts.entries()) expect(polygonArea(part.floor)).toBeCloseTo(sums[j]!.area, 3);
    }
  });

  test.each([0, 1e-7, 1e-6, 1e-5, -1e-6, -1e-5])(
    "along a column's face, %s m off it: the column stays a hole",
    (off) => {
      const line = lineThrough(point(3 + off, 0), point(3 + off, 1));
      const { left, right } = splitCell(whole, line);
      expect(left.length).toBe(1);
      for (const part of [...left, ...right]) expect(polygonArea(part.floor)).toBeCloseTo(cellMeasures(part).area, 3);
      expect(areaOf([...left, ...right].map(({ floor }) => floor))).toBeCloseTo(23, 3);
    },
  );

  test("along a wall, and past it, cuts nothing off", () => {
    for (const x of [0, 1e-6, -1, 6]) {
      const { left, right } = splitCell(whole, lineThrough(point(x, 0), point(x, 1)));
      expect([...left, ...right]).toEqual([whole]);
    }
  });
});

test("a hole that touches the edge of an intersection stays a hole", () => {
  // A line 0.01 mm off a column's face, nearly square to the walls: as a hall with columns was cut.
  const floor: Polygon = {
    outline: ring([
      [32.900074, 13.125001],
      [-0.000016, 13.125044],
      [0, 0],
      [32.900058, -0.000041],
    ]),
    holes: [8.8, 17.8, 26.8].map((x) => ring(rectangle(x, 8.4, 0.4, 0.4)).reverse()),
  };
  const half: Polygon = {
    outline: ring([
      [100.62507872124009, -73.82530526080704],
      [100.6252616503002, 73.82505592490757],
      [26.80008105744289, 73.82514738943763],
      [26.79989812838278, -73.82521379627698],
    ]),
    holes: [],
  };
  const right = areaOf(intersectionOf([floor], [half]));
  const left = areaOf(differenceOf([floor], [half]));
  // About 6.1 m by 13.125 m less the one column in it.
  expect(right).toBeCloseTo(6.1 * 13.125 - 0.16, 2);
  expect(left + right).toBeCloseTo(polygonArea(floor), 3);
});

test("spikes beside a line are taken off a ring, corners of it stay", () => {
  const square = ring(rectangle(0, 0, 2, 2));
  expect(withoutSpikes(square)).toEqual(square);
  const spiked = ring([
    [0, 0],
    [2, 0],
    [2, 5],
    [2.00001, 5],
    [2.00002, 2],
    [0, 2],
  ]);
  expect(withoutSpikes(spiked).every(({ y }) => y <= 2)).toBe(true);
  expect(polygonArea({ outline: withoutSpikes(spiked), holes: [] })).toBeCloseTo(4, 3);
});

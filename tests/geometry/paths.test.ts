import { describe, expect, it } from "vitest";
import { CLEARANCE_M, lengthsBetween, type Passage, shortestPath, walkableFloor } from "../../src/geometry/paths.ts";
import { type Point, type Polygon, point } from "../../src/geometry/point.ts";
import { randomFrom } from "../../src/numeric/random.ts";
import { metres } from "../../src/units.ts";

const box = (x0: number, y0: number, x1: number, y1: number): Point[] => [
  point(x0, y0),
  point(x1, y0),
  point(x1, y1),
  point(x0, y1),
];
const column = (x0: number, y0: number, x1: number, y1: number): Point[] => box(x0, y0, x1, y1).reverse();
const room = (outline: Point[], ...holes: Point[][]): Polygon => ({ outline, holes });

/** Every turn stands off its corner by twice the clearance, across the corner: at most this much longer. */
const worked = (length: number | undefined, expected: number, turns: number) =>
  expect(Math.abs((length ?? NaN) - expected)).toBeLessThanOrEqual(6 * CLEARANCE_M * (turns + 1));

function length(polygons: readonly Polygon[], from: Point, to: Point, passages: readonly Passage[] = []): number {
  const floor = walkableFloor(polygons, passages);
  const [one] = lengthsBetween(floor, [from], [to]);
  const path = shortestPath(floor, from, to);
  expect(path?.length ?? Infinity).toBeCloseTo(one!, 9);
  if (path) {
    let sum = 0;
    for (let k = 1; k < path.places.length; k++)
      sum += Math.hypot(path.places[k]!.x - path.places[k - 1]!.x, path.places[k]!.y - path.places[k - 1]!.y);
    // Ends at a wall are moved off it by the clearance.
    expect(Math.abs(sum - path.length)).toBeLessThan(6 * CLEARANCE_M);
  }
  return one!;
}

describe("hand-worked ways", () => {
  const ten = box(0, 0, 10, 10);
  it("straight across an empty room", () => {
    expect(length([room(ten)], point(1, 1), point(4, 5))).toBe(5);
  });
  it("round one corner of an ell", () => {
    const ell = room([point(0, 0), point(9, 0), point(9, 4), point(5, 4), point(5, 9), point(0, 9)]);
    worked(length([ell], point(2, 8), point(8, 1)), Math.hypot(3, 4) + Math.hypot(3, 3), 1);
  });
  it("round a column: two corners", () => {
    worked(length([room(ten, column(4, 4, 6, 6))], point(1, 5), point(9, 5)), 2 * Math.hypot(3, 1) + 2, 2);
  });
  it("along the faces of two columns and through four corners on one line", () => {
    const floor = room(ten, column(3, 4, 4, 6), column(6, 4, 7, 6));
    worked(length([floor], point(1, 4), point(9, 4)), 8, 4);
  });
  it("between two columns that touch a line from either side", () => {
    const floor = room(ten, column(3, 4, 4, 6), column(6, 2, 7, 4));
    worked(length([floor], point(1, 4), point(9, 4)), 8, 4);
  });
  it("along a wall, from one place on it to another", () => {
    worked(length([room(ten)], point(1, 0), point(9, 0)), 8, 0);
    worked(length([room(ten)], point(0, 0), point(10, 0)), 10, 0);
  });
  it("along a wall with a pilaster standing out from it", () => {
    const wall = room([
      point(0, 0),
      point(4, 0),
      point(4, 1),
      point(6, 1),
      point(6, 0),
      point(10, 0),
      point(10, 5),
      point(0, 5),
    ]);
    worked(length([wall], point(1, 0), point(9, 0)), 2 * Math.hypot(3, 1) + 2, 2);
  });
  it("past a column that leans on the wall", () => {
    worked(length([room(ten, column(4, 0, 6, 3))], point(4, 0), point(6, 0)), 3 + 2 + 3, 2);
  });
  it("from the corner of a column to its opposite corner", () => {
    worked(length([room(ten, column(4, 4, 6, 7))], point(4, 4), point(6, 7)), 5, 3);
  });
});

describe("rooms and doors", () => {
  const left = room(box(0, 0, 5, 8));
  const right = room(box(5, 0, 10, 8));
  const door = { from: point(5, 6), to: point(5, 7) };
  it("a wall without thickness is a wall, and its door a door", () => {
    worked(length([left, right], point(3, 1), point(7, 1), [door]), 2 * Math.hypot(2, 5), 1);
    // Straight through where the line meets the door.
    worked(length([left, right], point(4, 6.5), point(6, 6.5), [door]), 2, 0);
  });
  it("along the wall that both rooms share, through the door and back along its other face", () => {
    worked(length([left, right], point(4.9999, 1), point(5.0001, 1), [door]), 10, 2);
  });
  it("no door, no way", () => {
    expect(length([left, right], point(3, 1), point(7, 1))).toBe(Infinity);
    expect(shortestPath(walkableFloor([left, right], []), point(3, 1), point(7, 1))).toBeUndefined();
  });
  it("a doorway in the thickness of a wall, which belongs to one of the rooms", () => {
    const withDoorway = room([
      point(0, 0),
      point(5, 0),
      point(5, 6),
      point(5.3, 6),
      point(5.3, 7),
      point(5, 7),
      point(5, 8),
      point(0, 8),
    ]);
    const beyond = room(box(5.3, 0, 10, 8));
    const across = { from: point(5.3, 6), to: point(5.3, 7) };
    worked(length([withDoorway, beyond], point(3, 1), point(7.3, 1), [across]), 2 * Math.hypot(2, 5) + 0.3, 2);
  });
  it("rooms that miss each other by a micrometre are joined by their door", () => {
    const off = room(box(5.000001, 0, 10, 8));
    worked(length([left, off], point(3, 1), point(7, 1), [door]), 2 * Math.hypot(2, 5), 1);
  });
  it("three rooms in a row", () => {
    const third = room(box(10, 0, 15, 8));
    const back = { from: point(10, 1), to: point(10, 2) };
    // (1,1) → jamb (5,6) → jamb (10,2) → (14,1).
    worked(
      length([left, right, third], point(1, 1), point(14, 1), [door, back]),
      Math.hypot(4, 5) + Math.hypot(5, 4) + Math.hypot(4, 1),
      2,
    );
  });
});

describe("places", () => {
  const floor = walkableFloor([room(box(0, 0, 10, 10), column(4, 4, 6, 6))], []);
  it("in a column or outside are not on the floor", () => {
    expect([...lengthsBetween(floor, [point(1, 1)], [point(5, 5), point(11, 5), point(1, 2)])]).toEqual([
      Infinity,
      Infinity,
      1,
    ]);
    expect(lengthsBetween(floor, [point(5, 5)], [point(1, 1)])[0]).toBe(Infinity);
  });
  it("beyond the length asked for are out of reach", () => {
    const targets = [point(1, 5), point(9, 5)];
    expect(lengthsBetween(floor, [point(1, 1)], targets, metres(8))[0]).toBe(4);
    expect(lengthsBetween(floor, [point(1, 1)], targets, metres(8))[1]).toBe(Infinity);
  });
  it("rejects a floor without area", () => {
    expect(() => walkableFloor([], [])).toThrow(/without area/);
  });
  it("leaves shut a passage that is narrower than a hair", () => {
    const rooms = [room(box(0, 0, 1, 1)), room(box(1, 0, 2, 1))];
    const wayThrough = (width: number) =>
      lengthsBetween(
        walkableFloor(rooms, [{ from: point(1, 0.5), to: point(1, 0.5 + width) }]),
        [point(0.5, 0.5)],
        [point(1.5, 0.5)],
      )[0];
    expect(wayThrough(0)).toBe(Infinity);
    expect(wayThrough(5e-6)).toBe(Infinity);
    expect(wayThrough(0.4)).toBeCloseTo(1, 2);
  });
});

it("a way there is as long as the way back, and no way is shorter than straight or longer than by way of a third place", () => {
  const random = randomFrom(41);
  const holes = [column(2, 2, 3, 5), column(5, 1, 6, 4), column(4, 6, 8, 6.5), column(7, 2, 9, 3)];
  const floor = walkableFloor([room(box(0, 0, 10, 8), ...holes)], []);
  const inHole = (p: Point) =>
    holes.some((hole) => {
      const xs = hole.map((q) => q.x);
      const ys = hole.map((q) => q.y);
      return p.x >= Math.min(...xs) && p.x <= Math.max(...xs) && p.y >= Math.min(...ys) && p.y <= Math.max(...ys);
    });
  const places: Point[] = [];
  while (places.length < 24) {
    const p = point(10 * random.uniform(), 8 * random.uniform());
    if (!inHole(p)) places.push(p);
  }
  const n = places.length;
  const all = lengthsBetween(floor, places, places);
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < n; j++) {
      expect(all[i * n + j]).toBeCloseTo(all[j * n + i]!, 9);
      expect(all[i * n + j]!).toBeGreaterThan(
        Math.hypot(places[i]!.x - places[j]!.x, places[i]!.y - places[j]!.y) - 1e-9,
      );
      for (let k = 0; k < n; k++) expect(all[i * n + j]!).toBeLessThan(all[i * n + k]! + all[k * n + j]! + 1e-9);
    }
  }
});

/**
 * The referee: Dijkstra over a square grid with moves to 32 directions. A grid way can be walked, so it is
 * never shorter; it is longer by at most 1/cos of half the widest angle between its directions.
 */
class Grid {
  readonly across: number;
  readonly up: number;
  readonly step: number;
  readonly solid: readonly (readonly [number, number, number, number])[];
  constructor(
    width: number,
    height: number,
    step: number,
    solid: readonly (readonly [number, number, number, number])[],
  ) {
    this.across = Math.round(width / step) + 1;
    this.up = Math.round(height / step) + 1;
    this.step = step;
    this.solid = solid;
  }
  /** Strictly inside a solid, by looking at many places along the move. */
  private blocked(x0: number, y0: number, x1: number, y1: number): boolean {
    for (let k = 0; k <= 24; k++) {
      const x = x0 + ((x1 - x0) * k) / 24;
      const y = y0 + ((y1 - y0) * k) / 24;
      if (this.solid.some(([a, b, c, d]) => x > a + 1e-9 && x < c - 1e-9 && y > b + 1e-9 && y < d - 1e-9)) return true;
    }
    return false;
  }
  from(x: number, y: number): Float64Array {
    const { across, up, step } = this;
    const length = new Float64Array(across * up).fill(Infinity);
    const moves: [number, number][] = [];
    for (let dx = -3; dx <= 3; dx++)
      for (let dy = -3; dy <= 3; dy++) if (greatestCommon(Math.abs(dx), Math.abs(dy)) === 1) moves.push([dx, dy]);
    const start = Math.round(y / step) * across + Math.round(x / step);
    length[start] = 0;
    const buckets: number[][] = [[start]];
    const width = step;
    for (let b = 0; b < buckets.length; b++) {
      for (const node of buckets[b] ?? []) {
        const own = length[node]!;
        if (Math.floor(own / width) !== b) continue;
        const cx = node % across;
        const cy = Math.floor(node / across);
        for (const [dx, dy] of moves) {
          const nx = cx + dx;
          const ny = cy + dy;
          if (nx < 0 || ny < 0 || nx >= across || ny >= up) continue;
          const total = own + step * Math.hypot(dx, dy);
          const next = ny * across + nx;
          if (total >= length[next]! || this.blocked(cx * step, cy * step, nx * step, ny * step)) continue;
          length[next] = total;
          const bucket = Math.floor(total / width);
          while (buckets.length <= bucket) buckets.push([]);
          buckets[bucket]!.push(next);
        }
      }
    }
    return length;
  }
}

const greatestCommon = (a: number, b: number): number => (b === 0 ? a : greatestCommon(b, a % b));
/** Between the moves (3, 1) and (1, 0) lies the widest gap: 18.43°. */
const LONGEST_DETOUR = 1 / Math.cos(Math.atan2(1, 3) / 2);

describe("against a fine grid search", () => {
  it.each([1, 2, 3, 4])("random columns, layout %d", (seed) => {
    const random = randomFrom(70 + seed);
    const step = 0.125;
    const width = 8;
    const height = 6;
    // Corners on the grid, so that grid ways can hug the columns as closely as true ones.
    const solid: [number, number, number, number][] = [];
    while (solid.length < 7) {
      const x = 0.5 + random.below(26) / 4;
      const y = 0.5 + random.below(18) / 4;
      const made: [number, number, number, number] = [
        x,
        y,
        Math.min(7.5, x + 0.25 + random.below(8) / 4),
        Math.min(5.5, y + 0.25 + random.below(8) / 4),
      ];
      const clear = solid.every(([a, b, c, d]) => made[2] < a || made[0] > c || made[3] < b || made[1] > d);
      if (clear && made[2] > made[0] && made[3] > made[1]) solid.push(made);
    }
    const floor = walkableFloor(
      [room(box(0, 0, width, height), ...solid.map(([a, b, c, d]) => column(a, b, c, d)))],
      [],
    );
    const grid = new Grid(width, height, step, solid);
    const source = point(0.25, 0.25);
    const byGrid = grid.from(source.x, source.y);
    const targets: Point[] = [];
    for (let cy = 0; cy < grid.up; cy += 5)
      for (let cx = 0; cx < grid.across; cx += 5) {
        const [x, y] = [cx * step, cy * step];
        if (!solid.some(([a, b, c, d]) => x >= a && x <= c && y >= b && y <= d)) targets.push(point(x, y));
      }
    const lengths = lengthsBetween(floor, [source], targets);
    let compared = 0;
    targets.forEach((target, t) => {
      const known = byGrid[Math.round(target.y / step) * grid.across + Math.round(target.x / step)]!;
      expect(lengths[t]!).toBeLessThan(known + 1e-2);
      expect(lengths[t]! * LONGEST_DETOUR).toBeGreaterThan(known - 1e-2);
      compared++;
    });
    expect(compared).toBeGreaterThan(80);
  });
});

it("turning the floor leaves every length alone", () => {
  const holes = [column(2, 2, 3, 5), column(5, 1, 6, 4), column(4, 6, 8, 6.5)];
  const turn = (p: Point): Point => point(100 + 0.8 * p.x - 0.6 * p.y, -40 + 0.6 * p.x + 0.8 * p.y);
  const places = [point(1, 1), point(9, 7), point(4, 3), point(0, 8), point(3, 2), point(8, 6.5)];
  const straight = lengthsBetween(walkableFloor([room(box(0, 0, 10, 8), ...holes)], []), places, places);
  const turned = lengthsBetween(
    walkableFloor([room(box(0, 0, 10, 8).map(turn), ...holes.map((hole) => hole.map(turn)))], []),
    places.map(turn),
    places.map(turn),
  );
  straight.forEach((one, k) => {
    expect(Math.abs(one - turned[k]!)).toBeLessThan(6 * CLEARANCE_M);
  });
});

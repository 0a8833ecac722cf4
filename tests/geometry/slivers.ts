/** Floors to torment geometry with: walls all but in line, corners all but on each other, columns all but at walls. */
import { type Point, type Polygon, point } from "../../src/geometry/point.ts";
import type { RandomSource } from "../../src/numeric/random.ts";
import { type Motion, motion, moved, rectangle, room } from "./made-floors.ts";

/** Steps off a line or a place, in metres: none; far below a hair; about a hundredth of a millimetre; a millimetre. */
const STEPS_M = [0, 1e-12, 1e-9, 1e-8, 1e-7, 1e-6, 4e-6, 9e-6, 1.1e-5, 3e-5, 1e-4, 1e-3];

export function stepOff(random: RandomSource): number {
  const size = STEPS_M[random.below(STEPS_M.length)]!;
  return random.below(2) === 0 ? size : -size;
}

/** A ring round a room of about w × d m, with corners strewn along its walls, some next to each other, each a step off. */
function raggedRing(w: number, d: number, random: RandomSource): Point[] {
  const corners = [point(0, 0), point(w, 0), point(w, d), point(0, d)];
  return corners.flatMap((from, k) => {
    const to = corners[(k + 1) % 4]!;
    const [ux, uy] = [Math.sign(to.x - from.x), Math.sign(to.y - from.y)];
    const length = Math.abs(to.x - from.x) + Math.abs(to.y - from.y);
    const along: number[] = [];
    for (let n = random.below(4); n > 0; n--) {
      const at = length * (0.1 + 0.8 * random.uniform());
      along.push(at);
      // The same corner once more, or all but.
      if (random.below(3) === 0) along.push(at + Math.abs(stepOff(random)));
    }
    return [
      from,
      ...along
        .sort((a, b) => a - b)
        .map((at) => {
          const off = stepOff(random);
          return point(from.x + ux * at - uy * off, from.y + uy * at + ux * off);
        }),
    ];
  });
}

export interface SliverFloor {
  readonly outline: Polygon;
  /** Apart from each other; at a wall or in a corner but for a step, over the wall, or in the middle. */
  readonly columns: readonly Polygon[];
  /** On corners, walls and columns but for a step, and twice the same. */
  readonly points: readonly Point[];
  readonly move: Motion;
}

export function sliverFloor(random: RandomSource): SliverFloor {
  const [w, d] = [3 + 12 * random.uniform(), 3 + 9 * random.uniform()];
  const outline = room(raggedRing(w, d, random));
  const size = () => 0.2 + 0.4 * random.uniform();
  const places: ((a: number, b: number) => [number, number])[] = [
    () => [w * 0.3, stepOff(random)],
    (_, b) => [w * 0.6, d - b + stepOff(random)],
    () => [stepOff(random), d * 0.4],
    (a) => [w - a + stepOff(random), d * 0.55],
    () => [stepOff(random), stepOff(random)],
    (a, b) => [w - a / 2, d - b / 2],
    () => [w * 0.4, d * 0.4],
  ];
  const columns = places.flatMap((place) => {
    if (random.below(3) > 0) return [];
    const [a, b] = [size(), size()];
    const [x, y] = place(a, b);
    return [room(rectangle(x, y, x + a, y + b))];
  });
  const near = [...outline.outline, ...columns.flatMap((column) => column.outline)];
  const points: Point[] = [];
  for (let n = 0; n < 12; n++) {
    const p = near[random.below(near.length)]!;
    const q = near[random.below(near.length)]!;
    const at = random.below(2) === 0 ? 0 : random.uniform();
    points.push(point(p.x + at * (q.x - p.x) + stepOff(random), p.y + at * (q.y - p.y) + stepOff(random)));
    if (n % 4 === 0) points.push(point(points.at(-1)!.x + stepOff(random), points.at(-1)!.y));
  }
  const move = motion(
    random.below(3) === 0 ? 0 : 6.28 * random.uniform(),
    [0, 0, 30, 3000][random.below(4)]!,
    [0, 0, -70, 9000][random.below(4)]!,
  );
  return {
    outline: moved(outline, move),
    columns: columns.map((column) => moved(column, move)),
    points: points.map(move),
    move,
  };
}

/** Where the hose ends: the places of the floor that it just reaches, as lines to be drawn. */
import { lengthsBetween, type WalkableFloor } from "../geometry/paths.ts";
import { type Point, point } from "../geometry/point.ts";
import type { Bounds } from "../geometry/polygon.ts";
import { type Metres, metres } from "../units.ts";

/** Squares in which lengths are interpolated: on paper a few millimetres, as the drawing needs it. */
const STEP_M = 0.3;

/**
 * Lines of equal length of hose, `atMost` metres from the place along the floor, by interpolation in squares (marching
 * squares). Squares that a wall or a column cuts are left out, so lines end a step short of them. No line
 * where the hose reaches every place within `bounds`.
 */
export function reachEdge(floor: WalkableFloor, from: Point, atMost: Metres, bounds: Bounds): Point[][] {
  const low = (bound: number, place: number): number => Math.max(bound, place - atMost - STEP_M);
  const high = (bound: number, place: number): number => Math.min(bound, place + atMost + STEP_M);
  const [minX, minY] = [low(bounds.minX, from.x), low(bounds.minY, from.y)];
  const east = Math.ceil((high(bounds.maxX, from.x) - minX) / STEP_M);
  const north = Math.ceil((high(bounds.maxY, from.y) - minY) / STEP_M);
  const place = (i: number, j: number): Point => point(minX + i * STEP_M, minY + j * STEP_M);
  const places: Point[] = [];
  for (let j = 0; j <= north; j++) for (let i = 0; i <= east; i++) places.push(place(i, j));
  const lengths = lengthsBetween(floor, [from], places, metres(atMost + 2 * STEP_M));

  const segments: (readonly [Crossing, Crossing])[] = [];
  for (let j = 0; j < north; j++) {
    for (let i = 0; i < east; i++) {
      // Round the square: south-west, south-east, north-east, north-west.
      const corners = [
        [i, j],
        [i + 1, j],
        [i + 1, j + 1],
        [i, j + 1],
      ] as const;
      const over = corners.map(([a, b]) => lengths[b * (east + 1) + a]! - atMost);
      if (!over.every(Number.isFinite)) continue;
      const crossings = over.flatMap((value, k): Crossing[] => {
        const next = over[(k + 1) % 4]!;
        if (value > 0 === next > 0) return [];
        const [a, b] = [corners[k]!, corners[(k + 1) % 4]!];
        const share = value / (value - next);
        const at = point(
          place(...a).x + share * (b[0] - a[0]) * STEP_M,
          place(...a).y + share * (b[1] - a[1]) * STEP_M,
        );
        const ends = [a[1] * (east + 1) + a[0], b[1] * (east + 1) + b[0]].sort((p, q) => p - q);
        return [{ name: ends.join(), at }];
      });
      for (let k = 0; k + 1 < crossings.length; k += 2) segments.push([crossings[k]!, crossings[k + 1]!]);
    }
  }
  return chained(segments);
}

/** Where the line crosses a side of a square; neighbouring squares name the side alike. */
interface Crossing {
  readonly name: string;
  readonly at: Point;
}

/** Segments that share a side joined into lines, in the order in which they were found. */
function chained(segments: readonly (readonly [Crossing, Crossing])[]): Point[][] {
  const at = new Map<string, number[]>();
  segments.forEach((segment, k) => {
    for (const { name } of segment) at.set(name, [...(at.get(name) ?? []), k]);
  });
  const used = new Set<number>();
  const lines: Point[][] = [];
  segments.forEach((segment, start) => {
    if (used.has(start)) return;
    used.add(start);
    const line = segment.map((one) => one.at);
    for (const forward of [true, false]) {
      let end = segment[forward ? 1 : 0];
      for (;;) {
        const next = at.get(end.name)?.find((k) => !used.has(k));
        if (next === undefined) break;
        used.add(next);
        const [a, b] = segments[next]!;
        end = a.name === end.name ? b : a;
        if (forward) line.push(end.at);
        else line.unshift(end.at);
      }
    }
    lines.push(line);
  });
  return lines;
}

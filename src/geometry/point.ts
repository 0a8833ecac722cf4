/** Plan points: metres, x east, y north. */
import type { Metres } from "../units.ts";

export interface Point {
  readonly x: Metres;
  readonly y: Metres;
}

/** A closed ring without a repeated last point. Outlines run counter-clockwise, holes clockwise. */
export type Ring = readonly Point[];

/** An outline and the holes in it. */
export interface Polygon {
  readonly outline: Ring;
  readonly holes: readonly Ring[];
}

export const point = (x: number, y: number): Point => ({ x: x as Metres, y: y as Metres });

export const distance = (a: Point, b: Point): Metres => Math.hypot(b.x - a.x, b.y - a.y) as Metres;

/** The point at `along` metres from a towards b. */
export function pointAlong(a: Point, b: Point, along: number): Point {
  const t = along / distance(a, b);
  return point(a.x + (b.x - a.x) * t, a.y + (b.y - a.y) * t);
}

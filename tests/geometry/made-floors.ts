/** Floors for the geometry tests: rooms turned and moved, points in awkward places. */
import { type Point, type Polygon, point, type Ring } from "../../src/geometry/point.ts";
import type { RandomSource } from "../../src/numeric/random.ts";

export const ring = (...corners: readonly (readonly [number, number])[]): Point[] =>
  corners.map(([x, y]) => point(x, y));

export const rectangle = (x0: number, y0: number, x1: number, y1: number): Point[] =>
  ring([x0, y0], [x1, y0], [x1, y1], [x0, y1]);

export const room = (outline: Ring, ...holes: Ring[]): Polygon => ({ outline, holes });

/** Turns by an angle round the origin, then moves. */
export type Motion = (p: Point) => Point;

export const motion = (angle: number, dx: number, dy: number): Motion => {
  const cos = Math.cos(angle);
  const sin = Math.sin(angle);
  return (p) => point(cos * p.x - sin * p.y + dx, sin * p.x + cos * p.y + dy);
};

export const moved = (polygon: Polygon, move: Motion): Polygon => ({
  outline: polygon.outline.map(move),
  holes: polygon.holes.map((hole) => hole.map(move)),
});

/** A grid of points from (x0, y0), rows first; every point inside the box of the polygon's corners. */
export function grid(x0: number, y0: number, x1: number, y1: number, spacing: number): Point[] {
  const points: Point[] = [];
  for (let row = 0; y0 + row * spacing <= y1; row++)
    for (let column = 0; x0 + column * spacing <= x1; column++)
      points.push(point(x0 + column * spacing, y0 + row * spacing));
  return points;
}

/** A room with a column and points on its walls, next to them by 1e-3 to 1e-9 m, nearly in line, and twice the same. */
export function awkwardRoom(random: RandomSource): { polygon: Polygon; points: Point[] } {
  const width = 3 + 20 * random.uniform();
  const depth = 3 + 12 * random.uniform();
  const polygon = room(
    rectangle(0, 0, width, depth),
    rectangle(width * 0.4, depth * 0.4, width * 0.5, depth * 0.5).reverse(),
  );
  const points: Point[] = [];
  const walls = 4 + random.below(20);
  for (let k = 0; k < walls; k++) {
    // On the wall, or off it into the room by a power of ten; the outermost ones are past the wall but within 0.01 mm.
    const off = [0, 1e-3, 1e-4, 2e-5, 1e-6, 1e-7, 1e-8, 1e-9, -1e-9, -1e-6][random.below(10)]!;
    const along = random.uniform();
    const side = random.below(4);
    if (side === 0) points.push(point(along * width, off));
    else if (side === 1) points.push(point(width - off, along * depth));
    else if (side === 2) points.push(point(along * width, depth - off));
    else points.push(point(off, along * depth));
  }
  // A row along the room that is straight but for 1e-9 m.
  for (let k = 1; k < 8; k++) points.push(point((k * width) / 8, depth * 0.25 + 1e-9 * random.normal()));
  for (const p of grid(0.3, 0.3, width - 0.05, depth * 0.39, 1.1)) points.push(p);
  points.push(points[0]!, points[points.length - 2]!, point(points[3]!.x, points[3]!.y));
  return { polygon, points };
}

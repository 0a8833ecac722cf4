/** The floor that is nearer to one reading than to any other: what a change of its level acts on. */
import type { Point, Ring } from "../geometry/point.ts";
import { signedArea } from "../geometry/polygon.ts";
import type { RoomFloor } from "../layout/model.ts";
import { type SquareMetres, squareMetres } from "../units.ts";

/** Area of the part of the room's floor that is nearer to `at` than to any of `others` in that room. */
export function nearestFloor(floor: RoomFloor, at: Point, others: readonly Point[]): SquareMetres {
  // A half plane cuts any ring right as far as area goes, even where the ring falls into parts.
  let area = 0;
  const rings = [floor.polygon.outline, ...floor.polygon.holes];
  for (let k = 0; k < rings.length; k++) {
    let ring: readonly Point[] = rings[k]!;
    for (const other of others) {
      if (ring.length === 0) break;
      if (other.x === at.x && other.y === at.y) continue;
      ring = nearerPart(ring, at, other);
    }
    area += (k === 0 ? 1 : -1) * Math.abs(signedArea(ring));
  }
  return squareMetres(Math.max(0, area));
}

/** Sutherland & Hodgman, "Reentrant polygon clipping", Communications of the ACM 17 (1974), against one line. */
function nearerPart(ring: Ring, at: Point, other: Point): Point[] {
  const nx = other.x - at.x;
  const ny = other.y - at.y;
  const middle = (nx * (at.x + other.x) + ny * (at.y + other.y)) / 2;
  const kept: Point[] = [];
  for (let k = 0; k < ring.length; k++) {
    const a = ring[k]!;
    const b = ring[(k + 1) % ring.length]!;
    const beyondA = nx * a.x + ny * a.y - middle;
    const beyondB = nx * b.x + ny * b.y - middle;
    if (beyondA <= 0) kept.push(a);
    if (beyondA <= 0 !== beyondB <= 0) {
      const t = beyondA / (beyondA - beyondB);
      kept.push({ x: a.x + t * (b.x - a.x), y: a.y + t * (b.y - a.y) });
    }
  }
  return kept;
}

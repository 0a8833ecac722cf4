/** Places along walls, columns and door edges at which the slab's surface gets vertices of its own. */
import { distance, type Point, type Polygon, point } from "../geometry/point.ts";
import type { Metres } from "../units.ts";

/**
 * Divides every edge of the floor into equal parts no longer than the usual distance between readings, so that
 * the surface can bend along a wall as it does between readings. Corners themselves are left out.
 */
export function wallPoints(floor: Polygon, spacing: Metres): Point[] {
  return [floor.outline, ...floor.holes].flatMap((ring) =>
    ring.flatMap((a, k) => {
      const b = ring[(k + 1) % ring.length]!;
      // A wall of just whole parts stays so when turning the plan lengthens it by rounding.
      const parts = Math.ceil(distance(a, b) / spacing - 1e-9);
      return Array.from({ length: Math.max(0, parts - 1) }, (_, j) => {
        const t = (j + 1) / parts;
        return point(a.x + t * (b.x - a.x), a.y + t * (b.y - a.y));
      });
    }),
  );
}

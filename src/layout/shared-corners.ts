/**
 * Rings that touch made to share their corners. A column that stands on a wall but for the rounding of its measures
 * would leave a passage, or a strip over the wall, thinner than any place is told apart.
 */
import { distance, type Point, type Ring } from "../geometry/point.ts";
import { nearestOnSegment, ON_LINE_M } from "../geometry/polygon.ts";

/**
 * The rings in their order, metres. A corner within ON_LINE_M of one of an earlier ring takes its place; a corner that
 * near to another ring's side becomes a corner of that side too. So sides that ran all but together run together.
 */
export function withSharedCorners(rings: readonly Ring[]): Point[][] {
  const settled: Point[] = [];
  const cornered = rings.map((ring) => {
    const own = ring.map((p) => settled.find((q) => distance(p, q) <= ON_LINE_M) ?? p);
    settled.push(...own);
    return own;
  });
  return cornered.map((ring, k) => {
    const others = cornered.flatMap((other, j) => (j === k ? [] : other));
    return withoutRepeats(
      ring.flatMap((from, at) => [from, ...along(from, ring[(at + 1) % ring.length] as Point, others)]),
    );
  });
}

/** Those of the places that lie as good as on the side between two corners, in order. */
function along(from: Point, to: Point, places: readonly Point[]): Point[] {
  return places
    .filter(
      (p) =>
        p !== from &&
        p !== to &&
        distance(p, from) > ON_LINE_M &&
        distance(p, to) > ON_LINE_M &&
        distance(p, nearestOnSegment(p, from, to)) <= ON_LINE_M,
    )
    .sort((p, q) => distance(from, p) - distance(from, q));
}

/** A place that follows itself is left out, also where the last corner is the first. */
const withoutRepeats = (ring: readonly Point[]): Point[] =>
  ring.filter((p, k) => p !== ring[(k + ring.length - 1) % ring.length]);

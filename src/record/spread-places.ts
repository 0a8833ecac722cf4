/** Places spread evenly over the floor, clear of walls: where tests of the substrate are proposed. */
import { distance, type Point, point } from "../geometry/point.ts";
import { boundsOf, nearestOnRing, placeAgainstRing, polygonArea } from "../geometry/polygon.ts";
import type { Plan } from "../layout/model.ts";
import type { Metres } from "../units.ts";

/** So many places to choose from: fine enough that a place is off by less than a step of a person. */
const CANDIDATES = 2500;
const FINEST_M = 0.3;
/** Clear of walls and columns where there is room, else nearer (common practice). */
const CLEARANCES_M = [0.9, 0.45, 0.15, 0];
/** Means settle long before this. */
const MOST_ROUNDS = 20;

/**
 * `count` places inside the rooms, fewer where the floor is too small for them: k-means over a fine grid
 * (Lloyd, "Least squares quantization in PCM", IEEE Transactions on Information Theory 28 (1982)), started by the
 * farthest place from those chosen (Gonzalez, Theoretical Computer Science 38 (1985)). In such an order that the
 * first k are spread too. The same floor gives the same places.
 */
export function spreadPlaces({ floors }: Pick<Plan, "floors">, count: number): Point[] {
  const candidates = candidatesOn(floors, count);
  if (candidates.length === 0 || count < 1) return [];
  let centres = farthestFirst(candidates, Math.min(count, candidates.length));
  for (let round = 0; round < MOST_ROUNDS; round++) {
    const next = settled(candidates, centres);
    const same = next.every((at, k) => at === centres[k]);
    centres = next;
    if (same) break;
  }
  return farthestFirst(centres, centres.length);
}

function candidatesOn(floors: Plan["floors"], count: number): Point[] {
  const area = floors.reduce((sum, { polygon }) => sum + polygonArea(polygon), 0);
  const coarse = Math.sqrt(area / Math.max(CANDIDATES, 4 * count));
  const step = Math.min(Math.max(coarse, FINEST_M), Math.max(coarse, Math.sqrt(area / (4 * Math.max(1, count)))));
  for (const clearance of CLEARANCES_M) {
    const found = floors.flatMap((floor) => insideRoom(floor, step, clearance));
    if (found.length >= count) return found;
  }
  return floors.flatMap((floor) => insideRoom(floor, step / 4, 0));
}

function insideRoom({ polygon }: Plan["floors"][number], step: Metres, clearance: Metres): Point[] {
  const { minX, minY, maxX, maxY } = boundsOf(polygon.outline);
  const [columns, rows] = [Math.ceil((maxX - minX) / step), Math.ceil((maxY - minY) / step)];
  const rings = [polygon.outline, ...polygon.holes];
  const found: Point[] = [];
  for (let row = 0; row < rows; row++) {
    for (let column = 0; column < columns; column++) {
      // Cells of equal size, a candidate in the middle of each.
      const at = point(minX + ((maxX - minX) * (column + 0.5)) / columns, minY + ((maxY - minY) * (row + 0.5)) / rows);
      if (placeAgainstRing(polygon.outline, at) !== "inside") continue;
      if (polygon.holes.some((hole) => placeAgainstRing(hole, at) !== "outside")) continue;
      if (rings.some((ring) => nearestOnRing(at, ring).distance < clearance)) continue;
      found.push(at);
    }
  }
  return found;
}

/** The first is the one nearest to the middle of all; each next one is the farthest from those before it. */
function farthestFirst(from: readonly Point[], count: number): Point[] {
  const first = nearest(from, meanOf(from));
  const chosen = [first];
  const gaps = from.map((at) => distance(at, first));
  while (chosen.length < count) {
    const next = gaps.reduce((best, gap, k) => (gap > gaps[best]! ? k : best), 0);
    const at = from[next]!;
    chosen.push(at);
    for (const [k, other] of from.entries()) gaps[k] = Math.min(gaps[k]!, distance(other, at));
  }
  return chosen;
}

/** Each centre moved to the candidate nearest to the mean of its own. */
function settled(candidates: readonly Point[], centres: readonly Point[]): Point[] {
  const own: Point[][] = centres.map(() => []);
  for (const at of candidates) {
    let best = 0;
    for (let k = 1; k < centres.length; k++) if (isNearer(at, centres[k]!, centres[best]!)) best = k;
    own[best]!.push(at);
  }
  return own.map((members, k) => (members.length === 0 ? centres[k]! : nearest(members, meanOf(members))));
}

const meanOf = (places: readonly Point[]): Point =>
  point(
    places.reduce((sum, { x }) => sum + x, 0) / places.length,
    places.reduce((sum, { y }) => sum + y, 0) / places.length,
  );

const nearest = (places: readonly Point[], to: Point): Point =>
  places.reduce((best, at) => (isNearer(to, at, best) ? at : best));

/** Squares differ by this share where roots cannot be told apart. */
const SAME_SQUARE = 1e-12;

/** Whether `at` is nearer to p than to q. Roots are slow, and are taken where squares do not decide. */
function isNearer(at: Point, p: Point, q: Point): boolean {
  const toP = (at.x - p.x) ** 2 + (at.y - p.y) ** 2;
  const toQ = (at.x - q.x) ** 2 + (at.y - q.y) ** 2;
  return Math.abs(toP - toQ) > SAME_SQUARE * toQ ? toP < toQ : distance(at, p) < distance(at, q);
}

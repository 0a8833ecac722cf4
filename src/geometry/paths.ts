/**
 * Shortest ways along the floor: a hose, or someone walking, round walls and columns and through
 * doors. Every shortest way is a chain of straight lines that turn only at corners standing out into the floor
 * (Lozano-Pérez & Wesley, "An algorithm for planning collision-free paths among polyhedral obstacles",
 * Communications of the ACM 22 (1979)); the corners that see each other make a graph (Dijkstra, 1959).
 *
 * Plan coordinates in metres. Ways keep CLEARANCE_M off every wall: so a way along a wall, or one through several
 * corners on a line, needs no special case, and walls without thickness stay walls. A way round n corners
 * comes out longer by less than 3 n CLEARANCE_M.
 */
import { orient2d } from "robust-predicates";
import { type Metres, metres } from "../units.ts";
import { type Point, type Polygon, point, type Ring } from "./point.ts";
import { type Bounds, boundsOf, differenceOf, nearestOnRing, offsetRing, polygonContains, unionOf } from "./polygon.ts";
import { type Blockers, blockersOf, seesThrough } from "./visibility.ts";

/** Far below what a hose or a tape shows, fifty times the grid of the polygon operations. */
export const CLEARANCE_M = 5e-5;

/** A place this far off the floor still counts as at its edge: a millimetre, the finest mark of a tape. */
const AT_EDGE_M = 1e-3;

/** Where two of the polygons touch and one can go through: the line across a doorway. Elsewhere a shared edge is a wall. */
export interface Passage {
  readonly from: Point;
  readonly to: Point;
}

export interface WalkableFloor {
  /** The floor, CLEARANCE_M off its walls, less another CLEARANCE_M: where ways turn, and where places are moved to. */
  readonly inner: readonly { readonly polygon: Polygon; readonly boxes: readonly Bounds[] }[];
  readonly blockers: Blockers;
  /** Corners that stand out into the floor. */
  readonly corners: readonly Corner[];
  /** Corners seen from each corner along which a way can turn, with the distance. */
  readonly links: readonly (readonly Link[])[];
}

/** A corner with the normals of the edges before and after it, of length 1, to the side of the floor. */
interface Corner {
  readonly at: Point;
  readonly beforeX: number;
  readonly beforeY: number;
  readonly afterX: number;
  readonly afterY: number;
}

interface Link {
  readonly to: number;
  readonly length: number;
}

export interface FloorPath {
  readonly length: Metres;
  /** From the start to the end, both included, turning at each place between. */
  readonly places: readonly Point[];
}

/** Builds what `lengthsBetween` and `shortestPath` work on; worth keeping for all ways over one floor. */
export function walkableFloor(polygons: readonly Polygon[], passages: readonly Passage[]): WalkableFloor {
  const within = (clearance: number): Polygon[] =>
    unionOf([
      ...polygons.flatMap((polygon) => shrunk(polygon, clearance)),
      ...passages.filter(isWide).map((passage) => opening(passage, clearance)),
    ]);
  const outer = within(CLEARANCE_M);
  const inner = within(2 * CLEARANCE_M);
  if (inner.length === 0) throw new Error("a floor without area has no ways");
  const blockers = blockersOf(outer.flatMap(ringsOf));
  const corners = inner.flatMap(ringsOf).flatMap(standingOut);
  const links: Link[][] = corners.map(() => []);
  for (let u = 0; u < corners.length; u++) {
    for (let v = u + 1; v < corners.length; v++) {
      const a = corners[u]!;
      const b = corners[v]!;
      if (!turnsAt(b, a.at.x, a.at.y) || !turnsAt(a, b.at.x, b.at.y)) continue;
      if (!seesThrough(blockers, a.at.x, a.at.y, b.at.x, b.at.y)) continue;
      const length = Math.hypot(b.at.x - a.at.x, b.at.y - a.at.y);
      links[u]!.push({ to: v, length });
      links[v]!.push({ to: u, length });
    }
  }
  const boxed = inner.map((polygon) => ({ polygon, boxes: ringsOf(polygon).map((ring) => boundsOf(ring)) }));
  return { inner: boxed, blockers, corners, links };
}

/**
 * Lengths in metres from each source to each target, row by row: entry s·targets + t. Infinity where
 * there is no way, where a place is not on the floor, or where the way is longer than `atMost`.
 */
export function lengthsBetween(
  floor: WalkableFloor,
  sources: readonly Point[],
  targets: readonly Point[],
  atMost: Metres = metres(Infinity),
): Float64Array {
  const lengths = new Float64Array(sources.length * targets.length).fill(Infinity);
  const ends = targets.map((target) => onFloor(floor, target));
  /** 1 where a corner sees a target, 2 where it does not, 0 where nobody asked yet. */
  const known = new Uint8Array(floor.corners.length * targets.length);
  sources.forEach((source, s) => {
    const start = onFloor(floor, source);
    if (!start) return;
    const { reached } = spread(floor, start, atMost);
    ends.forEach((end, t) => {
      if (!end) return;
      const direct = Math.hypot(end.x - start.x, end.y - start.y);
      if (direct > atMost) return;
      let best = Infinity;
      if (seesThrough(floor.blockers, start.x, start.y, end.x, end.y)) best = direct;
      else {
        for (let c = 0; c < floor.corners.length; c++) {
          const total = reached[c]! + Math.hypot(end.x - floor.corners[c]!.at.x, end.y - floor.corners[c]!.at.y);
          if (!(total < best) || total > atMost) continue;
          const asked = c * targets.length + t;
          if (known[asked] === 0) known[asked] = seesFromCorner(floor, c, end) ? 1 : 2;
          if (known[asked] === 1) best = total;
        }
      }
      if (best <= atMost) lengths[s * targets.length + t] = best;
    });
  });
  return lengths;
}

/** Straight distances in metres where a source sees a target, as `lengthsBetween` orders them; Infinity where it does not. */
export function seesAcross(floor: WalkableFloor, sources: readonly Point[], targets: readonly Point[]): Float64Array {
  const distances = new Float64Array(sources.length * targets.length).fill(Infinity);
  const ends = targets.map((target) => onFloor(floor, target));
  sources.forEach((source, s) => {
    const start = onFloor(floor, source);
    if (!start) return;
    ends.forEach((end, t) => {
      if (end && seesThrough(floor.blockers, start.x, start.y, end.x, end.y))
        distances[s * targets.length + t] = Math.hypot(end.x - start.x, end.y - start.y);
    });
  });
  return distances;
}

/** The shortest way, with the places where it turns; undefined where there is none or a place is not on the floor. */
export function shortestPath(floor: WalkableFloor, from: Point, to: Point): FloorPath | undefined {
  const start = onFloor(floor, from);
  const end = onFloor(floor, to);
  if (!start || !end) return undefined;
  const direct = Math.hypot(end.x - start.x, end.y - start.y);
  if (seesThrough(floor.blockers, start.x, start.y, end.x, end.y))
    return { length: metres(direct), places: [from, to] };
  const { reached, cameFrom } = spread(floor, start, Infinity);
  let best = Infinity;
  let last = -1;
  floor.corners.forEach(({ at }, c) => {
    const total = reached[c]! + Math.hypot(end.x - at.x, end.y - at.y);
    if (total < best && seesFromCorner(floor, c, end)) {
      best = total;
      last = c;
    }
  });
  if (last < 0) return undefined;
  const turns: Point[] = [];
  for (let c = last; c >= 0; c = cameFrom[c]!) turns.push(floor.corners[c]!.at);
  return { length: metres(best), places: [from, ...turns.reverse(), to] };
}

/** The place as ways use it: itself, or moved off the wall that it stands at; undefined off the floor. */
function onFloor({ inner }: WalkableFloor, place: Point): Point | undefined {
  let nearest: Point | undefined;
  let away = AT_EDGE_M;
  for (const { polygon, boxes } of inner) {
    // Rings farther off than a place can be moved say nothing of it: columns by the hundred are passed over.
    const near = (k: number): boolean => isNear(boxes[k]!, place);
    if (!near(0)) continue;
    const holes = polygon.holes.filter((_, k) => near(k + 1));
    if (polygonContains({ outline: polygon.outline, holes }, place)) return place;
    for (const ring of [polygon.outline, ...holes]) {
      const { at, distance } = nearestOnRing(place, ring);
      if (distance > away) continue;
      away = distance;
      nearest = at;
    }
  }
  return nearest;
}

const isNear = (box: Bounds, place: Point): boolean =>
  place.x > box.minX - AT_EDGE_M &&
  place.x < box.maxX + AT_EDGE_M &&
  place.y > box.minY - AT_EDGE_M &&
  place.y < box.maxY + AT_EDGE_M;

/** Dijkstra's algorithm from a place to all corners; the plain form, for the links are many. */
function spread(
  floor: WalkableFloor,
  start: Point,
  atMost: number,
): { readonly reached: Float64Array; readonly cameFrom: Int32Array } {
  const { corners, links } = floor;
  const reached = new Float64Array(corners.length).fill(Infinity);
  const cameFrom = new Int32Array(corners.length).fill(-1);
  const done = new Uint8Array(corners.length);
  corners.forEach(({ at }, c) => {
    const length = Math.hypot(at.x - start.x, at.y - start.y);
    if (length <= atMost && seesFromCorner(floor, c, start)) reached[c] = length;
  });
  for (;;) {
    let next = -1;
    for (let c = 0; c < corners.length; c++)
      if (done[c] === 0 && reached[c]! <= atMost && (next < 0 || reached[c]! < reached[next]!)) next = c;
    if (next < 0 || reached[next] === Infinity) return { reached, cameFrom };
    done[next] = 1;
    for (const { to, length } of links[next]!) {
      const through = reached[next]! + length;
      if (through >= reached[to]!) continue;
      reached[to] = through;
      cameFrom[to] = next;
    }
  }
}

const seesFromCorner = (floor: WalkableFloor, c: number, place: Point): boolean => {
  const corner = floor.corners[c]!;
  return turnsAt(corner, place.x, place.y) && seesThrough(floor.blockers, corner.at.x, corner.at.y, place.x, place.y);
};

/**
 * A shortest way that comes from `place` can turn at the corner only where it comes along one of its two edges: in
 * front of one of their lines and not in front of the other. In front of both there is a shorter way on; behind both
 * the corner's own column stands between. A place within the clearance of a line counts as on either side of it.
 */
function turnsAt(corner: Corner, x: number, y: number): boolean {
  const before = corner.beforeX * (x - corner.at.x) + corner.beforeY * (y - corner.at.y);
  const after = corner.afterX * (x - corner.at.x) + corner.afterY * (y - corner.at.y);
  const front = before > CLEARANCE_M && after > CLEARANCE_M;
  const behind = before < -CLEARANCE_M && after < -CLEARANCE_M;
  return !front && !behind;
}

/** Corners at which the floor turns more than half round; it lies to the left of every ring. */
function standingOut(ring: Ring): Corner[] {
  return ring.flatMap((at, k) => {
    const before = ring[(k + ring.length - 1) % ring.length]!;
    const after = ring[(k + 1) % ring.length]!;
    // orient2d is negative for counter-clockwise with y up.
    if (orient2d(before.x, before.y, at.x, at.y, after.x, after.y) <= 0) return [];
    const lengthBefore = Math.hypot(at.x - before.x, at.y - before.y);
    const lengthAfter = Math.hypot(after.x - at.x, after.y - at.y);
    return [
      {
        at,
        beforeX: -(at.y - before.y) / lengthBefore,
        beforeY: (at.x - before.x) / lengthBefore,
        afterX: -(after.y - at.y) / lengthAfter,
        afterY: (after.x - at.x) / lengthAfter,
      },
    ];
  });
}

const ringsOf = (polygon: Polygon): Ring[] => [polygon.outline, ...polygon.holes];

function shrunk(polygon: Polygon, by: number): Polygon[] {
  return differenceOf(
    offsetRing(polygon.outline, metres(-by)),
    polygon.holes.flatMap((hole) => offsetRing(hole, metres(by))),
  );
}

/** A passage narrower than the clearances on its two sides, such as a column leaves beside a jamb, lets nothing through. */
const isWide = ({ from, to }: Passage): boolean => Math.hypot(to.x - from.x, to.y - from.y) > 4 * CLEARANCE_M;

/** The bridge over a passage: off its jambs by the clearance, and reaching well into the floor on both sides. */
function opening({ from, to }: Passage, clearance: number): Polygon {
  const length = Math.hypot(to.x - from.x, to.y - from.y);
  const ex = (to.x - from.x) / length;
  const ey = (to.y - from.y) / length;
  const side = REACH_IN_M;
  const corner = (along: number, across: number): Point =>
    point(from.x + ex * along - ey * across, from.y + ey * along + ex * across);
  return {
    outline: [
      corner(clearance, -side),
      corner(length - clearance, -side),
      corner(length - clearance, side),
      corner(clearance, side),
    ],
    holes: [],
  };
}

/** Rooms meet at a doorway within the rounding of their outlines; a millimetre bridges any that is one floor on a plan. */
const REACH_IN_M = 1e-3;

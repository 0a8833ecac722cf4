/**
 * Plane polygons: measures, containment, crossings, hulls, and boolean operations.
 * Plan coordinates in metres, x east, y north; outlines counter-clockwise, holes clockwise.
 */
import { Clipper, ClipType, EndType, FillRule, JoinType, type Paths64, type PolyPath64, PolyTree64 } from "clipper2-ts";
import { orient2d } from "robust-predicates";
import type { Metres, SquareMetres } from "../units.ts";
import { type Point, type Polygon, point, type Ring } from "./point.ts";

/**
 * How near to a line a place counts as on it: 0.01 mm, a hundredth of the finest mark of a tape (1 mm),
 * and ten times the grid on which boolean operations leave their corners.
 */
export const ON_LINE_M = 1e-5;

/** The grid of boolean operations: corners that they make lie on whole micrometres. */
const OPERATION_GRID_M = 1e-6;

export interface Bounds {
  readonly minX: Metres;
  readonly minY: Metres;
  readonly maxX: Metres;
  readonly maxY: Metres;
}

/** The box round the points. Throws where there is none. */
export function boundsOf(points: Iterable<Point>): Bounds {
  let minX = Infinity;
  let minY = Infinity;
  let maxX = -Infinity;
  let maxY = -Infinity;
  for (const p of points) {
    if (p.x < minX) minX = p.x;
    if (p.x > maxX) maxX = p.x;
    if (p.y < minY) minY = p.y;
    if (p.y > maxY) maxY = p.y;
  }
  if (!(minX <= maxX && minY <= maxY)) throw new Error("the bounds of no point, or of a point that is not a number");
  return { minX: minX as Metres, minY: minY as Metres, maxX: maxX as Metres, maxY: maxY as Metres };
}

/** Area of a ring, positive where it runs counter-clockwise (shoelace formula, taken from the first corner). */
export function signedArea(ring: Ring): SquareMetres {
  const first = ring[0];
  if (!first) return 0 as SquareMetres;
  let twice = 0;
  for (let k = 1; k + 1 < ring.length; k++) {
    const a = ring[k]!;
    const b = ring[k + 1]!;
    twice += (a.x - first.x) * (b.y - first.y) - (b.x - first.x) * (a.y - first.y);
  }
  return (twice / 2) as SquareMetres;
}

/** Area of the outline less its holes, whichever way the rings run. */
export function polygonArea(polygon: Polygon): SquareMetres {
  let area = Math.abs(signedArea(polygon.outline));
  for (const hole of polygon.holes) area -= Math.abs(signedArea(hole));
  return area as SquareMetres;
}

/** Centre of area, holes left out. Throws for a polygon without area. */
export function centroid(polygon: Polygon): Point {
  const origin = polygon.outline[0];
  if (!origin) throw new Error("the centroid of a polygon without corners");
  let area = 0;
  let momentX = 0;
  let momentY = 0;
  const add = (ring: Ring, sign: 1 | -1) => {
    const turn = signedArea(ring) < 0 ? -sign : sign;
    for (let k = 0; k < ring.length; k++) {
      const a = ring[k]!;
      const b = ring[(k + 1) % ring.length]!;
      const ax = a.x - origin.x;
      const ay = a.y - origin.y;
      const bx = b.x - origin.x;
      const by = b.y - origin.y;
      const cross = turn * (ax * by - bx * ay);
      area += cross / 2;
      momentX += (cross * (ax + bx)) / 6;
      momentY += (cross * (ay + by)) / 6;
    }
  };
  add(polygon.outline, 1);
  for (const hole of polygon.holes) add(hole, -1);
  if (!(area > 0)) throw new Error("the centroid of a polygon without area");
  return point(origin.x + momentX / area, origin.y + momentY / area);
}

/** The place on the segment from a to b that is nearest to p. */
export function nearestOnSegment(p: Point, a: Point, b: Point): Point {
  const dx = b.x - a.x;
  const dy = b.y - a.y;
  const squared = dx * dx + dy * dy;
  if (squared === 0) return a;
  const t = ((p.x - a.x) * dx + (p.y - a.y) * dy) / squared;
  if (t <= 0) return a;
  if (t >= 1) return b;
  return point(a.x + t * dx, a.y + t * dy);
}

export function distanceToSegment(p: Point, a: Point, b: Point): Metres {
  const q = nearestOnSegment(p, a, b);
  return Math.hypot(p.x - q.x, p.y - q.y) as Metres;
}

/** The nearest place on a closed ring, the edge that it lies on (edge k runs from corner k), and how far it is. */
export function nearestOnRing(p: Point, ring: Ring): { at: Point; edge: number; distance: Metres } {
  let best = { at: p, edge: -1, distance: Infinity as Metres };
  for (let k = 0; k < ring.length; k++) {
    const at = nearestOnSegment(p, ring[k]!, ring[(k + 1) % ring.length]!);
    const distance = Math.hypot(p.x - at.x, p.y - at.y) as Metres;
    if (distance < best.distance) best = { at, edge: k, distance };
  }
  return best;
}

/**
 * Where p lies against a closed ring; within ON_LINE_M of it counts as on it.
 * Crossing count of a ray eastward (Shimrat, "Algorithm 112", Communications of the ACM, 1962).
 */
export function placeAgainstRing(ring: Ring, p: Point): "inside" | "on" | "outside" {
  let inside = false;
  for (let k = 0, j = ring.length - 1; k < ring.length; j = k++) {
    const a = ring[j]!;
    const b = ring[k]!;
    if (isNearBounds(p, a, b) && distanceToSegment(p, a, b) <= ON_LINE_M) return "on";
    if (a.y > p.y !== b.y > p.y) {
      const turn = orient2d(a.x, a.y, b.x, b.y, p.x, p.y);
      // orient2d is negative for counter-clockwise with y up.
      if (b.y > a.y ? turn < 0 : turn > 0) inside = !inside;
    }
  }
  return inside ? "inside" : "outside";
}

/** False where p is certainly farther than ON_LINE_M from the segment: most edges are told apart by this alone. */
const isNearBounds = (p: Point, a: Point, b: Point): boolean =>
  p.x >= Math.min(a.x, b.x) - 2 * ON_LINE_M &&
  p.x <= Math.max(a.x, b.x) + 2 * ON_LINE_M &&
  p.y >= Math.min(a.y, b.y) - 2 * ON_LINE_M &&
  p.y <= Math.max(a.y, b.y) + 2 * ON_LINE_M;

/** True inside the ring and within ON_LINE_M of it. */
export const ringContains = (ring: Ring, p: Point): boolean => placeAgainstRing(ring, p) !== "outside";

/** True inside the outline and not inside a hole; the edge of either counts as inside, within ON_LINE_M. */
export function polygonContains(polygon: Polygon, p: Point): boolean {
  if (!ringContains(polygon.outline, p)) return false;
  return polygon.holes.every((hole) => placeAgainstRing(hole, p) !== "inside");
}

/** A place where a ring meets itself other than at the corner that two following edges share. */
export interface RingCrossing {
  /** Edge k runs from corner k to the next; the lower index first. */
  readonly edges: readonly [number, number];
  readonly at: Point;
  /** `cross`: the edges go through each other. `touch`: one only reaches the other. `overlap`: they share a stretch. */
  readonly kind: "cross" | "touch" | "overlap";
}

/** Every pair of edges of a closed ring that meet where they should not; within ON_LINE_M counts as meeting. */
export function ringCrossings(ring: Ring): RingCrossing[] {
  const found: RingCrossing[] = [];
  const n = ring.length;
  for (let i = 0; i < n; i++) {
    const a = ring[i]!;
    const b = ring[(i + 1) % n]!;
    for (let j = i + 1; j < n; j++) {
      const c = ring[j]!;
      const d = ring[(j + 1) % n]!;
      const adjacent = j === i + 1 || (i === 0 && j === n - 1);
      const met = adjacent ? foldsBack(i === 0 && j === n - 1 && n > 2 ? [c, a, b] : [a, b, d]) : meet(a, b, c, d);
      if (met) found.push({ edges: [i, j], ...met });
    }
  }
  return found;
}

type Meeting = Omit<RingCrossing, "edges">;

/** Two following edges u–v, v–w overlap where the second runs back along the first. */
function foldsBack([u, v, w]: readonly [Point, Point, Point]): Meeting | undefined {
  const dot = (u.x - v.x) * (w.x - v.x) + (u.y - v.y) * (w.y - v.y);
  if (dot <= 0) return undefined;
  const uv = Math.hypot(u.x - v.x, u.y - v.y);
  const vw = Math.hypot(w.x - v.x, w.y - v.y);
  const [tip, from] = uv < vw ? [u, w] : [w, u];
  return distanceToSegment(tip, from, v) <= ON_LINE_M ? { at: tip, kind: "overlap" } : undefined;
}

function meet(a: Point, b: Point, c: Point, d: Point): Meeting | undefined {
  if (
    Math.max(a.x, b.x) + ON_LINE_M < Math.min(c.x, d.x) ||
    Math.max(c.x, d.x) + ON_LINE_M < Math.min(a.x, b.x) ||
    Math.max(a.y, b.y) + ON_LINE_M < Math.min(c.y, d.y) ||
    Math.max(c.y, d.y) + ON_LINE_M < Math.min(a.y, b.y)
  )
    return undefined;
  const touching: Point[] = [];
  if (distanceToSegment(a, c, d) <= ON_LINE_M) touching.push(a);
  if (distanceToSegment(b, c, d) <= ON_LINE_M) touching.push(b);
  if (distanceToSegment(c, a, b) <= ON_LINE_M) touching.push(c);
  if (distanceToSegment(d, a, b) <= ON_LINE_M) touching.push(d);
  const first = touching[0];
  if (first) {
    const apart = touching.some((p) => Math.hypot(p.x - first.x, p.y - first.y) > 2 * ON_LINE_M);
    return { at: first, kind: apart ? "overlap" : "touch" };
  }
  const at = crossingOf(a, b, c, d);
  return at && { at, kind: "cross" };
}

/** Where the segments a–b and c–d go through each other; undefined where they do not, or only reach each other. */
export function crossingOf(a: Point, b: Point, c: Point, d: Point): Point | undefined {
  const sideA = orient2d(c.x, c.y, d.x, d.y, a.x, a.y);
  const sideB = orient2d(c.x, c.y, d.x, d.y, b.x, b.y);
  const sideC = orient2d(a.x, a.y, b.x, b.y, c.x, c.y);
  const sideD = orient2d(a.x, a.y, b.x, b.y, d.x, d.y);
  if (!(sideA > 0 !== sideB > 0 && sideC > 0 !== sideD > 0)) return undefined;
  if (sideA === 0 || sideB === 0 || sideC === 0 || sideD === 0) return undefined;
  const t = sideA / (sideA - sideB);
  return point(a.x + t * (b.x - a.x), a.y + t * (b.y - a.y));
}

/**
 * The convex hull, counter-clockwise, without points on its edges. Fewer than three points, or all
 * on a line, give two points at most.
 * Andrew, "Another efficient algorithm for convex hulls in two dimensions", Inf. Proc. Letters 9 (1979).
 */
export function convexHull(points: readonly Point[]): Point[] {
  const order = [...points].sort((p, q) => p.x - q.x || p.y - q.y);
  const half = (from: readonly Point[]): Point[] => {
    const chain: Point[] = [];
    for (const p of from) {
      while (chain.length > 1) {
        const a = chain[chain.length - 2]!;
        const b = chain[chain.length - 1]!;
        if (orient2d(a.x, a.y, b.x, b.y, p.x, p.y) < 0) break;
        chain.pop();
      }
      chain.push(p);
    }
    return chain;
  };
  const distinct = order.filter((p, k) => k === 0 || p.x !== order[k - 1]!.x || p.y !== order[k - 1]!.y);
  if (distinct.length < 3) return distinct;
  const lower = half(distinct);
  const upper = half(distinct.toReversed());
  return [...lower.slice(0, -1), ...upper.slice(0, -1)];
}

/** The floor covered by any of the polygons. Polygons that share an edge become one. */
export const unionOf = (polygons: readonly Polygon[]): Polygon[] => operate(ClipType.Union, polygons, []);

/** The floor covered by both sets. */
export const intersectionOf = (a: readonly Polygon[], b: readonly Polygon[]): Polygon[] =>
  operate(ClipType.Intersection, a, b);

/** The floor of `a` that no polygon of `b` covers. */
export const differenceOf = (a: readonly Polygon[], b: readonly Polygon[]): Polygon[] =>
  operate(ClipType.Difference, a, b);

/**
 * A ring moved out (positive) or in (negative) by a distance, with mitred corners; a corner so sharp
 * that its mitre would reach more than four distances is cut square. Moving in can leave several rings or none.
 */
export function offsetRing(ring: Ring, by: Metres): Polygon[] {
  const outline = signedArea(ring) < 0 ? ring.toReversed() : ring;
  const grid = gridRound([outline]);
  const paths = Clipper.inflatePaths(grid.paths, by / OPERATION_GRID_M, JoinType.Miter, EndType.Polygon, 4);
  const tree = new PolyTree64();
  Clipper.booleanOpWithPolyTree(ClipType.Union, paths, null, tree, FillRule.NonZero);
  return polygonsOf(tree, grid);
}

interface Grid {
  readonly paths: Paths64;
  /** The origin, and input corners by their place on the grid, so that a corner that comes through is given back as it came. */
  readonly origin: Point;
  readonly corners: Map<string, Point>;
}

function gridRound(rings: readonly Ring[], like?: Grid): Grid {
  const origin = like?.origin ?? (rings[0]?.[0] as Point);
  const corners = like?.corners ?? new Map<string, Point>();
  const paths = rings.map((ring) =>
    ring.map((p) => {
      const x = Math.round((p.x - origin.x) / OPERATION_GRID_M);
      const y = Math.round((p.y - origin.y) / OPERATION_GRID_M);
      const key = `${x},${y}`;
      if (!corners.has(key)) corners.set(key, p);
      return { x, y };
    }),
  );
  return { paths, origin, corners };
}

/** Outlines made counter-clockwise and holes clockwise, so that the non-zero rule fills what is floor. */
function ringsOf(polygons: readonly Polygon[]): Ring[] {
  return polygons.flatMap((polygon) => [
    signedArea(polygon.outline) < 0 ? polygon.outline.toReversed() : polygon.outline,
    ...polygon.holes.map((hole) => (signedArea(hole) > 0 ? hole.toReversed() : hole)),
  ]);
}

function operate(type: ClipType, a: readonly Polygon[], b: readonly Polygon[]): Polygon[] {
  if (a.length === 0) return [];
  const subject = gridRound(ringsOf(a));
  const clip = gridRound(ringsOf(b), subject);
  const tree = new PolyTree64();
  Clipper.booleanOpWithPolyTree(type, subject.paths, clip.paths, tree, FillRule.NonZero);
  return polygonsOf(tree, subject);
}

const rawRing = ({ poly }: PolyPath64, grid: Grid): Point[] =>
  (poly ?? []).map(
    (p) =>
      grid.corners.get(`${p.x},${p.y}`) ??
      point(grid.origin.x + p.x * OPERATION_GRID_M, grid.origin.y + p.y * OPERATION_GRID_M),
  );

function polygonsOf(tree: PolyTree64, grid: Grid): Polygon[] {
  const polygons: { outline: Ring; holes: Ring[] }[] = [];
  /** Holes that touch an outline, which the tree then has beside it and not in it; they still run clockwise. */
  const beside: Ring[] = [];
  const ringOf = (node: PolyPath64, turn: 1 | -1): Ring => {
    const ring = rawRing(node, grid);
    return signedArea(ring) * turn < 0 ? ring.reverse() : ring;
  };
  const visit = (parent: PolyPath64) => {
    for (let k = 0; k < parent.count; k++) {
      const node = parent.child(k);
      if (signedArea(rawRing(node, grid)) < 0) {
        beside.push(ringOf(node, -1));
        visit(node);
        continue;
      }
      const holes: Ring[] = [];
      for (let h = 0; h < node.count; h++) {
        holes.push(ringOf(node.child(h), -1));
        visit(node.child(h));
      }
      polygons.push({ outline: ringOf(node, 1), holes });
    }
  };
  visit(tree);
  for (const hole of beside) {
    const middle = centroid({ outline: hole, holes: [] });
    polygons.find(({ outline }) => ringContains(outline, middle))?.holes.push(hole);
  }
  return polygons;
}

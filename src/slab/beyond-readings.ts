/** The floor beyond the outermost readings, where levels are extrapolated. */
import { positiveMean, triangleArea, type ValuedPoint } from "../geometry/level.ts";
import { type Mesh, triangleCount, triangleOf, twinsOf, vertexAt } from "../geometry/mesh.ts";
import type { Ring } from "../geometry/point.ts";
import { convexHull } from "../geometry/polygon.ts";
import { addTo, emptySum, sumSoFar } from "../numeric/sum.ts";
import type { Litres, Millimetres, SquareMetres } from "../units.ts";

export interface ReadHulls {
  /** The convex hull of each region's own readings, counter-clockwise; empty where they have no area. */
  readonly ofRegion: readonly Ring[];
  /** The convex hull of all readings. */
  readonly ofAll: Ring;
}

/** The convex hulls of the vertices that were read. */
export function hullsOfReadings(mesh: Mesh, wasRead: Uint8Array, regionCount: number): ReadHulls {
  const twin = twinsOf(mesh);
  const candidates: Set<number>[] = Array.from({ length: regionCount }, () => new Set());
  for (let t = 0; t < triangleCount(mesh); t++) {
    // A corner of the hull has floor beyond it, and so a vertex that was not read, or lies at the rim.
    let atEdge = false;
    for (let h = 3 * t; h < 3 * t + 3; h++) {
      const across = twin[h]!;
      if (wasRead[mesh.corners[h]!] === 0 || across < 0) atEdge = true;
      else if (mesh.regionOf[triangleOf(across)] !== mesh.regionOf[t]) atEdge = true;
    }
    if (!atEdge) continue;
    for (let h = 3 * t; h < 3 * t + 3; h++)
      if (wasRead[mesh.corners[h]!] === 1) candidates[mesh.regionOf[t]!]!.add(mesh.corners[h]!);
  }
  const hullOf = (vertices: Iterable<number>): Ring => {
    const hull = convexHull(Array.from(vertices, (v) => vertexAt(mesh, v)));
    return hull.length < 3 ? [] : hull;
  };
  return { ofRegion: candidates.map(hullOf), ofAll: hullOf(new Set(candidates.flatMap((vertices) => [...vertices]))) };
}

export interface Beyond {
  readonly area: SquareMetres;
  /** ∫ max(value − threshold, 0) over it. */
  readonly integral: Litres;
}

/**
 * Area of the mesh beyond the hull of each region's readings, and ∫ max(value − threshold, 0) over it, exactly.
 * @param hullOfRegion convex rings, counter-clockwise, by region; an empty one leaves the whole region beyond
 */
export function beyondHulls(
  mesh: Mesh,
  value: Float64Array,
  threshold: Millimetres,
  hullOfRegion: readonly Ring[],
): Beyond {
  const area = emptySum();
  const integral = emptySum();
  const { xM, yM, corners } = mesh;
  /** Of each vertex the region against whose hull it was last held, counted from 1; negative where it lies beyond. */
  const held = new Int32Array(xM.length);
  for (let t = 0; t < triangleCount(mesh); t++) {
    const hull = hullOfRegion[mesh.regionOf[t]!];
    if (!hull) throw new Error(`no hull for region ${mesh.regionOf[t]} of triangle ${t}`);
    // Most triangles lie inside as a whole.
    const mark = mesh.regionOf[t]! + 1;
    let inside = true;
    for (let h = 3 * t; h < 3 * t + 3; h++) {
      const v = corners[h]!;
      if (Math.abs(held[v]!) !== mark) held[v] = convexHolds(hull, xM[v]!, yM[v]!) ? mark : -mark;
      if (held[v]! < 0) inside = false;
    }
    if (inside) continue;
    const a = corners[3 * t]!;
    const b = corners[3 * t + 1]!;
    const c = corners[3 * t + 2]!;
    const within = over(
      clipToConvex(
        [a, b, c].map((v) => valuedVertex(mesh, value, threshold, v)),
        hull,
      ),
    );
    const whole = triangleArea(mesh, t);
    addTo(area, Math.max(0, whole - within.area));
    const filled = whole * positiveMean(value[a]! - threshold, value[b]! - threshold, value[c]! - threshold);
    addTo(integral, Math.max(0, filled - within.integral));
  }
  return { area: sumSoFar(area) as SquareMetres, integral: sumSoFar(integral) as Litres };
}

function valuedVertex(mesh: Mesh, value: Float64Array, threshold: number, v: number): ValuedPoint {
  return { x: mesh.xM[v]!, y: mesh.yM[v]!, value: value[v]! - threshold };
}

/** True where a convex counter-clockwise ring holds a place, its edge included: the wedge from the first corner is found by halving. */
function convexHolds(hull: Ring, x: number, y: number): boolean {
  if (hull.length < 3) return false;
  let low = 1;
  let high = hull.length - 1;
  if (leftOf(hull, 0, low, x, y) < 0 || leftOf(hull, 0, high, x, y) > 0) return false;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (leftOf(hull, 0, middle, x, y) >= 0) low = middle;
    else high = middle;
  }
  return leftOf(hull, low, high, x, y) >= 0;
}

function allLeftOf(ring: Ring, from: number, to: number, points: readonly ValuedPoint[]): boolean {
  for (const p of points) if (leftOf(ring, from, to, p.x, p.y) < 0) return false;
  return true;
}

/** Positive where the place lies to the left of the line from one corner to another. */
function leftOf(ring: Ring, from: number, to: number, x: number, y: number): number {
  const a = ring[from]!;
  const b = ring[to]!;
  return (b.x - a.x) * (y - a.y) - (b.y - a.y) * (x - a.x);
}

/** The part of a convex ring inside a convex hull (Sutherland & Hodgman 1974); none in a hull without area. */
function clipToConvex(ring: ValuedPoint[], hull: Ring): ValuedPoint[] {
  let kept = hull.length < 3 ? [] : ring;
  for (let k = 0; k < hull.length && kept.length > 0; k++) {
    const end = (k + 1) % hull.length;
    if (allLeftOf(hull, k, end, kept)) continue;
    const sides = kept.map((p) => leftOf(hull, k, end, p.x, p.y));
    const next: ValuedPoint[] = [];
    for (let i = 0; i < kept.length; i++) {
      const j = (i + 1) % kept.length;
      const p = kept[i]!;
      const q = kept[j]!;
      const sp = sides[i]!;
      const sq = sides[j]!;
      if (sp >= 0) next.push(p);
      if ((sp > 0 && sq < 0) || (sp < 0 && sq > 0)) {
        const s = sp / (sp - sq);
        next.push({ x: p.x + s * (q.x - p.x), y: p.y + s * (q.y - p.y), value: p.value + s * (q.value - p.value) });
      }
    }
    kept = next;
  }
  return kept;
}

/** Area and ∫ max(value, 0) of a convex ring, fanned into triangles. */
function over(ring: readonly ValuedPoint[]): { area: number; integral: number } {
  let area = 0;
  let integral = 0;
  for (let k = 1; k + 1 < ring.length; k++) {
    const [a, b, c] = [ring[0]!, ring[k]!, ring[k + 1]!];
    const part = ((b.x - a.x) * (c.y - a.y) - (c.x - a.x) * (b.y - a.y)) / 2;
    area += part;
    integral += part * positiveMean(a.value, b.value, c.value);
  }
  return { area, integral };
}

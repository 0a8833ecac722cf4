/** The floor beyond the outermost readings, where levels are extrapolated. */
import { positiveMean, triangleArea, type ValuedPoint } from "../geometry/level.ts";
import { type Mesh, triangleCount, twinsOf } from "../geometry/mesh.ts";
import { type Point, point, type Ring } from "../geometry/point.ts";
import { convexHull } from "../geometry/polygon.ts";
import { addTo, emptySum, sumSoFar } from "../numeric/sum.ts";
import type { Litres, Millimetres, SquareMetres } from "../units.ts";

/** The convex hull of each region's own readings, counter-clockwise; empty where they have no area. */
export function hullsOfReadings(mesh: Mesh, wasRead: Uint8Array, regionCount: number): Ring[] {
  const twin = twinsOf(mesh);
  const candidates: Set<number>[] = Array.from({ length: regionCount }, () => new Set());
  for (let t = 0; t < triangleCount(mesh); t++) {
    const corners = [0, 1, 2].map((k) => mesh.corners[3 * t + k]!);
    // A corner of the hull has floor beyond it, and so a vertex that was not read, or lies at the rim.
    const atEdge = (k: number) =>
      twin[3 * t + k]! < 0 || mesh.regionOf[Math.floor(twin[3 * t + k]! / 3)] !== mesh.regionOf[t];
    if (corners.every((v) => wasRead[v] === 1) && !atEdge(0) && !atEdge(1) && !atEdge(2)) continue;
    for (const v of corners) if (wasRead[v] === 1) candidates[mesh.regionOf[t]!]!.add(v);
  }
  return candidates.map((vertices) => {
    const hull = convexHull([...vertices].map((v): Point => point(mesh.xM[v]!, mesh.yM[v]!)));
    return hull.length < 3 ? [] : hull;
  });
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
  for (let t = 0; t < triangleCount(mesh); t++) {
    const hull = hullOfRegion[mesh.regionOf[t]!];
    if (!hull) throw new Error(`no hull for region ${mesh.regionOf[t]} of triangle ${t}`);
    const ring: ValuedPoint[] = [0, 1, 2].map((k) => {
      const v = mesh.corners[3 * t + k]!;
      return { x: mesh.xM[v]!, y: mesh.yM[v]!, value: value[v]! - threshold };
    });
    const inside = hull.length < 3 ? [] : clipToConvex(ring, hull);
    if (inside === ring) continue;
    const within = over(inside);
    const [a, b, c] = ring as [ValuedPoint, ValuedPoint, ValuedPoint];
    const whole = triangleArea(mesh, t);
    addTo(area, Math.max(0, whole - within.area));
    addTo(integral, Math.max(0, whole * positiveMean(a.value, b.value, c.value) - within.integral));
  }
  return { area: sumSoFar(area) as SquareMetres, integral: sumSoFar(integral) as Litres };
}

/** The part of a convex ring inside a convex hull (Sutherland & Hodgman 1974); the ring itself where all of it is. */
function clipToConvex(ring: ValuedPoint[], hull: Ring): ValuedPoint[] {
  let kept = ring;
  for (let k = 0; k < hull.length && kept.length > 0; k++) {
    const a = hull[k]!;
    const b = hull[(k + 1) % hull.length]!;
    const side = (p: ValuedPoint) => (b.x - a.x) * (p.y - a.y) - (b.y - a.y) * (p.x - a.x);
    const sides = kept.map(side);
    if (sides.every((s) => s >= 0)) continue;
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

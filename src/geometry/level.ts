/**
 * Areas and volumes of a triangulated surface against a level, exact for the surface as it is:
 * straight within each triangle. Values stand one at a vertex, in millimetres; areas come in m²,
 * integrals in mm·m², which are litres.
 */
import { addTo, emptySum, type RunningSum, sumSoFar } from "../numeric/sum.ts";
import type { Litres, Millimetres, SquareMetres } from "../units.ts";
import { type Mesh, triangleCount } from "./mesh.ts";

/** Area of one triangle; positive, since corners run counter-clockwise. */
export function triangleArea(mesh: Mesh, triangle: number): SquareMetres {
  const { xM, yM, corners } = mesh;
  const a = corners[3 * triangle]!;
  const b = corners[3 * triangle + 1]!;
  const c = corners[3 * triangle + 2]!;
  const ax = xM[a]!;
  const ay = yM[a]!;
  return (((xM[b]! - ax) * (yM[c]! - ay) - (xM[c]! - ax) * (yM[b]! - ay)) / 2) as SquareMetres;
}

/** Area of the whole mesh. */
export function meshArea(mesh: Mesh): SquareMetres {
  const sum = emptySum();
  for (let t = 0; t < triangleCount(mesh); t++) addTo(sum, triangleArea(mesh, t));
  return sumSoFar(sum) as SquareMetres;
}

/** ∫ value over the whole mesh: prism over a triangle = A (v₁ + v₂ + v₃)/3 (any surveying text). */
export function meshIntegral(mesh: Mesh, value: Float64Array): Litres {
  const { corners } = mesh;
  const sum = emptySum();
  for (let t = 0; t < triangleCount(mesh); t++) {
    const mean = (value[corners[3 * t]!]! + value[corners[3 * t + 1]!]! + value[corners[3 * t + 2]!]!) / 3;
    addTo(sum, mean * triangleArea(mesh, t));
  }
  return sumSoFar(sum) as Litres;
}

/** The same for each region apart; the result is indexed by region. */
export function integralByRegion(mesh: Mesh, value: Float64Array, regionCount: number): Litres[] {
  const { corners, regionOf } = mesh;
  const sums = Array.from({ length: regionCount }, emptySum);
  for (let t = 0; t < triangleCount(mesh); t++) {
    const sum = sums[regionOf[t]!];
    if (!sum) throw new Error(`triangle ${t} lies in region ${regionOf[t]} of ${regionCount}`);
    const mean = (value[corners[3 * t]!]! + value[corners[3 * t + 1]!]! + value[corners[3 * t + 2]!]!) / 3;
    addTo(sum, mean * triangleArea(mesh, t));
  }
  return sums.map((sum) => sumSoFar(sum) as Litres);
}

/** What lies above a level: where the value is greater, and ∫ (value − level) over it. */
export interface Above {
  readonly area: SquareMetres;
  readonly integral: Litres;
}

/**
 * Share of a triangle's area on which a value is positive, from its values at the corners.
 * With one corner a above zero the part above is a triangle similar in two sides: a²/((a−b)(a−c)).
 */
export function positiveShare(a: number, b: number, c: number): number {
  const count = (a > 0 ? 1 : 0) + (b > 0 ? 1 : 0) + (c > 0 ? 1 : 0);
  if (count === 0) return 0;
  if (count === 3) return 1;
  if (count === 1) return a > 0 ? corner(a, b, c) : b > 0 ? corner(b, c, a) : corner(c, a, b);
  return 1 - (a <= 0 ? corner(a, b, c) : b <= 0 ? corner(b, c, a) : corner(c, a, b));
}

const corner = (a: number, b: number, c: number): number => (a / (a - b)) * (a / (a - c));

/**
 * ∫ max(value, 0) over a triangle of area 1, from the values at the corners.
 * One positive a: a³/(3(a−b)(a−c)), a pyramid of height a on the part above. One negative c: the whole
 * prism plus the pyramid below, (a+b+c)/3 − c³/(3(c−a)(c−b)). From the definitions.
 */
export function positiveMean(a: number, b: number, c: number): number {
  const count = (a > 0 ? 1 : 0) + (b > 0 ? 1 : 0) + (c > 0 ? 1 : 0);
  if (count === 0) return 0;
  if (count === 3) return (a + b + c) / 3;
  if (count === 1) {
    if (a > 0) return (corner(a, b, c) * a) / 3;
    return b > 0 ? (corner(b, c, a) * b) / 3 : (corner(c, a, b) * c) / 3;
  }
  const below = a <= 0 ? corner(a, b, c) * a : b <= 0 ? corner(b, c, a) * b : corner(c, a, b) * c;
  return (a + b + c - below) / 3;
}

/** Area on which the value is greater than the threshold. */
export const areaAbove = (mesh: Mesh, value: Float64Array, threshold: Millimetres): SquareMetres =>
  above(mesh, value, threshold).area;

/** ∫ max(value − threshold, 0) over the whole mesh. */
export const integralAbove = (mesh: Mesh, value: Float64Array, threshold: Millimetres): Litres =>
  above(mesh, value, threshold).integral;

/** Both of the above in one pass. */
export function above(mesh: Mesh, value: Float64Array, threshold: Millimetres): Above {
  const area = emptySum();
  const integral = emptySum();
  for (let t = 0; t < triangleCount(mesh); t++) addAbove(mesh, value, threshold, t, area, integral);
  return { area: sumSoFar(area) as SquareMetres, integral: sumSoFar(integral) as Litres };
}

/** The same for each region apart; the result is indexed by region. */
export function aboveByRegion(mesh: Mesh, value: Float64Array, threshold: Millimetres, regionCount: number): Above[] {
  const areas = Array.from({ length: regionCount }, emptySum);
  const integrals = Array.from({ length: regionCount }, emptySum);
  for (let t = 0; t < triangleCount(mesh); t++) {
    const region = mesh.regionOf[t]!;
    const area = areas[region];
    const integral = integrals[region];
    if (!area || !integral) throw new Error(`triangle ${t} lies in region ${region} of ${regionCount}`);
    addAbove(mesh, value, threshold, t, area, integral);
  }
  return areas.map((area, region) => ({
    area: sumSoFar(area) as SquareMetres,
    integral: sumSoFar(integrals[region]!) as Litres,
  }));
}

function addAbove(
  mesh: Mesh,
  value: Float64Array,
  threshold: number,
  triangle: number,
  area: RunningSum,
  integral: RunningSum,
): void {
  const { corners } = mesh;
  const a = value[corners[3 * triangle]!]! - threshold;
  const b = value[corners[3 * triangle + 1]!]! - threshold;
  const c = value[corners[3 * triangle + 2]!]! - threshold;
  if (a <= 0 && b <= 0 && c <= 0) return;
  const whole = triangleArea(mesh, triangle);
  addTo(area, whole * positiveShare(a, b, c));
  addTo(integral, whole * positiveMean(a, b, c));
}

/** Area of each region, by index. */
export function areaByRegion(mesh: Mesh, regionCount: number): SquareMetres[] {
  const areas = Array.from({ length: regionCount }, emptySum);
  for (let t = 0; t < triangleCount(mesh); t++) {
    const area = areas[mesh.regionOf[t]!];
    if (!area) throw new Error(`triangle ${t} lies in region ${mesh.regionOf[t]} of ${regionCount}`);
    addTo(area, triangleArea(mesh, t));
  }
  return areas.map((area) => sumSoFar(area) as SquareMetres);
}

/** A plan place with the value there. */
export interface ValuedPoint {
  readonly x: number;
  readonly y: number;
  readonly value: number;
}

/**
 * The part of a triangle (or other convex polygon) on which `from` ≤ value ≤ `to`, corners in the order
 * of the input, values straight along the edges. An end left out has no limit. Sutherland & Hodgman,
 * "Reentrant polygon clipping", Communications of the ACM 17 (1974).
 */
export function clipTriangle(corners: readonly ValuedPoint[], from?: number, to?: number): ValuedPoint[] {
  let ring = [...corners];
  if (from !== undefined) ring = clipSide(ring, (p) => p.value - from, from);
  if (to !== undefined) ring = clipSide(ring, (p) => to - p.value, to);
  return ring;
}

function clipSide(ring: readonly ValuedPoint[], inside: (p: ValuedPoint) => number, level: number): ValuedPoint[] {
  const kept: ValuedPoint[] = [];
  for (let k = 0; k < ring.length; k++) {
    const p = ring[k]!;
    const q = ring[(k + 1) % ring.length]!;
    const dp = inside(p);
    const dq = inside(q);
    if (dp >= 0) kept.push(p);
    if (dp > 0 !== dq > 0 && dp !== 0 && dq !== 0) {
      const t = dp / (dp - dq);
      kept.push({ x: p.x + t * (q.x - p.x), y: p.y + t * (q.y - p.y), value: level });
    }
  }
  return kept;
}

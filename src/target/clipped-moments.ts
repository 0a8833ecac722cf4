/**
 * What lies on one side of a plane over a triangulated floor, with its first moments: the volume between a slab and
 * a plane, and how it changes with the plane.
 */
import { triangleArea } from "../geometry/level.ts";
import type { Mesh } from "../geometry/mesh.ts";
import { addTo, emptySum, sumSoFar } from "../numeric/sum.ts";
import type { Litres, SquareMetres } from "../units.ts";

/** Of one room: ∫ max(value, 0), and the area on which the value is positive with its moments about the origin of u and v. */
export interface PositivePart {
  readonly volume: Litres;
  readonly area: SquareMetres;
  /** ∫ u and ∫ v over the area on which the value is positive: in m² times the unit of u. */
  readonly momentU: number;
  readonly momentV: number;
}

/**
 * Exact for values that are straight within each triangle.
 * @param value one a vertex, in mm
 * @param u one a vertex: a coordinate, in any unit
 * @param roomCount the result has one entry a room index below it
 */
export function positiveParts(
  mesh: Mesh,
  value: Float64Array,
  u: Float64Array,
  v: Float64Array,
  roomCount: number,
): readonly PositivePart[] {
  const sums = Array.from({ length: roomCount }, () => [emptySum(), emptySum(), emptySum(), emptySum()] as const);
  const { corners, regionOf } = mesh;
  const part = { volume: 0, area: 0, momentU: 0, momentV: 0 };
  for (let triangle = 0; triangle < regionOf.length; triangle++) {
    const a = corners[3 * triangle]!;
    const b = corners[3 * triangle + 1]!;
    const c = corners[3 * triangle + 2]!;
    const positive = (value[a]! > 0 ? 1 : 0) + (value[b]! > 0 ? 1 : 0) + (value[c]! > 0 ? 1 : 0);
    if (positive === 0) continue;
    const size = triangleArea(mesh, triangle);
    part.volume = part.area = part.momentU = part.momentV = 0;
    if (positive >= 2) {
      part.volume = (size * (value[a]! + value[b]! + value[c]!)) / 3;
      part.area = size;
      part.momentU = (size * (u[a]! + u[b]! + u[c]!)) / 3;
      part.momentV = (size * (v[a]! + v[b]! + v[c]!)) / 3;
    }
    // With one corner on the positive side its tip is what counts; with one on the other, its tip is taken off.
    if (positive === 1) {
      if (value[a]! > 0) addTip(part, 1, size, value, u, v, a, b, c);
      else if (value[b]! > 0) addTip(part, 1, size, value, u, v, b, c, a);
      else addTip(part, 1, size, value, u, v, c, a, b);
    } else if (positive === 2) {
      if (value[a]! <= 0) addTip(part, -1, size, value, u, v, a, b, c);
      else if (value[b]! <= 0) addTip(part, -1, size, value, u, v, b, c, a);
      else addTip(part, -1, size, value, u, v, c, a, b);
    }
    const sum = sums[regionOf[triangle]!];
    if (!sum) throw new Error(`triangle ${triangle} lies in room index ${regionOf[triangle]} of ${roomCount}`);
    addTo(sum[0], part.volume);
    addTo(sum[1], part.area);
    addTo(sum[2], part.momentU);
    addTo(sum[3], part.momentV);
  }
  return sums.map(([volume, area, momentU, momentV]) => ({
    volume: sumSoFar(volume),
    area: sumSoFar(area),
    momentU: sumSoFar(momentU),
    momentV: sumSoFar(momentV),
  }));
}

/**
 * The tip that the zero line cuts off at corner t: a triangle with the sides shortened to the shares s and r. Its
 * values are straight from the tip's to zero, so its mean is a third of it (pyramid), and its centre is the mean of
 * its corners.
 */
function addTip(
  part: { volume: number; area: number; momentU: number; momentV: number },
  sign: 1 | -1,
  size: number,
  value: Float64Array,
  u: Float64Array,
  v: Float64Array,
  tip: number,
  second: number,
  third: number,
): void {
  const s = value[tip]! / (value[tip]! - value[second]!);
  const r = value[tip]! / (value[tip]! - value[third]!);
  const area = sign * size * s * r;
  part.area += area;
  part.volume += (area * value[tip]!) / 3;
  part.momentU += area * (u[tip]! + (s * (u[second]! - u[tip]!) + r * (u[third]! - u[tip]!)) / 3);
  part.momentV += area * (v[tip]! + (s * (v[second]! - v[tip]!) + r * (v[third]! - v[tip]!)) / 3);
}

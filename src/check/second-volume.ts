/**
 * The volume worked out a second time, by layers instead of by prisms: V = L·A + ∫ A(depth > t) dt
 * for t from L upward, where A(depth > t) is the floor on which more than t would lie. Over one
 * triangle that area is piecewise quadratic in t, so Simpson's rule is exact on each piece
 * (Cavalieri's principle; Simpson's rule is exact up to cubics: any text on numerical analysis).
 * Shares no code with the rooms that computed the packet.
 */

/** Floor of one triangle, area `areaM2`, on which the depth passes `t`; corner depths a ≤ b ≤ c, all mm. */
export function areaDeeperThan(t: number, areaM2: number, a: number, b: number, c: number): number {
  if (t <= a) return areaM2;
  if (t >= c) return 0;
  if (t <= b) return areaM2 * (1 - ((t - a) / (b - a)) * ((t - a) / (c - a)));
  return areaM2 * ((c - t) / (c - b)) * ((c - t) / (c - a));
}

/** Simpson's rule on one piece of the layers; nothing where it has no thickness. */
function layers(from: number, to: number, areaM2: number, a: number, b: number, c: number): number {
  if (!(to > from)) return 0;
  const ends = areaDeeperThan(from, areaM2, a, b, c) + areaDeeperThan(to, areaM2, a, b, c);
  return ((to - from) / 6) * (ends + 4 * areaDeeperThan((from + to) / 2, areaM2, a, b, c));
}

/** ∫ max(depth, floorMm) over one triangle, in litres (mm·m²). A scan has millions of them: nothing is made on the way. */
export function triangleVolumeByLayersL(areaM2: number, depthsMm: readonly number[], floorMm: number): number {
  const p = depthsMm[0] as number;
  const q = depthsMm[1] as number;
  const r = depthsMm[2] as number;
  const a = Math.min(p, q, r);
  const c = Math.max(p, q, r);
  const b = Math.max(Math.min(p, q), Math.min(Math.max(p, q), r));
  const [low, middle, high] = [Math.max(a, floorMm), Math.max(b, floorMm), Math.max(c, floorMm)];
  return (
    floorMm * areaM2 +
    layers(floorMm, low, areaM2, a, b, c) +
    layers(low, middle, areaM2, a, b, c) +
    layers(middle, high, areaM2, a, b, c)
  );
}

/**
 * The volume worked out a second time, by layers instead of by prisms: V = L·A + ∫ A(depth > t) dt
 * for t from L upward, where A(depth > t) is the floor on which more than t would lie. Over one
 * triangle that area is piecewise quadratic in t, so Simpson's rule is exact on each piece
 * (Cavalieri's principle; Simpson's rule is exact up to cubics: any text on numerical analysis).
 * Shares no code with the rooms that computed the packet.
 */

/** Floor of one triangle, area `areaM2`, on which the depth passes `t`; corner depths a ≤ b ≤ c, all mm. */
function areaDeeperThan(t: number, areaM2: number, a: number, b: number, c: number): number {
  if (t <= a) return areaM2;
  if (t >= c) return 0;
  if (t <= b) return areaM2 * (1 - ((t - a) / (b - a)) * ((t - a) / (c - a)));
  return areaM2 * ((c - t) / (c - b)) * ((c - t) / (c - a));
}

function simpson(from: number, to: number, f: (t: number) => number): number {
  return to > from ? ((to - from) / 6) * (f(from) + 4 * f((from + to) / 2) + f(to)) : 0;
}

/** ∫ max(depth, floorMm) over one triangle, in litres (mm·m²). */
export function triangleVolumeByLayersL(areaM2: number, depthsMm: readonly number[], floorMm: number): number {
  const [a, b, c] = [...depthsMm].sort((p, q) => p - q) as [number, number, number];
  const above = (t: number) => areaDeeperThan(t, areaM2, a, b, c);
  const pieces = [floorMm, a, b, c].map((t) => Math.max(t, floorMm)).sort((p, q) => p - q);
  let volumeL = floorMm * areaM2;
  for (let k = 0; k + 1 < pieces.length; k++) {
    volumeL += simpson(pieces[k] as number, pieces[k + 1] as number, above);
  }
  return volumeL;
}

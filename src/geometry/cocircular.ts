/**
 * Settles which diagonal divides vertices that lie on one circle, by the order of the vertices alone.
 */
import { nextHalfEdge, previousHalfEdge } from "./mesh.ts";

export interface OpenMesh {
  readonly xM: Float64Array;
  readonly yM: Float64Array;
  readonly corners: Uint32Array;
  readonly twin: Int32Array;
  /** Not 0 where the half-edge must stay. */
  readonly fixed: Uint8Array;
}

/**
 * Four vertices count as cocircular when the two angles opposite the diagonal add up to a straight
 * angle within a millionth of a radian: 2 µm in a cell of 2 m, far under what a tape shows and far
 * over what turning the plan does to the coordinates.
 */
const TIE_RAD = 1e-6;

/**
 * Flips diagonals among cocircular vertices until each starts at the first vertex, by index, of the
 * four round it. Among any number of cocircular vertices that ends in one arrangement only, the fan
 * from the first of them: as long as some triangle at that vertex has a diagonal opposite it, the four
 * round that diagonal ask for a flip. Every flip gives the first of four one edge more and takes
 * edges from later vertices only, so it ends.
 */
export function settleTies(mesh: OpenMesh): void {
  const { twin } = mesh;
  const stack: number[] = [];
  for (let h = 0; h < twin.length; h++) {
    if (twin[h]! < h || !asksForFlip(mesh, h)) continue;
    stack.push(h);
    while (stack.length > 0) {
      const e = stack.pop()!;
      if (twin[e]! < 0 || !asksForFlip(mesh, e)) continue;
      const around = flip(mesh, e);
      for (const side of around) stack.push(side);
    }
  }
}

function asksForFlip({ xM, yM, corners, twin, fixed }: OpenMesh, h: number): boolean {
  const g = twin[h]!;
  if (g < 0 || fixed[h] !== 0) return false;
  const a = corners[h]!;
  const b = corners[g]!;
  const c = corners[previousHalfEdge(h)]!;
  const d = corners[previousHalfEdge(g)]!;
  if (Math.min(a, b) < Math.min(c, d)) return false;
  const cax = xM[a]! - xM[c]!;
  const cay = yM[a]! - yM[c]!;
  const cbx = xM[b]! - xM[c]!;
  const cby = yM[b]! - yM[c]!;
  const dax = xM[a]! - xM[d]!;
  const day = yM[a]! - yM[d]!;
  const dbx = xM[b]! - xM[d]!;
  const dby = yM[b]! - yM[d]!;
  // Sine and cosine of the angles at c and at d, each times the lengths of its two sides.
  const sinC = cax * cby - cbx * cay;
  const cosC = cax * cbx + cay * cby;
  const sinD = dbx * day - dax * dby;
  const cosD = dax * dbx + day * dby;
  const sinSum = sinC * cosD + cosC * sinD;
  const squaredC = (cax * cax + cay * cay) * (cbx * cbx + cby * cby);
  const squaredD = (dax * dax + day * day) * (dbx * dbx + dby * dby);
  if (sinSum * sinSum > TIE_RAD * TIE_RAD * squaredC * squaredD) return false;
  if (cosC * cosD - sinC * sinD > 0) return false;
  // A flat triangle has no circle to speak of.
  return sinC > 0 && sinD > 0 && sinC * sinC > 1e-8 * squaredC && sinD * sinD > 1e-8 * squaredD;
}

/** Turns the diagonal of the two triangles at h; gives the four half-edges round them. */
function flip({ corners, twin, fixed }: OpenMesh, h: number): readonly [number, number, number, number] {
  const g = twin[h]!;
  const hNext = nextHalfEdge(h);
  const hPrevious = previousHalfEdge(h);
  const gNext = nextHalfEdge(g);
  const gPrevious = previousHalfEdge(g);
  // Before: h a→b, hNext b→c, hPrevious c→a; g b→a, gNext a→d, gPrevious d→b.
  const c = corners[hPrevious]!;
  const d = corners[gPrevious]!;
  const outerCA = twin[hPrevious]!;
  const outerDB = twin[gPrevious]!;
  const fixedCA = fixed[hPrevious]!;
  const fixedDB = fixed[gPrevious]!;
  // After: h d→b, hNext b→c as before, hPrevious the diagonal c→d;
  corners[h] = d;
  link(twin, h, outerDB);
  fixed[h] = fixedDB;
  // g c→a, gNext a→d as before, gPrevious the diagonal d→c.
  corners[g] = c;
  link(twin, g, outerCA);
  fixed[g] = fixedCA;
  twin[hPrevious] = gPrevious;
  twin[gPrevious] = hPrevious;
  fixed[hPrevious] = 0;
  fixed[gPrevious] = 0;
  return [h, hNext, g, gNext];
}

function link(twin: Int32Array, h: number, other: number): void {
  twin[h] = other;
  if (other >= 0) twin[other] = h;
}

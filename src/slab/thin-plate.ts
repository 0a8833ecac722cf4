/**
 * Thin-plate smoothing spline over scattered readings: the surface z(x, y) that makes
 * Σ (z(pᵢ) − zᵢ)² + λ·(bending energy) least. Without smoothing (λ = 0) it passes through the readings;
 * with more and more of it, it becomes the plane of least squares.
 * Duchon, "Splines minimizing rotation-invariant semi-norms in Sobolev spaces" (1977);
 * Wahba, "Spline Models for Observational Data" (1990), section 2.4.
 */
import { factored } from "../numeric/linear-solve.ts";

export interface ThinPlate {
  /**
   * The weights with which the readings make up the level at a place; they add up to 1. Their length
   * (root of the sum of squares) is the share of the readings' noise that the level takes on.
   */
  weightsAt(x: number, y: number): Float64Array;
}

/** Gives the spline with a smoothing λ; undefined where the readings lie on one line. */
export type ThinPlates = (smoothing: number) => ThinPlate | undefined;

/**
 * The splines over readings at (x, y), one for each smoothing. λ is in units of `unitM`², the square of the usual
 * distance between readings, so that it means the same on a fine grid and a coarse one.
 */
export function thinPlatesOver(x: Float64Array, y: Float64Array, unitM: number): ThinPlates {
  const n = x.length;
  const size = n + 3;
  const px = new Float64Array(n);
  const py = new Float64Array(n);
  const unsmoothed = new Float64Array(size * size);
  for (let i = 0; i < n; i++) {
    px[i] = (x[i]! - x[0]!) / unitM;
    py[i] = (y[i]! - y[0]!) / unitM;
    for (let j = 0; j < i; j++) {
      const k = kernel(px[i]! - px[j]!, py[i]! - py[j]!);
      unsmoothed[i * size + j] = k;
      unsmoothed[j * size + i] = k;
    }
    unsmoothed[i * size + n] = 1;
    unsmoothed[n * size + i] = 1;
    unsmoothed[i * size + n + 1] = px[i]!;
    unsmoothed[(n + 1) * size + i] = px[i]!;
    unsmoothed[i * size + n + 2] = py[i]!;
    unsmoothed[(n + 2) * size + i] = py[i]!;
  }
  return (smoothing) => {
    if (n < 3) return undefined;
    const system = unsmoothed.slice();
    for (let i = 0; i < n; i++) system[i * size + i] = smoothing;
    const factors = factored(system, size);
    if (!factors) return undefined;
    return {
      weightsAt: (atX, atY) => {
        const weights = new Float64Array(size);
        const qx = (atX - x[0]!) / unitM;
        const qy = (atY - y[0]!) / unitM;
        for (let i = 0; i < n; i++) weights[i] = kernel(qx - px[i]!, qy - py[i]!);
        weights[n] = 1;
        weights[n + 1] = qx;
        weights[n + 2] = qy;
        factors.solve(weights);
        return weights.subarray(0, n);
      },
    };
  };
}

/** r² ln r, the thin plate's Green function in the plane, from r² (Wahba 1990, equation 2.4.6, less its constant). */
function kernel(dx: number, dy: number): number {
  const squared = dx * dx + dy * dy;
  return squared === 0 ? 0 : (squared * Math.log(squared)) / 2;
}

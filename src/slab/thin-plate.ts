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

/**
 * The spline over readings at (x, y). `smoothing` is λ in units of `unitM`², the square of the usual distance
 * between readings, so that it means the same on a fine grid and a coarse one.
 * Needs three places that do not lie on one line; undefined otherwise.
 */
export function thinPlateOver(
  x: ArrayLike<number>,
  y: ArrayLike<number>,
  smoothing: number,
  unitM: number,
): ThinPlate | undefined {
  const n = x.length;
  if (n < 3) return undefined;
  const x0 = x[0]!;
  const y0 = y[0]!;
  const px = Float64Array.from(x, (value) => (value - x0) / unitM);
  const py = Float64Array.from(y, (value) => (value - y0) / unitM);
  const size = n + 3;
  const system = new Float64Array(size * size);
  for (let i = 0; i < n; i++) {
    for (let j = 0; j < i; j++) {
      const k = kernel(px[i]! - px[j]!, py[i]! - py[j]!);
      system[i * size + j] = k;
      system[j * size + i] = k;
    }
    system[i * size + i] = smoothing;
    system[i * size + n] = 1;
    system[n * size + i] = 1;
    system[i * size + n + 1] = px[i]!;
    system[(n + 1) * size + i] = px[i]!;
    system[i * size + n + 2] = py[i]!;
    system[(n + 2) * size + i] = py[i]!;
  }
  const factors = factored(system, size);
  if (!factors) return undefined;
  return {
    weightsAt: (atX, atY) => {
      const qx = (atX - x0) / unitM;
      const qy = (atY - y0) / unitM;
      const weights = new Float64Array(size);
      for (let i = 0; i < n; i++) weights[i] = kernel(qx - px[i]!, qy - py[i]!);
      weights[n] = 1;
      weights[n + 1] = qx;
      weights[n + 2] = qy;
      factors.solve(weights);
      return weights.subarray(0, n);
    },
  };
}

/** r² ln r, the thin plate's Green function in the plane, from r² (Wahba 1990, equation 2.4.6, less its constant). */
function kernel(dx: number, dy: number): number {
  const squared = dx * dx + dy * dy;
  return squared === 0 ? 0 : (squared * Math.log(squared)) / 2;
}

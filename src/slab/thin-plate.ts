/**
 * Thin-plate smoothing spline over scattered readings: the surface z(x, y) that makes
 * Σ (z(pᵢ) − zᵢ)² + λ·(bending energy) least. Without smoothing (λ = 0) it passes through the readings;
 * with more and more of it, it becomes the plane of least squares.
 * Duchon, "Splines minimizing rotation-invariant semi-norms in Sobolev spaces" (1977);
 * Wahba, "Spline Models for Observational Data" (1990), section 2.4.
 */
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
  if (n < 3) return () => undefined;
  const px = new Float64Array(n);
  const py = new Float64Array(n);
  const turned = new Float64Array(n * n);
  for (let i = 0; i < n; i++) {
    px[i] = (x[i]! - x[0]!) / unitM;
    py[i] = (y[i]! - y[0]!) / unitM;
    for (let j = 0; j < i; j++) {
      const k = kernel(px[i]! - px[j]!, py[i]! - py[j]!);
      turned[i * n + j] = k;
      turned[j * n + i] = k;
    }
  }
  const plane = planeOf(px, py);
  if (!plane) return () => undefined;
  const { mirrors, upper } = plane;
  for (const mirror of mirrors) mirrorBothSides(turned, mirror);
  /**
   * In the turned coordinates the first three of a place's weights are what a plane takes, whatever the smoothing; the
   * rest solve (B + λ)·w = r, B the block of the turned kernel that planes do not reach.
   */
  const turnedFor = (atX: number, atY: number): Float64Array => {
    const qx = (atX - x[0]!) / unitM;
    const qy = (atY - y[0]!) / unitM;
    const sides = new Float64Array(n);
    for (let i = 0; i < n; i++) sides[i] = kernel(qx - px[i]!, qy - py[i]!);
    for (const mirror of mirrors) mirrorOnce(sides, mirror);
    // Rᵀ·u = (1, x, y) of the place.
    const u0 = 1 / upper[0]!;
    const u1 = (qx - upper[1]! * u0) / upper[3]!;
    const u2 = (qy - upper[2]! * u0 - upper[4]! * u1) / upper[5]!;
    for (let i = 3; i < n; i++)
      sides[i] = sides[i]! - turned[i * n]! * u0 - turned[i * n + 1]! * u1 - turned[i * n + 2]! * u2;
    sides[0] = u0;
    sides[1] = u1;
    sides[2] = u2;
    return sides;
  };
  // Smoothings are tried at one place after the other: what does not hang on the smoothing is worked out once.
  let known: { readonly atX: number; readonly atY: number; readonly sides: Float64Array } | undefined;
  return (smoothing) => {
    const lower = choleskyBeyond(turned, n, smoothing);
    if (!lower) return undefined;
    return {
      weightsAt: (atX, atY) => {
        if (known?.atX !== atX || known.atY !== atY) known = { atX, atY, sides: turnedFor(atX, atY) };
        const weights = known.sides.slice();
        solveBeyond(lower, weights);
        for (let k = mirrors.length - 1; k >= 0; k--) mirrorOnce(weights, mirrors[k]!);
        return weights;
      },
    };
  };
}

/** How many of the turned weights belong to the plane: 1, x, y. */
const PLANE = 3;

/**
 * The readings' planes [1 x y] turned into their first three coordinates by three reflections (Householder: Golub & Van
 * Loan, "Matrix Computations", 4th ed., algorithm 5.2.1), and the triangle R row by row; undefined where the readings
 * are as good as on one line.
 */
function planeOf(
  px: Float64Array,
  py: Float64Array,
): { readonly mirrors: readonly Float64Array[]; readonly upper: Float64Array } | undefined {
  const n = px.length;
  const columns = [new Float64Array(n).fill(1), px.slice(), py.slice()];
  const mirrors: Float64Array[] = [];
  const upper = new Float64Array(6);
  let greatest = 0;
  let filled = 0;
  for (let k = 0; k < PLANE; k++) {
    const column = columns[k]!;
    let squares = 0;
    for (let i = k; i < n; i++) squares += column[i]! * column[i]!;
    const length = Math.sqrt(squares);
    greatest = Math.max(greatest, length);
    if (!(length > n * Number.EPSILON * greatest)) return undefined;
    const end = column[k]! > 0 ? -length : length;
    const mirror = new Float64Array(n);
    for (let i = k; i < n; i++) mirror[i] = column[i]!;
    mirror[k] = mirror[k]! - end;
    const size = Math.sqrt(2 * (squares - end * column[k]!));
    for (let i = k; i < n; i++) mirror[i] = mirror[i]! / size;
    for (let j = k; j < PLANE; j++) mirrorOnce(columns[j]!, mirror);
    mirrors.push(mirror);
    for (let j = k; j < PLANE; j++) upper[filled++] = columns[j]![k]!;
  }
  return { mirrors, upper };
}

/** A vector reflected in the plane square to a mirror of length 1. */
function mirrorOnce(vector: Float64Array, mirror: Float64Array): void {
  let along = 0;
  for (let i = 0; i < vector.length; i++) along += vector[i]! * mirror[i]!;
  for (let i = 0; i < vector.length; i++) vector[i] = vector[i]! - 2 * along * mirror[i]!;
}

/** H·K·H of a symmetric K: K − 2(v·pᵀ + p·vᵀ), p = K·v − (vᵀ·K·v)·v. */
function mirrorBothSides(matrix: Float64Array, mirror: Float64Array): void {
  const n = mirror.length;
  const image = new Float64Array(n);
  let along = 0;
  for (let i = 0; i < n; i++) {
    let sum = 0;
    for (let j = 0; j < n; j++) sum += matrix[i * n + j]! * mirror[j]!;
    image[i] = sum;
    along += sum * mirror[i]!;
  }
  for (let i = 0; i < n; i++) image[i] = image[i]! - along * mirror[i]!;
  for (let i = 0; i < n; i++) {
    const [v, p] = [2 * mirror[i]!, 2 * image[i]!];
    for (let j = 0; j < n; j++) matrix[i * n + j] = matrix[i * n + j]! - v * image[j]! - p * mirror[j]!;
  }
}

interface Lower {
  readonly rows: Float64Array;
  readonly size: number;
}

/** The Cholesky factor of B + λ, which the thin plate's kernel makes positive definite; undefined where it is not, to working precision. */
function choleskyBeyond(turned: Float64Array, n: number, smoothing: number): Lower | undefined {
  const size = n - PLANE;
  const rows = new Float64Array(size * size);
  let greatest = 0;
  for (let i = 0; i < size; i++) greatest = Math.max(greatest, turned[(i + PLANE) * n + i + PLANE]! + smoothing);
  for (let i = 0; i < size; i++) {
    const source = (i + PLANE) * n + PLANE;
    for (let j = 0; j < i; j++) {
      let sum = turned[source + j]!;
      for (let k = 0; k < j; k++) sum -= rows[i * size + k]! * rows[j * size + k]!;
      rows[i * size + j] = sum * rows[j * size + j]!;
    }
    let pivot = turned[source + i]! + smoothing;
    for (let k = 0; k < i; k++) pivot -= rows[i * size + k]! * rows[i * size + k]!;
    if (!(pivot > n * Number.EPSILON * greatest)) return undefined;
    // Its inverse: that is all that is needed of it.
    rows[i * size + i] = 1 / Math.sqrt(pivot);
  }
  return { rows, size };
}

/** Overwrites what lies beyond the plane's three with the solution. */
function solveBeyond({ rows, size }: Lower, right: Float64Array): void {
  for (let i = 0; i < size; i++) {
    let sum = right[i + PLANE]!;
    for (let j = 0; j < i; j++) sum -= rows[i * size + j]! * right[j + PLANE]!;
    right[i + PLANE] = sum * rows[i * size + i]!;
  }
  for (let i = size - 1; i >= 0; i--) {
    const value = right[i + PLANE]! * rows[i * size + i]!;
    right[i + PLANE] = value;
    for (let j = 0; j < i; j++) right[j + PLANE] = right[j + PLANE]! - rows[i * size + j]! * value;
  }
}

/** r² ln r, the thin plate's Green function in the plane, from r² (Wahba 1990, equation 2.4.6, less its constant). */
function kernel(dx: number, dy: number): number {
  const squared = dx * dx + dy * dy;
  return squared === 0 ? 0 : (squared * Math.log(squared)) / 2;
}

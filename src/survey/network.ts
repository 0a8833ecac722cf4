/**
 * Weighted least squares over all readings of all set-ups.
 *
 * A reading y of point p from set-up s at clock τ is y = h − z + d·τ + error: h the level of the
 * point, z the height of the set-up's zero, d its drift. The point levels are eliminated, so that
 * what is left to solve has one or two unknowns a set-up however many points there are: reduced
 * normal equations, the block elimination of Helmert, Die mathematischen und physikalischen Theorieen
 * der höheren Geodäsie I (1880).
 */
import { CholeskyDecomposition, Matrix } from "ml-matrix";

/** Readings and what is held, as plain arrays; millimetres throughout. */
export interface Network {
  readonly setUpCount: number;
  /** Per point: what is known of its level beforehand. */
  readonly given: readonly GivenLevel[];
  /** Per set-up: whether its zero is the datum, and whether a drift is solved for. */
  readonly zeroHeld: readonly boolean[];
  readonly withDrift: readonly boolean[];
  /** Per reading. */
  readonly pointOf: Int32Array;
  readonly setUpOf: Int32Array;
  /** Time of the reading on its set-up's clock, 0 at the start and 1 at the end. */
  readonly clock: Float64Array;
  readonly readMm: Float64Array;
  readonly sdMm: Float64Array;
  /** 1 where the reading counts. */
  readonly used: Uint8Array;
}

export type GivenLevel =
  | { readonly kind: "free" }
  | { readonly kind: "held"; readonly levelMm: number }
  | { readonly kind: "weighted"; readonly levelMm: number; readonly sdMm: number };

/** Standard deviations and cofactors here follow from the stated sd of the readings (σ₀ = 1). */
export interface NetworkSolution {
  /** Per point; NaN where it has neither a used reading nor a given level. */
  readonly levelMm: Float64Array;
  readonly levelVarianceMm2: Float64Array;
  readonly zeroMm: Float64Array;
  readonly driftMm: Float64Array;
  /** Per reading, unused ones too: adjusted less read, and the share of a slip that the residual shows. */
  readonly residualMm: Float64Array;
  readonly redundancy: Float64Array;
  readonly sumOfSquares: number;
  /** Degrees of freedom. */
  readonly freedom: number;
  /** Unknowns of the set-ups: column of each zero and drift, −1 where it is no unknown. */
  readonly columns: number;
  readonly zeroColumn: Int32Array;
  readonly driftColumn: Int32Array;
  /** Row-major: how each point's level follows the unknowns of the set-ups; and 1 over the weight on it. */
  readonly loading: Float64Array;
  readonly ownVarianceMm2: Float64Array;
  /** Cofactors of the set-ups' unknowns, row-major. */
  readonly cofactor: Float64Array;
}

/**
 * Solves the network. Every set-up with a used reading must be tied to the datum
 * (`connectivity.ts` looks after that); throws where the equations say that one is not.
 */
export function solveNetwork(network: Network): NetworkSolution {
  const { setUpCount, given, pointOf, setUpOf, clock, readMm, sdMm, used } = network;
  const pointCount = given.length;
  const readingCount = readMm.length;

  const zeroColumn = new Int32Array(setUpCount).fill(-1);
  const driftColumn = new Int32Array(setUpCount).fill(-1);
  const reads = new Uint8Array(setUpCount);
  for (let i = 0; i < readingCount; i++) if (used[i] === 1) reads[setUpOf[i]!] = 1;
  let columns = 0;
  for (let s = 0; s < setUpCount; s++) {
    if (reads[s] === 0) continue;
    if (!network.zeroHeld[s]) zeroColumn[s] = columns++;
    if (network.withDrift[s]) driftColumn[s] = columns++;
  }

  // Readings of each point: readingsOf[start[p]] to readingsOf[start[p + 1] − 1].
  const start = new Int32Array(pointCount + 1);
  for (let i = 0; i < readingCount; i++) start[pointOf[i]! + 1] = start[pointOf[i]! + 1]! + 1;
  for (let p = 0; p < pointCount; p++) start[p + 1] = start[p + 1]! + start[p]!;
  const readingsOf = new Int32Array(readingCount);
  const filled = start.slice();
  for (let i = 0; i < readingCount; i++) {
    const p = pointOf[i]!;
    readingsOf[filled[p]!] = i;
    filled[p] = filled[p]! + 1;
  }
  /** Columns that the used readings of a point touch, each once: a few of very many. */
  const touchedBy = (p: number, into: number[]): void => {
    into.length = 0;
    if (given[p]!.kind === "held") return;
    for (let k = start[p]!; k < start[p + 1]!; k++) {
      const i = readingsOf[k]!;
      if (used[i] === 0) continue;
      const z = zeroColumn[setUpOf[i]!]!;
      const d = driftColumn[setUpOf[i]!]!;
      if (z >= 0 && !into.includes(z)) into.push(z);
      if (d >= 0 && !into.includes(d)) into.push(d);
    }
  };
  const touched: number[] = [];

  // Per point: weight W, weighted mean of the readings, and b = Σ w·a / W, where a holds the factors
  // of the set-ups' unknowns in one reading: +1 for the zero and −τ for the drift.
  const weight = new Float64Array(pointCount);
  const mean = new Float64Array(pointCount);
  const loading = new Float64Array(pointCount * columns);
  for (let p = 0; p < pointCount; p++) {
    const known = given[p]!;
    if (known.kind !== "weighted") continue;
    weight[p] = 1 / known.sdMm ** 2;
    mean[p] = known.levelMm * weight[p]!;
  }
  for (let i = 0; i < readingCount; i++) {
    if (used[i] === 0) continue;
    const p = pointOf[i]!;
    if (given[p]!.kind === "held") continue;
    const w = 1 / sdMm[i]! ** 2;
    weight[p] = weight[p]! + w;
    mean[p] = mean[p]! + w * readMm[i]!;
    const z = zeroColumn[setUpOf[i]!]!;
    const d = driftColumn[setUpOf[i]!]!;
    if (z >= 0) loading[p * columns + z] = loading[p * columns + z]! + w;
    if (d >= 0) loading[p * columns + d] = loading[p * columns + d]! - w * clock[i]!;
  }
  for (let p = 0; p < pointCount; p++) {
    const known = given[p]!;
    if (known.kind === "held") mean[p] = known.levelMm;
    else if (weight[p] === 0) mean[p] = NaN;
    else {
      mean[p] = mean[p]! / weight[p]!;
      touchedBy(p, touched);
      for (const c of touched) loading[p * columns + c] = loading[p * columns + c]! / weight[p]!;
    }
  }

  // Reduced normal equations N·x = u.
  const normal = new Float64Array(columns * columns);
  const right = new Float64Array(columns);
  for (let i = 0; i < readingCount; i++) {
    if (used[i] === 0) continue;
    const w = 1 / sdMm[i]! ** 2;
    const misfit = w * (mean[pointOf[i]!]! - readMm[i]!);
    const z = zeroColumn[setUpOf[i]!]!;
    const d = driftColumn[setUpOf[i]!]!;
    const tau = clock[i]!;
    if (z >= 0) {
      normal[z * columns + z] = normal[z * columns + z]! + w;
      right[z] = right[z]! + misfit;
    }
    if (d >= 0) {
      normal[d * columns + d] = normal[d * columns + d]! + w * tau * tau;
      right[d] = right[d]! - misfit * tau;
    }
    if (z >= 0 && d >= 0) {
      normal[z * columns + d] = normal[z * columns + d]! - w * tau;
      normal[d * columns + z] = normal[d * columns + z]! - w * tau;
    }
  }
  for (let p = 0; p < pointCount; p++) {
    if (weight[p] === 0) continue;
    touchedBy(p, touched);
    for (const row of touched) {
      const factor = weight[p]! * loading[p * columns + row]!;
      for (const column of touched) {
        const at = row * columns + column;
        normal[at] = normal[at]! - factor * loading[p * columns + column]!;
      }
    }
  }
  const cofactor = inverse(normal, columns, (column) => {
    const s = Math.max(zeroColumn.indexOf(column), driftColumn.indexOf(column));
    return `set-up number ${s + 1} is not determined by the readings`;
  });
  const unknowns = new Float64Array(columns);
  for (let row = 0; row < columns; row++) {
    let sum = 0;
    for (let column = 0; column < columns; column++) sum += cofactor[row * columns + column]! * right[column]!;
    unknowns[row] = sum;
  }

  const zeroMm = new Float64Array(setUpCount);
  const driftMm = new Float64Array(setUpCount);
  for (let s = 0; s < setUpCount; s++) {
    if (zeroColumn[s]! >= 0) zeroMm[s] = unknowns[zeroColumn[s]!]!;
    if (driftColumn[s]! >= 0) driftMm[s] = unknowns[driftColumn[s]!]!;
  }

  const levelMm = new Float64Array(pointCount);
  const ownVarianceMm2 = new Float64Array(pointCount);
  const levelVarianceMm2 = new Float64Array(pointCount);
  const residualMm = new Float64Array(readingCount);
  const redundancy = new Float64Array(readingCount);
  /** Q·b of the point at hand, for the columns that it touches. */
  const along = new Float64Array(columns);
  let sumOfSquares = 0;
  let freedom = -columns;
  for (let p = 0; p < pointCount; p++) {
    const known = given[p]!;
    let level = mean[p]!;
    let variance = known.kind === "held" ? 0 : NaN;
    if (weight[p]! > 0) {
      ownVarianceMm2[p] = 1 / weight[p]!;
      variance = ownVarianceMm2[p]!;
      touchedBy(p, touched);
      for (const row of touched) {
        level += loading[p * columns + row]! * unknowns[row]!;
        let sum = 0;
        for (const column of touched) sum += cofactor[row * columns + column]! * loading[p * columns + column]!;
        along[row] = sum;
        variance += sum * loading[p * columns + row]!;
      }
      // A weighted bench mark is one observation of one unknown: it adds to both, and nothing to their difference.
      if (known.kind === "free") freedom--;
      else if (known.kind === "weighted") sumOfSquares += ((level - known.levelMm) / known.sdMm) ** 2;
    } else along.fill(0);
    levelMm[p] = level;
    levelVarianceMm2[p] = variance;
    for (let k = start[p]!; k < start[p + 1]!; k++) {
      const i = readingsOf[k]!;
      const s = setUpOf[i]!;
      const z = zeroColumn[s]!;
      const d = driftColumn[s]!;
      const tau = clock[i]!;
      residualMm[i] = level - zeroMm[s]! + driftMm[s]! * tau - readMm[i]!;
      if (used[i] === 0) continue;
      freedom++;
      sumOfSquares += (residualMm[i]! / sdMm[i]!) ** 2;
      // Cofactor of the adjusted reading: own + (b − a)ᵀ·Q·(b − a).
      let adjusted = variance;
      if (z >= 0) adjusted += cofactor[z * columns + z]! - 2 * along[z]!;
      if (d >= 0) adjusted += tau * tau * cofactor[d * columns + d]! + 2 * tau * along[d]!;
      if (z >= 0 && d >= 0) adjusted -= 2 * tau * cofactor[z * columns + d]!;
      redundancy[i] = Math.min(1, Math.max(0, 1 - adjusted / sdMm[i]! ** 2));
    }
  }

  return {
    levelMm,
    levelVarianceMm2,
    zeroMm,
    driftMm,
    residualMm,
    redundancy,
    sumOfSquares,
    freedom,
    columns,
    zeroColumn,
    driftColumn,
    loading,
    ownVarianceMm2,
    cofactor,
  };
}

/**
 * Correlation of the residual of used reading i with that of any other used one, −1 to 1; near ±1 the network
 * cannot tell which of the two is off. Both must have redundancy.
 */
export function residualCorrelations(network: Network, solution: NetworkSolution, i: number): (j: number) => number {
  const { pointOf, setUpOf, clock, sdMm } = network;
  const { columns, zeroColumn, driftColumn, loading, cofactor, redundancy } = solution;
  // Σ factor·(b − a) over the columns of one reading, without making the row b − a.
  const along = (reading: number, factors: Float64Array): number => {
    const s = setUpOf[reading]!;
    const from = pointOf[reading]! * columns;
    let sum = 0;
    for (let c = 0; c < columns; c++) sum += factors[c]! * loading[from + c]!;
    if (zeroColumn[s]! >= 0) sum -= factors[zeroColumn[s]!]!;
    if (driftColumn[s]! >= 0) sum += clock[reading]! * factors[driftColumn[s]!]!;
    return sum;
  };
  // Q·(b − a) of reading i.
  const ofThis = new Float64Array(columns);
  for (let row = 0; row < columns; row++) ofThis[row] = along(i, cofactor.subarray(row * columns, (row + 1) * columns));
  return (j) => {
    const shared = pointOf[i] === pointOf[j] ? solution.ownVarianceMm2[pointOf[i]!]! : 0;
    const own = i === j ? sdMm[i]! ** 2 : 0;
    return (own - shared - along(j, ofThis)) / (sdMm[i]! * sdMm[j]! * Math.sqrt(redundancy[i]! * redundancy[j]!));
  };
}

/** What the network says of a point without one of its readings. */
export interface WithoutReading {
  readonly levelMm: number;
  readonly levelVarianceMm2: number;
  readonly sumOfSquares: number;
  readonly freedom: number;
}

/**
 * The level of the point of used reading i as the other readings have it, without solving anew: one observation is
 * taken out of a solved adjustment (Ghilani & Wolf, Adjustment Computations, ch. 21; Cook & Weisberg, Residuals and
 * Influence in Regression (1982), eq. 2.2.4). The reading must have redundancy.
 */
export function withoutReading(network: Network, solution: NetworkSolution, i: number): WithoutReading {
  const { columns, zeroColumn, driftColumn, loading, cofactor } = solution;
  const p = network.pointOf[i]!;
  const s = network.setUpOf[i]!;
  const row = loading.subarray(p * columns, (p + 1) * columns);
  const along = (column: number): number => {
    let sum = 0;
    for (let c = 0; c < columns; c++) sum += cofactor[column * columns + c]! * row[c]!;
    return sum;
  };
  // Covariance of the point's level with the adjusted reading, level − zero + drift.
  const variance = solution.levelVarianceMm2[p]!;
  let shared = variance;
  if (zeroColumn[s]! >= 0) shared -= along(zeroColumn[s]!);
  if (driftColumn[s]! >= 0) shared += network.clock[i]! * along(driftColumn[s]!);
  const residual = solution.residualMm[i]!;
  const residualVariance = network.sdMm[i]! ** 2 * solution.redundancy[i]!;
  return {
    levelMm: solution.levelMm[p]! + (shared * residual) / residualVariance,
    levelVarianceMm2: variance + shared ** 2 / residualVariance,
    sumOfSquares: solution.sumOfSquares - residual ** 2 / residualVariance,
    freedom: solution.freedom - 1,
  };
}

/** Inverse of a symmetric positive definite matrix, row-major. */
function inverse(matrix: Float64Array, size: number, complaint: (column: number) => string): Float64Array {
  const inverted = new Float64Array(size * size);
  if (size === 0) return inverted;
  const rows = new Matrix(size, size);
  // Scaled to a unit diagonal, so that zeros in millimetres and drifts over a whole set-up weigh alike.
  const scale = new Float64Array(size);
  for (let k = 0; k < size; k++) {
    const diagonal = matrix[k * size + k]!;
    if (!(diagonal > 0)) throw new Error(complaint(k));
    scale[k] = 1 / Math.sqrt(diagonal);
  }
  for (let r = 0; r < size; r++) {
    for (let c = 0; c <= r; c++) {
      // The two halves are mirrored: summed in another order they would differ in the last digit.
      const value = matrix[r * size + c]! * scale[r]! * scale[c]!;
      rows.set(r, c, value);
      rows.set(c, r, value);
    }
  }
  const cholesky = new CholeskyDecomposition(rows);
  const lower = cholesky.lowerTriangularMatrix;
  for (let k = 0; k < size; k++) {
    // On a unit diagonal the squared pivot is the share of an unknown that the ones before leave open.
    if (!(lower.get(k, k) ** 2 > LEAST_PIVOT)) throw new Error(complaint(k));
  }
  const solved = cholesky.solve(Matrix.eye(size));
  for (let r = 0; r < size; r++)
    for (let c = 0; c < size; c++) inverted[r * size + c] = solved.get(r, c) * scale[r]! * scale[c]!;
  return inverted;
}

/** Relative to a unit diagonal: far above rounding (1e-16 times the size), far below any tie by one reading. */
const LEAST_PIVOT = 1e-10;

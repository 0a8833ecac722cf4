/**
 * A convex program in three unknowns with a handful of half-spaces and one cone, solved exactly by
 * trying every set of constraints that can hold at the optimum. The unknowns of a plane are its height
 * and its two falls; in three unknowns at most three constraints decide an optimum (combinatorial
 * dimension of an LP-type problem: Matoušek, Sharir & Welzl, "A subexponential bound for linear
 * programming", Algorithmica 16, 1996), so the sets are few.
 */

export type Triple = readonly [number, number, number];

/** normal · p ≥ atLeast. */
export interface HalfSpace {
  readonly normal: Triple;
  readonly atLeast: number;
}

/** What is made small: ½ pᵀHp + g·p. H is symmetric and positive semidefinite, given by its upper triangle. */
export interface Objective {
  /** h00, h01, h02, h11, h12, h22. */
  readonly hessian: readonly [number, number, number, number, number, number];
  readonly gradient: Triple;
  /**
   * True where the Hessian only settles ties: a multiple of p₁² + p₂², the same all along the cone's rim,
   * so that an optimum on the rim is found in closed form.
   */
  readonly linear: boolean;
}

export interface SmallOptimum {
  readonly p: Triple;
  /** Indices into the half-spaces that hold with equality and carry the optimum, at most three with the cone. */
  readonly active: readonly number[];
  /** What the optimum rises by for each unit that the half-space is tightened, in the order of `active`. */
  readonly prices: readonly number[];
  readonly onRim: boolean;
  /** What the optimum falls by for each unit that the cone is widened. */
  readonly rimPrice: number;
}

/** Directions that agree to this (sine of the angle between them) cannot be told apart in double precision. */
const PARALLEL = 1e-12;
/** Share of the gradient by which a price may come out below nothing through rounding. */
const PRICE_ROUNDING = 1e-9;
/** The root of the rim's multiplier is bracketed and halved at most this often: the bits of a double and its exponent range. */
const RIM_STEPS = 220;

/**
 * The least of the objective over all half-spaces with √(p₁² + p₂²) ≤ rim.
 * @param rim the cone's radius, in the unit of p₁ and p₂; `Infinity` for none, 0 for none but p₁ = p₂ = 0
 * @param slack by how much a half-space may be missed and still count as kept, in its own unit
 * @returns undefined where no point keeps all, or where the objective has no least value over them
 */
export function solveSmall(
  halfSpaces: readonly HalfSpace[],
  rim: number,
  objective: Objective,
  slack: number,
): SmallOptimum | undefined {
  if (rim === 0) {
    const upright = halfSpaces.map(({ normal, atLeast }) => ({ normal: [normal[0], 0, 0] as const, atLeast }));
    const optimum = solveSmall(upright, Number.POSITIVE_INFINITY, withoutFalls(objective), slack);
    return (
      optimum && {
        ...optimum,
        p: [optimum.p[0], 0, 0],
        onRim: true,
        rimPrice: priceOfNoFall(optimum, halfSpaces, objective),
      }
    );
  }
  let best: SmallOptimum | undefined;
  let bestValue = Number.POSITIVE_INFINITY;
  /** True where a feasible candidate proves itself optimal by its prices: nothing else need be tried. */
  const consider = (p: Triple | undefined, active: readonly number[], onRim: boolean): boolean => {
    if (!p || !isKept(p, halfSpaces, active, rim, onRim, slack)) return false;
    const priced = pricesAt(p, active, halfSpaces, onRim, objective);
    if (!priced) return false;
    const value = valueAt(objective, p);
    if (priced.proven || value < bestValue) {
      bestValue = value;
      best = { p, active, prices: priced.prices, onRim, rimPrice: priced.rimPrice };
    }
    return priced.proven;
  };
  for (const active of subsetsUpToThree(halfSpaces.length)) {
    const equalities = active.map((index) => halfSpaces[index] as HalfSpace);
    if (consider(stationaryPoint(equalities, objective.hessian, objective.gradient), active, false)) return best;
    if (Number.isFinite(rim) && active.length < 3) {
      for (const p of pointsOnRim(equalities, rim, objective)) if (consider(p, active, true)) return best;
    }
  }
  return best;
}

const dot = (a: Triple, b: Triple): number => a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
const cross = (a: Triple, b: Triple): Triple => [
  a[1] * b[2] - a[2] * b[1],
  a[2] * b[0] - a[0] * b[2],
  a[0] * b[1] - a[1] * b[0],
];
const scaled = (a: Triple, by: number): Triple => [a[0] * by, a[1] * by, a[2] * by];
const plus = (a: Triple, b: Triple, by = 1): Triple => [a[0] + b[0] * by, a[1] + b[1] * by, a[2] + b[2] * by];
const norm = (a: Triple): number => Math.hypot(a[0], a[1], a[2]);

export const gradientAt = ({ hessian: h, gradient: g }: Objective, p: Triple): Triple => [
  g[0] + h[0] * p[0] + h[1] * p[1] + h[2] * p[2],
  g[1] + h[1] * p[0] + h[3] * p[1] + h[4] * p[2],
  g[2] + h[2] * p[0] + h[4] * p[1] + h[5] * p[2],
];

export const valueAt = (objective: Objective, p: Triple): number =>
  dot(plus(gradientAt(objective, p), objective.gradient), p) / 2;

function* subsetsUpToThree(count: number): Generator<readonly number[]> {
  yield [];
  for (let i = 0; i < count; i++) yield [i];
  for (let i = 0; i < count; i++) for (let j = i + 1; j < count; j++) yield [i, j];
  for (let i = 0; i < count; i++)
    for (let j = i + 1; j < count; j++) for (let k = j + 1; k < count; k++) yield [i, j, k];
}

function isKept(
  p: Triple,
  halfSpaces: readonly HalfSpace[],
  active: readonly number[],
  rim: number,
  onRim: boolean,
  slack: number,
): boolean {
  if (!onRim && Math.hypot(p[1], p[2]) > rim + slack) return false;
  // Written so that a point which is not a number fails.
  return halfSpaces.every(({ normal, atLeast }, index) => active.includes(index) || dot(normal, p) >= atLeast - slack);
}

/** Orthonormal directions that span the normals, and the point of their span where all equalities hold. */
interface Frame {
  readonly axes: readonly Triple[];
  readonly origin: Triple;
}

/** Gram–Schmidt on the normals; undefined where they are not independent. */
function frameOf(equalities: readonly HalfSpace[]): Frame | undefined {
  const axes: Triple[] = [];
  let origin: Triple = [0, 0, 0];
  for (const { normal, atLeast } of equalities) {
    let rest = normal;
    for (const axis of axes) rest = plus(rest, axis, -dot(rest, axis));
    // The third direction is known better from the first two than from what is left of the third normal.
    const axis = axes.length === 2 ? cross(axes[0] as Triple, axes[1] as Triple) : scaled(rest, 1 / norm(rest));
    const along = dot(normal, axis);
    if (!(Math.abs(along) > PARALLEL * norm(normal))) return undefined;
    origin = plus(origin, axis, (atLeast - dot(normal, origin)) / along);
    axes.push(axis);
  }
  return { axes, origin };
}

/** Directions at right angles to the axes that make three with them. */
function freeDirections(axes: readonly Triple[]): readonly Triple[] {
  const [first, second] = axes;
  if (!first)
    return [
      [1, 0, 0],
      [0, 1, 0],
      [0, 0, 1],
    ];
  if (axes.length >= 3) return [];
  if (second) return [cross(first, second)];
  const smallest = first.reduce((best, value, i) => (Math.abs(value) < Math.abs(first[best] as number) ? i : best), 0);
  const unit: Triple = [smallest === 0 ? 1 : 0, smallest === 1 ? 1 : 0, smallest === 2 ? 1 : 0];
  const across = cross(first, unit);
  const one = scaled(across, 1 / norm(across));
  return [one, cross(first, one)];
}

/** Where the objective is stationary on the equalities; undefined where it is not curved along all of them. */
function stationaryPoint(
  equalities: readonly HalfSpace[],
  hessian: Objective["hessian"],
  gradient: Triple,
): Triple | undefined {
  const frame = frameOf(equalities);
  if (!frame) return undefined;
  const free = freeDirections(frame.axes);
  if (free.length === 0) return frame.origin;
  const curved: Objective = { hessian, gradient, linear: false };
  const slope = gradientAt(curved, frame.origin);
  const pure: Objective = { hessian, gradient: [0, 0, 0], linear: false };
  const bent = free.map((direction) => gradientAt(pure, direction));
  const steps = solveSymmetric(
    free.map((row) => bent.map((column) => dot(row, column))),
    free.map((direction) => -dot(direction, slope)),
  );
  if (!steps) return undefined;
  return free.reduce((p, direction, i) => plus(p, direction, steps[i] as number), frame.origin);
}

/** Cholesky for one to three unknowns; undefined where the matrix is not positive definite to rounding. */
function solveSymmetric(matrix: readonly (readonly number[])[], right: readonly number[]): number[] | undefined {
  const n = right.length;
  const lower: number[][] = [];
  for (let i = 0; i < n; i++) {
    const row: number[] = [];
    lower.push(row);
    for (let j = 0; j <= i; j++) {
      let sum = matrix[i]?.[j] as number;
      for (let k = 0; k < j; k++) sum -= (row[k] as number) * (lower[j]?.[k] as number);
      if (i === j) {
        if (!(sum > PARALLEL * (matrix[i]?.[i] as number))) return undefined;
        row.push(Math.sqrt(sum));
      } else {
        row.push(sum / (lower[j]?.[j] as number));
      }
    }
  }
  const x = [...right];
  for (let i = 0; i < n; i++) {
    for (let k = 0; k < i; k++) x[i] = (x[i] as number) - (lower[i]?.[k] as number) * (x[k] as number);
    x[i] = (x[i] as number) / (lower[i]?.[i] as number);
  }
  for (let i = n - 1; i >= 0; i--) {
    for (let k = i + 1; k < n; k++) x[i] = (x[i] as number) - (lower[k]?.[i] as number) * (x[k] as number);
    x[i] = (x[i] as number) / (lower[i]?.[i] as number);
  }
  return x;
}

/** Points with √(p₁² + p₂²) = rim where the objective can be least on the equalities (at most two of them). */
function pointsOnRim(equalities: readonly HalfSpace[], rim: number, objective: Objective): readonly Triple[] {
  if (equalities.length === 2) return lineOnRim(equalities, rim);
  if (objective.linear) {
    const [only] = equalities;
    return only ? planeOnRim(only, rim, objective) : [];
  }
  const p = weightedOnRim(equalities, rim, objective);
  return p ? [p] : [];
}

/** Where a line meets the cone's wall: a quadratic. */
function lineOnRim(equalities: readonly HalfSpace[], rim: number): readonly Triple[] {
  const frame = frameOf(equalities);
  const along = frame && freeDirections(frame.axes)[0];
  if (!frame || !along) return [];
  const { origin } = frame;
  const a = along[1] ** 2 + along[2] ** 2;
  const halfB = origin[1] * along[1] + origin[2] * along[2];
  if (!(a > PARALLEL ** 2)) return [];
  // Measured from the point of the line nearest to the cone's axis, where nothing cancels.
  const nearest = plus(origin, along, -halfB / a);
  const rest = rim ** 2 - nearest[1] ** 2 - nearest[2] ** 2;
  if (!(rest >= 0)) return [];
  const reach = Math.sqrt(rest / a);
  return [plus(nearest, along, reach), plus(nearest, along, -reach)];
}

/** The least of a linear objective on a plane within the cone: straight down the plane to the rim. */
function planeOnRim({ normal, atLeast }: HalfSpace, rim: number, { gradient: g }: Objective): readonly Triple[] {
  if (!(Math.abs(normal[0]) > PARALLEL * norm(normal))) return [];
  // p₀ follows from the equality; what is left of the objective is linear in p₁ and p₂.
  const q1 = g[1] - (g[0] * normal[1]) / normal[0];
  const q2 = g[2] - (g[0] * normal[2]) / normal[0];
  const q = Math.hypot(q1, q2);
  if (!(q > 0)) return [];
  const p1 = (-rim * q1) / q;
  const p2 = (-rim * q2) / q;
  return [[(atLeast - normal[1] * p1 - normal[2] * p2) / normal[0], p1, p2]];
}

/**
 * The least of a curved objective on the rim: with a weight μ on ½(p₁² + p₂²) the stationary point moves
 * inward as μ grows; the root is where it stands on the rim (the trust-region subproblem: Nocedal & Wright,
 * Numerical Optimization, 2nd edition, section 4.3).
 */
function weightedOnRim(equalities: readonly HalfSpace[], rim: number, objective: Objective): Triple | undefined {
  const h = objective.hessian;
  const pointAt = (weight: number): Triple | undefined =>
    stationaryPoint(equalities, [h[0], h[1], h[2], h[3] + weight, h[4], h[5] + weight], objective.gradient);
  const excess = (p: Triple): number => Math.hypot(p[1], p[2]) - rim;
  const unweighted = pointAt(0);
  if (unweighted && excess(unweighted) <= 0) return undefined;
  const size = h[0] + h[3] + h[5];
  let outside = 0;
  let inside = size * 1e-12;
  for (let step = 0; step < RIM_STEPS; step++) {
    const p = pointAt(inside);
    if (p && excess(p) <= 0) break;
    outside = inside;
    inside *= 2;
    if (step === RIM_STEPS - 1) return undefined;
  }
  for (let step = 0; step < RIM_STEPS; step++) {
    const middle = (outside + inside) / 2;
    if (middle === outside || middle === inside) break;
    const p = pointAt(middle);
    if (p && excess(p) <= 0) inside = middle;
    else outside = middle;
  }
  return pointAt(inside);
}

/**
 * Prices from the optimality conditions ∇f = Σ price·normal − rimPrice·ŵ (Karush–Kuhn–Tucker; Nocedal & Wright,
 * Numerical Optimization, 2nd edition, theorem 12.1). With all prices at or above nothing the point is optimal.
 */
function pricesAt(
  p: Triple,
  active: readonly number[],
  halfSpaces: readonly HalfSpace[],
  onRim: boolean,
  objective: Objective,
): { prices: number[]; rimPrice: number; proven: boolean } | undefined {
  const normals = active.map((index) => (halfSpaces[index] as HalfSpace).normal);
  const fall = Math.hypot(p[1], p[2]);
  if (onRim) normals.push([0, -p[1] / fall, -p[2] / fall]);
  const slope = gradientAt(objective, p);
  const found = combine(normals, slope);
  if (!found) return undefined;
  const { weights, residual } = found;
  const allowed = PRICE_ROUNDING * Math.max(norm(slope), norm(objective.gradient));
  const proven = residual <= allowed && weights.every((weight, i) => weight * norm(normals[i] as Triple) >= -allowed);
  return {
    prices: weights.slice(0, active.length),
    rimPrice: onRim ? (weights[active.length] as number) : 0,
    proven,
  };
}

/** Weights with which the vectors come nearest to the wanted one, by Gram–Schmidt and back substitution. */
function combine(
  vectors: readonly Triple[],
  wanted: Triple,
): { readonly weights: number[]; readonly residual: number } | undefined {
  const frame = frameOf(vectors.map((normal) => ({ normal, atLeast: 0 })));
  if (!frame) return undefined;
  const { axes } = frame;
  const weights = new Array<number>(vectors.length).fill(0);
  for (let i = vectors.length - 1; i >= 0; i--) {
    const axis = axes[i] as Triple;
    let rest = dot(wanted, axis);
    for (let j = i + 1; j < vectors.length; j++) rest -= (weights[j] as number) * dot(vectors[j] as Triple, axis);
    weights[i] = rest / dot(vectors[i] as Triple, axis);
  }
  const left = vectors.reduce((sum, vector, i) => plus(sum, vector, -(weights[i] as number)), wanted);
  return { weights, residual: norm(left) };
}

const withoutFalls = ({ hessian, gradient }: Objective): Objective => ({
  // Any curvature along the falls keeps them at nothing, where the half-spaces no longer speak of them.
  hessian: [hessian[0], 0, 0, 1, 0, 1],
  gradient: [gradient[0], 0, 0],
  linear: false,
});

/** What a first bit of fall would save where none is allowed: the part of the gradient that the half-spaces leave. */
function priceOfNoFall(optimum: SmallOptimum, halfSpaces: readonly HalfSpace[], objective: Objective): number {
  const slope = gradientAt(objective, [optimum.p[0], 0, 0]);
  const left = optimum.active.reduce(
    (sum, index, i) => plus(sum, (halfSpaces[index] as HalfSpace).normal, -(optimum.prices[i] as number)),
    slope,
  );
  return Math.hypot(left[1], left[2]);
}

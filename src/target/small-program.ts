/**
 * A convex program in three or four unknowns with a handful of half-spaces and one cone, solved exactly by
 * trying every set of constraints that can hold at the optimum. In n unknowns at most n constraints decide an
 * optimum (combinatorial dimension of an LP-type problem: Matoušek, Sharir & Welzl, "A subexponential bound for
 * linear programming", Algorithmica 16, 1996), so the sets are few.
 */

/** One number an unknown. The cone is about the second and third. */
export type Vector = readonly number[];

/** normal · p ≥ atLeast. */
export interface HalfSpace {
  readonly normal: Vector;
  readonly atLeast: number;
}

/** What is made small: ½ pᵀHp + g·p. H is symmetric and positive semidefinite, given by its rows. */
export interface Objective {
  readonly hessian: readonly Vector[];
  readonly gradient: Vector;
  /**
   * True where the Hessian only settles ties: a multiple of p₁² + p₂², the same all along the cone's rim,
   * so that an optimum on the rim is found in closed form.
   */
  readonly linear: boolean;
}

/** A linear objective with so much curvature along p₁ and p₂ that of equal values the one with the least fall wins. */
export function linearObjective(gradient: Vector, curvature: number): Objective {
  return {
    hessian: gradient.map((_, i) => gradient.map((_, j) => (i === j && (i === 1 || i === 2) ? curvature : 0))),
    gradient,
    linear: true,
  };
}

export interface SmallOptimum {
  readonly p: Vector;
  /** Indices into the half-spaces that hold with equality and carry the optimum. */
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
 * @param rim the cone's radius, in the unit of p₁ and p₂; `Infinity` for none, 0 where p₁ = p₂ = 0
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
    const upright = halfSpaces.map(({ normal, atLeast }) => ({ normal: withoutFalls(normal), atLeast }));
    const optimum = solveSmall(upright, Number.POSITIVE_INFINITY, objectiveWithoutFalls(objective), slack);
    return (
      optimum && {
        ...optimum,
        p: withoutFalls(optimum.p),
        onRim: true,
        rimPrice: priceOfNoFall(optimum, halfSpaces, objective),
      }
    );
  }
  const unknowns = objective.gradient.length;
  let best: SmallOptimum | undefined;
  let bestValue = Number.POSITIVE_INFINITY;
  /** True where a feasible candidate proves itself optimal by its prices: nothing else need be tried. */
  const consider = (p: Vector | undefined, active: readonly number[], onRim: boolean): boolean => {
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
  // A linear objective has no least value on an equality that leaves more than p₁ and p₂ free.
  for (let size = objective.linear ? unknowns - 2 : 0; size <= Math.min(unknowns, halfSpaces.length); size++) {
    for (const active of subsets(halfSpaces.length, size)) {
      const frame = frameOf(
        active.map((index) => halfSpaces[index]!),
        unknowns,
      );
      if (!frame) continue;
      if (consider(stationaryPoint(frame, objective.hessian, objective.gradient), active, false)) return best;
      if (Number.isFinite(rim) && size < unknowns) {
        for (const p of pointsOnRim(frame, rim, objective)) if (consider(p, active, true)) return best;
      }
    }
  }
  return best;
}

const dot = (a: Vector, b: Vector): number => {
  let sum = 0;
  for (let i = 0; i < a.length; i++) sum += a[i]! * b[i]!;
  return sum;
};
const scaled = (a: Vector, by: number): Vector => a.map((value) => value * by);
const plus = (a: Vector, b: Vector, by = 1): Vector => a.map((value, i) => value + b[i]! * by);
const norm = (a: Vector): number => Math.hypot(...a);

export const gradientAt = ({ hessian, gradient }: Objective, p: Vector): Vector =>
  gradient.map((value, i) => value + dot(hessian[i]!, p));

export const valueAt = (objective: Objective, p: Vector): number =>
  dot(plus(gradientAt(objective, p), objective.gradient), p) / 2;

/** All sets of so many of the numbers below count, in ascending order. */
function* subsets(count: number, size: number): Generator<readonly number[]> {
  const set = Array.from({ length: size }, (_, i) => i);
  for (;;) {
    yield [...set];
    let i = size - 1;
    while (i >= 0 && set[i] === count - size + i) i--;
    if (i < 0) return;
    set[i]!++;
    for (let j = i + 1; j < size; j++) set[j] = set[j - 1]! + 1;
  }
}

function isKept(
  p: Vector,
  halfSpaces: readonly HalfSpace[],
  active: readonly number[],
  rim: number,
  onRim: boolean,
  slack: number,
): boolean {
  if (!onRim && Math.hypot(p[1]!, p[2]!) > rim + slack) return false;
  // Written so that a point which is not a number fails.
  return halfSpaces.every(({ normal, atLeast }, index) => active.includes(index) || dot(normal, p) >= atLeast - slack);
}

interface Frame {
  /** Orthonormal directions that span the normals of the equalities. */
  readonly axes: readonly Vector[];
  /** Orthonormal directions along which all equalities stay kept. */
  readonly free: readonly Vector[];
  /** The point of the span where all equalities hold. */
  readonly origin: Vector;
}

/** Gram–Schmidt on the normals; undefined where they are not independent. */
function frameOf(equalities: readonly HalfSpace[], unknowns: number): Frame | undefined {
  const axes: Vector[] = [];
  let origin: Vector = new Array<number>(unknowns).fill(0);
  for (const { normal, atLeast } of equalities) {
    const rest = across(normal, axes);
    const left = norm(rest);
    if (!(left > PARALLEL * norm(normal))) return undefined;
    // Once more: what was left of a nearly parallel normal is not square enough to the others.
    const twice = across(scaled(rest, 1 / left), axes);
    const axis = scaled(twice, 1 / norm(twice));
    origin = plus(origin, axis, (atLeast - dot(normal, origin)) / dot(normal, axis));
    axes.push(axis);
  }
  const free: Vector[] = [];
  while (axes.length + free.length < unknowns) {
    const taken = [...axes, ...free];
    let longest: Vector = [];
    for (let i = 0; i < unknowns; i++) {
      const rest = across(
        Array.from({ length: unknowns }, (_, j) => (i === j ? 1 : 0)),
        taken,
      );
      if (norm(rest) > norm(longest)) longest = rest;
    }
    const twice = across(scaled(longest, 1 / norm(longest)), taken);
    free.push(scaled(twice, 1 / norm(twice)));
  }
  return { axes, free, origin };
}

/** What is left of a direction square to the axes. */
const across = (direction: Vector, axes: readonly Vector[]): Vector =>
  axes.reduce((rest, axis) => plus(rest, axis, -dot(rest, axis)), direction);

/** Where the objective is stationary on the equalities; undefined where it is not curved along all of them. */
function stationaryPoint({ free, origin }: Frame, hessian: readonly Vector[], gradient: Vector): Vector | undefined {
  if (free.length === 0) return origin;
  const slope = gradientAt({ hessian, gradient, linear: false }, origin);
  const bent = free.map((direction) => hessian.map((row) => dot(row, direction)));
  const steps = solveSymmetric(
    free.map((row) => bent.map((column) => dot(row, column))),
    free.map((direction) => -dot(direction, slope)),
  );
  if (!steps) return undefined;
  return free.reduce((p, direction, i) => plus(p, direction, steps[i]!), origin);
}

/** Cholesky for a few unknowns; undefined where the matrix is not positive definite to rounding. */
function solveSymmetric(matrix: readonly Vector[], right: Vector): number[] | undefined {
  const n = right.length;
  const lower: number[][] = [];
  for (let i = 0; i < n; i++) {
    const row: number[] = [];
    lower.push(row);
    for (let j = 0; j <= i; j++) {
      let sum = matrix[i]![j]!;
      for (let k = 0; k < j; k++) sum -= row[k]! * lower[j]![k]!;
      if (i === j) {
        if (!(sum > PARALLEL * matrix[i]![i]!)) return undefined;
        row.push(Math.sqrt(sum));
      } else {
        row.push(sum / lower[j]![j]!);
      }
    }
  }
  const x = [...right];
  for (let i = 0; i < n; i++) {
    for (let k = 0; k < i; k++) x[i] = x[i]! - lower[i]![k]! * x[k]!;
    x[i] = x[i]! / lower[i]![i]!;
  }
  for (let i = n - 1; i >= 0; i--) {
    for (let k = i + 1; k < n; k++) x[i] = x[i]! - lower[k]![i]! * x[k]!;
    x[i] = x[i]! / lower[i]![i]!;
  }
  return x;
}

/** Points with √(p₁² + p₂²) = rim where the objective can be least on the equalities. */
function pointsOnRim(frame: Frame, rim: number, objective: Objective): readonly Vector[] {
  if (frame.free.length === 1) return lineOnRim(frame, rim);
  if (objective.linear) return frame.free.length === 2 ? planeOnRim(frame, rim, objective) : [];
  const p = weightedOnRim(frame, rim, objective);
  return p ? [p] : [];
}

/** Where a line meets the cone's wall: a quadratic. */
function lineOnRim({ free, origin }: Frame, rim: number): readonly Vector[] {
  const along = free[0]!;
  const a = along[1]! ** 2 + along[2]! ** 2;
  if (!(a > PARALLEL ** 2)) return [];
  // Measured from the point of the line nearest to the cone's axis, where nothing cancels.
  const nearest = plus(origin, along, -(origin[1]! * along[1]! + origin[2]! * along[2]!) / a);
  const rest = rim ** 2 - nearest[1]! ** 2 - nearest[2]! ** 2;
  if (!(rest >= 0)) return [];
  const reach = Math.sqrt(rest / a);
  return [plus(nearest, along, reach), plus(nearest, along, -reach)];
}

/** The least of a linear objective on a plane within the cone: straight down the plane to the rim. */
function planeOnRim({ free, origin }: Frame, rim: number, { gradient }: Objective): readonly Vector[] {
  const [one, two] = free as readonly [Vector, Vector];
  const determinant = one[1]! * two[2]! - two[1]! * one[2]!;
  if (!(Math.abs(determinant) > PARALLEL)) return [];
  // Directions of the plane along which p₁ alone and p₂ alone rise by one.
  const alongFirst = plus(scaled(one, two[2]! / determinant), two, -one[2]! / determinant);
  const alongSecond = plus(scaled(two, one[1]! / determinant), one, -two[1]! / determinant);
  const q1 = dot(gradient, alongFirst);
  const q2 = dot(gradient, alongSecond);
  const q = Math.hypot(q1, q2);
  if (!(q > 0)) return [];
  const wanted1 = (-rim * q1) / q;
  const wanted2 = (-rim * q2) / q;
  return [plus(plus(origin, alongFirst, wanted1 - origin[1]!), alongSecond, wanted2 - origin[2]!)];
}

/**
 * The least of a curved objective on the rim: with a weight μ on ½(p₁² + p₂²) the stationary point moves
 * inward as μ grows; the root is where it stands on the rim (the trust-region subproblem: Nocedal & Wright,
 * Numerical Optimization, 2nd edition, section 4.3).
 */
function weightedOnRim(frame: Frame, rim: number, { hessian, gradient }: Objective): Vector | undefined {
  const pointAt = (weight: number): Vector | undefined =>
    stationaryPoint(
      frame,
      hessian.map((row, i) => row.map((value, j) => (i === j && (i === 1 || i === 2) ? value + weight : value))),
      gradient,
    );
  const excess = (p: Vector): number => Math.hypot(p[1]!, p[2]!) - rim;
  const unweighted = pointAt(0);
  if (unweighted && excess(unweighted) <= 0) return undefined;
  let outside = 0;
  let inside = hessian.reduce((trace, row, i) => trace + row[i]!, 0) * 1e-12;
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
  p: Vector,
  active: readonly number[],
  halfSpaces: readonly HalfSpace[],
  onRim: boolean,
  objective: Objective,
): { prices: number[]; rimPrice: number; proven: boolean } | undefined {
  const normals: Vector[] = active.map((index) => halfSpaces[index]!.normal);
  const fall = Math.hypot(p[1]!, p[2]!);
  if (onRim) normals.push(p.map((value, i) => (i === 1 || i === 2 ? -value / fall : 0)));
  const slope = gradientAt(objective, p);
  const found = combine(normals, slope);
  if (!found) return undefined;
  const { weights, residual } = found;
  const allowed = PRICE_ROUNDING * Math.max(norm(slope), norm(objective.gradient));
  const proven = residual <= allowed && weights.every((weight, i) => weight * norm(normals[i]!) >= -allowed);
  return { prices: weights.slice(0, active.length), rimPrice: onRim ? weights[active.length]! : 0, proven };
}

/** Weights with which the vectors come nearest to the wanted one, by Gram–Schmidt and back substitution. */
function combine(
  vectors: readonly Vector[],
  wanted: Vector,
): { readonly weights: number[]; readonly residual: number } | undefined {
  const frame = frameOf(
    vectors.map((normal) => ({ normal, atLeast: 0 })),
    wanted.length,
  );
  if (!frame) return undefined;
  const weights = new Array<number>(vectors.length).fill(0);
  for (let i = vectors.length - 1; i >= 0; i--) {
    const axis = frame.axes[i]!;
    let rest = dot(wanted, axis);
    for (let j = i + 1; j < vectors.length; j++) rest -= weights[j]! * dot(vectors[j]!, axis);
    weights[i] = rest / dot(vectors[i]!, axis);
  }
  const left = vectors.reduce((sum, vector, i) => plus(sum, vector, -weights[i]!), wanted);
  return { weights, residual: norm(left) };
}

const withoutFalls = (vector: Vector): Vector => vector.map((value, i) => (i === 1 || i === 2 ? 0 : value));

const objectiveWithoutFalls = ({ hessian, gradient }: Objective): Objective => ({
  // Any curvature along the falls keeps them at nothing, where the half-spaces no longer speak of them.
  hessian: withoutFalls(gradient).map((_, i) =>
    i === 1 || i === 2 ? gradient.map((_, j) => (i === j ? 1 : 0)) : withoutFalls(hessian[i]!),
  ),
  gradient: withoutFalls(gradient),
  linear: false,
});

/** What a first bit of fall would save where none is allowed: the part of the gradient that the half-spaces leave. */
function priceOfNoFall(optimum: SmallOptimum, halfSpaces: readonly HalfSpace[], objective: Objective): number {
  const slope = gradientAt(objective, withoutFalls(optimum.p));
  const left = optimum.active.reduce(
    (sum, index, i) => plus(sum, halfSpaces[index]!.normal, -optimum.prices[i]!),
    slope,
  );
  return Math.hypot(left[1]!, left[2]!);
}

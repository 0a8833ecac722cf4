/**
 * A plane over very many points: the least of a convex objective in its height and two falls, with a least and a
 * greatest height at every point, a few more half-spaces, and the greatest fall as a cone.
 *
 * The constraint that is missed by most enters, a small program over the few that matter is solved exactly,
 * and so on until none is missed: the basis exchange of LP-type problems (Sharir & Welzl, "A combinatorial
 * bound for linear programming and related problems", STACS 1992) in the order of the dual simplex method.
 * The value never falls from one exchange to the next, and no chance is involved.
 */

import type { HalfSpace, Objective, SmallOptimum, Vector } from "./small-program.ts";
import { solveSmall } from "./small-program.ts";

/**
 * Heights in mm. The first unknowns are p₀, the height at the origin, and p₁, p₂, the rise over one unit of u and of v;
 * with u and v in units of the floor's radius all three are mm of like size. A fourth unknown, where there is one,
 * appears only in `more`.
 */
export interface PlaneProgram {
  readonly u: Float64Array;
  readonly v: Float64Array;
  /** Least height of the plane at each point; -Infinity where there is none. */
  readonly lower: Float64Array;
  /** Greatest height of the plane at each point; Infinity where there is none. Absent where no point has one. */
  readonly upper?: Float64Array;
  /** With as many numbers in each normal as the program has unknowns. */
  readonly more: readonly HalfSpace[];
  /** Greatest √(p₁² + p₂²). */
  readonly rim: number;
  /** By how much a constraint may be missed through rounding: see `slackFor`. */
  readonly slack: number;
}

export type ConstraintRef =
  | { readonly family: "lower" | "upper"; readonly point: number }
  | { readonly family: "more"; readonly index: number }
  | { readonly family: "rim" };

export interface Carried {
  readonly constraint: ConstraintRef;
  /** What the optimum rises by for each unit that the constraint is tightened. */
  readonly price: number;
}

export type PlaneOptimum =
  | {
      readonly kind: "optimal";
      readonly p: Vector;
      /** The constraints that carry the optimum, at most as many as unknowns. */
      readonly carried: readonly Carried[];
      readonly passes: number;
    }
  /** No plane keeps these together, and any fewer of them can be kept: at most four in three unknowns. */
  | { readonly kind: "infeasible"; readonly conflict: readonly ConstraintRef[]; readonly passes: number };

/** Constraints that stay at hand beside the new one: those that carry the optimum, then the nearest others. */
const AT_HAND = 8;
/** Exchanges before giving up. A floor takes some ten to forty. */
const MOST_PASSES = 2000;

/** Rounding that height differences of this size may show: ten-thousand-millionth parts of them. */
export const slackFor = (heightsMm: number): number => 1e-10 * heightsMm;

/**
 * @param start constraints that bound the objective from below together with the cone; none are needed where it is curved all round
 * @throws where the exchange does not end, or where `start` leaves the objective without a least value; neither can
 *   happen with finite heights, and both are named
 */
export function solvePlane(program: PlaneProgram, objective: Objective, start: readonly ConstraintRef[]): PlaneOptimum {
  const unknowns = objective.gradient.length;
  let atHand: readonly ConstraintRef[] = start;
  for (let pass = 1; pass <= MOST_PASSES; pass++) {
    const halfSpaces = atHand.map((ref) => halfSpaceOf(program, ref, unknowns));
    const optimum = solveSmall(halfSpaces, program.rim, objective, program.slack);
    if (!optimum) {
      const conflict = irreducible(program, [...atHand, { family: "rim" }], unknowns);
      if (conflict) return { kind: "infeasible", conflict, passes: pass };
      throw new Error(
        `no least value over the ${atHand.length} constraints at hand in pass ${pass}, though they agree`,
      );
    }
    const missed = mostMissed(program, optimum.p);
    if (!missed) return { kind: "optimal", p: optimum.p, carried: carriedBy(optimum, atHand), passes: pass };
    if (atHand.some((ref) => sameConstraint(ref, missed))) {
      throw new Error(`pass ${pass} left ${nameOf(missed)} unkept, though it was at hand`);
    }
    atHand = [...nearest(optimum, atHand, halfSpaces), missed];
  }
  throw new Error(`the plane was not found in ${MOST_PASSES} exchanges`);
}

export function halfSpaceOf(program: PlaneProgram, ref: ConstraintRef, unknowns: number): HalfSpace {
  const { u, v, lower, upper, more } = program;
  switch (ref.family) {
    case "lower":
      return { normal: padded([1, u[ref.point]!, v[ref.point]!], unknowns), atLeast: lower[ref.point]! };
    case "upper":
      return { normal: padded([-1, -u[ref.point]!, -v[ref.point]!], unknowns), atLeast: -upper![ref.point]! };
    case "more":
      return more[ref.index]!;
    case "rim":
      throw new Error("the cone is no half-space");
  }
}

const padded = (normal: readonly number[], unknowns: number): Vector =>
  Array.from({ length: unknowns }, (_, i) => normal[i] ?? 0);

const over = ({ normal, atLeast }: HalfSpace, p: Vector): number =>
  normal.reduce((sum, value, i) => sum + value * p[i]!, -atLeast);

/** The constraint that p misses by most, if by more than rounding; the first of equals. */
function mostMissed({ u, v, lower, upper, more, slack }: PlaneProgram, p: Vector): ConstraintRef | undefined {
  let worst = slack;
  let found: ConstraintRef | undefined;
  const [p0, p1, p2] = p as readonly [number, number, number];
  let lowest = -1;
  for (let i = 0; i < u.length; i++) {
    const by = lower[i]! - (p0 + p1 * u[i]! + p2 * v[i]!);
    if (by > worst) {
      worst = by;
      lowest = i;
    }
  }
  if (lowest >= 0) found = { family: "lower", point: lowest };
  if (upper) {
    let highest = -1;
    for (let i = 0; i < u.length; i++) {
      const by = p0 + p1 * u[i]! + p2 * v[i]! - upper[i]!;
      if (by > worst) {
        worst = by;
        highest = i;
      }
    }
    if (highest >= 0) found = { family: "upper", point: highest };
  }
  for (const [index, halfSpace] of more.entries()) {
    const by = -over(halfSpace, p);
    if (by > worst) {
      worst = by;
      found = { family: "more", index };
    }
  }
  return found;
}

function nearest(
  optimum: SmallOptimum,
  atHand: readonly ConstraintRef[],
  halfSpaces: readonly HalfSpace[],
): readonly ConstraintRef[] {
  const distance = halfSpaces.map((halfSpace, index) =>
    optimum.active.includes(index) ? Number.NEGATIVE_INFINITY : over(halfSpace, optimum.p),
  );
  return atHand
    .map((_, index) => index)
    .sort((a, b) => (distance[a] === distance[b] ? a - b : distance[a]! < distance[b]! ? -1 : 1))
    .slice(0, AT_HAND - 1)
    .map((index) => atHand[index]!);
}

function carriedBy(optimum: SmallOptimum, atHand: readonly ConstraintRef[]): readonly Carried[] {
  const carried: Carried[] = optimum.active.map((index, i) => ({
    constraint: atHand[index]!,
    price: optimum.prices[i]!,
  }));
  if (optimum.onRim) carried.push({ constraint: { family: "rim" }, price: optimum.rimPrice });
  return carried;
}

/** True where some point keeps all these constraints: the one nearest to nothing is looked for. */
export function canAllBeKept(program: PlaneProgram, refs: readonly ConstraintRef[], unknowns: number): boolean {
  const rim = refs.some(({ family }) => family === "rim") ? program.rim : Number.POSITIVE_INFINITY;
  const halfSpaces = refs.filter(({ family }) => family !== "rim").map((ref) => halfSpaceOf(program, ref, unknowns));
  const places = Array.from({ length: unknowns }, (_, i) => i);
  const nearest: Objective = {
    hessian: places.map((i) => places.map((j) => (i === j ? 1 : 0))),
    gradient: places.map(() => 0),
    linear: false,
  };
  return solveSmall(halfSpaces, rim, nearest, program.slack) !== undefined;
}

/**
 * Leaves out one constraint after another as long as the rest still contradict each other (the deletion filter:
 * Chinneck, Feasibility and Infeasibility in Optimization, 2008, section 6.2). What stays is irreducible, and so
 * at most one more than the unknowns, four for a plane: Helly's theorem. Undefined where the constraints do not contradict each other.
 */
function irreducible(
  program: PlaneProgram,
  refs: readonly ConstraintRef[],
  unknowns: number,
): readonly ConstraintRef[] | undefined {
  if (canAllBeKept(program, refs, unknowns)) return undefined;
  let left = refs;
  for (const ref of refs) {
    const without = left.filter((other) => other !== ref);
    if (!canAllBeKept(program, without, unknowns)) left = without;
  }
  return left;
}

export const sameConstraint = (a: ConstraintRef, b: ConstraintRef): boolean => nameOf(a) === nameOf(b);

function nameOf(ref: ConstraintRef): string {
  if (ref.family === "rim") return "the greatest fall";
  return ref.family === "more" ? `constraint ${ref.index}` : `the ${ref.family} height at vertex ${ref.point}`;
}

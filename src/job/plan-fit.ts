/**
 * Coordinates of a file brought onto the job's plan by points that are known in both: a shift and a turn, no scale, by
 * least squares (Arun, Huang & Blostein, "Least-squares fitting of two 3-D point sets", IEEE Transactions on Pattern
 * Analysis and Machine Intelligence 9 (1987), in the plane; without scale, since tape and instrument both are true).
 */
import { distance, type Point, point } from "../geometry/point.ts";
import type { Metres } from "../units.ts";

export interface KnownPoint {
  readonly name: string;
  readonly inFile: Point;
  readonly onPlan: Point;
}

export interface PlanFit {
  readonly points: readonly (KnownPoint & {
    /** How far off the plan's place the fitted one lies. */
    readonly residual: Metres;
  })[];
  /** Counter-clockwise, in radians. */
  readonly turn: number;
  /** What the file's origin becomes on the plan. */
  readonly origin: Point;
  readonly greatestResidual: Metres;
}

/**
 * A corner that is off by more than this on tape or in the file is another corner: twice what a tape over 10 m and a
 * corner sighted on plaster are good for (common practice).
 */
export const KNOWN_POINT_WITHIN_M: Metres = 0.02;

/** Known points nearer together than this turn the plan at will. */
export const KNOWN_POINTS_APART_M: Metres = 1;

/** The shift and turn with the least squares of residuals. Two points at least, not at one place. */
export function fitToPlan(known: readonly KnownPoint[]): PlanFit {
  const middle = (of: (one: KnownPoint) => Point): Point =>
    point(
      known.reduce((sum, one) => sum + of(one).x, 0) / known.length,
      known.reduce((sum, one) => sum + of(one).y, 0) / known.length,
    );
  const file = middle(({ inFile }) => inFile);
  const plan = middle(({ onPlan }) => onPlan);
  let along = 0;
  let across = 0;
  for (const { inFile, onPlan } of known) {
    const [ax, ay] = [inFile.x - file.x, inFile.y - file.y];
    const [bx, by] = [onPlan.x - plan.x, onPlan.y - plan.y];
    along += ax * bx + ay * by;
    across += ax * by - ay * bx;
  }
  const turn = Math.atan2(across, along);
  const [cos, sin] = [Math.cos(turn), Math.sin(turn)];
  const origin = point(plan.x - cos * file.x + sin * file.y, plan.y - sin * file.x - cos * file.y);
  const points = known.map((one) => ({
    ...one,
    residual: distance(placedBy({ turn, origin }, one.inFile.x, one.inFile.y), one.onPlan),
  }));
  return { points, turn, origin, greatestResidual: points.reduce((most, { residual }) => Math.max(most, residual), 0) };
}

/** A place of the file, on the plan. */
export function placedBy({ turn, origin }: Pick<PlanFit, "turn" | "origin">, east: number, north: number): Point {
  const [cos, sin] = [Math.cos(turn), Math.sin(turn)];
  return point(origin.x + cos * east - sin * north, origin.y + sin * east + cos * north);
}

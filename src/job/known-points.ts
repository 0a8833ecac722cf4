/** Points known in a file and on the plan, as the job gives them: checked, and made into a shift and a turn. */
import { decimal } from "../format.ts";
import { distance } from "../geometry/point.ts";
import { type JobReader, objectAt, toPoint } from "./job-reader.ts";
import { fitToPlan, KNOWN_POINT_WITHIN_M, KNOWN_POINTS_APART_M, type PlanFit } from "./plan-fit.ts";
import type { KnownPointText } from "./schema-survey.ts";
import type { Path } from "./yaml-places.ts";

/**
 * The fit by the known points at `path`; undefined where the job gives none, "objected" where they do not hold a plan.
 */
export function fitOf(
  reader: JobReader,
  texts: readonly KnownPointText[] | undefined,
  path: Path,
): PlanFit | undefined | "objected" {
  if (texts === undefined) return undefined;
  const known = texts.map(({ point, in_file, on_plan }) => ({
    name: point,
    inFile: toPoint(reader, in_file),
    onPlan: toPoint(reader, on_plan),
  }));
  const apart = (of: "inFile" | "onPlan"): number =>
    known.reduce((most, one) => Math.max(most, distance(one[of], known[0]![of])), 0);
  if (known.length < 2 || Math.min(apart("inFile"), apart("onPlan")) < KNOWN_POINTS_APART_M) {
    objectAt(reader, path, {
      code: "known-points-too-near",
      message:
        known.length < 2
          ? "One known point gives a shift, but no turn."
          : `The known points lie within ${decimal(Math.min(apart("inFile"), apart("onPlan")), 3)} m of each other: they give no turn.`,
      expected: `two points at least, ${KNOWN_POINTS_APART_M} m apart or more, such as two corners of the plan`,
    });
    return "objected";
  }
  const fit = fitToPlan(known);
  if (fit.greatestResidual <= KNOWN_POINT_WITHIN_M) return fit;
  const told = fit.points.map(({ name, residual }) => `${name} ${decimal(residual * 1000, 1)} mm`);
  const worst = fit.points.reduce((most, one) => (one.residual > most.residual ? one : most));
  objectAt(reader, [...path, fit.points.indexOf(worst)], {
    code: "known-points-do-not-fit",
    message: `After the best shift and turn the known points are off the plan: ${told.join(", ")}.`,
    expected: `${KNOWN_POINT_WITHIN_M * 1000} mm at the most`,
    hint:
      fit.points.length === 2
        ? "Check the distance between the two in the file and on the plan, the unit, and that east comes first."
        : `Check ${worst.name} first, then the unit, and that east comes first.`,
  });
  return "objected";
}

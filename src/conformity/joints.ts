/** Joints of a floor: what the job says of them, and which lines they cut. */
import type { Point } from "../geometry/point.ts";
import { crossingOf } from "../geometry/polygon.ts";
import type { SampleLine } from "../job/contract-model.ts";
import type { FloorLine, PourSpec, SurveySpec } from "../job/model.ts";

export interface FloorJoints {
  readonly known: readonly FloorLine[];
  /** False where the job does not say that these are all. */
  readonly all: boolean;
}

/**
 * The joints that the survey names, and, on the floor after the pour, those of the pour: moving joints that were
 * carried through, and dams on one side of which it hardened first.
 */
export const jointsOf = (
  survey: Pick<SurveySpec, "joints">,
  { movingJoints = [], dams = [] }: Pick<PourSpec, "movingJoints" | "dams">,
  floor: "raw-slab" | "finished",
): FloorJoints => ({
  known: [...(survey.joints ?? []), ...movingJoints, ...(floor === "finished" ? dams : [])],
  all: survey.joints !== undefined,
});

/** The joint that a line runs across, and where; the first of several. */
export function jointAcross(
  { ends }: Pick<SampleLine, "ends">,
  joints: readonly FloorLine[],
): { readonly joint: FloorLine; readonly at: Point } | undefined {
  if (ends === undefined) return undefined;
  for (const joint of joints) {
    const at = crossingOf(...ends, joint.from, joint.to);
    if (at !== undefined) return { joint, at };
  }
  return undefined;
}

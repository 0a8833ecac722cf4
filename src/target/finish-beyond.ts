/** The finished level beyond a door, from the job's zero. */
import type { Door } from "../job/model.ts";
import type { Levels, SurveyReport } from "../survey/model.ts";
import type { Millimetres } from "../units.ts";

/** Levels, with the account of their adjustment where there is one. */
export type LevelsWithReport = Levels & { readonly report?: SurveyReport };

/**
 * As read beyond the door, with what the adjustment put on the readings of the set-up that it was read from; undefined
 * where it was not read.
 * @throws where the door names a set-up that the survey does not have: the job's checks come before
 */
export function finishBeyond(door: Door, levels: LevelsWithReport): Millimetres | undefined {
  const { neighbourFinish, neighbourSetUpId } = door;
  if (neighbourFinish === undefined || neighbourSetUpId === undefined) return neighbourFinish;
  const setUp = levels.report?.setUps.find(({ setUpId }) => setUpId === neighbourSetUpId);
  if (!setUp)
    throw new Error(`door ${door.id} was read beyond from set-up ${neighbourSetUpId}, which was not adjusted`);
  return neighbourFinish + setUp.zeroCorrection;
}

/** Whether the joint survey stands: both parties have signed it, and for the bags that it means today. */
import type { Job } from "../job/model.ts";
import { JOINT_PARTIES, type JointParty } from "../job/record-model.ts";
import type { BagStop, RecordHold } from "./model.ts";

/**
 * What keeps the pour: a signature that is missing, or signatures for fewer bags than are planned now and nobody has
 * approved since. Nothing is held before there are bags to agree on.
 */
export function jointSurveyHold({ jointSurvey }: Pick<Job, "jointSurvey">, stop: BagStop): RecordHold | undefined {
  if (jointSurvey?.notRequired !== undefined) return undefined;
  const missing: readonly JointParty[] = JOINT_PARTIES.filter(
    (party) => !jointSurvey?.signatures.some((signature) => signature.party === party),
  );
  if (missing.length > 0) return { kind: "joint-survey-unsigned", missing };
  const signedFor = jointSurvey?.bags;
  const isApproved = stop.from === "approval" && stop.bags >= stop.planned;
  return signedFor === undefined || stop.planned <= signedFor || isApproved
    ? undefined
    : { kind: "joint-survey-outdated", signedFor, planned: stop.planned };
}

/** The loss that the archive taught, at the mean depth of this floor. */
import type { Depths } from "../depths/model.ts";
import type { Job } from "../job/model.ts";
import type { TargetSpec } from "../job/target-model.ts";
import { share } from "../units.ts";

/**
 * The job with its loss at the mean depth of the pour; the job itself where it does not ask for a learned one. Where
 * the top was sought under a limit of bags, the loss stays that of the archive's mean depth: with another one the
 * top would have been another.
 */
export function withLearnedLoss(job: Job, { mean }: Pick<Depths, "mean">): Job {
  const learned = job.pour.learnedLoss;
  if (learned === undefined || hasBagLimit(job.target)) return job;
  const deeper = mean - learned.depth;
  return {
    ...job,
    pour: {
      ...job.pour,
      lossAllowance: share(Math.max(0, learned.loss + learned.perMm * deeper)),
      learnedLoss: { ...learned, sd: Math.hypot(learned.sd, learned.perMmSd * deeper) },
    },
  };
}

const hasBagLimit = (target: TargetSpec): boolean =>
  target.kind === "zones"
    ? target.zones.some(({ top }) => top.kind === "sought" && top.limits.bags !== undefined)
    : target.kind === "sought" && target.limits.bags !== undefined;

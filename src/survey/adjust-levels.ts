/**
 * Readings in, one level a point out. Every level is above the job's zero.
 */
import { type Diagnostic, notYet, type Outcome, ready } from "../diagnostics.ts";
import type { Job } from "../job/model.ts";
import type { Plan } from "../layout/model.ts";
import { millimetres } from "../units.ts";
import type { Levels, PointLevel } from "./model.ts";

/**
 * The level of every point that was read, in the order of the plan, with its standard deviation
 * (mm). Not ready until there is a reading.
 */
export function adjustLevels(job: Job, plan: Plan): Outcome<Levels> {
  const byPoint = new Map<string, { sum: number; weight: number; times: number }>();
  const known = new Set(plan.points.map((planPoint) => planPoint.id));
  const warnings: Diagnostic[] = [];
  for (const setUp of job.survey.setUps) {
    const weight = 1 / setUp.instrument.readingSd ** 2;
    for (const reading of setUp.readings) {
      if (!known.has(reading.pointId)) {
        warnings.push({
          code: "reading-of-unknown-point",
          severity: "warning",
          message: `set-up ${setUp.id} has a reading of ${reading.pointId}, which is not a point of the plan; it is left out`,
          place: reading.place,
        });
        continue;
      }
      const sums = byPoint.get(reading.pointId) ?? { sum: 0, weight: 0, times: 0 };
      sums.sum += weight * reading.level;
      sums.weight += weight;
      sums.times += 1;
      byPoint.set(reading.pointId, sums);
    }
  }
  if (byPoint.size === 0) return notYet(`${job.title} is not surveyed yet: the job file has no readings`);
  const points: PointLevel[] = [];
  for (const planPoint of plan.points) {
    const sums = byPoint.get(planPoint.id);
    if (sums === undefined) continue;
    points.push({
      id: planPoint.id,
      at: planPoint.at,
      roomIndex: planPoint.roomIndex,
      level: millimetres(sums.sum / sums.weight),
      sd: millimetres(Math.sqrt(1 / sums.weight)),
      timesRead: sums.times,
    });
  }
  return ready({ points, unchecked: points.every((level) => level.timesRead === 1) }, warnings);
}

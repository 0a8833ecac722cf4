/** Planned against used: bags, time, loss and yield, and where a difference comes from. */

import { daysBetween } from "../conformity/dates.ts";
import type { Depths } from "../depths/model.ts";
import { meshIntegral } from "../geometry/level.ts";
import type { Job } from "../job/model.ts";
import type { PourResults } from "../job/record-model.ts";
import type { Plan } from "../layout/model.ts";
import type { Quantities } from "../quantities/model.ts";
import type { Slab } from "../slab/model.ts";
import type { AdjustedLevels } from "../survey/model.ts";
import { volumeSdFromReading } from "../survey/volume-sd.ts";
import type { Litres, Minutes } from "../units.ts";
import { laterThan } from "./later.ts";
import type { AccountReason, PourAccount } from "./model.ts";

/** A floor as its readings give it. */
export interface ReadFloor {
  readonly plan: Plan;
  readonly levels: AdjustedLevels;
  readonly slab: Slab;
}

/** What the account is made from; the finished floor is absent until it was read. */
export interface AccountSubject {
  readonly job: Job;
  readonly results: PourResults;
  readonly before: ReadFloor;
  readonly depths: Depths;
  readonly quantities: Quantities;
  readonly plannedBatches: number;
  readonly plannedTime: Minutes;
  readonly after?: ReadFloor;
}

export function accountFor(subject: AccountSubject): PourAccount {
  const { job, results, quantities, plannedBatches, plannedTime } = subject;
  const { bags } = quantities;
  const { lossAllowance } = job.pour;
  const mixed = results.batches.reduce((sum, batch) => sum + batch.bags, 0);
  const used = mixed + results.burstBags;
  const inFloor = mixed - results.thrownBags;
  const placed = placedVolume(subject);
  // Bags that the floor holds at the yield of the data sheet, loss aside.
  const atDataSheetYield = placed === undefined ? undefined : (placed.volume + bags.profileVolume) / bags.yieldPerBag;
  const reasons: AccountReason[] = [
    ...(atDataSheetYield === undefined
      ? ([{ kind: "not-told-apart", bags: inFloor - bags.sum }] as const)
      : ([
          { kind: "volume", bags: atDataSheetYield * (1 + lossAllowance) - bags.sum },
          { kind: "loss-and-yield", bags: inFloor - atDataSheetYield * (1 + lossAllowance) },
        ] as const)),
    { kind: "thrown", bags: results.thrownBags },
    { kind: "burst", bags: results.burstBags },
    { kind: "rounding", bags: bags.sum - bags.toOrder },
  ];
  const first = results.batches[0]!;
  const last = lastPlacing(job, results);
  return {
    batches: { planned: plannedBatches, poured: results.batches.length },
    bags: {
      planned: bags.toOrder,
      delivered: results.lots.reduce((sum, lot) => sum + lot.bags, 0),
      mixed,
      burst: results.burstBags,
      thrown: results.thrownBags,
      used,
      ...(results.returnedBags === undefined ? {} : { returned: results.returnedBags }),
      difference: used - bags.toOrder,
    },
    time: {
      planned: plannedTime,
      taken: (daysBetween(first.date, last.date) ?? 0) * 1440 + last.minuteOfDay - first.mixed,
    },
    volume: { planned: bags.volume, ...(placed === undefined ? {} : { placed }) },
    yieldPerBag: {
      planned: bags.yieldPerBag,
      ...(placed === undefined || inFloor === 0
        ? {}
        : { found: ((placed.volume + bags.profileVolume) * (1 + lossAllowance)) / inFloor }),
    },
    loss: {
      planned: lossAllowance,
      ...(atDataSheetYield === undefined || atDataSheetYield <= 0 ? {} : { found: inFloor / atDataSheetYield - 1 }),
    },
    reasons,
    lastPlaced: { at: laterThan(last.date, last.minuteOfDay), recorded: last.recorded },
  };
}

/** The latest placing; of a batch without one the end of its flow time, by which it must have been placed. */
function lastPlacing(job: Job, { batches }: PourResults): { date: string; minuteOfDay: Minutes; recorded: boolean } {
  return batches
    .map(({ date, mixed, placed }) => ({
      date,
      minuteOfDay: placed ?? mixed + job.material.flowTime,
      recorded: placed !== undefined,
    }))
    .reduce((latest, one) =>
      laterThan(one.date, one.minuteOfDay) >= laterThan(latest.date, latest.minuteOfDay) ? one : latest,
    );
}

/**
 * What lies in the floor by both readings: ∫ finished − ∫ slab, 1 mm on 1 m² being 1 L, and what took the place of
 * ground high spots as planned. One material only: readings do not tell two apart. The standard deviation is of
 * reading and datum of both.
 */
function placedVolume({
  before,
  after,
  depths,
  quantities,
}: AccountSubject): { volume: Litres; sd: Litres } | undefined {
  if (after === undefined || (quantities.otherMaterials ?? []).length > 0) return undefined;
  const risen = meshIntegral(after.slab.mesh, after.slab.levelMm) - meshIntegral(before.slab.mesh, before.slab.levelMm);
  const ground = depths.volumeToOrder - meshIntegral(depths.mesh, depths.depthMm);
  const sds = [before, after].map(({ plan, levels }) => volumeSdFromReading(plan, levels));
  return { volume: risen + ground, sd: Math.hypot(...sds) };
}

/** When a time after the last batch is over: `2027-03-04 14:12`. */
export const holdUntil = (lastPlaced: string, after: Minutes): string =>
  laterThan(lastPlaced.slice(0, 10), minuteOfDay(lastPlaced) + Math.ceil(after));

const minuteOfDay = (dateTime: string): Minutes => Number(dateTime.slice(11, 13)) * 60 + Number(dateTime.slice(14, 16));

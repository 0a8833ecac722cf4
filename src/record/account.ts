/** Planned against used: bags, time, loss and yield by material, and where a difference comes from. */

import { daysBetween } from "../conformity/dates.ts";
import type { Depths } from "../depths/model.ts";
import { integralByRegion, meshIntegral } from "../geometry/level.ts";
import type { Material } from "../job/library-model.ts";
import type { Job } from "../job/model.ts";
import type { PouredBatch, PourResults } from "../job/record-model.ts";
import { isSameMaterial } from "../job/same-material.ts";
import type { Plan } from "../layout/model.ts";
import type { BagCount, Quantities } from "../quantities/model.ts";
import type { Slab } from "../slab/model.ts";
import type { AdjustedLevels } from "../survey/model.ts";
import { volumeSdFromReading } from "../survey/volume-sd.ts";
import type { Meet } from "../target/model.ts";
import type { Litres, Minutes } from "../units.ts";
import { laterThan } from "./later.ts";
import type { AccountReason, FillAccount, PourAccount, WeighedYield } from "./model.ts";
import { weighedYield } from "./weighed-yield.ts";

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
  /** Where zones of the target meet. */
  readonly meets?: readonly Meet[];
}

export function accountFor(subject: AccountSubject): PourAccount {
  const { job, results, quantities, plannedBatches, plannedTime } = subject;
  const { bags } = quantities;
  const { lossAllowance } = job.pour;
  const batches = results.batches.filter(({ materialId }) => materialId === job.material.id);
  const mixed = bagsOf(batches);
  const used = mixed + results.burstBags;
  const inFloor = mixed - results.thrownBags;
  const own = fillOf(subject, job.material, bags, inFloor);
  const atDataSheetYield = bagsAtDataSheetYield(own, bags);
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
  const first = batches[0] ?? results.batches[0]!;
  const last = lastPlacing(job, quantities, batches.length > 0 ? batches : results.batches);
  const lastOfAll = lastPlacing(job, quantities, results.batches);
  return {
    batches: { planned: plannedBatches, poured: batches.length },
    bags: {
      planned: bags.toOrder,
      delivered: deliveredOf(results, job.material),
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
    volume: own.volume,
    yieldPerBag: own.yieldPerBag,
    loss: own.loss,
    otherMaterials: (quantities.otherMaterials ?? []).map((order): FillAccount => {
      const ofIt = results.batches.filter(({ materialId }) => materialId === order.material.id);
      return fillOf(subject, order.material, order.bags, bagsOf(ofIt));
    }),
    reasons,
    lastPlaced: { at: laterThan(lastOfAll.date, lastOfAll.minuteOfDay), recorded: lastOfAll.recorded },
  };
}

const bagsOf = (batches: readonly PouredBatch[]): number => batches.reduce((sum, { bags }) => sum + bags, 0);

const deliveredOf = ({ lots }: PourResults, { id }: Material): number =>
  lots.filter(({ materialId }) => materialId === id).reduce((sum, { bags }) => sum + bags, 0);

/** One material of the floor. @param inFloor bags of it that were mixed and not thrown away */
function fillOf(subject: AccountSubject, material: Material, bags: BagCount, inFloor: number): FillAccount {
  const { job, results } = subject;
  const { lossAllowance } = job.pour;
  const placed = placedVolume(subject, material);
  const weighed = weighedYield(
    material,
    results.batches.filter(({ materialId }) => materialId === material.id),
  );
  const filled = placed === undefined ? undefined : placed.volume + bags.profileVolume;
  const told = filled !== undefined && filled > 0 && inFloor > 0;
  return {
    material,
    bags: { planned: bags.toOrder, delivered: deliveredOf(results, material), inFloor },
    volume: { planned: bags.volume, ...(placed === undefined ? {} : { placed }) },
    yieldPerBag: {
      planned: bags.yieldPerBag,
      ...(told ? { found: (filled * (1 + lossAllowance)) / inFloor } : {}),
      ...(weighed === undefined ? {} : { weighed }),
    },
    loss: { planned: lossAllowance, ...(told ? lossOf(inFloor, filled, bags, weighed) : {}) },
  };
}

/** Loss = what was mixed for the floor over what is in it, less one. */
function lossOf(
  inFloor: number,
  filled: Litres,
  { yieldPerBag }: BagCount,
  weighed: WeighedYield | undefined,
): Pick<FillAccount["loss"], "found" | "byWeighedYield"> {
  return {
    found: (inFloor * yieldPerBag) / filled - 1,
    ...(weighed === undefined ? {} : { byWeighedYield: (inFloor * weighed.litres) / filled - 1 }),
  };
}

/** Bags that the floor holds at the yield of the data sheet, loss aside; undefined where the volume is not known. */
function bagsAtDataSheetYield({ volume: { placed } }: FillAccount, bags: BagCount): number | undefined {
  return placed === undefined ? undefined : (placed.volume + bags.profileVolume) / bags.yieldPerBag;
}

/** The latest placing; of a batch without one the end of its flow time, by which it must have been placed. */
function lastPlacing(
  job: Job,
  { otherMaterials = [] }: Quantities,
  batches: readonly PouredBatch[],
): { date: string; minuteOfDay: Minutes; recorded: boolean } {
  const flowTimeOf = (id: string): Minutes =>
    (otherMaterials.find(({ material }) => material.id === id)?.material ?? job.material).flowTime;
  return batches
    .map(({ date, mixed, placed, materialId }) => ({
      date,
      minuteOfDay: placed ?? mixed + flowTimeOf(materialId),
      recorded: placed !== undefined,
    }))
    .reduce((latest, one) =>
      laterThan(one.date, one.minuteOfDay) >= laterThan(latest.date, latest.minuteOfDay) ? one : latest,
    );
}

/**
 * What lies in the floor of one material by both readings: ∫ finished − ∫ slab over its rooms, 1 mm on 1 m² being 1 L,
 * and what took the place of ground high spots as planned. A ramp or run-out lies on a room of the lower zone, in the
 * material of its own: its planned litres go from the one to the other. Readings may have caught it or not, so it may
 * be off by all of it (one standard deviation), besides what reading and datum of both floors leave open: for a part
 * of the rooms the share that its area has, as if rooms were read independently. Undefined for a material that fills
 * no room, and before the floor was read again.
 */
function placedVolume(
  { before, after, depths, meets = [] }: AccountSubject,
  material: Material,
): { volume: Litres; sd: Litres } | undefined {
  if (after === undefined) return undefined;
  const part = depths.parts?.find((one) => isSameMaterial(one.material, material));
  if (depths.parts !== undefined && part === undefined) return undefined;
  const { mesh, depthMm, volumeToOrder, area } = part ?? depths;
  const roomCount = before.plan.floors.length;
  const rooms = part?.roomIndices ?? before.plan.floors.map((_, roomIndex) => roomIndex);
  const [slab, finished] = [before, after].map((floor) =>
    integralByRegion(floor.slab.mesh, floor.slab.levelMm, roomCount),
  ) as [Litres[], Litres[]];
  const risen = rooms.reduce((sum, room) => sum + finished[room]! - slab[room]!, 0);
  const ground = volumeToOrder - meshIntegral(mesh, depthMm);
  let wedges = 0;
  let wedgeVariance = 0;
  for (const { how, lowerRoom } of meets) {
    if (how.kind !== "ramp" && how.kind !== "feather") continue;
    const isOwn = isSameMaterial(how.material, material);
    if (isOwn === rooms.includes(lowerRoom)) continue;
    wedges += isOwn ? how.volume : -how.volume;
    wedgeVariance += how.volume ** 2;
  }
  const share = Math.sqrt(Math.min(1, area / depths.area));
  const sds = [before, after].map(({ plan, levels }) => share * volumeSdFromReading(plan, levels));
  return { volume: risen + ground + wedges, sd: Math.hypot(...sds, Math.sqrt(wedgeVariance)) };
}

/** When a time after the last batch is over: `2027-03-04 14:12`. */
export const holdUntil = (lastPlaced: string, after: Minutes): string =>
  laterThan(lastPlaced.slice(0, 10), minuteOfDay(lastPlaced) + Math.ceil(after));

const minuteOfDay = (dateTime: string): Minutes => Number(dateTime.slice(11, 13)) * 60 + Number(dateTime.slice(14, 16));

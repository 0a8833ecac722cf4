/** The top of the pour in the packet: what binds it, what another would cost, doors, and how sure the order is. */
import { z } from "zod";
import {
  area,
  type BothUnits,
  bulkLiquid,
  fineHeight,
  floorLoad,
  heightDifference,
  planLength,
  smallArea,
  volume,
  weight,
} from "../format.ts";
import type { Job } from "../job/model.ts";
import type { Plan } from "../layout/model.ts";
import type { BagCount, MaterialOrder } from "../quantities/model.ts";
import type { Target } from "../target/model.ts";
import type { TargetFindings } from "./model.ts";
import { quantity } from "./packet-parts.ts";
import { wishText } from "./wish-text.ts";
import { en } from "./words/en.ts";

export const bagCount = z.object({
  volumeL: quantity,
  wedgeVolumeL: quantity.nullable(),
  yieldPerBagL: quantity,
  neat: z.number(),
  profileVolumeL: quantity,
  profile: z.number(),
  loss: z.number(),
  sum: z.number(),
  toOrder: z.int(),
});

export const materialOrder = z.object({
  material: z.string(),
  rooms: z.array(z.string()),
  doors: z.array(z.string()),
  bags: bagCount,
  waterL: quantity,
  bagWeightKg: quantity,
});

const ground = z.object({ areaM2: quantity, volumeL: quantity, heightMm: quantity });

export const targetStudy = z.object({
  placements: z.array(
    z.object({
      how: z.enum(["given", "lowest-level", "least-plane", "grind-or-fill"]),
      volumeL: quantity,
      ground,
      /** The wish in words, and by how many litres the volume falls for each unit that it is given up. */
      binding: z.array(z.object({ kind: z.string(), wish: z.string(), litresPerUnit: z.number() })),
      trials: z.array(z.object({ heightMm: quantity, ground, savedVolumeL: quantity })),
    }),
  ),
  meets: z.array(
    z.object({
      door: z.string(),
      how: z.enum(["level", "step", "ramp", "feather"]),
      stepMm: quantity,
      lengthM: quantity.nullable(),
      volumeL: quantity.nullable(),
      material: z.string().nullable(),
    }),
  ),
  stepMm: quantity,
  tradeOff: z.array(
    z.object({
      liftMm: quantity,
      volumeL: quantity,
      bareAreaM2: quantity,
      ground,
      greatestDepthMm: quantity,
      deadLoadKgM2: quantity,
      heaviestRoom: z.object({ room: z.string(), deadLoadKgM2: quantity }),
      litresPerMm: z.number(),
    }),
  ),
  transitions: z.array(
    z.object({
      door: z.string(),
      room: z.string(),
      finishMm: quantity,
      neighbourFinishMm: quantity,
      stepMm: quantity,
      stepAtOtherJambMm: quantity,
      takes: z.enum(["flush", "vertical", "bevelled", "ramp"]),
      lengthM: quantity.nullable(),
    }),
  ),
  bareRooms: z.array(z.string()),
  uncertainty: z
    .object({
      volumeL: quantity,
      evenOddsL: quantity,
      nineInTenL: quantity,
      fromReadingL: quantity,
      fromDatumL: quantity,
      fromBetweenReadingsL: quantity,
      fromYieldL: quantity,
      sdL: quantity,
      freedom: z.number(),
      leaveOneOutMm: quantity,
    })
    .nullable(),
  yieldToleranceKnown: z.boolean(),
  bags: z.array(
    z.object({
      material: z.string(),
      rooms: z.array(z.string()),
      ordered: z.int(),
      bagsPerMm: z.number(),
      /** In the order of `tradeOff`. */
      curve: z.array(z.object({ bags: z.number(), toOrder: z.int() })),
      risk: z.object({ evenOdds: z.int(), nineInTen: z.int(), chance: z.number() }).nullable(),
      withAggregate: z
        .object({
          areaM2: quantity,
          volumeL: quantity,
          belowTopMm: quantity,
          aggregateKg: quantity,
          waterL: quantity,
          wholeBagsSaved: z.int(),
        })
        .nullable(),
    }),
  ),
});

const of = (value: number, { large, small }: BothUnits): z.infer<typeof quantity> => ({
  value,
  printed: [large.text, small.text],
});

export function bagCountOf(job: Job, bags: BagCount): z.infer<typeof bagCount> {
  const litres = (value: number) => of(value, volume(value, job.units.plan));
  return {
    volumeL: litres(bags.volume),
    wedgeVolumeL: bags.wedgeVolume === undefined ? null : litres(bags.wedgeVolume),
    yieldPerBagL: litres(bags.yieldPerBag),
    neat: bags.neat,
    profileVolumeL: litres(bags.profileVolume),
    profile: bags.profile,
    loss: bags.loss,
    sum: bags.sum,
    toOrder: bags.toOrder,
  };
}

export const materialOrderOf = (
  job: Job,
  plan: Plan,
  { material, roomIndices, doorIds, bags, water, bagWeight }: MaterialOrder,
): z.infer<typeof materialOrder> => ({
  material: material.id,
  rooms: roomIndices.map((index) => plan.floors[index]!.roomId),
  doors: [...doorIds],
  bags: bagCountOf(job, bags),
  waterL: of(water, bulkLiquid(water, job.units.plan)),
  bagWeightKg: of(bagWeight, weight(bagWeight, job.units.plan)),
});

export function targetStudyOf(
  job: Job,
  plan: Plan,
  target: Target,
  study: TargetFindings,
): z.infer<typeof targetStudy> {
  const { plan: planUnit, height: unit } = job.units;
  const room = (index: number): string => plan.floors[index]?.roomId ?? "";
  const mm = (value: number) => of(value, fineHeight(value, unit));
  const signedMm = (value: number) => of(value, heightDifference(value, unit));
  const m2 = (value: number) => of(value, smallArea(value, planUnit));
  const litres = (value: number) => of(value, volume(value, planUnit));
  const load = (value: number) => of(value, floorLoad(value, planUnit));
  const metres = (value: number) => of(value, planLength(value, planUnit));
  const groundOf = (one: { readonly area: number; readonly volume: number; readonly height: number }) => ({
    areaM2: m2(one.area),
    volumeL: litres(one.volume),
    heightMm: mm(one.height),
  });
  const { sure } = study;
  return {
    placements: (target.placements ?? []).map((placement) => ({
      how: placement.how,
      volumeL: litres(placement.volume),
      ground: groundOf(placement.ground),
      binding: placement.binding.map(({ wish, price }) => ({
        kind: wish.kind,
        wish: wishText({ job, plan, words: en }, wish),
        litresPerUnit: price,
      })),
      trials: placement.trials.map((trial) => ({
        heightMm: signedMm(trial.height),
        ground: groundOf(trial.ground),
        savedVolumeL: litres(trial.savedVolume),
      })),
    })),
    meets: (target.meets ?? []).map(({ doorId, step, how }) => ({
      door: doorId,
      how: how.kind,
      stepMm: mm(step),
      lengthM: how.kind === "level" ? null : metres(how.length),
      volumeL: how.kind === "ramp" || how.kind === "feather" ? litres(how.volume) : null,
      material: how.kind === "ramp" || how.kind === "feather" ? how.material.id : null,
    })),
    stepMm: signedMm(study.step),
    tradeOff: study.tradeOff.map((row) => ({
      liftMm: signedMm(row.lift),
      volumeL: litres(row.volume),
      bareAreaM2: m2(row.bareArea),
      ground: groundOf(row.ground),
      greatestDepthMm: mm(row.greatestDepth),
      deadLoadKgM2: load(row.deadLoad),
      heaviestRoom: { room: room(row.heaviestRoom.roomIndex), deadLoadKgM2: load(row.heaviestRoom.deadLoad) },
      litresPerMm: row.litresPerMm,
    })),
    transitions: study.transitions.map((transition) => ({
      door: transition.doorId,
      room: room(transition.roomIndex),
      finishMm: mm(transition.finish),
      neighbourFinishMm: mm(transition.neighbourFinish),
      stepMm: mm(transition.step),
      stepAtOtherJambMm: mm(transition.stepAtOtherJamb),
      takes: transition.kind.kind,
      lengthM: "length" in transition.kind ? metres(transition.kind.length) : null,
    })),
    bareRooms: study.bareRooms.map(room),
    uncertainty: sure
      ? {
          volumeL: litres(sure.volume),
          evenOddsL: litres(sure.evenOdds),
          nineInTenL: litres(sure.nineInTen),
          fromReadingL: litres(sure.fromReading),
          fromDatumL: litres(sure.fromDatum),
          fromBetweenReadingsL: litres(sure.fromBetweenReadings),
          fromYieldL: litres(sure.fromYield),
          sdL: litres(sure.sd),
          freedom: sure.freedom,
          leaveOneOutMm: mm(sure.leaveOneOut),
        }
      : null,
    yieldToleranceKnown: study.yieldToleranceKnown,
    bags: study.bags.map((one) => ({
      material: one.material.id,
      rooms: one.roomIndices.map(room),
      ordered: one.ordered,
      bagsPerMm: one.bagsPerMm,
      curve: one.curve.map(({ bags, toOrder }) => ({ bags, toOrder })),
      risk: one.risk ?? null,
      withAggregate: one.withAggregate
        ? {
            areaM2: of(one.withAggregate.area, area(one.withAggregate.area, planUnit)),
            volumeL: litres(one.withAggregate.volume),
            belowTopMm: mm(one.withAggregate.belowTop),
            aggregateKg: of(one.withAggregate.aggregate, weight(one.withAggregate.aggregate, planUnit)),
            waterL: of(one.withAggregate.water, bulkLiquid(one.withAggregate.water, planUnit)),
            wholeBagsSaved: one.withAggregate.wholeBagsSaved,
          }
        : null,
    })),
  };
}

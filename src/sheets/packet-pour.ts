/** The pour in packet.json: everything that bay map, pour clock, mixer's log, pause cards and pour plan print. */
import { z } from "zod";
import {
  area,
  type BothUnits,
  batchWater,
  bulkLiquid,
  elapsed,
  floorLoad,
  frontLength,
  height,
  planLength,
  smallArea,
  volume,
} from "../format.ts";
import type { Point } from "../geometry/point.ts";
import type { Job } from "../job/model.ts";
import type { Plan } from "../layout/model.ts";
import type { Measure, PourPlan } from "../pour/model.ts";
import { litres } from "../units.ts";
import { place, quantity } from "./packet-parts.ts";
import { type BayFigures, batchFronts, bayFigures } from "./pour/bay-figures.ts";
import type { FrontPlace, OffsetRange } from "./pour/bay-places.ts";
import { startText } from "./pour/pour-text.ts";

/** Two lines square from a wall of the bay's room. */
const range = z.object({ wall: z.string(), fromM: quantity, toM: quantity });
/** A line across a bay, square from a wall of its room; from where the bay begins where `wall` is null. */
const front = z.object({ bay: z.int(), wall: z.string().nullable(), distanceM: quantity });
/** Minutes after the first powder, and as printed: the clock where the start is fixed, else hours and minutes. */
const moment = z.object({ minutes: z.number(), said: z.string() });

const bay = z.object({
  number: z.int(),
  lift: z.int(),
  room: z.string(),
  outline: z.array(place),
  holes: z.array(z.array(place)),
  areaM2: quantity,
  widthM: quantity,
  lengthM: quantity,
  volumeL: quantity,
  meanDepthMm: quantity,
  greatestDepthMm: quantity,
  sides: range.nullable(),
  ends: range.nullable(),
  from: place,
  along: place,
  firstBatch: z.int(),
  lastBatch: z.int(),
  beginsMin: z.number(),
  endsMin: z.number(),
  start: moment,
  latest: moment.nullable(),
  line: front,
  bagsWhenFull: z.int(),
  /** Null where the order ends before that count. */
  stopAtBags: z.int().nullable(),
  oldestEdge: z.object({ ageMin: z.number(), spareMin: z.number() }).nullable(),
  frontAgeMin: z.number().nullable(),
  stopDam: z.object({
    lengthM: quantity,
    heightMm: quantity,
    onePersonMin: z.number(),
    leftMin: z.number().nullable(),
    people: z.int().nullable(),
  }),
  mixerFails: z.object({ worstBatch: z.int(), spareMin: z.number().nullable(), finishesBay: z.boolean() }),
});

const batch = z.object({
  number: z.int(),
  barrel: z.int(),
  bags: z.int(),
  waterL: quantity,
  cumulativeBags: z.int(),
  powderMeetsWaterMin: z.number(),
  pouredMin: z.number(),
  printed: z.tuple([z.string(), z.string()]),
  /** On the floor; null where the floor cannot be poured. */
  placedMin: z.number().nullable(),
  pours: z.array(z.object({ bay: z.int(), volumeL: z.number(), reachesM: z.number() })),
  line: front.nullable(),
});

const prepStep = z.object({
  step: z.string(),
  who: z.string(),
  doneBeforeMin: z.number(),
  notBeforeMin: z.number().nullable(),
  timeUnknown: z.boolean(),
});

const range2 = z.object({ leastC: z.number(), greatestC: z.number() });

export const pourSchema = z.object({
  kind: z.enum(["can-be-poured", "cannot-be-poured"]),
  intervalMin: z.number(),
  durationMin: z.number(),
  bagsPerMinute: z.number(),
  bagsPerMinuteNeeded: z.number(),
  volumePerMinuteL: quantity,
  bottleneck: z.enum(["mixers", "pump", "carrying", "people"]),
  areaInFlowTimeM2: quantity,
  laneAreaM2: quantity,
  tooSlow: z.boolean(),
  edgeLimit: z.object({
    times: z.array(z.object({ name: z.string(), min: z.number() })),
    marginMin: z.number(),
    leastMin: z.number().nullable(),
    limitMin: z.number().nullable(),
    missing: z.array(z.string()),
  }),
  station: z.object({
    at: place,
    placed: z.enum(["by-job", "by-plan"]),
    exit: z.string(),
    farthestCarryM: quantity,
    carryInCycleM: quantity,
  }),
  roles: z.array(z.object({ role: z.string(), people: z.int() })),
  batches: z.array(batch),
  /** In the order of pouring; none where the floor cannot be poured. */
  bays: z.array(bay),
  edges: z.array(
    z.object({
      earlier: z.int(),
      later: z.int(),
      lengthM: quantity,
      segments: z.array(z.object({ from: place, to: place })),
      ageMin: z.number(),
      spareMin: z.number(),
    }),
  ),
  runs: z.array(
    z.object({
      number: z.int(),
      lift: z.int(),
      before: z.string(),
      beforeMin: z.number().nullable(),
      flushBefore: z.boolean(),
      startsMin: z.number(),
      endsMin: z.number(),
      bags: z.int(),
    }),
  ),
  joins: z.array(z.object({ kind: z.string(), id: z.string(), how: z.string(), bays: z.tuple([z.int(), z.int()]) })),
  wayM: quantity.nullable(),
  reasons: z.array(z.object({ kind: z.string(), room: z.string().nullable() })),
  remedies: z.array(
    z.object({
      measures: z.array(z.object({ kind: z.string(), of: z.string() })),
      durationMin: z.number(),
      bays: z.int(),
    }),
  ),
  dams: z.array(z.object({ id: z.string(), why: z.string(), room: z.string(), lengthM: quantity, heightMm: quantity })),
  perimeterStripM: quantity,
  plugs: z.array(z.object({ id: z.string(), kind: z.string(), at: place, depthMm: quantity })),
  daysBefore: z.array(prepStep),
  goNoGo: z.object({
    slabTemperatures: range2.nullable(),
    waterTemperatures: range2.nullable(),
    aboveDewPointK: z.number(),
    primerDryMin: z.number().nullable(),
    primerLatestStartMin: z.number().nullable(),
    bags: z.int(),
    flowRing: z.object({ leastMm: z.number(), greatestMm: z.number(), batches: z.array(z.int()) }).nullable(),
  }),
  logistics: z.object({
    pallets: z.array(z.object({ number: z.int(), at: place.nullable(), firstBag: z.int(), lastBag: z.int() })),
    palletLoadKgM2: quantity,
    holdStaging: z.boolean(),
    waterL: quantity,
    waterPerMinuteL: quantity,
    mixersRunning: z.int(),
    powerKw: z.number().nullable(),
    startingWasteL: quantity.nullable(),
    longestCarryM: quantity,
    hoseNeededM: quantity.nullable(),
  }),
  leftoverBags: z.number(),
  bagsShortForStops: z.int(),
});

const of = (value: number, { large, small }: BothUnits): z.infer<typeof quantity> => ({
  value,
  printed: [large.text, small.text],
});

const orNull = <A, B>(value: A | undefined, made: (value: A) => B): B | null =>
  value === undefined ? null : made(value);

/** The pour plan as data. */
export function pourPacket(job: Job, plan: Plan, pour: PourPlan): z.infer<typeof pourSchema> {
  const unit = job.units.plan;
  const metres = (value: number) => of(value, planLength(value, unit));
  const mm = (value: number) => of(value, height(value, job.units.height));
  const liquid = (value: number) => of(value, bulkLiquid(litres(value), unit));
  const at = ({ x, y }: Point) => ({ eastM: x, northM: y });
  const room = (index: number): string => plan.floors[index]?.roomId ?? "";
  const wall = (roomIndex: number, wallIndex: number): string => plan.floors[roomIndex]?.walls[wallIndex]?.name ?? "";
  const can = pour.kind === "can-be-poured" ? { job, plan, pour } : undefined;
  const bays = can ? bayFigures(can) : [];
  const fronts = can ? batchFronts(can, bays) : [];
  const frontOf = ({ bay: { number, roomIndex } }: BayFigures, line: FrontPlace) => ({
    bay: number,
    wall: orNull(line.wallIndex, (index) => wall(roomIndex, index)),
    distanceM: of(line.distance, frontLength(line.distance, unit)),
  });
  const { goNoGo, logistics, edgeLimit, pace, station } = pour;
  return {
    kind: pour.kind,
    intervalMin: pour.interval,
    durationMin: pour.duration,
    bagsPerMinute: pour.bagsPerMinute,
    bagsPerMinuteNeeded: pace.bagsPerMinuteNeeded,
    volumePerMinuteL: liquid(pace.litresPerMinute),
    bottleneck: pace.bottleneck,
    areaInFlowTimeM2: of(pour.areaInFlowTime, smallArea(pour.areaInFlowTime, unit)),
    laneAreaM2: of(pour.laneArea, area(pour.laneArea, unit)),
    tooSlow: pour.tooSlow,
    edgeLimit: {
      times: edgeLimit.times.map(({ name, time }) => ({ name, min: time })),
      marginMin: edgeLimit.margin,
      leastMin: edgeLimit.least ?? null,
      limitMin: edgeLimit.limit ?? null,
      missing: [...edgeLimit.missing],
    },
    station: {
      at: at(station.at),
      placed: station.placed,
      exit: station.exitId,
      farthestCarryM: metres(station.farthestCarry),
      carryInCycleM: metres(pace.farthestCarry),
    },
    roles: pour.roles.map(({ role, people }) => ({ role, people })),
    batches: pour.batches.map((one, k) => {
      const planned = can?.pour.batches[k];
      const line = fronts[k];
      const figures = line && bays[line.bayNumber - 1];
      return {
        number: one.number,
        barrel: one.barrel,
        bags: one.bags,
        waterL: of(one.water, batchWater(one.water, unit)),
        cumulativeBags: one.cumulativeBags,
        powderMeetsWaterMin: one.powderMeetsWater,
        pouredMin: one.poured,
        printed: [elapsed(one.powderMeetsWater), elapsed(one.poured)],
        placedMin: planned?.placed ?? null,
        pours: (planned?.pours ?? []).map(({ bayNumber, volume: poured, reaches }) => ({
          bay: bayNumber,
          volumeL: poured,
          reachesM: reaches,
        })),
        line: line && figures ? frontOf(figures, line.line) : null,
      };
    }),
    bays: bays.map((figures) => {
      const { bay: one, place: lies, starts, latest, line, stopAt, oldest } = figures;
      const lines = (found: OffsetRange | undefined) =>
        orNull(found, ({ wallIndex, from, to }) => ({
          wall: wall(one.roomIndex, wallIndex),
          fromM: metres(from),
          toM: metres(to),
        }));
      return {
        number: one.number,
        lift: one.lift + 1,
        room: room(one.roomIndex),
        outline: one.floor.outline.map(at),
        holes: one.floor.holes.map((hole) => hole.map(at)),
        areaM2: of(one.area, area(one.area, unit)),
        widthM: metres(one.width),
        lengthM: metres(one.length),
        volumeL: of(one.volume, volume(one.volume, unit)),
        meanDepthMm: mm(one.meanDepth),
        greatestDepthMm: mm(one.greatestDepth),
        sides: lines(lies.sides),
        ends: lines(lies.ends),
        from: at(one.from),
        along: { eastM: one.along.x, northM: one.along.y },
        firstBatch: one.firstBatch,
        lastBatch: one.lastBatch,
        beginsMin: one.begins,
        endsMin: one.ends,
        start: { minutes: starts, said: startText(job, starts) },
        latest: orNull(latest, (minutes) => ({ minutes, said: startText(job, minutes) })),
        line: frontOf(figures, line),
        bagsWhenFull: one.bagCheck.planned,
        stopAtBags: stopAt ?? null,
        oldestEdge: orNull(oldest, ({ age, margin }) => ({ ageMin: age, spareMin: margin })),
        frontAgeMin: one.frontAge ?? null,
        stopDam: {
          lengthM: metres(one.stop.length),
          heightMm: mm(one.stop.height),
          onePersonMin: one.stop.settingTime,
          leftMin: one.stop.timeLeft ?? null,
          people: one.stop.people ?? null,
        },
        mixerFails: {
          worstBatch: one.mixerFails.worstBatch,
          spareMin: one.mixerFails.margin ?? null,
          finishesBay: one.mixerFails.reachesStopLine,
        },
      };
    }),
    edges: (can?.pour.edges ?? []).map(({ earlier, later, length, segments, age, margin }) => ({
      earlier,
      later,
      lengthM: metres(length),
      segments: segments.map(({ from, to }) => ({ from: at(from), to: at(to) })),
      ageMin: age,
      spareMin: margin,
    })),
    runs: (can?.pour.runs ?? []).map((run) => ({
      number: run.number,
      lift: run.lift + 1,
      before: run.before.kind,
      beforeMin: run.before.kind === "start" ? null : run.before.minutes,
      flushBefore: run.flushBefore,
      startsMin: run.starts,
      endsMin: run.ends,
      bags: run.bags,
    })),
    joins: (can?.pour.joins ?? []).map((join) => ({
      kind: join.kind,
      id: join.kind === "door" ? join.doorId : join.id,
      how: join.how,
      bays: [join.bays[0], join.bays[1]],
    })),
    wayM: orNull(can?.pour.way, metres),
    reasons: (pour.kind === "cannot-be-poured" ? pour.reasons : []).map((reason) => ({
      kind: reason.kind,
      room: "roomIndex" in reason ? room(reason.roomIndex) : null,
    })),
    remedies: (pour.kind === "cannot-be-poured" ? pour.remedies : []).map(({ measures, duration, bays: count }) => ({
      measures: measures.map((measure) => ({ kind: measure.kind, of: whatOf(measure) })),
      durationMin: duration,
      bays: count,
    })),
    dams: pour.dams.map(({ id, why, roomIndex, length, height: high }) => ({
      id,
      why,
      room: room(roomIndex),
      lengthM: metres(length),
      heightMm: mm(high),
    })),
    perimeterStripM: metres(pour.perimeterStrip),
    plugs: pour.plugs.map(({ id, kind, at: stands, depth }) => ({ id, kind, at: at(stands), depthMm: mm(depth) })),
    daysBefore: pour.daysBefore.map(({ step, who, doneBefore, notBefore, timeUnknown }) => ({
      step,
      who,
      doneBeforeMin: doneBefore,
      notBeforeMin: notBefore ?? null,
      timeUnknown,
    })),
    goNoGo: {
      slabTemperatures: orNull(goNoGo.slabTemperatures, ({ least, greatest }) => ({
        leastC: least,
        greatestC: greatest,
      })),
      waterTemperatures: orNull(goNoGo.waterTemperatures, ({ least, greatest }) => ({
        leastC: least,
        greatestC: greatest,
      })),
      aboveDewPointK: goNoGo.aboveDewPointC,
      primerDryMin: goNoGo.primerDry ?? null,
      primerLatestStartMin: goNoGo.primerLatestStart ?? null,
      bags: goNoGo.bags,
      flowRing: orNull(goNoGo.flowRing, ({ least, greatest, batches }) => ({
        leastMm: least,
        greatestMm: greatest,
        batches: [...batches],
      })),
    },
    logistics: {
      pallets: logistics.pallets.map(({ number, at: stands, firstBag, lastBag }) => ({
        number,
        at: orNull(stands, at),
        firstBag,
        lastBag,
      })),
      palletLoadKgM2: of(logistics.palletLoad, floorLoad(logistics.palletLoad, unit)),
      holdStaging: logistics.holdStaging,
      waterL: liquid(logistics.waterTotal),
      waterPerMinuteL: liquid(logistics.waterRate),
      mixersRunning: logistics.mixersRunning,
      powerKw: logistics.power ?? null,
      startingWasteL: orNull(logistics.startingWaste, liquid),
      longestCarryM: metres(logistics.longestCarry),
      hoseNeededM: orNull(logistics.hoseNeeded, metres),
    },
    leftoverBags: pour.leftoverBags,
    bagsShortForStops: pour.bagsShortForStops,
  };
}

/** A measure's number or names: doors, mixers, litres a minute, dams, days. */
function whatOf(measure: Measure): string {
  switch (measure.kind) {
    case "ways-out":
      return measure.doorIds.join(", ");
    case "mixers":
      return String(measure.mixers);
    case "pump":
      return String(measure.rate);
    case "dams":
      return String(measure.dams.length);
    case "days":
      return String(measure.days);
  }
}

/** The pour in packet.json: everything that bay map, pour clock, mixer's log, pause cards and pour plan print. */
import type { z } from "zod";
import {
  area,
  type BothUnits,
  batchWater,
  bulkLiquid,
  elapsed,
  floorLoad,
  frontLength,
  height,
  meteredWater,
  planLength,
  smallArea,
  volume,
} from "../format.ts";
import type { Point } from "../geometry/point.ts";
import type { Job } from "../job/model.ts";
import type { Plan } from "../layout/model.ts";
import type { Measure, PourPlan } from "../pour/model.ts";
import { litres } from "../units.ts";
import type { quantity } from "./packet-parts.ts";
import type { pourSchema } from "./packet-pour-schema.ts";
import { type BayFigures, batchFronts, bayFigures } from "./pour/bay-figures.ts";
import type { FrontPlace, OffsetRange } from "./pour/bay-places.ts";
import { startText } from "./pour/pour-text.ts";

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
    flowMeterLMin: orNull(pace.flowMeter, (value) => of(value, meteredWater(value, unit))),
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
      goodsLift: orNull(logistics.goodsLift, ({ palletsATrip, bagsATrip, trips, time, way }) => ({
        palletsATrip,
        bagsATrip,
        trips,
        timeMin: time,
        wayM: orNull(way, metres),
      })),
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

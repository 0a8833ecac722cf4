/**
 * The packet as data: `output/<job-id>/packet.json` holds every number that the sheets print, raw in
 * SI units and as printed, and its schema; pins also as CSV.
 */
import type { z } from "zod";
import type { Outcome } from "../diagnostics.ts";
import {
  area,
  type BothUnits,
  batchWater,
  bulkLiquid,
  fineHeight,
  floorLoad,
  height,
  limit,
  planLength,
  smallArea,
  volume,
  weight,
} from "../format.ts";
import { type Changes, NEVER_ISSUED, type PinLength } from "../revision/model.ts";
import { changesShown, packetStanding } from "../revision/standing.ts";
import { type DrainFalls, facetsOf } from "../target/drain-falls.ts";
import { packetHashOf } from "./compose-sheets.ts";
import type { Findings, Sheet } from "./model.ts";
import { conformityPacket } from "./packet-conformity.ts";
import type { quantity } from "./packet-parts.ts";
import { pourPacket } from "./packet-pour.ts";
import { recordOf } from "./packet-record.ts";
import type { Packet } from "./packet-schema.ts";
import { scanOf, surveyPlanOf, surveyReportOf } from "./packet-survey.ts";
import { bagCountOf, materialOrderOf, targetStudyOf } from "./packet-target.ts";
import { placeOrder } from "./place-order.ts";
import { learnedMove } from "./quantities-sheet.ts";

type Stage<T> =
  | { kind: "ready"; result: T; warnings: { code: string; message: string }[] }
  | { kind: "not-yet"; why: string };

function stageOf<A, B>(outcome: Outcome<A>, result: (value: A) => B): Stage<B> {
  switch (outcome.kind) {
    case "ready":
      return {
        kind: "ready",
        result: result(outcome.value),
        warnings: outcome.warnings.map(({ code, message }) => ({ code, message })),
      };
    case "not-yet":
      return { kind: "not-yet", why: outcome.why };
    case "refused":
      throw new Error(`a packet of refused findings: ${outcome.problems.map(({ code }) => code).join(", ")}`);
  }
}

/** The second outcome with the first one's value beside it; the second is ready only where the first is. */
function bothReady<A, B>(first: Outcome<A>, second: Outcome<B>): Outcome<readonly [A, B]> {
  if (first.kind !== "ready") return first;
  return second.kind === "ready" ? { ...second, value: [first.value, second.value] } : second;
}

const of = (value: number, { large, small }: BothUnits): z.infer<typeof quantity> => ({
  value,
  printed: [large.text, small.text],
});

/** The sheets with their standing, and that of the whole packet. */
function drainPacket(drain: DrainFalls, topMm: z.infer<typeof quantity>) {
  const falls = facetsOf(drain).map(({ fall }) => fall);
  return {
    eastM: drain.at.x,
    northM: drain.at.y,
    topMm,
    leastFallMmPerM: Math.min(...falls),
    greatestFallMmPerM: Math.max(...falls),
  };
}

function sheetsOf(
  { revisions }: Findings,
  sheets: readonly Sheet[],
): Pick<Packet, "revision" | "sheets" | "packetHashes"> {
  const standing = packetStanding(
    sheets.map((sheet) => sheet.standing),
    revisions ?? NEVER_ISSUED,
  );
  const last = standing.kind === "never-issued" ? null : standing.revision;
  return {
    revision: {
      standing: standing.kind,
      last,
      date: standing.kind === "issued" ? standing.date : null,
      reason: standing.kind === "issued" ? reasonOf(standing.revision, revisions) : null,
      changes: changesOf(changesShown(revisions ?? NEVER_ISSUED, standing)),
    },
    packetHashes: [...new Set(sheets.map(({ language }) => language))].map((language) => ({
      language,
      hash: packetHashOf(sheets.filter((sheet) => sheet.language === language)),
    })),
    sheets: sheets.map((sheet) => ({
      id: sheet.id,
      language: sheet.language,
      title: sheet.title,
      sets: [...sheet.sets],
      pages: sheet.pages.length,
      hash: sheet.hash,
      revision: sheet.standing.kind === "issued" ? sheet.standing.revision : null,
      date: sheet.standing.kind === "issued" ? sheet.standing.date : null,
    })),
  };
}

function changesOf(changes: Changes | undefined): Packet["revision"]["changes"] {
  if (changes === undefined) return null;
  const length = (one: PinLength | undefined) =>
    one === undefined
      ? null
      : { cut: one.cut, printed: one.cut === "cut" ? ([...one.printed] as [string, string]) : null };
  return {
    since: changes.since.number,
    pins: changes.pins.map(({ id, kind, before, now }) => ({ id, kind, before: length(before), now: length(now) })),
    figures: changes.figures.map(({ what, of, before, now }) => ({
      what,
      of: of ?? null,
      before: before ?? null,
      now: now ?? null,
    })),
  };
}

const reasonOf = (number: number, revisions: Findings["revisions"]): string | null =>
  revisions?.issued.find((one) => one.number === number)?.reason ?? revisions?.issuing?.reason ?? null;

/** The packet with these sheets in place of those that it had; its numbers stay. */
export const withSheets = (packet: Packet, findings: Findings, sheets: readonly Sheet[]): Packet => ({
  ...packet,
  ...sheetsOf(findings, sheets),
});

/**
 * The packet of a job, for `packet.json`.
 * @param sheets of all languages.
 * @throws Error where a stage refused: nothing is printed of such a job.
 */
export function toPacket(findings: Findings, sheets: readonly Sheet[]): Packet {
  const { job, plan } = findings;
  const { plan: planUnit, height: unit } = job.units;
  const room = (index: number): string => plan.floors[index]?.roomId ?? "";
  const wall = (roomIndex: number, wallIndex: number): string => plan.floors[roomIndex]?.walls[wallIndex]?.name ?? "";
  const at = (point: { readonly x: number; readonly y: number }) => ({ eastM: point.x, northM: point.y });
  const mm = (value: number) => of(value, height(value, unit));
  const fineMm = (value: number) => of(value, fineHeight(value, unit));
  const m2 = (value: number) => of(value, area(value, planUnit));
  const smallM2 = (value: number) => of(value, smallArea(value, planUnit));
  const litres = (value: number) => of(value, volume(value, planUnit));
  const liquid = (value: number) => of(value, bulkLiquid(value, planUnit));
  const load = (value: number) => of(value, floorLoad(value, planUnit));
  const distanceM = (value: number) => of(value, planLength(value, planUnit));
  return {
    $schema: "packet.schema.json",
    packetFormat: 1,
    job: {
      id: job.id,
      title: job.title,
      dated: job.dated ?? null,
      start: job.pour.start ?? null,
      units: job.units,
      material: {
        id: job.material.id,
        name: job.material.name,
        dataSheet: job.material.dataSheet.title,
        example: job.material.dataSheet.example,
        waterPerBagL: of(job.material.waterPerBag, batchWater(job.material.waterPerBag, planUnit)),
        flowTimeMin: job.material.flowTime,
      },
    },
    ...sheetsOf(findings, sheets),
    plan: {
      rooms: plan.floors.map(({ roomId, name }) => ({ id: roomId, name })),
      gridLines: plan.gridLines.map((line) => ({
        name: line.name,
        axis: line.axis,
        atM: line.at,
        offsets: line.offsets.map((offset) => ({
          room: room(offset.roomIndex),
          wall: wall(offset.roomIndex, offset.wallIndex),
          distanceM: distanceM(offset.distance),
        })),
      })),
      points: plan.points.map((point) => ({ id: point.id, room: room(point.roomIndex), at: at(point.at) })),
    },
    surveyPlan: stageOf(findings.surveyPlan, (surveyPlan) => surveyPlanOf(job, plan, surveyPlan)),
    levels: stageOf(findings.levels, (levels) => ({
      unchecked: levels.unchecked,
      points: levels.points
        .filter(({ ofScan }) => ofScan === undefined)
        .map((point) => ({
          id: point.id,
          levelMm: fineMm(point.level),
          sdMm: point.sd,
          timesRead: point.timesRead,
        })),
      scan: levels.scan === undefined ? null : scanOf(job, levels.scan),
      report: surveyReportOf(job, plan, levels),
    })),
    slab: stageOf(findings.slab, (slab) => ({
      areaM2: m2(slab.area),
      extrapolatedAreaShare: slab.extrapolatedArea,
      method: slab.method,
      leaveOneOutSdMm: slab.leaveOneOutSd === undefined ? null : fineMm(slab.leaveOneOutSd),
      vertices: slab.mesh.xM.length,
      triangles: slab.mesh.regionOf.length,
    })),
    target: stageOf(findings.target, (target) => ({
      zones: target.zones.map((zone) => ({
        rooms: zone.roomIndices.map(room),
        topMm: fineMm(zone.top),
        fallEastMmPerM: zone.fallEast,
        fallNorthMmPerM: zone.fallNorth,
        drain: zone.drain ? drainPacket(zone.drain, fineMm(zone.top - zone.drain.drop)) : null,
      })),
      steps: target.steps.map((step) => ({
        kind: step.kind,
        name: step.name ?? null,
        amountMm: fineMm(step.amount),
      })),
    })),
    depths: stageOf(findings.depths, (depths) => {
      const order = new Map(
        placeOrder(plan, depths.pins)
          .flatMap(({ pins }) => pins)
          .map(({ pin: { id } }, index) => [id, index + 1]),
      );
      return {
        leastMm: mm(depths.least),
        meanMm: mm(depths.mean),
        greatestMm: mm(depths.greatest),
        leastAllowedMm: of(depths.leastAllowed, limit(depths.leastAllowed, "least", unit)),
        greatestAllowedMm: of(depths.greatestAllowed, limit(depths.greatestAllowed, "greatest", unit)),
        areaM2: m2(depths.area),
        proudAreaM2: smallM2(depths.proudArea),
        thinAreaM2: smallM2(depths.thinArea),
        pouredAreaM2: smallM2(depths.pouredArea),
        volumeAsReadL: litres(depths.volumeAsRead),
        volumeToOrderL: litres(depths.volumeToOrder),
        extrapolatedVolumeShare: depths.extrapolatedVolume,
        rooms: depths.rooms.map((one) => ({
          room: room(one.roomIndex),
          areaM2: m2(one.area),
          volumeToOrderL: litres(one.volumeToOrder),
          leastMm: mm(one.least),
          greatestMm: mm(one.greatest),
        })),
        bands: depths.bands.map((band) => ({
          number: band.number,
          fromMm: band.from === undefined ? null : mm(band.from),
          toMm: band.to === undefined ? null : mm(band.to),
          areaM2: smallM2(band.area),
          volumeL: litres(band.volume),
        })),
        contoursMm: depths.contours.map(({ depth }) => depth),
        highSpots: depths.highSpots.map((spot) => ({
          id: spot.id,
          room: room(spot.roomIndex),
          at: at(spot.worst),
          atPrinted: {
            east: distanceM(spot.worst.x).printed,
            north: distanceM(spot.worst.y).printed,
          },
          grindMm: mm(spot.grind),
          areaM2: smallM2(spot.area),
          groundVolumeL: litres(spot.groundVolume),
          proud: spot.proud,
        })),
        pins: depths.pins.map(({ pin: one, ...depth }) => ({
          id: one.id,
          room: room(one.roomIndex),
          kind: one.kind,
          door: one.doorId ?? null,
          at: at(one.at),
          order: order.get(one.id) ?? 0,
          depthMm: mm(depth.depth),
          sdMm: depth.sd ?? null,
          from: depth.from,
          cut: depth.cut.kind,
          cutMm: depth.cut.kind === "cut" ? mm(depth.cut.length) : null,
          checkOnTheDay: depth.checkOnTheDay,
          offsets: (one.offsets ?? []).map((offset) => ({
            wall: wall(offset.roomIndex, offset.wallIndex),
            distanceM: distanceM(offset.distance),
          })),
        })),
      };
    }),
    quantities: stageOf(findings.quantities, (quantities) => ({
      bags: bagCountOf(job, quantities.bags),
      otherMaterials: (quantities.otherMaterials ?? []).map((order) => materialOrderOf(job, plan, order)),
      waterL: liquid(quantities.water),
      primer: {
        areaM2: m2(quantities.primer.area),
        coats: quantities.primer.coats.map((coat) => ({
          number: coat.number,
          mixedL: liquid(coat.mixed),
          concentrateL: liquid(coat.concentrate),
          waterL: liquid(coat.water),
        })),
        concentrateL: liquid(quantities.primer.concentrate),
      },
      pallets: quantities.pallets,
      bagWeightKg: of(quantities.bagWeight, weight(quantities.bagWeight, planUnit)),
      wetWeightKg: of(quantities.wetWeight, weight(quantities.wetWeight, planUnit)),
      meanDeadLoadKgM2: load(quantities.meanDeadLoad),
      greatestDeadLoadKgM2: load(quantities.greatestDeadLoad),
      palletLoadKgM2: load(quantities.palletLoad),
      lifts: quantities.lifts.map((lift) => ({
        number: lift.number,
        thicknessMm: mm(lift.thickness),
        topBelowTargetMm: lift.topBelowTarget,
        areaM2: m2(lift.area),
        volumeL: litres(lift.volume),
      })),
      learnedLoss:
        job.pour.learnedLoss === undefined
          ? null
          : {
              share: job.pour.lossAllowance,
              sd: job.pour.learnedLoss.sd,
              jobs: job.pour.learnedLoss.jobs,
              usualShare: job.pour.learnedLoss.usual,
              movedBags: learnedMove(job.pour, quantities.bags),
              crewKnown: job.pour.learnedLoss.crewKnown,
            },
      againstAllowed: quantities.againstAllowed ?? null,
      holds: quantities.holds.map((hold) => ({
        kind: hold.kind,
        loadKgM2: hold.valueKgM2 === undefined ? null : load(hold.valueKgM2),
      })),
    })),
    targetStudy: stageOf(bothReady(findings.target, findings.targetStudy), ([target, study]) =>
      targetStudyOf(job, plan, target, study),
    ),
    schedule: stageOf(findings.schedule, (pour) => pourPacket(job, plan, pour)),
    rawSlab: stageOf(findings.rawSlab, (judged) => conformityPacket(job, plan, judged)),
    finished: stageOf(findings.finished, (after) => conformityPacket(job, after.plan, after.conformity)),
    record: stageOf(findings.record, (kept) => recordOf(job, plan, kept)),
  };
}

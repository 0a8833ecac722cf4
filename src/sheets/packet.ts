/**
 * The packet as data: `output/<job-id>/packet.json` holds every number that the sheets print, raw in
 * SI units and as printed, and its schema; pins also as CSV.
 */
import { z } from "zod";
import type { Outcome } from "../diagnostics.ts";
import {
  area,
  type BothUnits,
  batchWater,
  bulkLiquid,
  elapsed,
  fineHeight,
  floorLoad,
  height,
  limit,
  planLength,
  smallArea,
  volume,
  weight,
} from "../format.ts";
import type { Findings, Sheet } from "./model.ts";
import { placeOrder } from "./place-order.ts";

/** A quantity: its value in the unit named by its key, and as the sheets print it, the leading unit first. */
const quantity = z.object({ value: z.number(), printed: z.tuple([z.string(), z.string()]) });
const place = z.object({ eastM: z.number(), northM: z.number() });

const pin = z.object({
  id: z.string(),
  room: z.string(),
  kind: z.enum(["grid", "between", "door", "extra"]),
  door: z.string().nullable(),
  at: place,
  /** Place in the walking order, from 1. */
  order: z.int(),
  depthMm: quantity,
  sdMm: z.number().nullable(),
  from: z.enum(["read", "interpolated"]),
  cut: z.enum(["cut", "after-grinding", "too-short"]),
  cutMm: quantity.nullable(),
  checkOnTheDay: z.boolean(),
  offsets: z.array(z.object({ wall: z.string(), distanceM: quantity })),
});

/** What a stage gave, or why it has not yet. */
const stage = <T extends z.ZodType>(result: T) =>
  z.discriminatedUnion("kind", [
    z.object({
      kind: z.literal("ready"),
      result,
      warnings: z.array(z.object({ code: z.string(), message: z.string() })),
    }),
    z.object({ kind: z.literal("not-yet"), why: z.string() }),
  ]);

export const packetSchema = z.object({
  $schema: z.string(),
  packetFormat: z.literal(1),
  job: z.object({
    id: z.string(),
    title: z.string(),
    dated: z.string().nullable(),
    units: z.object({ plan: z.enum(["ft-in", "m"]), height: z.enum(["mm", "in"]) }),
    material: z.object({
      id: z.string(),
      name: z.string(),
      dataSheet: z.string(),
      example: z.boolean(),
      waterPerBagL: quantity,
      flowTimeMin: z.number(),
    }),
  }),
  sheets: z.array(
    z.object({
      id: z.string(),
      language: z.enum(["en", "es"]),
      title: z.string(),
      sets: z.array(z.enum(["survey", "crew", "gc", "closeout"])),
      pages: z.int(),
      hash: z.string(),
    }),
  ),
  plan: z.object({
    rooms: z.array(z.object({ id: z.string(), name: z.string() })),
    gridLines: z.array(
      z.object({
        name: z.string(),
        axis: z.enum(["lettered", "numbered"]),
        atM: z.number(),
        offsets: z.array(z.object({ room: z.string(), wall: z.string(), distanceM: quantity })),
      }),
    ),
    points: z.array(z.object({ id: z.string(), room: z.string(), at: place })),
  }),
  levels: stage(
    z.object({
      unchecked: z.boolean(),
      points: z.array(z.object({ id: z.string(), levelMm: quantity, sdMm: z.number(), timesRead: z.int() })),
    }),
  ),
  slab: stage(
    z.object({
      areaM2: quantity,
      extrapolatedAreaShare: z.number(),
      method: z.enum(["thin-plate-spline", "plane", "nearest"]),
      leaveOneOutSdMm: quantity.nullable(),
      vertices: z.int(),
      triangles: z.int(),
    }),
  ),
  target: stage(
    z.object({
      zones: z.array(
        z.object({
          rooms: z.array(z.string()),
          topMm: quantity,
          fallEastMmPerM: z.number(),
          fallNorthMmPerM: z.number(),
        }),
      ),
      steps: z.array(z.object({ kind: z.string(), name: z.string().nullable(), amountMm: quantity })),
    }),
  ),
  depths: stage(
    z.object({
      leastMm: quantity,
      meanMm: quantity,
      greatestMm: quantity,
      leastAllowedMm: quantity,
      greatestAllowedMm: quantity,
      areaM2: quantity,
      proudAreaM2: quantity,
      thinAreaM2: quantity,
      pouredAreaM2: quantity,
      volumeAsReadL: quantity,
      volumeToOrderL: quantity,
      extrapolatedVolumeShare: z.number(),
      rooms: z.array(
        z.object({
          room: z.string(),
          areaM2: quantity,
          volumeToOrderL: quantity,
          leastMm: quantity,
          greatestMm: quantity,
        }),
      ),
      bands: z.array(
        z.object({
          number: z.int(),
          fromMm: quantity.nullable(),
          toMm: quantity.nullable(),
          areaM2: quantity,
          volumeL: quantity,
        }),
      ),
      contoursMm: z.array(z.number()),
      highSpots: z.array(
        z.object({
          id: z.string(),
          room: z.string(),
          at: place,
          atPrinted: z.object({ east: z.tuple([z.string(), z.string()]), north: z.tuple([z.string(), z.string()]) }),
          grindMm: quantity,
          areaM2: quantity,
          groundVolumeL: quantity,
          proud: z.boolean(),
        }),
      ),
      pins: z.array(pin),
    }),
  ),
  quantities: stage(
    z.object({
      bags: z.object({
        volumeL: quantity,
        yieldPerBagL: quantity,
        neat: z.number(),
        profileVolumeL: quantity,
        profile: z.number(),
        loss: z.number(),
        sum: z.number(),
        toOrder: z.int(),
      }),
      waterL: quantity,
      primer: z.object({
        areaM2: quantity,
        coats: z.array(z.object({ number: z.int(), mixedL: quantity, concentrateL: quantity, waterL: quantity })),
        concentrateL: quantity,
      }),
      pallets: z.int(),
      bagWeightKg: quantity,
      wetWeightKg: quantity,
      meanDeadLoadKgM2: quantity,
      greatestDeadLoadKgM2: quantity,
      palletLoadKgM2: quantity,
      lifts: z.array(
        z.object({
          number: z.int(),
          thicknessMm: quantity,
          topBelowTargetMm: z.number(),
          areaM2: quantity,
          volumeL: quantity,
        }),
      ),
      againstAllowed: z.object({ allowedBags: z.int(), differenceBags: z.int() }).nullable(),
      holds: z.array(z.object({ kind: z.string(), loadKgM2: quantity.nullable() })),
    }),
  ),
  schedule: stage(
    z.object({
      intervalMin: z.number(),
      durationMin: z.number(),
      bagsPerMinute: z.number(),
      areaInFlowTimeM2: quantity,
      laneAreaM2: quantity,
      tooSlow: z.boolean(),
      batches: z.array(
        z.object({
          number: z.int(),
          barrel: z.int(),
          bags: z.int(),
          waterL: quantity,
          cumulativeBags: z.int(),
          powderMeetsWaterMin: z.number(),
          pouredMin: z.number(),
          printed: z.tuple([z.string(), z.string()]),
        }),
      ),
    }),
  ),
});

export type Packet = z.infer<typeof packetSchema>;

/** The JSON Schema (draft 2020-12) of packet.json. */
export const packetJsonSchema = (): object => z.toJSONSchema(packetSchema);

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

const of = (value: number, { large, small }: BothUnits): z.infer<typeof quantity> => ({
  value,
  printed: [large.text, small.text],
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
    sheets: sheets.map((sheet) => ({
      id: sheet.id,
      language: sheet.language,
      title: sheet.title,
      sets: [...sheet.sets],
      pages: sheet.pages.length,
      hash: sheet.hash,
    })),
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
    levels: stageOf(findings.levels, (levels) => ({
      unchecked: levels.unchecked,
      points: levels.points.map((point) => ({
        id: point.id,
        levelMm: fineMm(point.level),
        sdMm: point.sd,
        timesRead: point.timesRead,
      })),
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
      bags: {
        volumeL: litres(quantities.bags.volume),
        yieldPerBagL: litres(quantities.bags.yieldPerBag),
        neat: quantities.bags.neat,
        profileVolumeL: litres(quantities.bags.profileVolume),
        profile: quantities.bags.profile,
        loss: quantities.bags.loss,
        sum: quantities.bags.sum,
        toOrder: quantities.bags.toOrder,
      },
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
      againstAllowed: quantities.againstAllowed ?? null,
      holds: quantities.holds.map((hold) => ({
        kind: hold.kind,
        loadKgM2: hold.valueKgM2 === undefined ? null : load(hold.valueKgM2),
      })),
    })),
    schedule: stageOf(findings.schedule, (schedule) => ({
      intervalMin: schedule.interval,
      durationMin: schedule.duration,
      bagsPerMinute: schedule.bagsPerMinute,
      areaInFlowTimeM2: smallM2(schedule.areaInFlowTime),
      laneAreaM2: smallM2(schedule.laneArea),
      tooSlow: schedule.tooSlow,
      batches: schedule.batches.map((batch) => ({
        number: batch.number,
        barrel: batch.barrel,
        bags: batch.bags,
        waterL: of(batch.water, batchWater(batch.water, planUnit)),
        cumulativeBags: batch.cumulativeBags,
        powderMeetsWaterMin: batch.powderMeetsWater,
        pouredMin: batch.poured,
        printed: [elapsed(batch.powderMeetsWater), elapsed(batch.poured)] as [string, string],
      })),
    })),
  };
}

/** A cell of a CSV file (RFC 4180) whose text no spreadsheet takes for a formula. */
export function csvCell(value: string): string {
  const harmless = /^[=+\-@\t\r]/.test(value) ? `'${value}` : value;
  return /[",\r\n]/.test(harmless) ? `"${harmless.replaceAll('"', '""')}"` : harmless;
}

const CSV_COLUMNS = [
  "order",
  "pin",
  "room",
  "east_m",
  "north_m",
  "from",
  "depth_mm",
  "cut",
  "cut_mm",
  "cut_printed",
  "cut_printed_other",
  "check_on_the_day",
] as const;

/**
 * The pins in the order of placing, one a line; lengths in mm and as printed.
 * @throws Error where there are no depths yet.
 */
export function pinsCsv(findings: Findings): string {
  const { depths, plan, job } = findings;
  if (depths.kind !== "ready") throw new Error(`no pins to list for ${job.id}: it has no depths yet`);
  const rows = placeOrder(plan, depths.value.pins)
    .flatMap(({ pins }) => pins)
    .map(({ pin: one, depth, from, cut, checkOnTheDay }, index) => {
      const printed = cut.kind === "cut" ? height(cut.length, job.units.height) : undefined;
      const numbers: Readonly<Record<(typeof CSV_COLUMNS)[number], string>> = {
        order: String(index + 1),
        pin: csvCell(one.id),
        room: csvCell(plan.floors[one.roomIndex]?.roomId ?? ""),
        east_m: String(one.at.x),
        north_m: String(one.at.y),
        from,
        depth_mm: String(depth),
        cut: cut.kind,
        cut_mm: cut.kind === "cut" ? String(cut.length) : "",
        cut_printed: csvCell(printed?.large.text ?? ""),
        cut_printed_other: csvCell(printed?.small.text ?? ""),
        check_on_the_day: checkOnTheDay ? "yes" : "no",
      };
      return CSV_COLUMNS.map((column) => numbers[column]).join(",");
    });
  return `${[CSV_COLUMNS.join(","), ...rows].join("\r\n")}\r\n`;
}

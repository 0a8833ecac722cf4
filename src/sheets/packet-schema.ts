/** What `output/<job-id>/packet.json` holds: every number that the sheets print, raw in SI units and as printed. */
import { z } from "zod";
import { conformityResult } from "./packet-conformity.ts";
import { place, quantity, stage } from "./packet-parts.ts";
import { pourSchema } from "./packet-pour-schema.ts";
import { recordSchema } from "./packet-record.ts";
import { scanSchema, surveyPlanSchema, surveyReportSchema } from "./packet-survey.ts";
import { bagCount, materialOrder, targetStudy } from "./packet-target.ts";

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

/** What a pin is cut to, as printed. */
const changedLength = z.object({
  cut: z.enum(["cut", "after-grinding", "too-short"]),
  printed: z.tuple([z.string(), z.string()]).nullable(),
});

export const packetSchema = z.object({
  $schema: z.string(),
  packetFormat: z.literal(1),
  job: z.object({
    id: z.string(),
    title: z.string(),
    dated: z.string().nullable(),
    /** Of the pour, as the job file gives it. */
    start: z.string().nullable(),
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
  /** Against the issued records; `last` is the revision that this packet is, or that it differs from. */
  revision: z.object({
    standing: z.enum(["never-issued", "issued", "draft-after"]),
    last: z.int().nullable(),
    date: z.string().nullable(),
    reason: z.string().nullable(),
    /** What the change sheet lists: against the revision before an issued one, or the last one of a draft. */
    changes: z
      .object({
        since: z.int(),
        pins: z.array(
          z.object({
            id: z.string(),
            kind: z.enum(["recut", "new", "gone", "moved"]),
            before: changedLength.nullable(),
            now: changedLength.nullable(),
          }),
        ),
        figures: z.array(
          z.object({
            what: z.string(),
            of: z.string().nullable(),
            before: z.string().nullable(),
            now: z.string().nullable(),
          }),
        ),
      })
      .nullable(),
  }),
  /** The hash that the cover of each language prints; records from before it was kept have none. */
  packetHashes: z.array(z.object({ language: z.enum(["en", "es"]), hash: z.string() })).optional(),
  sheets: z.array(
    z.object({
      id: z.string(),
      language: z.enum(["en", "es"]),
      title: z.string(),
      sets: z.array(z.enum(["survey", "crew", "gc", "closeout"])),
      pages: z.int(),
      hash: z.string(),
      /** The revision in which it last said something new, and its date; null where it was not issued as it is. */
      revision: z.int().nullable(),
      date: z.string().nullable(),
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
  surveyPlan: stage(surveyPlanSchema),
  levels: stage(
    z.object({
      unchecked: z.boolean(),
      points: z.array(z.object({ id: z.string(), levelMm: quantity, sdMm: z.number(), timesRead: z.int() })),
      /** Of a scanned floor; its points are in the file that it names. */
      scan: scanSchema.nullable(),
      report: surveyReportSchema,
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
          /** Falls from the level along the walls to a point drain; null where there is none. */
          drain: z
            .object({
              eastM: z.number(),
              northM: z.number(),
              topMm: quantity,
              leastFallMmPerM: z.number(),
              greatestFallMmPerM: z.number(),
            })
            .nullable(),
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
      /** Of the job's material; the others stand apart. */
      bags: bagCount,
      otherMaterials: z.array(materialOrder),
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
      /** Where the job takes the loss that the archive taught; `movedBags` against the usual loss, not rounded. */
      learnedLoss: z
        .object({
          share: z.number(),
          sd: z.number(),
          jobs: z.int(),
          usualShare: z.number(),
          movedBags: z.number(),
          crewKnown: z.boolean(),
        })
        .nullable()
        .optional(),
      againstAllowed: z.object({ allowedBags: z.int(), differenceBags: z.int() }).nullable(),
      holds: z.array(z.object({ kind: z.string(), loadKgM2: quantity.nullable() })),
    }),
  ),
  targetStudy: stage(targetStudy),
  schedule: stage(pourSchema),
  /** The slab as it was handed over, by the contract's rules. */
  rawSlab: stage(conformityResult),
  /** The floor read again after the pour. */
  finished: stage(conformityResult),
  /** What is proved and held before the pour and accounted for after it; ready for every job. */
  record: stage(recordSchema),
});

export type Packet = z.infer<typeof packetSchema>;

/** The JSON Schema (draft 2020-12) of packet.json. */
export const packetJsonSchema = (): object => z.toJSONSchema(packetSchema);

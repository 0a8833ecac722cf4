/** The record in the packet: tests, holds and the bag stop before the pour, planned against used after it. */
import { z } from "zod";
import { area, type BothUnits, fineHeight, volume } from "../format.ts";
import type { Job } from "../job/model.ts";
import { DOCUMENT_KINDS, JOINT_PARTIES, SUBSTRATE_TESTS } from "../job/record-model.ts";
import type { Plan } from "../layout/model.ts";
import type {
  BagDifference,
  FillAccount,
  NonConformanceState,
  PourAccount,
  PourRecord,
  RecordHold,
  TestState,
} from "../record/model.ts";
import { place, quantity } from "./packet-parts.ts";

const testName = z.enum(SUBSTRATE_TESTS);

/** Values of tests are in the unit of their test: a share of one, g/(m²·24 h), min, MPa, the profile's number, °C. */
const test = z.object({
  test: testName,
  unit: z.enum(["share", "emission", "time", "pressure", "profile", "temperature"]),
  owedBy: z.string().nullable(),
  required: z.int(),
  requiredBy: z.enum(["standard", "contract", "practice"]),
  least: z.number().nullable(),
  greatest: z.number().nullable(),
  placesTested: z.int(),
  verdict: z.enum(["accept", "refuse", "missing"]),
  toTest: z.array(z.string()),
  results: z.array(
    z.object({
      id: z.string(),
      measured: z.number(),
      date: z.string(),
      by: z.string(),
      at: place.nullable(),
      judged: z.enum(["within", "outside", "replaced", "not-judged"]),
    }),
  ),
});

const difference = z.object({
  planned: z.int(),
  allowed: z.int(),
  bags: z.int(),
  assumed: z.enum(["bid", "allowed-depth", "allowed-bags"]),
  rooms: z.array(
    z.object({
      room: z.string(),
      areaM2: quantity,
      plannedMm: quantity,
      bidMm: quantity,
      bags: z.number(),
      deeperAreaM2: quantity,
      deeperBags: z.number(),
    }),
  ),
  areaBags: z.number(),
  wedgeBags: z.number(),
  roundingBags: z.number(),
  unexplainedBags: z.number(),
});

const yieldAndLoss = {
  plannedYieldL: quantity,
  foundYieldL: quantity.nullable(),
  /** By the density of the fresh mix; null where none was weighed. */
  weighedYieldL: quantity.nullable().optional(),
  weighedBatches: z.int().optional(),
  plannedLossShare: z.number(),
  /** With the yield of the data sheet. */
  foundLossShare: z.number().nullable(),
  lossByWeighedYieldShare: z.number().nullable().optional(),
};

const account = z.object({
  poured: z.string(),
  batches: z.object({ planned: z.int(), poured: z.int() }),
  bags: z.object({
    planned: z.int(),
    delivered: z.int(),
    mixed: z.int(),
    burst: z.int(),
    thrown: z.int(),
    used: z.int(),
    returned: z.int().nullable(),
    difference: z.int(),
  }),
  minutes: z.object({ planned: z.number(), taken: z.number() }),
  plannedVolumeL: quantity,
  /** Of the job's material, by the finished floor's readings; null where it was not read. */
  placedVolumeL: quantity.nullable(),
  placedVolumeSdL: z.number().nullable(),
  ...yieldAndLoss,
  /** Zones and ramps in materials of their own; records from before they were accounted for have none. */
  otherMaterials: z
    .array(
      z.object({
        material: z.string(),
        plannedBags: z.int(),
        deliveredBags: z.int(),
        inFloorBags: z.int(),
        plannedVolumeL: quantity,
        placedVolumeL: quantity.nullable(),
        placedVolumeSdL: z.number().nullable(),
        ...yieldAndLoss,
      }),
    )
    .optional(),
  reasons: z.array(
    z.object({
      kind: z.enum(["volume", "loss-and-yield", "not-told-apart", "thrown", "burst", "rounding"]),
      bags: z.number(),
    }),
  ),
  lastPlaced: z.string(),
});

export const recordSchema = z.object({
  readiness: z.object({
    verdict: z.enum(["accept", "refuse", "missing", "not-required"]),
    testsNamed: z.boolean(),
    tests: z.array(test),
    places: z.array(z.object({ id: z.string(), room: z.string(), at: place })),
  }),
  stop: z.object({ bags: z.int(), from: z.enum(["approval", "allowance", "order"]), planned: z.int() }).nullable(),
  difference: difference.nullable(),
  holds: z.array(
    z.object({
      kind: z.enum([
        "tests-not-named",
        "test-refused",
        "test-missing",
        "test-without-limit",
        "joint-survey-unsigned",
        "joint-survey-outdated",
        "bags-past-approved",
      ]),
      test: testName.nullable(),
      owedBy: z.string().nullable(),
    }),
  ),
  /** Null where none is on record. */
  jointSurvey: z
    .object({
      date: z.string().nullable(),
      measuredBy: z.string().nullable(),
      signatures: z.array(z.object({ party: z.enum(JOINT_PARTIES), by: z.string(), date: z.string() })),
      signedForBags: z.int().nullable(),
      notRequired: z.boolean(),
    })
    .nullable(),
  holdOffs: z.array(
    z.object({
      what: z.enum(["walk-on", "light-trades", "covering", "heavy-loads", "heating"]),
      afterMin: z.number(),
      until: z.string().nullable(),
    }),
  ),
  account: account.nullable(),
  nonConformances: z.array(
    z.object({
      id: z.string(),
      from: z.enum(["by-hand", "flatness", "flow-ring", "past-flow-time", "past-use-by"]),
      flatnessPlace: z.string().nullable(),
      status: z.enum(["open", "reworked", "closed", "refused"]),
      at: place.nullable(),
    }),
  ),
  acceptance: z
    .object({ date: z.string(), result: z.enum(["accepted", "accepted-with-remarks", "refused"]), by: z.string() })
    .nullable(),
  documents: z.array(
    z.object({
      what: z.string(),
      kind: z.enum(DOCUMENT_KINDS),
      title: z.string(),
      file: z.string().nullable(),
      sha256: z.string().nullable(),
    }),
  ),
});

type RecordPacket = z.infer<typeof recordSchema>;

const of = (value: number, { large, small }: BothUnits): z.infer<typeof quantity> => ({
  value,
  printed: [large.text, small.text],
});
const at = (point: { readonly x: number; readonly y: number }) => ({ eastM: point.x, northM: point.y });

export function recordOf(job: Job, plan: Plan, record: PourRecord): RecordPacket {
  const { readiness, stop, difference: told, holds, holdOffs, account: kept, nonConformances } = record;
  const room = (index: number): string => plan.floors[index]?.roomId ?? "";
  const acceptance = job.results?.acceptance;
  return {
    readiness: {
      verdict: readiness.verdict,
      testsNamed: readiness.testsNamed,
      tests: readiness.tests.map(testOf),
      places: readiness.places.map(({ id, found }) => ({ id, room: room(found.roomIndex), at: at(found.at) })),
    },
    stop: stop ?? null,
    difference: told === undefined ? null : differenceOf(job, told, room),
    holds: holds.map(holdOf),
    jointSurvey: jointSurveyOf(job),
    holdOffs: holdOffs.map(({ what, after, until }) => ({ what, afterMin: after, until: until ?? null })),
    account: kept === undefined ? null : accountOf(job, kept),
    nonConformances: nonConformances.map(nonConformanceOf),
    acceptance:
      acceptance === undefined ? null : { date: acceptance.date, result: acceptance.result, by: acceptance.by },
    documents: (job.documents ?? []).map(({ what, kind, title, file, sha256 }) => ({
      what,
      kind,
      title,
      file: file ?? null,
      sha256: sha256 ?? null,
    })),
  };
}

const testOf = (state: TestState): z.infer<typeof test> => ({
  test: state.test,
  unit: state.dimension,
  owedBy: state.owedBy ?? null,
  required: state.required,
  requiredBy: state.requiredBy,
  least: state.least ?? null,
  greatest: state.greatest ?? null,
  placesTested: state.placesTested,
  verdict: state.verdict,
  toTest: [...state.toTest],
  results: state.results.map(({ result, judged }) => ({
    id: result.id,
    measured: result.value,
    date: result.date,
    by: result.by,
    at: result.at === undefined ? null : at(result.at),
    judged,
  })),
});

function differenceOf(job: Job, told: BagDifference, room: (index: number) => string): z.infer<typeof difference> {
  const m2 = (value: number) => of(value, area(value, job.units.plan));
  const mm = (value: number) => of(value, fineHeight(value, job.units.height));
  const { planned, allowed, bags, assumed, areaBags, wedgeBags, roundingBags, unexplainedBags } = told;
  return {
    planned,
    allowed,
    bags,
    assumed,
    rooms: told.rooms.map((one) => ({
      room: room(one.roomIndex),
      areaM2: m2(one.area),
      plannedMm: mm(one.plannedDepth),
      bidMm: mm(one.bidDepth),
      bags: one.bags,
      deeperAreaM2: m2(one.deeperArea),
      deeperBags: one.deeperBags,
    })),
    areaBags,
    wedgeBags,
    roundingBags,
    unexplainedBags,
  };
}

function jointSurveyOf({ jointSurvey }: Job): RecordPacket["jointSurvey"] {
  if (jointSurvey === undefined) return null;
  const { date, measuredBy, signatures, bags, notRequired } = jointSurvey;
  return {
    date: date ?? null,
    measuredBy: measuredBy ?? null,
    signatures: signatures.map((one) => ({ ...one })),
    signedForBags: bags ?? null,
    notRequired: notRequired !== undefined,
  };
}

function holdOf(hold: RecordHold): RecordPacket["holds"][number] {
  return "test" in hold
    ? { kind: hold.kind, test: hold.test.test, owedBy: hold.test.owedBy ?? null }
    : { kind: hold.kind, test: null, owedBy: null };
}

function accountOf(job: Job, kept: PourAccount): z.infer<typeof account> {
  const litres = (value: number) => of(value, volume(value, job.units.plan));
  const { bags, batches, time, volume: filled, yieldPerBag, loss, otherMaterials, reasons, lastPlaced } = kept;
  const yieldAndLossOf = ({ yieldPerBag: of, loss: lost }: Pick<FillAccount, "yieldPerBag" | "loss">) => ({
    plannedYieldL: litres(of.planned),
    foundYieldL: of.found === undefined ? null : litres(of.found),
    weighedYieldL: of.weighed === undefined ? null : litres(of.weighed.litres),
    weighedBatches: of.weighed?.batches ?? 0,
    plannedLossShare: lost.planned,
    foundLossShare: lost.found ?? null,
    lossByWeighedYieldShare: lost.byWeighedYield ?? null,
  });
  return {
    poured: job.results?.poured ?? "",
    batches,
    bags: { ...bags, returned: bags.returned ?? null },
    minutes: time,
    plannedVolumeL: litres(filled.planned),
    placedVolumeL: filled.placed === undefined ? null : litres(filled.placed.volume),
    placedVolumeSdL: filled.placed?.sd ?? null,
    ...yieldAndLossOf({ yieldPerBag, loss }),
    otherMaterials: otherMaterials.map((fill) => ({
      material: fill.material.id,
      plannedBags: fill.bags.planned,
      deliveredBags: fill.bags.delivered,
      inFloorBags: fill.bags.inFloor,
      plannedVolumeL: litres(fill.volume.planned),
      placedVolumeL: fill.volume.placed === undefined ? null : litres(fill.volume.placed.volume),
      placedVolumeSdL: fill.volume.placed?.sd ?? null,
      ...yieldAndLossOf(fill),
    })),
    reasons: reasons.map(({ kind, bags: count }) => ({ kind, bags: count })),
    lastPlaced: lastPlaced.at,
  };
}

const nonConformanceOf = ({
  id,
  status,
  from,
  at: where,
}: NonConformanceState): RecordPacket["nonConformances"][number] => ({
  id,
  from: from.kind,
  flatnessPlace: from.kind === "flatness" ? from.place : null,
  status,
  at: where === undefined ? null : at(where),
});

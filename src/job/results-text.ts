/** How the pour went, as typed. What cannot have been is objected to at its line. */
import { clockTime } from "../format.ts";
import { type Celsius, type KilogramsPerLitre, litres, type Millimetres, minutes, share } from "../units.ts";
import { given } from "./given.ts";
import {
  type JobReader,
  objectAt,
  objectAtPlace,
  refuseClashes,
  toMillimetres,
  toPoint,
  warnAt,
} from "./job-reader.ts";
import type { Room } from "./model.ts";
import { onFloor } from "./readiness-text.ts";
import type { DeliveredLot, NonConformance, PouredBatch, PourResults } from "./record-model.ts";
import { part, parts } from "./schema-parts.ts";
import {
  lotSchema,
  nonConformanceSchema,
  pouredBatchSchema,
  type ResultsText,
  resultsSchema,
} from "./schema-record.ts";
import { nearName } from "./suggest.ts";
import { placeOf, valueAt } from "./yaml-places.ts";

/**
 * @param finishedPoured the day of the pour by the record of the finished floor
 * @param materialIds of the job, its own first; absent where they could not be read
 */
export function buildResults(
  reader: JobReader,
  rooms: readonly Room[],
  finishedPoured: string | undefined,
  materialIds: readonly string[] | undefined,
): PourResults | undefined {
  const { document } = reader;
  if (valueAt(document, ["results"]) === undefined) return undefined;
  const text = part(document, ["results"], resultsSchema);
  const poured = text?.poured ?? part(document, ["results", "poured"], resultsSchema.shape.poured);
  if (poured === undefined) return undefined;
  if (finishedPoured !== undefined && finishedPoured < poured) {
    objectAt(reader, ["finished", "poured"], {
      code: "dates-out-of-order",
      message: `The finished floor is said to be poured on ${finishedPoured}, but the first batch is of ${poured}.`,
      expected: `${poured}, or the day of the last batch`,
    });
  }
  const lots = parts(document, ["results", "lots"], lotSchema).map(
    ({ text: { lot, bags, use_by, material }, path }): DeliveredLot => ({
      lot,
      bags,
      materialId: knownMaterial(reader, [...path, "material"], material, materialIds) ?? materialIds?.[0] ?? "",
      ...given("useBy", use_by, (day) => day),
      place: placeOf(document, [...path, "lot"]),
    }),
  );
  const batches = buildBatches(reader, poured, lots, materialIds);
  const nonConformances = buildNonConformances(reader, poured, rooms);
  // With an entry that the schema objected to, sums would speak of too few batches.
  if (text === undefined) return undefined;
  refuseMoreThanDelivered(reader, text, lots, batches);
  const { lead, conditions, burst_bags, thrown_bags, returned_bags, reasons, acceptance } = text;
  refuseEarly(reader, ["results", "acceptance", "date"], acceptance?.date, poured, "The floor was accepted");
  return {
    poured,
    ...given("lead", lead, (name) => name),
    lots,
    conditions: (conditions ?? []).map((one) => ({
      date: one.date ?? poured,
      time: minutes(one.time),
      ...given("air", one.air, (value) => value as Celsius),
      ...given("slab", one.slab, (value) => value as Celsius),
      ...given("water", one.water, (value) => value as Celsius),
      ...given("humidity", one.humidity, share),
    })),
    batches,
    burstBags: burst_bags ?? 0,
    thrownBags: thrown_bags ?? 0,
    ...given("returnedBags", returned_bags, (bags) => bags),
    reasons: reasons ?? [],
    nonConformances,
    ...given("acceptance", acceptance, ({ date, result, by, remarks }) => ({
      date,
      result,
      by,
      ...given("remarks", remarks, (said) => said),
    })),
    place: placeOf(document, ["results"]),
  };
}

/** Batches in the order of mixing: each begins no earlier than the one before it. */
function buildBatches(
  reader: JobReader,
  poured: string,
  lots: readonly DeliveredLot[],
  materialIds: readonly string[] | undefined,
): PouredBatch[] {
  const { document } = reader;
  const known = lots.map(({ lot }) => lot);
  const seen = new Map<number, number>();
  let before = "";
  return parts(document, ["results", "batches"], pouredBatchSchema).map(({ text, path }) => {
    const date = text.date ?? poured;
    if (date < poured) {
      objectAt(reader, [...path, "date"], {
        code: "dates-out-of-order",
        message: `Batch ${text.batch} is of ${date}, but the first was poured on ${poured}.`,
        expected: `${poured} or a day after it`,
      });
    }
    const earlier = seen.get(text.batch);
    if (earlier !== undefined) {
      objectAt(reader, [...path, "batch"], {
        code: "batch-given-twice",
        message: `Batch ${text.batch} is given twice, first on line ${earlier}.`,
        expected: "a number of its own for each batch",
      });
    }
    seen.set(text.batch, earlier ?? placeOf(document, path).line);
    const at = `${date} ${clockTime(`${date} 00:00`, text.mixed).text}`;
    if (at < before) {
      objectAt(reader, [...path, "mixed"], {
        code: "batches-run-backwards",
        message: `Batch ${text.batch} was mixed at ${at}, before the one above it at ${before}.`,
        expected: "batches in the order in which they were mixed",
        hint: "A pour past midnight gives the next day as date.",
      });
    }
    before = at > before ? at : before;
    if (text.placed !== undefined && text.placed < text.mixed) {
      objectAt(reader, [...path, "placed"], {
        code: "placed-before-mixed",
        message: `Batch ${text.batch} was poured before its powder met water.`,
        expected: "placed no earlier than mixed",
      });
    }
    if (text.lot !== undefined && !known.includes(text.lot)) {
      const near = nearName(text.lot, known);
      objectAt(reader, [...path, "lot"], {
        code: "unknown-lot",
        message: `No bags of lot ${text.lot} were delivered.`,
        expected: `one of the lots: ${known.join(", ")}`,
        hint: near === undefined ? undefined : `Did you mean ${near}?`,
      });
    }
    const ofLot = lots.find(({ lot }) => lot === text.lot)?.materialId;
    const materialId = knownMaterial(reader, [...path, "material"], text.material, materialIds);
    if (materialId !== undefined && ofLot !== undefined && materialId !== ofLot) {
      objectAt(reader, [...path, "material"], {
        code: "lot-of-another-material",
        message: `Batch ${text.batch} is of ${materialId}, but its lot ${text.lot} is of ${ofLot}.`,
        expected: "a batch and its lot of one material",
      });
    }
    return {
      number: text.batch,
      bags: text.bags,
      date,
      mixed: minutes(text.mixed),
      ...given("placed", text.placed, minutes),
      ...given("water", text.water, litres),
      ...given("spread", text.spread, (spread): Millimetres => toMillimetres(reader, spread)),
      ...given("temperature", text.temperature, (value) => value as Celsius),
      ...given("density", text.density, (density) => density as KilogramsPerLitre),
      ...given("lot", text.lot, (lot) => lot),
      materialId: materialId ?? ofLot ?? materialIds?.[0] ?? "",
      place: placeOf(document, [...path, "batch"]),
    };
  });
}

/** The material that is named, where the job has it. */
function knownMaterial(
  reader: JobReader,
  path: readonly (string | number)[],
  id: string | undefined,
  materialIds: readonly string[] | undefined,
): string | undefined {
  if (id === undefined || materialIds === undefined || materialIds.includes(id)) return id;
  const near = nearName(id, materialIds);
  objectAt(reader, path, {
    code: "unknown-material",
    message: `Nothing of this job is poured in ${id}.`,
    expected: `one of its materials: ${materialIds.join(", ")}`,
    hint: near === undefined ? undefined : `Did you mean ${near}?`,
  });
  return undefined;
}

/** Bags that were used, burst or given back were delivered before; so were those of each lot. */
function refuseMoreThanDelivered(
  reader: JobReader,
  { burst_bags, thrown_bags, returned_bags }: ResultsText,
  lots: readonly DeliveredLot[],
  batches: readonly PouredBatch[],
): void {
  const delivered = lots.reduce((sum, { bags }) => sum + bags, 0);
  const mixed = batches.reduce((sum, { bags }) => sum + bags, 0);
  const gone = mixed + (burst_bags ?? 0) + (returned_bags ?? 0);
  if (gone > delivered) {
    objectAt(reader, ["results", "lots"], {
      code: "more-bags-than-delivered",
      message: `${mixed} bags were mixed, ${burst_bags ?? 0} burst and ${returned_bags ?? 0} returned: ${gone}, but ${delivered} were delivered.`,
      expected: `lots of ${gone} bags or more together`,
      hint: "Look for a batch that is entered twice, or a delivery that is missing.",
    });
  } else if (returned_bags !== undefined && gone < delivered) {
    warnAt(reader, ["results", "returned_bags"], {
      code: "bags-unaccounted-for",
      message: `${delivered} bags were delivered, but mixed, burst and returned ones are ${gone}: ${delivered - gone} are not accounted for`,
      expected: "mixed, burst and returned bags that add up to those delivered",
    });
  }
  if ((thrown_bags ?? 0) > mixed) {
    objectAt(reader, ["results", "thrown_bags"], {
      code: "more-thrown-than-mixed",
      message: `${thrown_bags} bags were mixed and thrown away, but only ${mixed} were mixed.`,
      expected: "bags that stand in the batches too",
    });
  }
  for (const { lot, bags, place } of lots) {
    const used = batches.filter((batch) => batch.lot === lot).reduce((sum, batch) => sum + batch.bags, 0);
    if (used <= bags) continue;
    objectAtPlace(reader, place, {
      code: "more-bags-than-delivered",
      message: `${used} bags of lot ${lot} were mixed, but ${bags} were delivered.`,
      expected: `${used} bags or more of it`,
    });
  }
}

function buildNonConformances(reader: JobReader, poured: string, rooms: readonly Room[]): NonConformance[] {
  const { document } = reader;
  const texts = parts(document, ["results", "non_conformances"], nonConformanceSchema);
  refuseClashes(
    reader,
    "non-conformances",
    texts.map(({ text, path }) => ({ id: text.id, path: [...path, "id"] })),
  );
  return texts.map(({ text, path }) => {
    const { id, found, what, at, flatness_place, rework, reworked, recheck } = text;
    refuseEarly(reader, [...path, "found"], found, poured, `${id} was found`);
    refuseOrder(reader, [...path, "reworked"], reworked, found, `${id} was reworked`, "found");
    refuseOrder(
      reader,
      [...path, "recheck", "date"],
      recheck?.date,
      reworked ?? found,
      `${id} was checked again`,
      "reworked",
    );
    return {
      id,
      found,
      what,
      ...given("at", at && onFloor(reader, [...path, "at"], toPoint(reader, at), id, rooms), (place) => place),
      ...given("flatnessPlace", flatness_place, (place) => place),
      ...given("rework", rework, (work) => work),
      ...given("reworked", reworked, (day) => day),
      ...given("recheck", recheck, (again) => again),
      place: placeOf(document, [...path, "id"]),
    };
  });
}

const refuseEarly = (
  reader: JobReader,
  path: readonly (string | number)[],
  day: string | undefined,
  poured: string,
  what: string,
): void => refuseOrder(reader, path, day, poured, what, "poured");

function refuseOrder(
  reader: JobReader,
  path: readonly (string | number)[],
  day: string | undefined,
  earlier: string,
  what: string,
  before: string,
): void {
  if (day === undefined || day >= earlier) return;
  objectAt(reader, path, {
    code: "dates-out-of-order",
    message: `${what} on ${day}, before it was ${before} on ${earlier}.`,
    expected: `${earlier} or a day after it`,
  });
}

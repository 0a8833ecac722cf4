/** What was agreed and handed over before the pour, as typed: the joint survey, terms of the contract, documents, submittals. */
import type { SquareMetres } from "../units.ts";
import { given } from "./given.ts";
import { type JobReader, objectAt, toMillimetres, warnAt } from "./job-reader.ts";
import type { Room } from "./model.ts";
import type { PourDay } from "./readiness-text.ts";
import type { ContractTerms, JobDocument, JointSurvey, Submittal } from "./record-model.ts";
import type { ContractText } from "./schema-contract.ts";
import { part, parts } from "./schema-parts.ts";
import { documentSchema, jointSurveySchema, submittalSchema } from "./schema-record.ts";
import { nearName } from "./suggest.ts";
import { placeOf } from "./yaml-places.ts";

/** The contract's terms beside its allowances. */
export function buildTerms(reader: JobReader, text: ContractText): ContractTerms {
  const { section, unit_rate, approved_bags, bid, allowed_bags } = text;
  if (approved_bags !== undefined && allowed_bags !== undefined && approved_bags.bags < allowed_bags) {
    objectAt(reader, ["contract", "approved_bags", "bags"], {
      code: "approval-below-allowance",
      message: `${approved_bags.bags} bags are approved in all, but the price includes ${allowed_bags}.`,
      expected: "the number of bags in all, the allowance included",
    });
  }
  return {
    ...given("section", section, (number) => number),
    ...given("unitRate", unit_rate, (rate) => rate),
    ...given("approvedBags", approved_bags, (approved) => ({
      bags: approved.bags,
      by: approved.by,
      date: approved.date,
      ...given("reference", approved.reference, (reference) => reference),
      place: placeOf(reader.document, ["contract", "approved_bags"]),
    })),
    ...given("bid", bid, (assumed) => ({
      ...given("area", assumed.area, (area) => area as SquareMetres),
      rooms: (assumed.rooms ?? []).map(({ room, depth }) => ({ roomId: room, depth: toMillimetres(reader, depth) })),
      source: assumed.source,
    })),
  };
}

/** Rooms of the bid have to be rooms of the job. */
export function refuseUnknownBidRooms(reader: JobReader, { bid }: ContractTerms, rooms: readonly Room[]): void {
  const ids = rooms.map(({ id }) => id);
  for (const [k, { roomId }] of (bid?.rooms ?? []).entries()) {
    if (ids.includes(roomId) || ids.length === 0) continue;
    const near = nearName(roomId, ids);
    objectAt(reader, ["contract", "bid", "rooms", k, "room"], {
      code: "unknown-room",
      message: `The job has no room ${roomId}.`,
      expected: `one of its rooms: ${ids.join(", ")}`,
      hint: near === undefined ? undefined : `Did you mean ${near}?`,
    });
  }
}

export function buildJointSurvey(reader: JobReader, pour: PourDay | undefined): JointSurvey | undefined {
  const text = part(reader.document, ["joint_survey"], jointSurveySchema);
  if (text === undefined) return undefined;
  const { date, measured_by, present, signatures = [], bags, not_required } = text;
  if (not_required === undefined) {
    for (const [key, value] of Object.entries({ date, measured_by })) {
      if (value !== undefined) continue;
      objectAt(reader, ["joint_survey"], {
        code: "missing-key",
        message: `"joint_survey" has no "${key}".`,
        expected: "date and measured_by, or not_required with who settled it, when and why",
      });
    }
  }
  const dates = [
    ...(date === undefined ? [] : [{ path: ["date"], day: date, what: "The slab was measured" }]),
    ...signatures.map((one, k) => ({ path: ["signatures", k, "date"], day: one.date, what: "The record was signed" })),
  ];
  for (const { path, day, what } of dates) {
    if (pour === undefined || day <= pour.date) continue;
    objectAt(reader, ["joint_survey", ...path], {
      code: "dates-out-of-order",
      message: `${what} on ${day}, after the pour of ${pour.date} (${pour.key}).`,
      expected: "a joint survey made and signed before the pour",
    });
  }
  for (const [k, one] of signatures.entries()) {
    if (date !== undefined && one.date < date) {
      objectAt(reader, ["joint_survey", "signatures", k, "date"], {
        code: "dates-out-of-order",
        message: `The record was signed on ${one.date}, before the slab was measured on ${date}.`,
        expected: "a signature on the day of the survey or after it",
      });
    }
    if (signatures.findIndex((other) => other.for === one.for) !== k) {
      objectAt(reader, ["joint_survey", "signatures", k, "for"], {
        code: "signed-twice",
        message: `There are two signatures for the ${one.for}.`,
        expected: "one signature for each party",
      });
    }
  }
  return {
    ...given("date", date, (day) => day),
    ...given("measuredBy", measured_by, (name) => name),
    present: present ?? [],
    signatures: signatures.map((one) => ({ party: one.for, by: one.by, date: one.date })),
    ...given("bags", bags, (count) => count),
    ...given("notRequired", not_required, (settled) => settled),
  };
}

export function buildSubmittals(reader: JobReader): Submittal[] {
  return parts(reader.document, ["submittals"], submittalSchema).map(({ text, path }) => {
    const { number, item, submitted, returned, status } = text;
    if (submitted !== undefined && returned !== undefined && returned < submitted) {
      objectAt(reader, [...path, "returned"], {
        code: "dates-out-of-order",
        message: `Submittal ${number} came back on ${returned}, before it went out on ${submitted}.`,
        expected: "submitted first, returned after it",
      });
    }
    return {
      number,
      item,
      ...given("submitted", submitted, (day) => day),
      ...given("returned", returned, (day) => day),
      ...given("status", status, (state) => state),
    };
  });
}

export function buildDocuments(reader: JobReader): JobDocument[] {
  return parts(reader.document, ["documents"], documentSchema).map(({ text, path }) => {
    const { what, kind, title, date, file } = text;
    const beside = file === undefined ? undefined : reader.beside.find(({ name }) => name === file);
    if (file !== undefined && beside?.sha256 === undefined) {
      warnAt(reader, [...path, "file"], {
        code: "document-not-there",
        message: `the file ${file} is not in ${reader.besideFolder}: the register has no checksum of it`,
        expected: `${reader.besideFolder}/${file}`,
      });
    }
    return {
      what,
      kind,
      title,
      ...given("date", date, (day) => day),
      ...given("file", file, (name) => name),
      ...given("sha256", beside?.sha256, (sum) => sum),
    };
  });
}

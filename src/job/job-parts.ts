/** The parts of a job beside its rooms and readings: bench marks, target, pour, contract, and what comes from the library. */
import type { z } from "zod";
import type { Diagnostic } from "../diagnostics.ts";
import { readIdOrEntry } from "./job-entries.ts";
import { type JobReader, objectAt, toMillimetres, toPoint } from "./job-reader.ts";
import { type Entry, type Library, placeOfEntry } from "./library.ts";
import { readCompany } from "./library-entries.ts";
import type { Company } from "./library-model.ts";
import type { BenchMark, FloorCondition, PaperFamily } from "./model.ts";
import type { floorSchema } from "./schema.ts";
import type { BenchMarkText } from "./schema-survey.ts";
import { refuseGridName } from "./survey-text.ts";
import { type Path, valueAt } from "./yaml-places.ts";

export function buildBenchMarks(
  reader: JobReader,
  texts: readonly { readonly text: BenchMarkText; readonly path: Path }[],
): BenchMark[] {
  return texts.map(({ text: { id, at, level, sd, description }, path }) => {
    refuseGridName(reader, id, [...path, "id"]);
    return {
      id,
      at: toPoint(reader, at),
      level: toMillimetres(reader, level),
      ...(sd === undefined ? {} : { sd: toMillimetres(reader, sd) }),
      ...(description === undefined ? {} : { description }),
    };
  });
}

export function buildFloor(text: z.output<typeof floorSchema>): FloorCondition {
  const { support, substrate, absorbency, accepted_by } = text;
  return { support, substrate, absorbency, ...(accepted_by === undefined ? {} : { acceptedBy: accepted_by }) };
}

const ENTRY_LISTS = { material: "materials", primer: "primers", pins: "pins", crew: "crews" } as const;

/** A material, primer, kind of pins or crew: as the job names it or writes it out, else the usual one of the library. */
export function libraryEntry<T>(
  reader: JobReader,
  key: keyof typeof ENTRY_LISTS,
  library: Library,
  usualId: string | undefined,
  read: (entry: Entry, problems: Diagnostic[]) => T | undefined,
): T | undefined {
  const entries = library[ENTRY_LISTS[key]];
  const value = valueAt(reader.document, [key]);
  const what = key === "pins" ? "kind of pins" : key;
  if (value !== undefined) return readIdOrEntry(reader, entries, what, [key], read);
  // The schema asks for a material in every job.
  if (key === "material") return undefined;
  if (usualId === undefined) {
    objectAt(reader, [], {
      code: "missing-key",
      message: `The job has no "${key}", and the library names no usual one.`,
      expected: `${key}: the id of a ${what} in the library`,
    });
    return undefined;
  }
  const entry = entries.get(usualId);
  if (entry !== undefined) return read(entry, reader.problems);
  reader.problems.push({
    code: "not-in-library",
    severity: "error",
    message: `The library names "${usualId}" as the usual ${what}, but does not have it.`,
    place: placeOfEntry({ ...library.usual!, path: [...library.usual!.path, key] }),
  });
  return undefined;
}

/** The contractor: as the job writes it, else the library's. */
export function companyOf(reader: JobReader, library: Library): Company | undefined {
  const value = valueAt(reader.document, ["company"]);
  if (value !== undefined)
    return readCompany({ document: reader.document, path: ["company"], value, inJob: true }, reader.problems);
  if (library.company !== undefined) return readCompany(library.company, reader.problems);
  objectAt(reader, [], {
    code: "missing-key",
    message: 'Neither the job nor the library has a "company".',
    expected: "company: with name, address and phone, best in jobs/_library",
  });
  return undefined;
}

export function paperOf(reader: JobReader, usual: PaperFamily | undefined): PaperFamily | undefined {
  const value = valueAt(reader.document, ["paper"]) ?? usual;
  if (value === "letter" || value === "a4") return value;
  if (value === undefined) {
    objectAt(reader, [], {
      code: "missing-key",
      message: 'The job has no "paper", and the library names no usual one.',
      expected: "paper: letter or a4",
    });
  }
  return undefined;
}

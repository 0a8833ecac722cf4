/** The parts of a job beside its rooms and readings: bench marks, target, pour, contract, and what comes from the library. */
import type { z } from "zod";
import type { Diagnostic } from "../diagnostics.ts";
import type { Kilograms, Metres, Millimetres, Share } from "../units.ts";
import { readIdOrEntry } from "./job-entries.ts";
import { type JobReader, objectAt, objectAtKey, toMillimetres, toPoint } from "./job-reader.ts";
import { type Entry, type Library, placeOfEntry, readCompany } from "./library.ts";
import type { BenchMark, Company, FloorCondition, PaperFamily, PourSpec, Room, TargetSpec } from "./model.ts";
import type { floorSchema, pourSchema, targetSchema } from "./schema.ts";
import type { usualSchema } from "./schema-library.ts";
import type { BenchMarkText } from "./schema-survey.ts";
import { nearName } from "./suggest.ts";
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

const TARGET_FORMS =
  "top: 0 mm — or bench_mark: BM1 with above: -10 mm — or door: D1 with build_up: [{ name: tile, thickness: 10 mm }]";

/** The top of the pour; exactly one of its forms has to be there, and what it names. */
export function buildTarget(
  reader: JobReader,
  text: z.output<typeof targetSchema>,
  rooms: readonly Room[],
  benchMarks: readonly BenchMark[],
): TargetSpec | undefined {
  const forms = (["top", "bench_mark", "door"] as const).filter((key) => text[key] !== undefined);
  if (forms.length !== 1) {
    objectAt(reader, ["target"], {
      code: "target-unclear",
      message:
        forms.length === 0
          ? "The target does not say where the top of the pour goes."
          : `The target says it ${forms.length} ways: ${forms.join(", ")}.`,
      expected: TARGET_FORMS,
    });
    return undefined;
  }
  const owner = { above: "bench_mark", build_up: "door" } as const;
  for (const key of ["above", "build_up"] as const) {
    if (text[key] === undefined || text[owner[key]] !== undefined) continue;
    objectAtKey(reader, ["target", key], {
      code: "target-unclear",
      message: `"${key}" goes with "${owner[key]}", which the target does not have.`,
      expected: TARGET_FORMS,
    });
    return undefined;
  }
  if (text.top !== undefined) {
    const top = toMillimetres(reader, text.top);
    return { kind: "level", top, zeroIsTop: top === 0 };
  }
  if (text.bench_mark !== undefined) {
    if (text.above === undefined) {
      objectAtKey(reader, ["target", "bench_mark"], {
        code: "missing-key",
        message: `The target does not say how far above bench mark ${text.bench_mark} the top of the pour is.`,
        expected: "above: 0 mm where it is at the bench mark, or a length, with a minus where it is below",
      });
      return undefined;
    }
    const known = benchMarks.map(({ id }) => id);
    if (!isKnown(reader, text.bench_mark, known, "bench mark", ["target", "bench_mark"])) return undefined;
    return { kind: "bench-mark", benchMarkId: text.bench_mark, above: toMillimetres(reader, text.above) };
  }
  const doorId = text.door!;
  if (text.build_up === undefined) {
    objectAtKey(reader, ["target", "door"], {
      code: "missing-key",
      message: `The target does not say what is laid on the pour at door ${doorId}.`,
      expected: "build_up: [{ name: tile, thickness: 10 mm }], or build_up: [] where nothing is laid on it",
    });
    return undefined;
  }
  const doors = rooms.flatMap((room) => room.doors);
  const door = doors.find(({ id }) => id === doorId);
  const ids = doors.map(({ id }) => id);
  if (!isKnown(reader, doorId, ids, "door", ["target", "door"])) return undefined;
  if (door!.neighbourFinish === undefined) {
    objectAt(reader, ["target", "door"], {
      code: "door-without-finish-level",
      message: `The target comes from door ${doorId}, but no finished level on its other side is given.`,
      expected: `finish_level with door ${doorId}`,
      hint: "Read the finished floor beyond the door and give its level above the job's zero.",
    });
    return undefined;
  }
  const buildUp = text.build_up.map(({ name, thickness }) => ({ name, thickness: toMillimetres(reader, thickness) }));
  return { kind: "door", doorId, buildUp };
}

function isKnown(reader: JobReader, id: string, ids: readonly string[], what: string, path: Path): boolean {
  if (ids.includes(id)) return true;
  const near = nearName(id, ids);
  objectAt(reader, path, {
    code: `no-such-${what.replace(" ", "-")}`,
    message: `The job has no ${what} ${id}.`,
    expected: ids.length === 0 ? `a ${what} that the job gives` : `one of ${ids.join(", ")}`,
    hint: near === undefined ? undefined : `Did you mean "${near}"?`,
  });
  return false;
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

type UsualPour = z.output<typeof usualSchema>["pour"];

/** Allowances and delivery: each as the job gives it, else the library's usual one; without either it is asked for. */
export function buildPour(
  reader: JobReader,
  text: z.output<typeof pourSchema> | undefined,
  usual: UsualPour,
): PourSpec | undefined {
  const pallet = text?.pallet ?? usual?.pallet;
  const loss = text?.loss ?? usual?.loss;
  const profile = text?.profile === undefined ? usual?.profile : toMillimetres(reader, text.profile);
  const absent = Object.entries({ loss, profile, pallet }).filter(([, value]) => value === undefined);
  // A pour that did not pass the schema was objected to; its keys are not missing.
  if (absent.length > 0 && (text !== undefined || valueAt(reader.document, ["pour"]) === undefined)) {
    for (const [key] of absent) {
      objectAt(reader, text === undefined ? [] : ["pour"], {
        code: "missing-key",
        message: `"pour" has no "${key}", and the library names no usual one.`,
        expected: { loss: "loss: 5 %", profile: "profile: 0.5 mm", pallet: "pallet: (length, width, tare, bags)" }[key],
      });
    }
  }
  if (pallet === undefined || loss === undefined || profile === undefined) return undefined;
  return {
    ...(text?.start === undefined ? {} : { start: text.start }),
    lossAllowance: loss as Share,
    profileAllowance: profile as Millimetres,
    bagsPerPallet: pallet.bags,
    palletLength: (pallet.length / 1000) as Metres,
    palletWidth: (pallet.width / 1000) as Metres,
    palletTare: pallet.tare as Kilograms,
  };
}

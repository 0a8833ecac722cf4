/** What the builders of rooms, surveys and the rest share while one job file is read. */
import type { Diagnostic, Severity, SourcePlace } from "../diagnostics.ts";
import { type Point, point } from "../geometry/point.ts";
import { M_PER_FOOT, type Metres, type Millimetres, MM_PER_INCH } from "../units.ts";
import type { LengthText } from "./lengths.ts";
import type { HeightUnit, PlanUnit } from "./model.ts";
import { type Path, placeInScalar, placeOf, placeOfKey } from "./yaml-places.ts";
import type { YamlDocument } from "./yaml-text.ts";

/** A file beside the job, such as jobs/tern-street-clinic/points.csv. */
export interface BesideFile {
  /** Without its folder, as the job file names it. */
  readonly name: string;
  /** As messages name it. */
  readonly file: string;
  readonly text: string;
  /** Of a document that is named and not read, 64 hex digits; its text is empty. */
  readonly sha256?: string;
}

export interface JobReader {
  readonly document: YamlDocument;
  readonly units: { readonly plan: PlanUnit; readonly height: HeightUnit };
  /** CSV files beside the job, and the folder in which they lie. */
  readonly beside: readonly BesideFile[];
  readonly besideFolder: string;
  /** Everything found so far; builders add to it. */
  readonly problems: Diagnostic[];
}

/** A plan length in metres; a bare number is feet or metres, as the job declares. */
export function toMetres(reader: JobReader, length: LengthText): Metres {
  if (length.kind === "length") return (length.millimetres / 1000) as Metres;
  return (reader.units.plan === "ft-in" ? length.value * M_PER_FOOT : length.value) as Metres;
}

/** A height in millimetres; a bare number is in the job's unit of height. */
export function toMillimetres(reader: JobReader, length: LengthText): Millimetres {
  if (length.kind === "length") return length.millimetres as Millimetres;
  return (reader.units.height === "in" ? length.value * MM_PER_INCH : length.value) as Millimetres;
}

export const toPoint = (reader: JobReader, [east, north]: readonly [LengthText, LengthText]): Point =>
  point(toMetres(reader, east), toMetres(reader, north));

export interface Finding {
  readonly code: string;
  readonly message: string;
  readonly expected?: string | undefined;
  readonly hint?: string | undefined;
}

function report(reader: JobReader, severity: Severity, finding: Finding, place: SourcePlace): void {
  const { code, message, expected, hint } = finding;
  reader.problems.push({
    code,
    severity,
    message,
    ...(expected === undefined ? {} : { expected }),
    ...(hint === undefined ? {} : { hint }),
    place,
  });
}

export const objectAt = (reader: JobReader, path: Path, finding: Finding): void =>
  report(reader, "error", finding, placeOf(reader.document, path));

export const objectAtKey = (reader: JobReader, path: Path, finding: Finding): void =>
  report(reader, "error", finding, placeOfKey(reader.document, path));

/** Objects to a run inside a text. */
export const objectInside = (
  reader: JobReader,
  path: Path,
  run: { readonly offset: number; readonly span: number },
  finding: Finding,
): void => report(reader, "error", finding, placeInScalar(reader.document, path, run.offset, run.span));

export const objectAtPlace = (reader: JobReader, place: SourcePlace, finding: Finding): void =>
  report(reader, "error", finding, place);

export const warnAt = (reader: JobReader, path: Path, finding: Finding): void =>
  report(reader, "warning", finding, placeOf(reader.document, path));

export const warnAtPlace = (reader: JobReader, place: SourcePlace, finding: Finding): void =>
  report(reader, "warning", finding, place);

/**
 * Objects to the second of two ids that are the same, or differ only in capitals: they become file
 * names and labels, and file systems do not tell them apart.
 */
export function refuseClashes(
  reader: JobReader,
  what: string,
  ids: readonly { readonly id: string; readonly path: Path }[],
): void {
  const seen = new Map<string, { id: string; line: number }>();
  for (const { id, path } of ids) {
    const earlier = seen.get(id.toLowerCase());
    if (earlier === undefined) {
      seen.set(id.toLowerCase(), { id, line: placeOf(reader.document, path).line });
      continue;
    }
    objectAt(reader, path, {
      code: earlier.id === id ? "duplicate-id" : "ids-differ-in-case-only",
      message:
        earlier.id === id
          ? `The id "${id}" is given to two ${what}, first on line ${earlier.line}.`
          : `The ids "${earlier.id}" (line ${earlier.line}) and "${id}" differ only in capitals.`,
      expected: `an id of its own for each of the ${what}`,
    });
  }
}

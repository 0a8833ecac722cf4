/** The survey as typed: grid, points off it, and set-ups with their readings, sign and unit turned once. */
import { type Millimetres, MM_PER_INCH } from "../units.ts";
import { isGridPointId } from "./grid-names.ts";
import { readEntryOf } from "./job-entries.ts";
import {
  type JobReader,
  objectAt,
  objectAtPlace,
  refuseClashes,
  toMetres,
  toPoint,
  warnAt,
  warnAtPlace,
} from "./job-reader.ts";
import { type Library, readInstrument } from "./library.ts";
import type { BenchMark, ExtraPoint, GridSpec, Instrument, Reading, SetUp } from "./model.ts";
import { readSheet, type SheetReading } from "./reading-sheet.ts";
import type { ExtraPointText, GridText, SetUpText } from "./schema.ts";
import { nodeAt, offsetsInFile, type Path } from "./yaml-text.ts";

/** Closer grid lines than this are a slip of the unit: a quarter of a foot is finer than any floor is read. */
const CLOSEST_GRID_M = 0.05;

export function buildGrid(reader: JobReader, text: GridText, path: Path): GridSpec | undefined {
  const { origin, spacing, spacing_east: east, spacing_north: north } = text;
  const both = east !== undefined && north !== undefined;
  if ((spacing === undefined) === !both || (spacing !== undefined && (east !== undefined || north !== undefined))) {
    objectAt(reader, path, {
      code: "grid-spacing",
      message:
        spacing === undefined
          ? "The grid has no spacing, or has it one way only."
          : "The grid gives spacing, and spacing_east or spacing_north besides.",
      expected: "spacing: 6' — or spacing_east and spacing_north",
    });
    return undefined;
  }
  const spacingEast = toMetres(reader, (spacing ?? east)!);
  const spacingNorth = toMetres(reader, (spacing ?? north)!);
  const least = Math.min(spacingEast, spacingNorth);
  if (least < CLOSEST_GRID_M) {
    objectAt(
      reader,
      [...path, spacing === undefined ? (spacingEast === least ? "spacing_east" : "spacing_north") : "spacing"],
      {
        code: "grid-too-close",
        message: `Grid lines ${Number((least * 1000).toFixed(3))} mm apart are closer than any floor is read.`,
        expected: `at least ${CLOSEST_GRID_M * 1000} mm`,
        hint: "Check the unit.",
      },
    );
    return undefined;
  }
  return { origin: toPoint(reader, origin), spacingEast, spacingNorth };
}

/** Points off the grid. Bench marks are read by their ids too, so both share one set of names. */
export function buildPoints(
  reader: JobReader,
  points: readonly { readonly text: ExtraPointText; readonly path: Path }[],
  benchMarks: readonly BenchMark[],
): ExtraPoint[] {
  refuseClashes(reader, "points and bench marks", [
    ...benchMarks.map(({ id }, k) => ({ id, path: ["bench_marks", k, "id"] })),
    ...points.map(({ text, path }) => ({ id: text.id, path: [...path, "id"] })),
  ]);
  return points.map(({ text: { id, at, note }, path }) => {
    refuseGridName(reader, id, [...path, "id"]);
    return { id, at: toPoint(reader, at), ...(note === undefined ? {} : { note }) };
  });
}

export function refuseGridName(reader: JobReader, id: string, path: Path): void {
  if (!isGridPointId(id)) return;
  objectAt(reader, path, {
    code: "id-of-grid-point",
    message: `"${id}" is the name of a grid point.`,
    expected: "an id that does not read like a row letter and a number",
    hint: `For example "${id}a", or a word.`,
  });
}

export function buildSetUps(
  reader: JobReader,
  setUps: readonly { readonly text: SetUpText; readonly path: Path }[],
  library: Library,
  pointIds: ReadonlySet<string>,
): SetUp[] {
  refuseClashes(
    reader,
    "set-ups",
    setUps.map(({ text, path }) => ({ id: text.id, path: [...path, "id"] })),
  );
  return setUps.flatMap(({ text, path: at }): SetUp[] => {
    const instrument = readEntryOf(
      reader,
      library.instruments,
      text.instrument,
      "instrument",
      [...at, "instrument"],
      readInstrument,
    );
    const readings = readReadings(reader, text, at, pointIds, instrument);
    if (instrument === undefined) return [];
    return [
      {
        id: text.id,
        instrument,
        ...(text.reservoir === undefined ? {} : { reservoir: toPoint(reader, text.reservoir) }),
        ...(text.date === undefined ? {} : { date: text.date }),
        readings,
      },
    ];
  });
}

function readReadings(
  reader: JobReader,
  text: SetUpText,
  path: Path,
  pointIds: ReadonlySet<string>,
  instrument: Instrument | undefined,
): Reading[] {
  if (text.readings === undefined) return [];
  const unit = text.unit ?? reader.units.height;
  const sheet = readSheet(text.readings, unit, pointIds);
  const placeOf = placesInBlock(reader, [...path, "readings"]);
  for (const { offset, span, ...finding } of sheet.problems) objectAtPlace(reader, placeOf(offset, span), finding);

  const side = text.numbers_are.startsWith("below") ? "below" : "above";
  const mmPerUnit = unit === "in" ? MM_PER_INCH : 1;
  const readings = sheet.readings.map((reading): Reading => {
    const height = reading.value * mmPerUnit;
    // Zero less the height, so that a reading of zero is a plain 0 and not -0.
    const level = (side === "below" ? 0 - height : height) as Millimetres;
    return {
      pointId: reading.pointId,
      level,
      typed: { text: reading.text, unit, side },
      place: placeOf(reading.offset, reading.span),
    };
  });
  warnOfSigns(reader, text, sheet.readings, readings, path);
  if (instrument?.range !== undefined) warnOfRange(reader, readings, instrument.range, instrument.name);
  return readings;
}

/** Places in the block, found through one table for all of them. */
function placesInBlock(reader: JobReader, path: Path) {
  const { source, root } = reader.document;
  const { node } = nodeAt(root, path);
  const offsets = node.kind === "scalar" ? offsetsInFile(source, node) : undefined;
  return (offset: number, span: number) =>
    source.placeAt(offsets?.[offset] ?? (node.kind === "scalar" ? node.start : 0), span);
}

/** The sheet says on which side of zero its numbers are: a minus among them is doubtful, and so is nothing but minus. */
function warnOfSigns(
  reader: JobReader,
  text: SetUpText,
  typed: readonly SheetReading[],
  readings: readonly Reading[],
  path: Path,
): void {
  if (text.numbers_are.includes("minus")) return;
  const negative = typed.flatMap(({ value }, k) => (value < 0 ? [k] : []));
  if (negative.length === 0) return;
  const other = text.numbers_are === "below zero" ? "above zero" : "below zero";
  if (negative.length === typed.filter(({ value }) => value !== 0).length && typed.length > 1) {
    warnAt(reader, [...path, "numbers_are"], {
      code: "every-reading-negative",
      message: `Set-up ${text.id}: numbers are ${text.numbers_are}, and every reading has a minus besides: they are taken as ${other}.`,
      hint: "If the minus only says the side again, leave it out of the readings.",
    });
    return;
  }
  for (const k of negative.slice(0, 5)) {
    const { pointId, place } = readings[k]!;
    const more = negative.length > 5 && k === negative[4] ? ` So do ${negative.length - 5} more.` : "";
    warnAtPlace(reader, place, {
      code: "mixed-signs",
      message: `Set-up ${text.id}: numbers are ${text.numbers_are}, but ${pointId} has a minus: it is taken as ${other}.${more}`,
      hint: "Check it against the sheet.",
    });
  }
}

function warnOfRange(reader: JobReader, readings: readonly Reading[], range: Millimetres, name: string): void {
  const past = readings.filter(({ level }) => Math.abs(level) > range);
  for (const { pointId, place, typed } of past.slice(0, 5)) {
    warnAtPlace(reader, place, {
      code: "reading-past-range",
      message: `${typed.text} ${typed.unit} at ${pointId} is more than the ${name} reads (${Number(range.toFixed(1))} mm).`,
      hint: "Check the reading and its unit.",
    });
  }
}

/** Set-ups with their readings: sign and unit turned once, here. */

import type { SourcePlace } from "../diagnostics.ts";
import { decimal } from "../format.ts";
import { type Celsius, type Millimetres, type Minutes, MM_PER_INCH } from "../units.ts";
import { readIdOrEntry } from "./job-entries.ts";
import {
  type Finding,
  type JobReader,
  objectAt,
  objectAtPlace,
  refuseClashes,
  toMetres,
  toPoint,
  warnAt,
  warnAtPlace,
} from "./job-reader.ts";
import type { Library } from "./library.ts";
import { readInstrument } from "./library-entries.ts";
import type { Instrument } from "./library-model.ts";
import type { Reading, SetUp, ZeroCheck } from "./model.ts";
import { readSheet } from "./reading-sheet.ts";
import type { FileReadings } from "./readings-file.ts";
import { LIMITS } from "./schema-limits.ts";
import type { At } from "./schema-parts.ts";
import type { SetUpText } from "./schema-survey.ts";
import { annotateReadings } from "./set-up-notes.ts";
import { nodeAt, offsetsInFile, type Path, placeOf } from "./yaml-places.ts";

/**
 * Builds set-ups; one whose level is not in the library is left out, after objecting and after its
 * readings were checked all the same.
 * @param labels ids of points off the grid and of bench marks
 * @param files readings of the set-ups that have them in a file
 */
export function buildSetUps(
  reader: JobReader,
  setUps: readonly At<SetUpText>[],
  library: Library,
  labels: ReadonlySet<string>,
  files: ReadonlyMap<string, FileReadings>,
): SetUp[] {
  refuseClashes(
    reader,
    "set-ups",
    setUps.map(({ text, path }) => ({ id: text.id, path: [...path, "id"] })),
  );
  return setUps.flatMap((setUp): SetUp[] => {
    const { text, path } = setUp;
    const instrument = readIdOrEntry(reader, library.instruments, "level", [...path, "instrument"], readInstrument);
    const typed = readReadings(reader, setUp, labels, files.get(text.id), instrument);
    const { readings, ties } = annotateReadings(reader, setUp, typed);
    const zeroChecks = buildZeroChecks(reader, setUp, readings.length);
    const temperature = buildTemperature(reader, setUp, instrument);
    if (instrument === undefined) return [];
    return [
      {
        id: text.id,
        instrument,
        ...(text.reservoir === undefined ? {} : { reservoir: toPoint(reader, text.reservoir) }),
        ...(text.date === undefined ? {} : { date: text.date }),
        readings,
        ...(files.get(text.id)?.fit === undefined ? {} : { fit: files.get(text.id)!.fit! }),
        ...(zeroChecks.length === 0 ? {} : { zeroChecks }),
        ...(temperature === undefined ? {} : { temperature }),
        ...(text.after_work === undefined ? {} : { afterWork: { work: text.after_work.work, ties } }),
      },
    ];
  });
}

/** Which side of zero a number without a sign means, and what a unit of it is in millimetres. */
export function sideAndUnit(
  reader: JobReader,
  text: { readonly numbers_are: string; readonly unit?: "mm" | "in" | undefined },
): { readonly side: "below" | "above"; readonly unit: "mm" | "in"; readonly mmPerUnit: number } {
  const unit = text.unit ?? reader.units.height;
  return {
    side: text.numbers_are.startsWith("below") ? "below" : "above",
    unit,
    mmPerUnit: unit === "in" ? MM_PER_INCH : 1,
  };
}

/** A level above zero from a height typed on its side. Zero less the height: a reading of 0 is a plain 0, not −0. */
export const levelOn = (side: "below" | "above", height: number): Millimetres =>
  (side === "below" ? 0 - height : height) as Millimetres;

function readReadings(
  reader: JobReader,
  { text, path }: At<SetUpText>,
  labels: ReadonlySet<string>,
  file: FileReadings | undefined,
  instrument: Instrument | undefined,
): Reading[] {
  const { side, unit, mmPerUnit } = sideAndUnit(reader, text);
  const read = (key: "readings" | "repeats"): Typed => {
    const block = text[key];
    if (block === undefined) return { typed: [], readings: [] };
    const sheet = readSheet(block, unit, labels);
    if (sheet.readings.length > LIMITS.readings) {
      objectAt(reader, [...path, key], {
        code: "too-many",
        message: `Set-up ${text.id} has ${sheet.readings.length} readings.`,
        expected: `at most ${LIMITS.readings} readings in a set-up`,
      });
      return { typed: [], readings: [] };
    }
    const placeAt = placesInBlock(reader, [...path, key]);
    for (const { offset, span, ...finding } of sheet.problems) objectAtPlace(reader, placeAt(offset, span), finding);
    const readings = sheet.readings.map(
      ({ pointId, text: asTyped, value, offset, span }): Reading => ({
        pointId,
        level: levelOn(side, value * mmPerUnit),
        typed: { text: asTyped, unit, side },
        place: placeAt(offset, span),
      }),
    );
    return { typed: sheet.readings, readings };
  };
  const first = file === undefined ? read("readings") : typedInFile(file, side);
  const again = read("repeats");
  const firstIds = new Set(first.readings.map(({ pointId }) => pointId));
  for (const { pointId, place } of again.readings) {
    if (firstIds.has(pointId)) continue;
    objectAtPlace(reader, place, {
      code: "repeat-of-unread-point",
      message: `Set-up ${text.id}: ${pointId} stands among the repeats, but has no first reading.`,
      expected: "points that stand among the readings of the same set-up",
    });
  }
  const readings = [...first.readings, ...again.readings];
  // Heights lie on either side of a zero that the office chose.
  if (file?.heights !== true) warnOfSigns(reader, text, [...first.typed, ...again.typed], readings, path);
  if (instrument?.range !== undefined) warnOfRange(reader, readings, instrument.range, instrument.name);
  return readings;
}

/** Readings with what was typed for each, its sign as it stands there. */
interface Typed {
  readonly typed: readonly { readonly value: number }[];
  readonly readings: readonly Reading[];
}

const typedInFile = ({ readings, zeroMm }: FileReadings, side: "below" | "above"): Typed => ({
  typed: readings.map(({ valueMm }) => ({ value: valueMm })),
  readings: readings.map(({ pointId, text, unit, valueMm, place, time }) => ({
    pointId,
    level: levelOn(side, valueMm),
    typed: { text, unit, side, ...(zeroMm === 0 ? {} : { zeroMm }) },
    place,
    ...(time === undefined ? {} : { time }),
  })),
});

/** Places in a block of text, found through one table for all of them. */
export function placesInBlock(reader: JobReader, path: Path): (offset: number, span: number) => SourcePlace {
  const { source, root } = reader.document;
  const { node } = nodeAt(root, path);
  const offsets = node.kind === "scalar" ? offsetsInFile(source, node) : undefined;
  return (offset, span) => {
    const start = offsets?.[offset];
    return start === undefined ? placeOf(reader.document, path) : source.placeAt(start, span);
  };
}

/** More of the same kind than this is one warning with a number. */
const MOST_OF_A_KIND = 5;

/** The sheet says on which side of zero its numbers are: a minus among them is doubtful, and so is nothing but minus. */
function warnOfSigns(
  reader: JobReader,
  text: SetUpText,
  typed: Typed["typed"],
  readings: readonly Reading[],
  path: Path,
): void {
  if (text.numbers_are.includes("minus")) return;
  const negative = typed.flatMap(({ value }, k) => (value < 0 ? [k] : []));
  if (negative.length === 0) return;
  const other = text.numbers_are === "below zero" ? "above zero" : "below zero";
  if (negative.length > 1 && typed.every(({ value }) => value <= 0)) {
    warnAt(reader, [...path, "numbers_are"], {
      code: "every-reading-negative",
      message: `Set-up ${text.id}: numbers are ${text.numbers_are}, and every reading has a minus besides: all are taken as ${other}.`,
      hint: "If the minus only says the side again, leave it out of the readings.",
    });
    return;
  }
  warnOfEach(reader, negative, (k) => ({
    place: readings[k]!.place,
    finding: {
      code: "mixed-signs",
      message: `Set-up ${text.id}: numbers are ${text.numbers_are}, but ${readings[k]!.pointId} has a minus: it is taken as ${other}.`,
      hint: `Check it against the sheet. Where both sides are meant, say so: numbers_are: ${text.numbers_are}, minus is ${other.split(" ")[0]}`,
    },
  }));
}

function warnOfRange(reader: JobReader, readings: readonly Reading[], range: Millimetres, name: string): void {
  const past = readings.filter(({ level }) => Math.abs(level) > range);
  warnOfEach(reader, past, ({ pointId, place, typed }) => ({
    place,
    finding: {
      code: "reading-past-range",
      message: `${typed.text} ${typed.unit} at ${pointId} is more than this level reads: ${name}, ${decimal(range, 1)} mm.`,
      hint: "Check the reading and its unit.",
    },
  }));
}

function warnOfEach<T>(
  reader: JobReader,
  items: readonly T[],
  warning: (item: T) => { readonly place: SourcePlace; readonly finding: Finding },
): void {
  for (const [k, item] of items.slice(0, MOST_OF_A_KIND).entries()) {
    const { place, finding } = warning(item);
    const more = k + 1 === MOST_OF_A_KIND ? items.length - MOST_OF_A_KIND : 0;
    const message = more > 0 ? `${finding.message} So it is with ${more} more.` : finding.message;
    warnAtPlace(reader, place, { ...finding, message });
  }
}

function buildZeroChecks(reader: JobReader, { text, path }: At<SetUpText>, readings: number): ZeroCheck[] {
  const { side, mmPerUnit } = sideAndUnit(reader, text);
  return (text.zero_checks ?? []).map(({ after, reading, at }, k) => {
    if (after > readings) {
      objectAt(reader, [...path, "zero_checks", k, "after"], {
        code: "zero-check-after-last-reading",
        message: `Set-up ${text.id}: a zero check stands after reading ${after}, but there are ${readings}.`,
        expected: `a number from 0 to ${readings}`,
      });
    }
    const height = reading.kind === "length" ? reading.millimetres : reading.value * mmPerUnit;
    return {
      afterReadings: after,
      ...(at === undefined ? {} : { time: at as Minutes }),
      level: levelOn(side, height),
      place: placeOf(reader.document, [...path, "zero_checks", k, "reading"]),
    };
  });
}

function buildTemperature(
  reader: JobReader,
  { text, path }: At<SetUpText>,
  instrument: Instrument | undefined,
): SetUp["temperature"] {
  if (text.temperature === undefined) return undefined;
  const { coolest, warmest, vertical_leg } = text.temperature;
  if (coolest > warmest) {
    objectAt(reader, [...path, "temperature", "coolest"], {
      code: "temperatures-turned-round",
      message: `Set-up ${text.id}: the coolest place of the hose is warmer than the warmest.`,
      expected: "coolest no more than warmest",
    });
  }
  if (instrument?.fluid?.kind === "water" && coolest < 0) {
    objectAt(reader, [...path, "temperature", "coolest"], {
      code: "water-freezes",
      message: `Set-up ${text.id}: the hose of "${instrument.name}" holds water, which is ice at the coolest place.`,
      expected: "0 °C (32 °F) or more, or an instrument whose fluid does not freeze there",
    });
  }
  return {
    coolest: coolest as Celsius,
    warmest: warmest as Celsius,
    verticalLeg: toMetres(reader, vertical_leg),
  };
}

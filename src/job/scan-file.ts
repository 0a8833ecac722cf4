/**
 * A scan beside the job: rows of a CSV file straight into columns of numbers, one after the other, so that a million of
 * them take no more room than their coordinates. The same headings as in a list of readings; a wrong row is objected
 * to at its line.
 */
import { decimal } from "../format.ts";
import type { Metres, Millimetres } from "../units.ts";
import { csvRows } from "./csv-rows.ts";
import { type Finding, type JobReader, objectAt, objectAtPlace, toMetres, toMillimetres } from "./job-reader.ts";
import { fitOf } from "./known-points.ts";
import { type Column, columnsOf, LIST_HEADER, MM_IN } from "./list-columns.ts";
import { FURTHEST_FROM_ZERO_MM, furthestPlaceM, toMillimetresOfPlan } from "./list-values.ts";
import type { ReadingUnit } from "./model.ts";
import { placedBy } from "./plan-fit.ts";
import type { ScanSpec } from "./scan-model.ts";
import { LIMITS } from "./schema-limits.ts";
import { part } from "./schema-parts.ts";
import { scanSchema } from "./schema-survey.ts";
import { nearName } from "./suggest.ts";
import { type Path, valueAt } from "./yaml-places.ts";
import { sourceText } from "./yaml-text.ts";

/** More wrong rows than this are no help to anyone: the file is put right and read again. */
const MOST_WRONG_ROWS = 20;

/** Longer than the names of any columns. */
const LONGEST_HEADER = 10_000;

/** The scan at `survey: scan`; undefined where the job has none, and after objecting to it. */
export function buildScan(reader: JobReader): ScanSpec | undefined {
  const path: Path = ["survey", "scan"];
  const text = part(reader.document, path, scanSchema, ["known_points", "date", "pin_reach", "file_zero"]);
  if (text === undefined) return undefined;
  if (valueAt(reader.document, ["survey", "set_ups"]) !== undefined) {
    objectAt(reader, ["survey", "set_ups"], {
      code: "scan-and-set-ups",
      message: "The survey has a scan, and set-ups besides.",
      expected: "scan, or set_ups: two zeros would make two floors",
      hint: "Put readings that check the scan into another job file, and compare the levels.",
    });
  }
  const sd = toMillimetres(reader, text.sd);
  if (!(sd > 0)) {
    objectAt(reader, [...path, "sd"], {
      code: "instrument-without-error",
      message: "The scan is said to read without any error.",
      expected: "a standard deviation above 0",
      hint: "Scan a flat place and take the spread of its heights.",
    });
  }
  const fit = fitOf(reader, text.known_points, [...path, "known_points"]);
  const file = reader.beside.find((one) => one.name === text.file);
  if (file === undefined) {
    const near = nearName(
      text.file,
      reader.beside.map((one) => one.name),
    );
    objectAt(reader, [...path, "file"], {
      code: "no-such-file",
      message: `The folder of this job has no file ${text.file}.`,
      expected: `${reader.besideFolder}/${text.file}, beside the job file`,
      hint: near === undefined ? undefined : `Did you mean "${near}"?`,
    });
    return undefined;
  }
  const zeroMm = text.file_zero === undefined ? 0 : toMillimetresOfPlan(reader, text.file_zero);
  const points = readPoints(reader, file, zeroMm, furthestPlaceM(fit !== undefined));
  if (points === undefined || fit === "objected") return undefined;
  if (fit !== undefined) {
    for (let k = 0; k < points.xM.length; k++) {
      const at = placedBy(fit, points.xM[k]!, points.yM[k]!);
      points.xM[k] = at.x;
      points.yM[k] = at.y;
    }
  }
  return {
    file: text.file,
    ...points,
    sd,
    ...(text.pin_reach === undefined ? {} : { pinReach: toMetres(reader, text.pin_reach) }),
    ...(text.date === undefined ? {} : { date: text.date }),
    ...(fit === undefined ? {} : { fit }),
  };
}

type ScanColumns = Pick<ScanSpec, "xM" | "yM" | "levelMm" | "line">;

/** Undefined after objecting to the header or to any row. */
function readPoints(
  reader: JobReader,
  { file, text }: { readonly file: string; readonly text: string },
  zeroMm: number,
  furthestM: number,
): ScanColumns | undefined {
  let wrong = 0;
  let source: ReturnType<typeof sourceText> | undefined;
  const object = (at: { readonly offset: number; readonly length: number }, finding: Finding): void => {
    wrong += 1;
    source ??= sourceText(file, text);
    objectAtPlace(reader, source.placeAt(at.offset, Math.max(1, at.length)), finding);
  };
  const lines = linesOf(text);
  const header = lines.next();
  if (header === undefined) {
    object({ offset: 0, length: 1 }, { code: "empty-file", message: `${file} is empty.`, expected: LIST_HEADER });
    return undefined;
  }
  const line = text.slice(header.start, header.end);
  if (line.length > LONGEST_HEADER) {
    object(
      { offset: header.start, length: 1 },
      {
        code: "column-missing",
        message: `The first line of ${file} has ${line.length} characters.`,
        expected: LIST_HEADER,
      },
    );
    return undefined;
  }
  const { rows, delimiter } = csvRows(line);
  const cells = (rows[0]?.cells ?? []).map((cell) => ({ ...cell, offset: cell.offset + header.start }));
  const known = columnsOf(cells, file, { offset: header.start, length: line.length }, object, "height");
  if (known === undefined) return undefined;
  if (!known.has("north")) {
    object(
      { offset: header.start, length: line.length },
      { code: "column-missing", message: `No column of ${file} is named north or east.`, expected: LIST_HEADER },
    );
    return undefined;
  }
  const planUnit: ReadingUnit = reader.units.plan === "ft-in" ? "ft" : "m";
  const wanted = (["east", "north", "height"] as const).map((column) => ({
    column,
    index: known.get(column)!.index,
    unit: known.get(column)!.unit ?? (column === "height" ? reader.units.height : planUnit),
  }));
  const last = Math.max(...wanted.map(({ index }) => index));
  const values = [0, 0, 0];
  const columns = growing(text.length / 24);
  const split = delimiter.charCodeAt(0);
  /** Where the cells of a row begin and end. */
  const bounds = new Int32Array(2 * (last + 1));
  for (let row = lines.next(); row !== undefined; row = lines.next()) {
    if (wrong >= MOST_WRONG_ROWS) break;
    const count = cutRow(text, row, split, bounds, last);
    if (count !== cells.length) {
      object(
        { offset: row.start, length: row.end - row.start },
        {
          code: "row-with-other-cells",
          message: `This row has ${count} cells, the first line has ${cells.length}.`,
          expected: "as many cells as the first line has, an empty one where nothing is known",
        },
      );
      continue;
    }
    const heightAt = wanted[2]!.index;
    // A row without a height is no point of the floor, such as a station.
    if (bounds[2 * heightAt] === bounds[2 * heightAt + 1]) continue;
    let fine = true;
    for (const [k, { column, index, unit }] of wanted.entries()) {
      const [start, end] = [bounds[2 * index]!, bounds[2 * index + 1]!];
      const mm = plainNumber(text, start, end) * MM_IN[unit] - (column === "height" ? zeroMm : 0);
      values[k] = mm;
      if (Math.abs(mm) <= (column === "height" ? FURTHEST_FROM_ZERO_MM : 1000 * furthestM)) continue;
      fine = false;
      object({ offset: start, length: end - start }, wrongValue(column, text.slice(start, end), unit, mm, furthestM));
      break;
    }
    if (!fine) continue;
    if (columns.count() === LIMITS.scanPoints) {
      object(
        { offset: row.start, length: row.end - row.start },
        {
          code: "too-many",
          message: `${file} has more than ${LIMITS.scanPoints} points.`,
          expected: `at most ${LIMITS.scanPoints} rows with a height`,
          hint: "Thin the scan before it is saved: a point every 25 mm is more than any floor needs.",
        },
      );
      return undefined;
    }
    columns.add(values[0]! / 1000, values[1]! / 1000, values[2]!, row.number);
  }
  if (wrong > 0) return undefined;
  if (columns.count() > 0) return columns.all();
  object(
    { offset: header.start, length: line.length },
    { code: "file-without-readings", message: `${file} has no point with a height.`, expected: LIST_HEADER },
  );
  return undefined;
}

function wrongValue(column: Column, typed: string, unit: ReadingUnit, mm: number, furthestM: number): Finding {
  if (Number.isNaN(mm)) {
    return {
      code: "unreadable-length",
      message: `"${typed}" is no ${column === "height" ? "height" : `distance ${column}`} in ${unit}.`,
      expected: "a plain number such as 12.345",
      hint: /\d,\d/.test(typed) ? "Decimals have a point, not a comma." : undefined,
    };
  }
  return column === "height"
    ? {
        code: "height-far-from-zero",
        message: `${typed} ${unit} is ${decimal(Math.abs(mm) / 1000, 1)} m from the zero of the scan.`,
        expected: `no more than ${FURTHEST_FROM_ZERO_MM / 1000} m`,
        hint: "Say which height of the file is zero, such as: file_zero: 100 m",
      }
    : {
        code: "unreadable-length",
        message: `"${typed}" is no distance ${column} in ${unit}.`,
        expected: `no more than ${furthestM / 1000} km`,
        hint: "For coordinates of a map give the scan known_points.",
      };
}

interface Line {
  readonly start: number;
  readonly end: number;
  /** From 1. */
  readonly number: number;
}

/** The lines that are not empty and are no remark; the same object each time. */
function linesOf(text: string): { next(): Line | undefined } {
  const line = { start: 0, end: 0, number: 0 };
  let at = text.charCodeAt(0) === 0xfeff ? 1 : 0;
  return {
    next() {
      while (at < text.length) {
        const found = text.indexOf("\n", at);
        line.start = at;
        line.end = found < 0 ? text.length : found;
        line.number += 1;
        at = line.end + 1;
        if (text.charCodeAt(line.end - 1) === 13) line.end -= 1;
        while (line.start < line.end && isBlank(text.charCodeAt(line.start))) line.start += 1;
        if (line.start < line.end && text.charCodeAt(line.start) !== 35) return line;
      }
      return undefined;
    },
  };
}

const isBlank = (code: number): boolean => code === 32 || code === 9 || code === 0xa0;

const QUOTE = 34;

/**
 * Notes where the cells up to `last` begin and end, blanks and quotes left out, and counts all of them; a cell that
 * is quoted as a whole may hold what parts cells.
 */
function cutRow(text: string, { start, end }: Line, split: number, bounds: Int32Array, last: number): number {
  let count = 0;
  let at = start;
  for (;;) {
    let from = at;
    while (from < end && text.charCodeAt(from) !== split && isBlank(text.charCodeAt(from))) from += 1;
    if (from < end && text.charCodeAt(from) === QUOTE) {
      at = from + 1;
      while (at < end && (text.charCodeAt(at) !== QUOTE || text.charCodeAt(at + 1) === QUOTE))
        at += text.charCodeAt(at) === QUOTE ? 2 : 1;
    }
    while (at < end && text.charCodeAt(at) !== split) at += 1;
    if (count <= last) {
      let to = at;
      while (to > from && isBlank(text.charCodeAt(to - 1))) to -= 1;
      const quoted = to - from >= 2 && text.charCodeAt(from) === QUOTE && text.charCodeAt(to - 1) === QUOTE;
      bounds[2 * count] = quoted ? from + 1 : from;
      bounds[2 * count + 1] = quoted ? to - 1 : to;
    }
    count += 1;
    if (at >= end) return count;
    at += 1;
  }
}

const TEN_TO = Array.from({ length: 16 }, (_, k) => 10 ** k);

/**
 * A number without an exponent; NaN for what is none. Up to fifteen digits are a whole number that a double holds, and
 * one division rounds it as `Number` would.
 */
function plainNumber(text: string, start: number, end: number): number {
  let at = start;
  const sign = text.charCodeAt(at);
  const negative = sign === 45 || sign === 0x2212 || sign === 0x2013;
  if (negative || sign === 43) at += 1;
  let whole = 0;
  let digits = 0;
  let point = -1;
  for (; at < end; at++) {
    const code = text.charCodeAt(at);
    if (code === 46 && point < 0) {
      point = digits;
      continue;
    }
    if (code < 48 || code > 57) return Number.NaN;
    whole = 10 * whole + (code - 48);
    digits += 1;
  }
  if (digits === 0) return Number.NaN;
  const size =
    digits > 15
      ? Number(text.slice(negative || sign === 43 ? start + 1 : start, end))
      : point < 0
        ? whole
        : whole / TEN_TO[digits - point]!;
  return negative ? 0 - size : size;
}

/** Columns that grow as rows come. */
function growing(expected: number): {
  add(x: Metres, y: Metres, level: Millimetres, line: number): void;
  count(): number;
  all(): ScanColumns;
} {
  let room = Math.max(16, Math.ceil(expected));
  let [xM, yM, levelMm] = [new Float64Array(room), new Float64Array(room), new Float64Array(room)];
  let lines = new Uint32Array(room);
  let count = 0;
  const wider = (old: Float64Array): Float64Array<ArrayBuffer> => {
    const next = new Float64Array(room);
    next.set(old);
    return next;
  };
  return {
    add(x, y, level, line) {
      if (count === room) {
        room *= 2;
        [xM, yM, levelMm] = [wider(xM), wider(yM), wider(levelMm)];
        const next = new Uint32Array(room);
        next.set(lines);
        lines = next;
      }
      xM[count] = x;
      yM[count] = y;
      levelMm[count] = level;
      lines[count] = line;
      count += 1;
    },
    count: () => count,
    all: () => ({
      xM: xM.slice(0, count),
      yM: yM.slice(0, count),
      levelMm: levelMm.slice(0, count),
      line: lines.slice(0, count),
    }),
  };
}

/**
 * The written sheet as a block of text: a row to a line, its letter first, then one reading a grid
 * point from number 1 on, `-` where none was read. A line with a whole point id holds one reading.
 * Readings stand apart by blanks or commas; what follows `#` is a remark.
 */
import { isRowLabel } from "./grid-names.ts";
import { NUMBER_FORM, numberValue } from "./lengths.ts";
import type { ReadingUnit } from "./model.ts";
import { nearName } from "./suggest.ts";

export interface SheetReading {
  readonly pointId: string;
  /** As typed, dashes and fractions in plain characters. */
  readonly text: string;
  /** With the sign as typed, in the unit of the sheet. */
  readonly value: number;
  /** Where it stands in the block, in characters. */
  readonly offset: number;
  readonly span: number;
}

export interface SheetProblem {
  readonly code: string;
  readonly message: string;
  readonly expected?: string | undefined;
  readonly hint?: string | undefined;
  readonly offset: number;
  readonly span: number;
}

export interface Sheet {
  readonly readings: SheetReading[];
  readonly problems: SheetProblem[];
}

interface Cell {
  readonly text: string;
  readonly offset: number;
  /** True where a comma stands before it. */
  readonly afterComma: boolean;
}

const NOT_READ = /^[-–—−]$/;
const NUMBER = new RegExp(`^[+-]?${NUMBER_FORM}$`);
/** Ten metres, in any unit that a sheet is in: no level reads further. */
const GREATEST_READING = 10_000;

const UNIT_WORDS: Readonly<Record<ReadingUnit, string>> = {
  mm: "millimetres, such as 14 or 11.5",
  in: "inches, such as 1.25, 1/2 or 1-1/2",
  m: "metres, such as 100.0125",
  ft: "feet, such as 32.84",
};

/**
 * Reads a block.
 * @param unit of the numbers; fractions are read in inches only
 * @param pointIds ids of points off the grid, which may stand as labels though they are all letters
 */
export function readSheet(block: string, unit: "mm" | "in", pointIds: ReadonlySet<string>): Sheet {
  const sheet: Sheet = { readings: [], problems: [] };
  const firstLine = new Map<string, number>();
  let lineStart = 0;
  let lineNumber = 0;
  for (const line of block.split("\n")) {
    lineNumber += 1;
    const cells = cellsOf(line.replace(/#.*$/, ""), lineStart);
    const [label, ...values] = cells;
    if (label !== undefined) readLine(label, values, unit, pointIds, firstLine, lineNumber, sheet);
    lineStart += line.length + 1;
  }
  return sheet;
}

function readLine(
  label: Cell,
  values: readonly Cell[],
  unit: "mm" | "in",
  pointIds: ReadonlySet<string>,
  firstLine: Map<string, number>,
  lineNumber: number,
  sheet: Sheet,
): void {
  const object = (cell: Cell, finding: Omit<SheetProblem, "offset" | "span">): void => {
    sheet.problems.push({ ...finding, offset: cell.offset, span: Math.max(1, cell.text.length) });
  };
  const isPoint = pointIds.has(label.text) || /\d/.test(label.text);
  if (!isPoint && !isRowLabel(label.text)) {
    object(label, badLabel(label.text, pointIds));
    return;
  }
  if (isPoint && !/^[A-Za-z0-9][A-Za-z0-9_-]*$/.test(label.text)) {
    object(label, badLabel(label.text, pointIds));
    return;
  }
  const earlier = firstLine.get(label.text);
  if (earlier !== undefined) {
    object(label, {
      code: "point-read-twice",
      message: `${isPoint ? "Point" : "Row"} ${label.text} stands twice in this set-up, first on line ${earlier} of the sheet.`,
      expected: `one line for each ${isPoint ? "point" : "row"}; a second set of readings is a set-up of its own`,
    });
    return;
  }
  firstLine.set(label.text, lineNumber);
  if (isPoint && values.length !== 1) {
    object(label, {
      code: "point-needs-one-reading",
      message: `Point ${label.text} has ${values.length} readings on its line.`,
      expected: `one reading, such as: ${label.text}  14`,
      hint: "A row of the grid begins with its letter alone.",
    });
    return;
  }
  for (const [k, cell] of values.entries()) {
    const pointId = isPoint ? label.text : `${label.text}${k + 1}`;
    const before = k === 0 ? undefined : values[k - 1];
    const reading = readCell(cell, before, pointId, unit);
    if (reading === "not-read") continue;
    if ("code" in reading) object(cell, reading);
    else sheet.readings.push(reading);
  }
}

/** Readings in order with nothing left out, as of a line: blanks, commas or line ends between them. */
export function readRun(
  text: string,
  unit: "mm" | "in",
): { readonly values: number[]; readonly problems: SheetProblem[] } {
  const values: number[] = [];
  const problems: SheetProblem[] = [];
  let lineStart = 0;
  for (const line of text.split("\n")) {
    const cells = cellsOf(line.replace(/#.*$/, ""), lineStart);
    for (const [k, cell] of cells.entries()) {
      const reading = readCell(cell, k === 0 ? undefined : cells[k - 1], `place ${values.length + 1}`, unit);
      const span = Math.max(1, cell.text.length);
      if (reading === "not-read") {
        problems.push({
          code: "line-with-gap",
          message: `Place ${values.length + 1} of the line was not read.`,
          expected: "a reading at every step of a line",
          hint: "Split the line into two at the gap.",
          offset: cell.offset,
          span,
        });
      } else if ("code" in reading) {
        problems.push({ ...reading, offset: cell.offset, span });
      } else {
        values.push(reading.value);
      }
    }
    lineStart += line.length + 1;
  }
  return { values, problems };
}

function badLabel(label: string, pointIds: ReadonlySet<string>): Omit<SheetProblem, "offset" | "span"> {
  const upper = label.toUpperCase();
  const near = nearName(label, [...pointIds]);
  const hint = /^[IO]$/.test(upper)
    ? `Letters I and O are skipped: the rows go ${upper === "I" ? "H, J, K" : "N, P, Q"}.`
    : isRowLabel(upper)
      ? `Did you mean "${upper}"? Rows are capital letters.`
      : near === undefined
        ? undefined
        : `Did you mean "${near}"?`;
  return {
    code: "bad-row-label",
    message: `"${label}" does not name a row of the grid or a point.`,
    expected: "a row by its letter, such as A, or a point by its id, such as A3",
    hint,
  };
}

/** Blanks part cells, and so do commas; a comma with nothing before it stands for a cell left empty. */
function cellsOf(line: string, lineStart: number): Cell[] {
  const cells: Cell[] = [];
  // In `A,14,12` or `14,12,11.5` commas part readings; in `11,5` alone one would be a decimal comma.
  const commasPart = /^\s*[A-Za-z0-9_-]+\s*,/.test(line);
  const part = commasPart ? /[^\s,]+|,/g : /[^\s]+/g;
  let afterComma = false;
  for (const found of line.matchAll(part)) {
    const offset = lineStart + found.index;
    let text = found[0];
    if (text === ",") {
      if (afterComma) cells.push({ text: "", offset, afterComma });
      afterComma = true;
      continue;
    }
    if (!commasPart && text.endsWith(",") && text.length > 1) {
      text = text.slice(0, -1);
      cells.push({ text, offset, afterComma });
      afterComma = true;
      continue;
    }
    cells.push({ text, offset, afterComma });
    afterComma = false;
  }
  return cells;
}

type CellProblem = Omit<SheetProblem, "offset" | "span">;

/** One number, of a sheet or of a file. */
export function readCell(
  cell: Cell,
  before: Cell | undefined,
  pointId: string,
  unit: ReadingUnit,
): SheetReading | CellProblem | "not-read" {
  if (NOT_READ.test(cell.text)) return "not-read";
  if (cell.text === "") {
    return {
      code: "empty-reading",
      message: `Nothing stands between two commas at point ${pointId}.`,
      expected: "a reading, or - where none was read",
    };
  }
  if (/\d,\d/.test(cell.text)) {
    return {
      code: "decimal-comma",
      message: `"${cell.text}" has a comma inside: is it one reading or two?`,
      expected: "decimals with a point; readings with a blank between them",
      hint: `Write ${cell.text.replace(",", ".")} for one reading, or ${cell.text.replaceAll(",", ", ")} for ${cell.text.split(",").length}.`,
    };
  }
  const text = cell.text.replace(/[−–—]/g, "-").replace(/⁄/g, "/");
  const plain = unit === "in" ? text.replace(/(?:"|″|”|in)$/, "") : unit === "mm" ? text.replace(/mm$/i, "") : text;
  if (!NUMBER.test(plain)) {
    return {
      code: "unreadable-reading",
      message: `"${cell.text}" at point ${pointId} is not a reading.`,
      expected: `a number in ${UNIT_WORDS[unit]}, or - where none was read`,
    };
  }
  const magnitude = numberValue(plain.replace(/^[+-]/, ""));
  if (magnitude === undefined) {
    return {
      code: "unreadable-reading",
      message: `"${cell.text}" at point ${pointId} has a fraction that cannot be.`,
      expected: "a fraction below one, such as 1/2 or 1-1/2",
    };
  }
  if (plain.includes("/") && unit !== "in") {
    return {
      code: "unreadable-reading",
      message: `"${cell.text}" at point ${pointId} is a fraction, but its unit is ${unit}.`,
      expected: `${UNIT_WORDS[unit].split(",")[0]} as a whole or decimal number`,
      hint: "If the sheet is in inches, give the set-up: unit: in",
    };
  }
  if (magnitude > GREATEST_READING) {
    return {
      code: "number-too-large",
      message: `"${cell.text}" at point ${pointId} is more than any level reads.`,
      expected: `a reading in ${UNIT_WORDS[unit].split(",")[0]}`,
    };
  }
  // `1 1/2` would be two readings: a whole number with a fraction behind it is asked about, never guessed.
  if (before !== undefined && !cell.afterComma && /^\d+\/\d+$/.test(plain) && /^[+-]?\d+$/.test(before.text)) {
    return {
      code: "fraction-or-two-readings",
      message: `"${before.text} ${cell.text}" can be one reading or two.`,
      expected: `${before.text}-${cell.text} for one reading, or a comma between two`,
    };
  }
  const value = plain.startsWith("-") ? -magnitude : magnitude;
  return { pointId, text: plain.replace(/^\+/, ""), value, offset: cell.offset, span: cell.text.length };
}

/**
 * Readings that lie in a CSV file beside the job: what the level or the total station gave out, or what
 * somebody typed into a spreadsheet. Columns are recognised by their names; a wrong row is objected to at its line.
 */
import type { SourcePlace } from "../diagnostics.ts";
import { decimal } from "../format.ts";
import { distance, type Point, point } from "../geometry/point.ts";
import type { Minutes } from "../units.ts";
import { type CsvRow, csvRows } from "./csv-rows.ts";
import { gridPosition, isGridPointId } from "./grid-names.ts";
import { type Finding, type JobReader, objectAt, objectAtPlace } from "./job-reader.ts";
import { fitOf } from "./known-points.ts";
import { type Column, columnsOf, type KnownColumn, LIST_HEADER, MM_IN } from "./list-columns.ts";
import { FURTHEST_FROM_ZERO_MM, furthestPlaceM, toMillimetresOfPlan } from "./list-values.ts";
import type { BenchMark, ExtraPoint, GridSpec, ReadingUnit } from "./model.ts";
import { SAME_POINT_M } from "./own-names.ts";
import { type PlanFit, placedBy } from "./plan-fit.ts";
import { readCell } from "./reading-sheet.ts";
import { idProblem } from "./schema-leaves.ts";
import { LIMITS } from "./schema-limits.ts";
import type { At } from "./schema-parts.ts";
import type { SetUpText } from "./schema-survey.ts";
import { nearName } from "./suggest.ts";
import { type SourceText, sourceText } from "./yaml-text.ts";

/** One row of a file, as it was read there. */
export interface FileReading {
  readonly pointId: string;
  readonly text: string;
  readonly unit: ReadingUnit;
  /** With the sign as typed, in millimetres, less the height that counts as zero. */
  readonly valueMm: number;
  readonly place: SourcePlace;
  readonly time?: Minutes;
  /** Where the row says that the point is, on the job's plan. */
  readonly at?: Point;
  readonly note?: string;
}

/** What the file of one set-up holds for it. */
export interface FileReadings {
  readonly readings: readonly FileReading[];
  /** Millimetres taken off every height of the file, on the file's own side of zero. */
  readonly zeroMm: number;
  /** True where the file gives heights: they lie on either side of its zero as they will. */
  readonly heights: boolean;
  /** How its coordinates were brought onto the plan, where the job says how. */
  readonly fit?: PlanFit;
}

/** Readings of the set-ups that have a file, by set-up; each file is taken apart once. */
export function readReadingFiles(reader: JobReader, setUps: readonly At<SetUpText>[]): Map<string, FileReadings> {
  const sources = new Map<string, SourceText>();
  const found = new Map<string, FileReadings>();
  for (const { text, path } of setUps) {
    const name = text.readings_file;
    if (name === undefined) {
      if (text.known_points !== undefined) {
        objectAt(reader, [...path, "known_points"], {
          code: "known-points-without-file",
          message: `Set-up ${text.id} has known points and no file of readings: nothing is brought onto the plan by them.`,
          expected: "known_points beside a readings_file whose rows give north and east",
        });
      }
      continue;
    }
    if (text.readings !== undefined) {
      objectAt(reader, [...path, "readings_file"], {
        code: "readings-in-two-places",
        message: `Set-up ${text.id} has readings of its own, and a file of them besides.`,
        expected: "readings, or readings_file",
      });
      continue;
    }
    const file = reader.beside.find((one) => one.name === name);
    if (file === undefined) {
      const names = reader.beside.map((one) => one.name);
      const near = nearName(name, names);
      objectAt(reader, [...path, "readings_file"], {
        code: "no-such-file",
        message: `The folder of this job has no file ${name}.`,
        expected: `${reader.besideFolder}/${name}, beside the job file`,
        hint: near === undefined ? undefined : `Did you mean "${near}"?`,
      });
      continue;
    }
    const source = sources.get(name) ?? sourceText(file.file, file.text);
    sources.set(name, source);
    found.set(text.id, readFor(reader, { text, path }, source));
  }
  return found;
}

interface Table {
  readonly columns: ReadonlyMap<Column, KnownColumn>;
  readonly rows: readonly CsvRow[];
  readonly width: number;
}

function readFor(reader: JobReader, setUp: At<SetUpText>, source: SourceText): FileReadings {
  const { text, path } = setUp;
  const zeroMm = text.file_zero === undefined ? 0 : toMillimetresOfPlan(reader, text.file_zero);
  const nothing: FileReadings = { readings: [], zeroMm, heights: false };
  const fit = fitOf(reader, text.known_points, [...path, "known_points"]);
  if (fit === "objected") return nothing;
  if (source.text.length > LIMITS.fileBytes) {
    objectAt(reader, [...path, "readings_file"], {
      code: "file-too-large",
      message: `${source.file} has ${decimal(source.text.length / 1e6, 1)} MB.`,
      expected: `at most ${LIMITS.fileBytes / 1e6} MB in a list of readings`,
      hint: "Give so many points as a scan, in place of the set-up: scan, with its file.",
    });
    return nothing;
  }
  const table = tableOf(reader, source);
  if (table === undefined) return nothing;
  const value = valueColumn(reader, setUp, source, table);
  if (value === undefined) return nothing;
  const cell = (row: CsvRow, column: Column) => {
    const at = table.columns.get(column);
    return at === undefined ? undefined : row.cells[at.index];
  };
  const readings: FileReading[] = [];
  const object = (row: CsvRow, cellOf: { offset: number; text: string } | undefined, finding: Finding) =>
    objectAtPlace(
      reader,
      source.placeAt(cellOf?.offset ?? row.offset, Math.max(1, cellOf?.text.length ?? row.length)),
      finding,
    );
  for (const row of table.rows) {
    if (row.cells.length !== table.width) {
      object(row, undefined, {
        code: "row-with-other-cells",
        message: `This row has ${row.cells.length} cells, the first line has ${table.width}.`,
        expected: "as many cells as the first line has, an empty one where nothing is known",
      });
      continue;
    }
    const of = cell(row, "set-up");
    if (of !== undefined && of.text !== text.id) continue;
    const label = cell(row, "point")!;
    const problem = idProblem(label.text, "part");
    if (problem) {
      object(row, label, { code: problem.params.code, message: problem.message, expected: problem.params.expected });
      continue;
    }
    const typed = row.cells[value.index]!;
    if (typed.text === "") continue;
    const read = readCell({ ...typed, afterComma: true }, undefined, label.text, value.unit);
    if (read === "not-read") continue;
    if ("code" in read) {
      object(row, typed, read);
      continue;
    }
    const valueMm = read.value * MM_IN[value.unit] - zeroMm;
    if (Math.abs(valueMm) > FURTHEST_FROM_ZERO_MM) {
      object(row, typed, {
        code: "height-far-from-zero",
        message: `${typed.text} ${value.unit} at ${label.text} is ${decimal(Math.abs(valueMm) / 1000, 1)} m from the zero of set-up ${text.id}.`,
        expected: `no more than ${FURTHEST_FROM_ZERO_MM / 1000} m`,
        hint: "Say which height of the file is zero, such as: file_zero: 100 m",
      });
      continue;
    }
    const place = source.placeAt(typed.offset, typed.text.length);
    const at = placeIn(reader, table, row, object, fit);
    if (at === "objected") continue;
    const time = timeIn(cell(row, "time"), (at, finding) => object(row, at, finding));
    const note = cell(row, "description")?.text ?? "";
    readings.push({
      pointId: label.text,
      text: read.text,
      unit: value.unit,
      valueMm,
      place,
      ...(time === undefined ? {} : { time }),
      ...(at === undefined ? {} : { at }),
      ...(note === "" ? {} : { note: note.slice(0, LONGEST_NOTE) }),
    });
  }
  refuseThirdReadings(reader, text.id, readings);
  if (readings.length === 0 || readings.length > LIMITS.readings) {
    objectAt(reader, [...path, "readings_file"], {
      code: readings.length === 0 ? "file-without-readings" : "too-many",
      message: `${source.file} has ${readings.length === 0 ? "no" : readings.length} readings of set-up ${text.id}.`,
      expected: `1 to ${LIMITS.readings} rows with a point and its height`,
      hint: table.columns.has("set-up") ? "The column of set-ups has to name it." : undefined,
    });
    return nothing;
  }
  return { readings, zeroMm, heights: table.columns.has("height"), ...(fit === undefined ? {} : { fit }) };
}

const LONGEST_NOTE = 120;

/** The header and what follows it; undefined after objecting to a header that does not say which column is which. */
function tableOf(reader: JobReader, source: SourceText): Table | undefined {
  const { rows: all, fault } = csvRows(source.text);
  const [header, ...rows] = all;
  const object = (at: { offset: number; length: number }, finding: Finding) =>
    objectAtPlace(reader, source.placeAt(at.offset, at.length), finding);
  if (fault !== undefined) {
    object(
      { offset: fault.offset, length: 1 },
      { code: "unreadable-table", message: `${source.file} is no table: ${fault.message}.`, expected: LIST_HEADER },
    );
    return undefined;
  }
  if (header === undefined) {
    object(
      { offset: 0, length: 1 },
      { code: "empty-file", message: `${source.file} is empty.`, expected: LIST_HEADER },
    );
    return undefined;
  }
  const known = columnsOf(header.cells, source.file, header, object);
  if (known === undefined) return undefined;
  return { columns: known, rows, width: header.cells.length };
}

/** The one column that is levelled by; a rod and heights say themselves which way they grow. */
function valueColumn(
  reader: JobReader,
  { text, path }: At<SetUpText>,
  source: SourceText,
  table: Table,
): { readonly index: number; readonly unit: ReadingUnit } | undefined {
  const found = (["height", "rod", "reading"] as const).filter((column) => table.columns.has(column));
  const [kind] = found;
  if (kind === undefined || found.length > 1) {
    objectAtPlace(reader, source.placeAt(0, 1), {
      code: found.length > 1 ? "column-twice" : "column-missing",
      message:
        found.length > 1
          ? `${source.file} has columns ${found.map((one) => `"${table.columns.get(one)!.name}"`).join(" and ")}: which of them is levelled by?`
          : `No column of ${source.file} is named as one of heights or readings.`,
      expected: LIST_HEADER,
    });
    return undefined;
  }
  const side = text.numbers_are.startsWith("below") ? "below" : "above";
  const must = kind === "height" ? "above" : kind === "rod" ? "below" : side;
  if (must !== side) {
    objectAt(reader, [...path, "numbers_are"], {
      code: "side-against-column",
      message:
        kind === "height"
          ? `Set-up ${text.id}: the file gives heights, which grow upward, but numbers are ${text.numbers_are}.`
          : `Set-up ${text.id}: the file gives readings of a rod, which grow as the floor falls, but numbers are ${text.numbers_are}.`,
      expected: `numbers_are: ${must} zero`,
    });
    return undefined;
  }
  const { index, unit } = table.columns.get(kind)!;
  return { index, unit: unit ?? text.unit ?? reader.units.height };
}

type ObjectToCell = (row: CsvRow, cell: { offset: number; text: string } | undefined, finding: Finding) => void;

function placeIn(
  reader: JobReader,
  table: Table,
  row: CsvRow,
  object: ObjectToCell,
  fit: PlanFit | undefined,
): Point | undefined | "objected" {
  const [east, north] = (["east", "north"] as const).map((column) => {
    const known = table.columns.get(column);
    if (known === undefined) return undefined;
    const cell = row.cells[known.index]!;
    if (cell.text === "") return undefined;
    const value = /^[-+]?(?:\d+(?:\.\d*)?|\.\d+)$/.test(cell.text.replace(/[−–]/g, "-"))
      ? Number(cell.text.replace(/[−–]/g, "-"))
      : Number.NaN;
    const unit = known.unit ?? (reader.units.plan === "ft-in" ? "ft" : "m");
    const metres = (value * MM_IN[unit]) / 1000;
    if (Math.abs(metres) <= furthestPlaceM(fit !== undefined)) return metres;
    object(row, cell, {
      code: "unreadable-length",
      message: `"${cell.text}" is no distance ${column} in ${unit === "m" ? "metres" : unit === "ft" ? "feet" : unit}.`,
      expected: fit === undefined ? "a number such as 12.345, from the job's own corner" : "a number such as 1012.345",
      ...(fit === undefined && Math.abs(metres) > furthestPlaceM(false)
        ? { hint: "For coordinates of a map give the set-up known_points." }
        : {}),
    });
    return "objected" as const;
  });
  if (east === "objected" || north === "objected") return "objected";
  if (east === undefined || north === undefined) return undefined;
  return fit === undefined ? point(east, north) : placedBy(fit, east, north);
}

function timeIn(
  cell: { readonly text: string; readonly offset: number } | undefined,
  object: (at: { offset: number; text: string }, finding: Finding) => void,
): Minutes | undefined {
  if (cell === undefined || cell.text === "") return undefined;
  const found = /^(?:\d{4}-\d{2}-\d{2}[ T])?([01]?\d|2[0-3]):([0-5]\d)(?::[0-5]\d(?:\.\d+)?)?$/.exec(cell.text);
  if (found) return (Number(found[1]) * 60 + Number(found[2])) as Minutes;
  object(cell, {
    code: "bad-time",
    message: `"${cell.text}" is not a time of day.`,
    expected: "hours:minutes of 24 hours, such as 9:40",
  });
  return undefined;
}

/** A point may be read twice in one set-up; a third reading has no place on the sheets. */
function refuseThirdReadings(reader: JobReader, setUpId: string, readings: readonly FileReading[]): void {
  const times = new Map<string, number>();
  for (const { pointId, place } of readings) {
    const count = (times.get(pointId) ?? 0) + 1;
    times.set(pointId, count);
    if (count < 3) continue;
    objectAtPlace(reader, place, {
      code: "point-read-twice",
      message: `Point ${pointId} stands a third time in set-up ${setUpId}.`,
      expected: "each point once, and once more where it was read again",
    });
  }
}

/**
 * Points that only the files place; each is a point of the plan like any other. Objects where a file puts a
 * point that is known already somewhere else.
 */
export function pointsOfFiles(
  reader: JobReader,
  files: ReadonlyMap<string, FileReadings>,
  known: readonly ExtraPoint[],
  benchMarks: readonly BenchMark[],
  grid: GridSpec | undefined,
): ExtraPoint[] {
  const placed = new Map([...known, ...benchMarks].map(({ id, at }) => [id, at]));
  const fresh: ExtraPoint[] = [];
  for (const { pointId: id, at, note, place } of [...files.values()].flatMap(({ readings }) => readings)) {
    if (at === undefined) continue;
    const there = placed.get(id) ?? (isGridPointId(id) ? onGrid(id, grid) : undefined);
    if (there === undefined) {
      if (isGridPointId(id)) continue;
      placed.set(id, at);
      fresh.push({ id, at, place, ...(note === undefined ? {} : { note }) });
    } else if (distance(there, at) > SAME_POINT_M) {
      objectAtPlace(reader, place, {
        code: "point-elsewhere",
        message: `This row puts ${id} at ${decimal(at.x, 3)} m east, ${decimal(at.y, 3)} m north, ${decimal(distance(there, at), 3)} m from where the job has it.`,
        expected: `${decimal(there.x, 3)} m east, ${decimal(there.y, 3)} m north, within ${SAME_POINT_M * 1000} mm`,
        hint: isGridPointId(id)
          ? "Distances count from the job's own corner. Where the list has names of its own, give this one another."
          : "Distances count from the job's own corner, east and north as on its plan.",
      });
    }
  }
  return fresh;
}

function onGrid(id: string, grid: GridSpec | undefined): Point | undefined {
  const position = gridPosition(id);
  if (grid === undefined || position === undefined) return undefined;
  return point(grid.origin.x + position.column * grid.spacingEast, grid.origin.y + position.row * grid.spacingNorth);
}

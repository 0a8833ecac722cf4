/** A survey as typed, before the pour or after it: grid, points off it, set-ups, lines and gaps by hand. */

import { decimal } from "../format.ts";
import { distance, point } from "../geometry/point.ts";
import { boundsOf } from "../geometry/polygon.ts";
import type { Millimetres, Share } from "../units.ts";
import { gridPosition, isGridPointId, rowLetters } from "./grid-names.ts";
import { buildGaps, buildJoints, buildLines } from "./hand-readings.ts";
import { readIdOrEntry } from "./job-entries.ts";
import { type JobReader, objectAt, refuseClashes, toMetres, toMillimetres, toPoint } from "./job-reader.ts";
import type { Library } from "./library.ts";
import { readInstrument } from "./library-entries.ts";
import type {
  AdjustmentRules,
  BenchMark,
  ExtraPoint,
  FinishedSpec,
  GridSpec,
  Room,
  SurveyPlanning,
  SurveySpec,
} from "./model.ts";
import { withOwnNames } from "./own-names.ts";
import { pointsOfFiles, readReadingFiles } from "./readings-file.ts";
import { buildScan } from "./scan-file.ts";
import { type At, part, parts } from "./schema-parts.ts";
import {
  type AdjustmentText,
  adjustmentSchema,
  type ExtraPointText,
  extraPointSchema,
  type GridText,
  gapSchema,
  gridSchema,
  jointSchema,
  lineSchema,
  type PlanningText,
  planningSchema,
  setUpSchema,
} from "./schema-survey.ts";
import { buildSetUps } from "./set-ups.ts";
import { nearName } from "./suggest.ts";
import { type Path, valueAt } from "./yaml-places.ts";

/** What a survey may refer to. */
export interface SurveyContext {
  readonly library: Library;
  readonly rooms: readonly Room[];
  readonly benchMarks: readonly BenchMark[];
}

/** Builds the survey at `survey`; undefined after objecting to its grid. */
export function buildSurvey(reader: JobReader, context: SurveyContext): SurveySpec | undefined {
  const gridText = part(reader.document, ["survey", "grid"], gridSchema);
  const grid = gridText && buildGrid(reader, gridText, ["survey", "grid"]);
  const points = buildPoints(
    reader,
    parts(reader.document, ["survey", "points"], extraPointSchema),
    context.benchMarks,
  );
  refuseSamePlace(reader, points, ["survey", "points"], grid);
  const { points: ofFiles, ...rest } = buildReadings(reader, ["survey"], points, grid, context);
  const scan = buildScan(reader);
  const planningText = part(reader.document, ["survey", "planning"], planningSchema);
  const planning = planningText && buildPlanning(reader, planningText, context);
  return (
    grid && {
      grid,
      extraPoints: [...points, ...ofFiles],
      ...rest,
      ...(scan === undefined ? {} : { scan }),
      ...(planning === undefined ? {} : { planning }),
    }
  );
}

/** Builds `finished` where the job has it. Grid and points of the survey hold on, unless it gives its own. */
export function buildFinished(
  reader: JobReader,
  survey: SurveySpec | undefined,
  poured: { readonly date: string; readonly poured?: string | undefined },
  context: SurveyContext,
): FinishedSpec | undefined {
  const { document } = reader;
  const gridText = part(document, ["finished", "grid"], gridSchema);
  const ownGrid = gridText && buildGrid(reader, gridText, ["finished", "grid"]);
  const own = buildPoints(reader, parts(document, ["finished", "points"], extraPointSchema), context.benchMarks);
  const ownIds = new Set(own.map(({ id }) => id));
  const points = [...(survey?.extraPoints ?? []).filter(({ id }) => !ownIds.has(id)), ...own];
  const grid = valueAt(document, ["finished", "grid"]) === undefined ? survey?.grid : ownGrid;
  const { points: ofFiles, ...rest } = buildReadings(reader, ["finished"], points, grid, context);
  if (grid === undefined) return undefined;
  return {
    date: poured.date,
    ...(poured.poured === undefined ? {} : { poured: poured.poured }),
    survey: { grid, extraPoints: [...points, ...ofFiles], ...rest },
  };
}

/** Keys that the readings of a set-up can be checked without. */
const SET_UP_EXTRAS = [
  "reservoir",
  "date",
  "readings_file",
  "file_zero",
  "known_points",
  "repeats",
  "times",
  "zero_checks",
  "struck",
  "stood_on",
  "temperature",
  "after_work",
];

function buildReadings(
  reader: JobReader,
  path: Path,
  points: readonly ExtraPoint[],
  grid: GridSpec | undefined,
  { library, rooms, benchMarks }: SurveyContext,
): Pick<SurveySpec, "setUps" | "byHand" | "adjustment" | "joints"> & { readonly points: readonly ExtraPoint[] } {
  const { document } = reader;
  const labels = new Set([...points, ...benchMarks].map(({ id }) => id));
  const texts = parts(document, [...path, "set_ups"], setUpSchema, SET_UP_EXTRAS);
  const files = withOwnNames(reader, texts, readReadingFiles(reader, texts), grid);
  const setUps = buildSetUps(reader, texts, library, labels, files);
  const adjustmentText = part(document, [...path, "adjustment"], adjustmentSchema);
  const lines = buildLines(reader, parts(document, [...path, "lines"], lineSchema), rooms);
  const joints = buildJoints(reader, parts(document, [...path, "joints"], jointSchema));
  const gaps = buildGaps(reader, parts(document, [...path, "gaps"], gapSchema));
  return {
    points: pointsOfFiles(reader, files, points, benchMarks, grid),
    setUps,
    ...(adjustmentText === undefined ? {} : { adjustment: buildAdjustment(reader, adjustmentText) }),
    ...(lines.length + gaps.length === 0 ? {} : { byHand: { lines, gaps } }),
    ...(valueAt(document, [...path, "joints"]) === undefined ? {} : { joints }),
  };
}

function buildPlanning(
  reader: JobReader,
  text: PlanningText,
  { library, rooms }: SurveyContext,
): SurveyPlanning | undefined {
  const path: Path = ["survey", "planning"];
  const instrument = readIdOrEntry(reader, library.instruments, "level", [...path, "instrument"], readInstrument);
  const expected = (text.expected ?? []).map(({ room, lowest, highest }, k) => {
    const at = [...path, "expected", k];
    if (!rooms.some(({ id }) => id === room)) {
      const ids = rooms.map(({ id }) => id);
      const near = nearName(room, ids);
      objectAt(reader, [...at, "room"], {
        code: "no-such-room",
        message: `The job has no room ${room}.`,
        expected: `one of ${ids.join(", ")}`,
        hint: near === undefined ? undefined : `Did you mean "${near}"?`,
      });
    }
    const relief = { roomId: room, lowest: toMillimetres(reader, lowest), highest: toMillimetres(reader, highest) };
    if (relief.lowest > relief.highest) {
      objectAt(reader, [...at, "lowest"], {
        code: "bounds-turned-round",
        message: `The lowest level expected in room ${room} is above the highest.`,
        expected: "lowest no more than highest",
      });
    }
    return relief;
  });
  return (
    instrument && {
      instrument,
      slack: toMetres(reader, text.slack),
      expected,
      positions: (text.positions ?? []).map((position) => toPoint(reader, position)),
      tieSpread: toMetres(reader, text.tie_spread),
    }
  );
}

/** Closer grid lines than this are a slip of the unit: 2 in is finer than any floor is read. */
const CLOSEST_GRID_M = 0.05;

function buildGrid(reader: JobReader, text: GridText, path: Path): GridSpec | undefined {
  const { origin, spacing, spacing_east: east, spacing_north: north } = text;
  const both = east !== undefined && north !== undefined;
  const either = east !== undefined || north !== undefined;
  if (spacing === undefined ? !both : either) {
    objectAt(reader, path, {
      code: "grid-spacing",
      message:
        spacing !== undefined
          ? "The grid gives spacing, and spacing_east or spacing_north besides."
          : either
            ? "The grid has a spacing one way only."
            : "The grid has no spacing.",
      expected: "spacing: 6' — or spacing_east and spacing_north",
    });
    return undefined;
  }
  const spacingEast = toMetres(reader, (spacing ?? east)!);
  const spacingNorth = toMetres(reader, (spacing ?? north)!);
  const least = Math.min(spacingEast, spacingNorth);
  if (least < CLOSEST_GRID_M) {
    const key = spacing !== undefined ? "spacing" : spacingEast === least ? "spacing_east" : "spacing_north";
    objectAt(reader, [...path, key], {
      code: "grid-too-close",
      message: `Grid lines ${decimal(least * 1000, 1)} mm apart are closer than any floor is read.`,
      expected: `at least ${CLOSEST_GRID_M * 1000} mm`,
      hint: "Check the unit.",
    });
    return undefined;
  }
  return { origin: toPoint(reader, origin), spacingEast, spacingNorth };
}

/** Points off the grid. Bench marks are read by their ids too, so both share one set of names. */
function buildPoints(
  reader: JobReader,
  points: readonly At<ExtraPointText>[],
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

/** Two points nearer than this are one place: nobody sets a handset down more closely. */
const SAME_PLACE_M = 0.01;

/** One place with two names would be read as two levels of it. */
function refuseSamePlace(
  reader: JobReader,
  points: readonly ExtraPoint[],
  path: Path,
  grid: GridSpec | undefined,
): void {
  const byEast = points.toSorted((a, b) => a.at.x - b.at.x);
  const pathOf = new Map(points.map(({ id }, k) => [id, [...path, k, "at"]]));
  const object = (id: string, other: string) =>
    objectAt(reader, pathOf.get(id)!, {
      code: "same-place-twice",
      message: `Point ${id} is at the place of ${other}.`,
      expected: "one name for one place",
    });
  for (const [k, { id, at }] of byEast.entries()) {
    for (let j = k + 1; j < byEast.length && byEast[j]!.at.x - at.x < SAME_PLACE_M; j++) {
      if (distance(at, byEast[j]!.at) < SAME_PLACE_M) object(byEast[j]!.id, `point ${id}`);
    }
    if (grid === undefined) continue;
    const column = Math.round((at.x - grid.origin.x) / grid.spacingEast);
    const row = Math.round((at.y - grid.origin.y) / grid.spacingNorth);
    const onGrid = point(grid.origin.x + column * grid.spacingEast, grid.origin.y + row * grid.spacingNorth);
    if (row >= 0 && column >= 0 && distance(at, onGrid) < SAME_PLACE_M) {
      object(id, `grid point ${rowLetters(row)}${column + 1}`);
    }
  }
}

/** A point off the grid that is called like one on it could not be told from it in the readings. */
export function refuseGridName(reader: JobReader, id: string, path: Path): void {
  if (!isGridPointId(id)) return;
  objectAt(reader, path, {
    code: "id-of-grid-point",
    message: `"${id}" is the name of a grid point.`,
    expected: "an id that does not read like a row letter and a number",
    hint: `For example "${id}a", or a word.`,
  });
}

/** Whether an id names a point that the grid has within the bounds of the rooms. */
export function isOnGrid(id: string, grid: GridSpec, rooms: readonly Room[]): boolean {
  const position = gridPosition(id);
  if (position === undefined || rooms.length === 0) return false;
  const box = boundsOf(rooms.flatMap(({ outline }) => outline));
  const east = grid.origin.x + position.column * grid.spacingEast;
  const north = grid.origin.y + position.row * grid.spacingNorth;
  return east <= box.maxX && north <= box.maxY;
}

function buildAdjustment(reader: JobReader, text: AdjustmentText): AdjustmentRules {
  const { alpha, power, sigma, drift, closing } = text;
  return {
    alpha: alpha as Share,
    power: power as Share,
    sigma,
    drift,
    ...(closing === undefined
      ? {}
      : {
          closing: {
            per: closing.per,
            k: toMillimetres(reader, closing.k) as Millimetres,
            source: closing.source,
          },
        }),
  };
}

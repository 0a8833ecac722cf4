/** Surveys for tests, built from numbers instead of from a job file. */
import type { SourcePlace } from "../../src/diagnostics.ts";
import type { Point, Polygon } from "../../src/geometry/point.ts";
import { point } from "../../src/geometry/point.ts";
import type { AdjustmentRules, Reading, SetUp, SurveySpec, ZeroCheck } from "../../src/job/model.ts";
import type { Plan, PlanPoint, RoomFloor } from "../../src/layout/model.ts";
import { litres, metres, millimetres } from "../../src/units.ts";

export const LITRES_PER_BAG = litres(14.158423296); // 0.50 ft³

export const placeAt = (line: number, column: number): SourcePlace => ({
  file: "jobs/test.yaml",
  line,
  column,
  length: 1,
  lineText: " ".repeat(column + 1),
});

/** A reading typed in millimetres above zero. */
export const reading = (pointId: string, levelMm: number, more: Partial<Reading> = {}): Reading => ({
  pointId,
  level: millimetres(levelMm),
  typed: { text: String(levelMm), unit: "mm", side: "above" },
  place: placeAt(1, 1),
  ...more,
});

export const setUp = (id: string, sdMm: number, readings: readonly Reading[], more: Partial<SetUp> = {}): SetUp => ({
  id,
  instrument: { id: "level", name: "level", kind: "hose", readingSd: millimetres(sdMm) },
  readings,
  ...more,
});

export const zeroCheck = (afterReadings: number, levelMm: number, more: Partial<ZeroCheck> = {}): ZeroCheck => ({
  afterReadings,
  level: millimetres(levelMm),
  place: placeAt(2, 1),
  ...more,
});

export const surveyOf = (setUps: readonly SetUp[], adjustment?: AdjustmentRules): SurveySpec => ({
  grid: { origin: point(0, 0), spacingEast: metres(2), spacingNorth: metres(2) },
  extraPoints: [],
  setUps,
  ...(adjustment && { adjustment }),
});

export const rectangle = (x0: number, y0: number, x1: number, y1: number): Polygon => ({
  outline: [point(x0, y0), point(x1, y0), point(x1, y1), point(x0, y1)],
  holes: [],
});

export const floorOf = (polygon: Polygon, roomId = "hall"): RoomFloor => ({
  roomId,
  name: roomId,
  polygon,
  walls: [],
  obstacles: [],
  doors: [],
});

export const planOf = (points: readonly PlanPoint[], floors: readonly RoomFloor[]): Plan => ({
  floors,
  gridLines: [],
  points,
  pins: [],
});

export const planPoint = (id: string, at: Point, roomIndex = 0): PlanPoint => ({ id, at, roomIndex, kind: "grid" });

const LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZ";

/** Grid points A1, A2 … over one room: letters northward, numbers eastward. */
export function gridPlan(rows: number, columns: number, spacingM: number): Plan {
  const points: PlanPoint[] = [];
  for (let r = 0; r < rows; r++) {
    for (let c = 0; c < columns; c++)
      points.push(planPoint(`${LETTERS[r]}${c + 1}`, point((c + 0.5) * spacingM, (r + 0.5) * spacingM)));
  }
  return planOf(points, [floorOf(rectangle(0, 0, columns * spacingM, rows * spacingM))]);
}

/** Differences of level as a levelling book has them: one set-up a line, backsight and foresight sharing its sd. */
export const levelledLine = (id: string, from: string, to: string, differenceMm: number, sdMm: number): SetUp =>
  setUp(id, sdMm / Math.SQRT2, [reading(from, 0), reading(to, differenceMm)]);

/**
 * How levels are best carried from readings to walls, when readings are off by 0, 0.5 and 1 mm.
 *
 * Every floor of study-floors.ts gets every slab, is read on its grid with noise, and is made into a surface
 * whose unread vertices (walls, corners) get their levels by each method in turn. Scored against the slab
 * itself: the volume, the deepest place, and the greatest error at a wall.
 *
 *     npm run study:carrying        (writes carrying-study.json beside this file)
 */
import { writeFileSync } from "node:fs";
import { fileURLToPath, pathToFileURL } from "node:url";
import { meshIntegral } from "../../src/geometry/level.ts";
import { type Polygon, point } from "../../src/geometry/point.ts";
import { boundsOf, placeAgainstRing, polygonContains } from "../../src/geometry/polygon.ts";
import type { Plan } from "../../src/layout/model.ts";
import { type RandomSource, randomFrom } from "../../src/numeric/random.ts";
import type { Slab } from "../../src/slab/model.ts";
import { surfaceOf } from "../../src/slab/surface-of.ts";
import { thinPlatesOver } from "../../src/slab/thin-plate.ts";
import type { PointLevel } from "../../src/survey/model.ts";
import { type SlabShape, type StudyFloor, studyFloors, studySlabs } from "./study-floors.ts";

/** Rounded to 0.001 mm, root mean square over all cases of the row. */
export interface StudyRow {
  readonly method: string;
  /** `all`, a noise (`noise 0.5 mm`), a slab or a floor. */
  readonly over: string;
  /** Volume error over the floor's area: mm of mean depth, which is L/m². */
  readonly volumeMm: number;
  /** Error of the greatest depth. */
  readonly deepestMm: number;
  /** Greatest error at a vertex that was not read. */
  readonly wallMm: number;
  readonly cases: number;
}

export interface StudyTable {
  readonly seeds: number;
  readonly rows: readonly StudyRow[];
}

type Reading = Pick<PointLevel, "at" | "level">;
/** Level at a place from the readings. */
type Carrying = (readings: readonly Reading[]) => (x: number, y: number) => number;

export const USED = "thin-plate spline, smoothed by leaving out";

/** The method in use is not among these: it comes with the surface. */
const others: Record<string, Carrying> = {
  "nearest reading": (readings) => (x, y) => nearest(readings, x, y, 1)[0]!.level,
  "plane over all": (readings) => planeThrough(readings),
  "plane over the nearest 8": (readings) => (x, y) => planeThrough(nearest(readings, x, y, 8))(x, y),
  "thin-plate spline through every reading": spline(0),
  "thin-plate spline, smoothing 1": spline(1),
  "thin-plate spline, smoothing 10": spline(10),
};

export const NOISES_MM = [0, 0.5, 1] as const;

/** The study with so many seeds for each floor, slab and noise. */
export function carryingStudy(seeds: number): StudyTable {
  const tallies = new Map<string, { method: string; over: string; squares: [number, number, number]; cases: number }>();
  for (const floor of studyFloors)
    for (const slab of studySlabs)
      for (const noise of NOISES_MM)
        for (let seed = 0; seed < seeds; seed++) {
          const random = randomFrom(1 + seed);
          const errors = oneCase(floor, slab.shape(random), noise, random);
          for (const [method, found] of errors)
            for (const over of ["all", `noise ${noise} mm`, slab.name, floor.name]) {
              const key = `${method}|${over}`;
              const tally = tallies.get(key) ?? { method, over, squares: [0, 0, 0], cases: 0 };
              tallies.set(key, tally);
              found.forEach((error, k) => {
                tally.squares[k]! += error * error;
              });
              tally.cases++;
            }
        }
  const rounded = (squares: number, cases: number) => Math.round(1000 * Math.sqrt(squares / cases)) / 1000;
  const rows = [...tallies.values()].map(({ method, over, squares, cases }) => ({
    method,
    over,
    volumeMm: rounded(squares[0], cases),
    deepestMm: rounded(squares[1], cases),
    wallMm: rounded(squares[2], cases),
    cases,
  }));
  return { seeds, rows };
}

/** Errors of volume, deepest place and worst wall vertex, by method. */
function oneCase(
  floor: StudyFloor,
  shape: SlabShape,
  noiseMm: number,
  random: RandomSource,
): Map<string, [number, number, number]> {
  const truth = truthOf(floor.polygon, shape);
  const { maxX, maxY } = boundsOf(floor.polygon.outline);
  const points: PointLevel[] = [];
  for (let y = floor.inset; y < maxY; y += floor.spacing)
    for (let x = floor.inset; x < maxX; x += floor.spacing) {
      const at = point(x, y);
      if (placeAgainstRing(floor.polygon.outline, at) !== "inside") continue;
      const level = shape(x, y) + noiseMm * random.normal();
      points.push({ id: `P${points.length}`, at, roomIndex: 0, level, sd: noiseMm, timesRead: 1 });
    }
  const plan: Plan = {
    floors: [{ roomId: "room", name: "Room", polygon: floor.polygon, walls: [], obstacles: [], doors: [] }],
    gridLines: [],
    points: [],
    pins: [],
  };
  const made = surfaceOf(plan, { points, unchecked: true });
  if (made.kind !== "ready") throw new Error(`${floor.name}: ${JSON.stringify(made)}`);
  const slab = made.value;
  const errors = new Map([[USED, errorsOf(slab, slab.levelMm, shape, truth)]]);
  for (const [method, carrying] of Object.entries(others)) {
    const at = carrying(points);
    const levelMm = slab.levelMm.map((level, v) =>
      slab.wasRead[v] === 1 ? level : at(slab.mesh.xM[v]!, slab.mesh.yM[v]!),
    );
    errors.set(method, errorsOf(slab, levelMm, shape, truth));
  }
  return errors;
}

interface Truth {
  readonly meanMm: number;
  readonly lowestMm: number;
}

/** Mean over squares of 0.1 m, by their middles; lowest over their corners, walls included. */
function truthOf(polygon: Polygon, shape: SlabShape): Truth {
  const { maxX, maxY } = boundsOf(polygon.outline);
  const side = 0.1;
  let sum = 0;
  let squares = 0;
  let lowestMm = Infinity;
  for (let row = 0; row * side <= maxY + side / 2; row++)
    for (let column = 0; column * side <= maxX + side / 2; column++) {
      const corner = point(column * side, row * side);
      if (polygonContains(polygon, corner)) lowestMm = Math.min(lowestMm, shape(corner.x, corner.y));
      const middle = point((column + 0.5) * side, (row + 0.5) * side);
      if (placeAgainstRing(polygon.outline, middle) !== "inside") continue;
      sum += shape(middle.x, middle.y);
      squares++;
    }
  return { meanMm: sum / squares, lowestMm };
}

function errorsOf(slab: Slab, levelMm: Float64Array, shape: SlabShape, truth: Truth): [number, number, number] {
  const volume = meshIntegral(slab.mesh, levelMm) / slab.area - truth.meanMm;
  let lowest = Infinity;
  let atWall = 0;
  levelMm.forEach((level, v) => {
    lowest = Math.min(lowest, level);
    if (slab.wasRead[v] === 1) return;
    atWall = Math.max(atWall, Math.abs(level - shape(slab.mesh.xM[v]!, slab.mesh.yM[v]!)));
  });
  return [volume, lowest - truth.lowestMm, atWall];
}

function nearest(readings: readonly Reading[], x: number, y: number, count: number): Reading[] {
  return readings
    .map((reading) => ({ reading, far: Math.hypot(reading.at.x - x, reading.at.y - y) }))
    .sort((a, b) => a.far - b.far)
    .slice(0, count)
    .map(({ reading }) => reading);
}

/** Plane of least squares, by Cramer's rule on its normal equations about the mean. Readings on one line give their mean. */
function planeThrough(readings: readonly Reading[]): (x: number, y: number) => number {
  const n = readings.length;
  const mean = { x: 0, y: 0, level: 0 };
  for (const { at, level } of readings) {
    mean.x += at.x / n;
    mean.y += at.y / n;
    mean.level += level / n;
  }
  let [xx, xy, yy, xz, yz] = [0, 0, 0, 0, 0];
  for (const { at, level } of readings) {
    const dx = at.x - mean.x;
    const dy = at.y - mean.y;
    xx += dx * dx;
    xy += dx * dy;
    yy += dy * dy;
    xz += dx * (level - mean.level);
    yz += dy * (level - mean.level);
  }
  const determinant = xx * yy - xy * xy;
  if (!(determinant > 1e-9 * (xx + yy) ** 2)) return () => mean.level;
  const east = (xz * yy - yz * xy) / determinant;
  const north = (yz * xx - xz * xy) / determinant;
  return (x, y) => mean.level + east * (x - mean.x) + north * (y - mean.y);
}

/** One spline over all readings. */
function spline(smoothing: number): Carrying {
  return (readings) => {
    const x = Float64Array.from(readings, ({ at }) => at.x);
    const y = Float64Array.from(readings, ({ at }) => at.y);
    const unit = Math.hypot(x[1]! - x[0]!, y[1]! - y[0]!);
    const plate = thinPlatesOver(x, y, unit)(smoothing);
    if (!plate) throw new Error("the readings of a study floor lie on one line");
    return (atX, atY) => plate.weightsAt(atX, atY).reduce((level, weight, k) => level + weight * readings[k]!.level, 0);
  };
}

/** Seeds of the short study that runs with the tests, and of the whole one. */
export const SHORT = 2;
const WHOLE = 20;

if (import.meta.url === pathToFileURL(process.argv[1] ?? "").href) {
  const tables = { whole: carryingStudy(WHOLE), short: carryingStudy(SHORT) };
  writeFileSync(
    fileURLToPath(new URL("./carrying-study.json", import.meta.url)),
    `${JSON.stringify(tables, null, 1)}\n`,
  );
  const overs = ["all", ...NOISES_MM.map((noise) => `noise ${noise} mm`), ...studySlabs.map((slab) => slab.name)];
  for (const score of ["volumeMm", "deepestMm", "wallMm"] as const) {
    console.log(`\n${score.padEnd(44)}${overs.map((over) => over.padStart(14)).join("")}`);
    for (const method of [USED, ...Object.keys(others)]) {
      const cells = overs.map((over) => tables.whole.rows.find((row) => row.method === method && row.over === over)!);
      console.log(method.padEnd(44) + cells.map((row) => row[score].toFixed(3).padStart(14)).join(""));
    }
  }
}

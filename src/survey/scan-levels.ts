/**
 * Levels out of a scan: which points lie on a floor, which of them stand on maps, and a level for each pin. There is one
 * position of the instrument and nothing read twice, so nothing is adjusted and nothing can be tested.
 */
import Flatbush from "flatbush";
import { type Diagnostic, type Outcome, ready, refused } from "../diagnostics.ts";
import { count, decimal } from "../format.ts";
import { type Point, point } from "../geometry/point.ts";
import { boundsOf, polygonArea } from "../geometry/polygon.ts";
import type { AdjustmentRules } from "../job/model.ts";
import type { ScanSpec } from "../job/scan-model.ts";
import { floorFinder } from "../layout/grid.ts";
import type { Plan, PlanPoint } from "../layout/model.ts";
import { type Metres, type Millimetres, metres, millimetres, type SquareMetres, squareMetres } from "../units.ts";
import type { AdjustedLevels, PointLevel, ScanLevels } from "./model.ts";
import { yardstickOf } from "./snooping.ts";

/** So many points a map shows and the pour is laid out on; a scan with no more of them is shown whole. */
export const MOST_SHOWN = 2_500;
/** No map of a floor shows more than one point in a square of this side. */
const LEAST_SQUARE_M = 0.25;
/** A file of which no more than this share lies on the floor was made for another plan. */
const LEAST_ON_FLOOR = 0.5;
/** A floor of which more than this share was not scanned has part of its volume guessed (common practice). */
const MOST_EMPTY = 0.02;
/** A point off the middle height of its square by more than this, and ten of its standard deviations, is told. */
const FAR_OFF_MM = 10;
const FAR_OFF_SDS = 10;

/** As near as two pins may stand, and as far as a slab may be taken for even (common practice). */
const [LEAST_REACH_M, MOST_REACH_M] = [0.15, 0.5];
/** Times the usual distance between points: some seven of them lie within. */
const REACH_IN_DISTANCES = 1.5;

const usualReach = (area: SquareMetres, count: number): Metres =>
  metres(Math.min(MOST_REACH_M, Math.max(LEAST_REACH_M, REACH_IN_DISTANCES * Math.sqrt(area / count))));

/** Points of the scan that lie on a floor, with the room of each. */
type OnFloor = Pick<ScanLevels, "xM" | "yM" | "levelMm" | "line" | "roomOf">;

/** The levels of a scanned floor: those of the plan's points first, in the plan's order, then the points that are shown. */
export function scanLevels(scan: ScanSpec, plan: Plan, rules: AdjustmentRules): Outcome<AdjustedLevels> {
  const rows = scan.xM.length;
  const onFloor = pointsOnFloors(scan, plan);
  const found = onFloor.xM.length;
  if (found < LEAST_ON_FLOOR * rows || found < 3) return refused([ofAnotherPlan(scan, found)]);
  const area = plan.floors.reduce((sum, { polygon }) => sum + polygonArea(polygon), 0);
  const thinned = thin(onFloor, plan, area);
  const pinReach = scan.pinReach ?? usualReach(area, found);
  const ofPins = levelsOfPoints(onFloor, scan.sd, pinReach, plan.points);
  const shown = Array.from(thinned.shown, (k): PointLevel => {
    const id = `${SHOWN_NAME}${onFloor.line[k]}`;
    return {
      id,
      at: point(onFloor.xM[k]!, onFloor.yM[k]!),
      roomIndex: onFloor.roomOf[k]!,
      level: millimetres(onFloor.levelMm[k]!),
      sd: scan.sd,
      timesRead: 1,
      ofScan: k,
    };
  });
  const points = [...ofPins, ...shown];
  const scanned: ScanLevels = {
    ...onFloor,
    file: scan.file,
    sd: scan.sd,
    pinReach,
    rows,
    pinsRead: ofPins.length,
    ...thinned,
    ...(scan.fit === undefined ? {} : { fit: scan.fit }),
  };
  const { critical, halfWidth95 } = yardstickOf({ freedom: 0, sumOfSquares: 0 }, rules);
  return ready(
    {
      points,
      unchecked: true,
      scan: scanned,
      covariance: {
        ownMm2: Float64Array.from(points, ({ sd }) => sd * sd),
        common: new Float64Array(0),
        setUpsMm2: new Float64Array(0),
        columns: 0,
      },
      report: {
        rules,
        datum: { kind: "scan", file: scan.file },
        setUps: [],
        benchMarks: [],
        readings: [],
        global: { kind: "no-redundancy" },
        critical,
        halfWidth95,
        closures: [],
        ties: [],
        readAgain: [],
        searchCutShort: false,
        temperatures: [],
      },
    },
    warningsOf(scanned, squareMetres(area)),
  );
}

/** A point that is shown goes by its line in the file. */
const SHOWN_NAME = "line-";

function pointsOnFloors({ xM, yM, levelMm, line }: ScanSpec, { floors }: Plan): OnFloor {
  const finder = floorFinder(floors);
  const kept = new Uint32Array(xM.length);
  const roomOf = new Uint32Array(xM.length);
  let found = 0;
  for (let k = 0; k < xM.length; k++) {
    const place = finder.on(point(xM[k]!, yM[k]!));
    if (place === undefined) continue;
    kept[found] = k;
    roomOf[found++] = place.roomIndex;
  }
  const column = (values: Float64Array): Float64Array => {
    const here = new Float64Array(found);
    for (let k = 0; k < found; k++) here[k] = values[kept[k]!]!;
    return here;
  };
  return {
    xM: column(xM),
    yM: column(yM),
    levelMm: column(levelMm),
    line: new Uint32Array(found).map((_, k) => line[kept[k]!]!),
    roomOf: roomOf.slice(0, found),
  };
}

/**
 * One point of each square stands for it: the one of middle height, as it stands in the file, so that neither a pebble
 * nor a crack is taken for the floor. Of an even number the lower of the two in the middle; of equal heights the first.
 */
function thin(
  { xM, yM, levelMm, line, roomOf }: OnFloor,
  { floors }: Plan,
  area: number,
): Pick<ScanLevels, "shown" | "squareSide" | "emptyArea" | "farthestOff" | "farOff"> {
  const n = xM.length;
  if (n <= MOST_SHOWN) return { shown: Uint32Array.from(xM, (_, k) => k), farOff: 0 };
  const side = Math.max(LEAST_SQUARE_M, Math.sqrt(area / MOST_SHOWN));
  const grid = squaresOver(floors, side);
  const squares = new Map<number, number[]>();
  for (let k = 0; k < n; k++) {
    const key = grid.keyOf(xM[k]!, yM[k]!, roomOf[k]!);
    const there = squares.get(key);
    if (there) there.push(k);
    else squares.set(key, [k]);
  }
  const shown: number[] = [];
  let farthest = 0;
  let farthestOff = 0;
  let farOff = 0;
  for (const there of squares.values()) {
    there.sort((a, b) => levelMm[a]! - levelMm[b]! || a - b);
    const middle = there[(there.length - 1) >> 1]!;
    shown.push(middle);
    for (const k of there) {
      const off = levelMm[k]! - levelMm[middle]!;
      if (Math.abs(off) > FAR_OFF_MM) farOff += 1;
      if (Math.abs(off) > Math.abs(farthestOff)) {
        farthestOff = off;
        farthest = k;
      }
    }
  }
  shown.sort((a, b) => a - b);
  return {
    shown: Uint32Array.from(shown),
    squareSide: metres(side),
    emptyArea: emptyArea({ xM, yM, roomOf }, floors, Math.max(side, Math.sqrt((POINTS_IN_A_SQUARE * area) / n))),
    farthestOff: {
      at: point(xM[farthest]!, yM[farthest]!),
      line: line[farthest]!,
      by: millimetres(farthestOff),
    },
    farOff,
  };
}

/** With so many on the mean, one square in ten thousand is empty where points are strewn by chance (e⁻⁹). */
const POINTS_IN_A_SQUARE = 9;

/** Squares whose middle is on a floor, and that hold no point of its room. */
function emptyArea(
  { xM, yM, roomOf }: Pick<OnFloor, "xM" | "yM" | "roomOf">,
  floors: Plan["floors"],
  side: Metres,
): SquareMetres {
  const grid = squaresOver(floors, side);
  const held = new Set<number>();
  for (let k = 0; k < xM.length; k++) held.add(grid.keyOf(xM[k]!, yM[k]!, roomOf[k]!));
  const finder = floorFinder(floors);
  let empty = 0;
  for (const centre of grid.centres) {
    const place = finder.on(centre);
    if (place !== undefined && !held.has(grid.keyOf(centre.x, centre.y, place.roomIndex))) empty += 1;
  }
  return squareMetres(empty * side * side);
}

/** Squares over the plan from its south-west corner, the rooms kept apart. */
function squaresOver(
  floors: Plan["floors"],
  side: Metres,
): { readonly keyOf: (x: Metres, y: Metres, roomIndex: number) => number; readonly centres: readonly Point[] } {
  const { minX, minY, maxX, maxY } = boundsOf(floors.flatMap(({ polygon }) => polygon.outline));
  const across = Math.floor((maxX - minX) / side) + 1;
  const up = Math.floor((maxY - minY) / side) + 1;
  return {
    keyOf: (x, y, roomIndex) => {
      const column = Math.min(across - 1, Math.floor((x - minX) / side));
      const row = Math.min(up - 1, Math.floor((y - minY) / side));
      return (roomIndex * up + row) * across + column;
    },
    centres: Array.from({ length: across * up }, (_, k) =>
      point(minX + ((k % across) + 0.5) * side, minY + (Math.floor(k / across) + 0.5) * side),
    ),
  };
}

/**
 * The level of each point of the plan round which the scan has points: the height there of the plane of least squares
 * through all of them within reach. None where they are fewer than three, on one line, or all to one side, so that the
 * plane would be carried on to the pin.
 */
function levelsOfPoints(
  { xM, yM, levelMm, roomOf }: OnFloor,
  sd: Millimetres,
  pinReach: Metres,
  points: readonly PlanPoint[],
): PointLevel[] {
  if (points.length === 0) return [];
  const index = new Flatbush(xM.length);
  for (let k = 0; k < xM.length; k++) index.add(xM[k]!, yM[k]!);
  index.finish();
  return points.flatMap(({ id, at, roomIndex }): PointLevel[] => {
    const near = index
      .search(at.x - pinReach, at.y - pinReach, at.x + pinReach, at.y + pinReach)
      .filter((k) => roomOf[k] === roomIndex && Math.hypot(xM[k]! - at.x, yM[k]! - at.y) <= pinReach)
      .sort((a, b) => a - b);
    const plane = planeAt(
      near.map((k) => ({ x: xM[k]! - at.x, y: yM[k]! - at.y, level: levelMm[k]! })),
      pinReach,
    );
    if (plane === undefined) return [];
    const noise = Math.max(sd, plane.scatter);
    return [
      {
        id,
        at,
        roomIndex,
        level: millimetres(plane.level),
        sd: millimetres(noise * Math.sqrt(plane.leverage)),
        timesRead: near.length,
      },
    ];
  });
}

/**
 * Ordinary least squares (Ghilani & Wolf, Adjustment Computations, ch. 11): z = a + b·x + c·y; a is the height at the
 * origin, and its variance is the noise's times the first element of the inverse normal matrix.
 */
function planeAt(
  near: readonly { readonly x: number; readonly y: number; readonly level: number }[],
  reach: number,
): { readonly level: number; readonly leverage: number; readonly scatter: number } | undefined {
  const n = near.length;
  if (n < 3) return undefined;
  const mean = (of: (one: (typeof near)[0]) => number): number => near.reduce((sum, one) => sum + of(one), 0) / n;
  const [mx, my, mz] = [mean(({ x }) => x), mean(({ y }) => y), mean(({ level }) => level)];
  let [xx, xy, yy, xz, yz] = [0, 0, 0, 0, 0];
  for (const { x, y, level } of near) {
    xx += (x - mx) ** 2;
    xy += (x - mx) * (y - my);
    yy += (y - my) ** 2;
    xz += (x - mx) * (level - mz);
    yz += (y - my) * (level - mz);
  }
  const determinant = xx * yy - xy * xy;
  if (!(determinant > ((LEAST_WIDTH * reach) ** 2) ** 2)) return undefined;
  const b = (yy * xz - xy * yz) / determinant;
  const c = (xx * yz - xy * xz) / determinant;
  const leverage = 1 / n + (yy * mx * mx - 2 * xy * mx * my + xx * my * my) / determinant;
  // More than one reading's worth: the pin lies off the points, not among them.
  if (leverage > 1) return undefined;
  const squares = near.reduce((sum, { x, y, level }) => sum + (level - mz - b * (x - mx) - c * (y - my)) ** 2, 0);
  return { level: mz - b * mx - c * my, leverage, scatter: n > 3 ? Math.sqrt(squares / (n - 3)) : 0 };
}

/** Points in a strip narrower than this share of the reach are as good as on a line. */
const LEAST_WIDTH = 0.05;

const ofAnotherPlan = (scan: ScanSpec, found: number): Diagnostic => ({
  code: "scan-of-another-plan",
  severity: "error",
  message: `${count(found)} of the ${count(scan.xM.length)} points of ${scan.file} lie on a floor of this plan.`,
  expected: "at least half of them: what lies beyond the walls is cut off before the file is saved",
  hint:
    scan.fit === undefined
      ? "Check the unit and the corner from which the file counts; where it has coordinates of its own, give known_points."
      : "Check the known points.",
});

function warningsOf(
  { file, rows, xM, emptyArea, farOff, farthestOff, sd }: ScanLevels,
  area: SquareMetres,
): Diagnostic[] {
  const warnings: Diagnostic[] = [];
  const off = rows - xM.length;
  if (off > 0) {
    warnings.push({
      code: "scan-points-off-floor",
      severity: "warning",
      message: `${count(off)} of the ${count(rows)} points of ${file} lie on no floor, in walls, columns or beyond: they are left out`,
    });
  }
  if (emptyArea !== undefined && emptyArea > MOST_EMPTY * area) {
    warnings.push({
      code: "floor-not-scanned",
      severity: "warning",
      message: `about ${decimal(emptyArea, 1)} m² of the floor hold no point of ${file}: the slab is carried straight across`,
      hint: "scan these places from another position, or read them",
    });
  }
  if (farthestOff !== undefined && Math.abs(farthestOff.by) > Math.max(FAR_OFF_MM, FAR_OFF_SDS * sd)) {
    warnings.push({
      code: "scan-points-far-off",
      severity: "warning",
      message: `${count(farOff)} points of ${file} are more than ${FAR_OFF_MM} mm off the middle height around them, the farthest on line ${farthestOff.line}, ${decimal(Math.abs(farthestOff.by), 1)} mm too ${farthestOff.by > 0 ? "high" : "low"}; all count in the volume`,
      hint: "look at these places: what stood on the floor, or a hole, is taken out of the file before the order is made",
    });
  }
  return warnings;
}

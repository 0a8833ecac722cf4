/**
 * Carries levels from the readings to places that were not read: walls, columns, door edges, points left out.
 *
 * By a thin-plate spline through the nearest readings of the same room, smoothed as much as leaving out each
 * reading in turn allows. Chosen by the study in tests/slab/carrying-study.ts, with readings off by 0, 0.5
 * and 1 mm: against fitted planes and the nearest reading it was best for the deepest place and for the
 * greatest error at a wall, and as good as any for the volume.
 */
import type { Millimetres } from "../units.ts";
import { type Readings, type ReadingsNear, readingsNear } from "./readings-near.ts";
import { type ThinPlate, thinPlateOver } from "./thin-plate.ts";

/** Readings that speak for one place. The study saw no gain past 24, and a loss at 10. */
const READINGS_WANTED = 24;
/** Smoothings tried, in squares of the usual distance between readings: from through every reading to nearly a plane. */
const SMOOTHINGS = [0, 0.1, 0.3, 1, 3, 10, 100] as const;
/** The smoothest is taken that predicts left-out readings as well as the best, to within this share. */
const AS_GOOD = 1.03;
/** Readings left out in turn, at most: every n-th where there are more. */
const MOST_LEFT_OUT = 400;
/** Readings without which leaving one out says nothing. */
const LEAST_FOR_LEAVING_OUT = 6;

export interface CarriedLevels {
  readonly levelMm: Float64Array;
  /** The smoothing λ that was taken, in squares of the usual distance between readings. */
  readonly smoothing: number;
  /** Root mean square of (predicted − read), each reading left out in turn; absent with fewer than six readings. */
  readonly leaveOneOut?: Millimetres;
  /** Rooms whose own readings do not suffice, so that those of all rooms were taken. */
  readonly poorRooms: readonly number[];
}

/** Places that need a level: coordinates in metres, and the room or rooms that each lies in. */
export interface Places {
  readonly xM: Float64Array;
  readonly yM: Float64Array;
  readonly rooms: readonly (readonly number[])[];
}

/** `spacingM` is the usual distance between readings. Readings must not all lie on one line. */
export function carryLevels(readings: Readings, roomCount: number, spacingM: number, places: Places): CarriedLevels {
  const near = readingsNear(readings, roomCount, READINGS_WANTED);
  const chosen = chooseSmoothing(readings, near, spacingM);
  const predict = predictor(readings, chosen.smoothing, spacingM);
  const levelMm = Float64Array.from(places.rooms, (rooms, k) => {
    const x = places.xM[k]!;
    const y = places.yM[k]!;
    return predict(near.around(x, y, rooms), x, y);
  });
  return { levelMm, poorRooms: near.poorRooms, ...chosen };
}

function chooseSmoothing(
  readings: Readings,
  near: ReadingsNear,
  spacingM: number,
): { smoothing: number; leaveOneOut?: Millimetres } {
  const n = readings.xM.length;
  // A plane through so few is all that they can tell.
  if (n < LEAST_FOR_LEAVING_OUT) return { smoothing: SMOOTHINGS[SMOOTHINGS.length - 1]! };
  const squares = SMOOTHINGS.map(() => 0);
  const count = Math.min(n, MOST_LEFT_OUT);
  const predictors = SMOOTHINGS.map((smoothing) => predictor(readings, smoothing, spacingM));
  for (let k = 0; k < count; k++) {
    const left = Math.floor((k * n) / count);
    const x = readings.xM[left]!;
    const y = readings.yM[left]!;
    const around = near.around(x, y, [readings.roomOf[left]!], left);
    predictors.forEach((predict, s) => {
      squares[s]! += (predict(around, x, y) - readings.levelMm[left]!) ** 2;
    });
  }
  const limit = Math.min(...squares) * AS_GOOD ** 2;
  const chosen = squares.findLastIndex((sum) => sum <= limit);
  return { smoothing: SMOOTHINGS[chosen]!, leaveOneOut: Math.sqrt(squares[chosen]! / count) as Millimetres };
}

/** Predicts the level at a place from the readings named; those of the last call are kept, as neighbours along a wall share them. */
function predictor(
  readings: Readings,
  smoothing: number,
  spacingM: number,
): (around: Uint32Array, x: number, y: number) => number {
  let last: Uint32Array | undefined;
  let plate: ThinPlate | undefined;
  return (around, x, y) => {
    if (!last || last.length !== around.length || last.some((i, k) => i !== around[k])) {
      const xs = Float64Array.from(around, (i) => readings.xM[i]!);
      const ys = Float64Array.from(around, (i) => readings.yM[i]!);
      plate = thinPlateOver(xs, ys, smoothing, spacingM);
      last = around;
    }
    // All on one line, as when one of four readings is left out: their mean is what they tell.
    if (!plate) return around.reduce((sum, i) => sum + readings.levelMm[i]!, 0) / around.length;
    const weights = plate.weightsAt(x, y);
    return around.reduce((sum, i, k) => sum + weights[k]! * readings.levelMm[i]!, 0);
  };
}

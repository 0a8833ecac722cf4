/**
 * Carries levels from the readings to places that were not read: walls, columns, door edges, points left out.
 *
 * By a thin-plate spline over the nearest readings of the same room, smoothed as much as leaving out each
 * reading in turn allows. Chosen by the study in tests/slab/carrying-study.ts, with readings off by 0, 0.5
 * and 1 mm: it was best for the deepest place and for the greatest error at a wall, and better than fitted
 * planes and within a tenth of a millimetre of any other for the volume.
 */
import type { Metres, Millimetres } from "../units.ts";
import { areOnALine, type Readings, type ReadingsNear, readingsNear } from "./readings-near.ts";
import { type ThinPlate, type ThinPlates, thinPlatesOver } from "./thin-plate.ts";

/** Readings that speak for one place: with 16 the study got worse at walls, with 40 hardly better. */
export const READINGS_WANTED = 24;
/** Smoothings tried, in squares of the usual distance between readings: from through every reading to nearly a plane. */
const SMOOTHINGS = [0, 0.3, 1, 3, 10, 100] as const;
/** The smoothest is taken that predicts left-out readings as well as the best, to within this share. */
const AS_GOOD = 1.03;
/** Readings left out in turn, at most: every n-th where there are more. */
const MOST_LEFT_OUT = 120;
/** Readings without which leaving one out says nothing. */
const LEAST_FOR_LEAVING_OUT = 6;

export interface CarriedLevels {
  readonly levelMm: Float64Array;
  /** The smoothing λ that was taken, in squares of the usual distance between readings. */
  readonly smoothing: number;
  /** Root mean square of (predicted − read), each reading left out in turn; absent where fewer than six can be. */
  readonly leaveOneOut?: Millimetres;
  /** Rooms whose own readings do not suffice, so that those of all rooms were taken. */
  readonly poorRooms: readonly number[];
  /** The place farthest from the readings that spoke for it: its index, and how far the nearest of them is. */
  readonly farthest?: { readonly place: number; readonly distance: Metres };
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
  const levelMm = new Float64Array(places.rooms.length);
  let around: Uint32Array | undefined;
  let plate: ThinPlate | undefined;
  let farthest: CarriedLevels["farthest"];
  for (let k = 0; k < levelMm.length; k++) {
    const x = places.xM[k]!;
    const y = places.yM[k]!;
    const found = near.around(x, y, places.rooms[k]!);
    // Neighbours along a wall mostly share their readings, and so the spline.
    if (!around || !sameIndices(around, found)) plate = platesOver(readings, found, spacingM)(chosen.smoothing);
    around = found;
    levelMm[k] = predicted(readings, around, plate, x, y);
    const distance = distanceToNearest(readings, around, x, y);
    if (!farthest || distance > farthest.distance) farthest = { place: k, distance };
  }
  return { levelMm, poorRooms: near.poorRooms, ...(farthest ? { farthest } : {}), ...chosen };
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
  const tried = Math.min(n, MOST_LEFT_OUT);
  let count = 0;
  for (let k = 0; k < tried; k++) {
    const left = Math.floor((k * n) / tried);
    const x = readings.xM[left]!;
    const y = readings.yM[left]!;
    const around = near.around(x, y, [readings.roomOf[left]!], left);
    // Without the one reading beside their line the others predict nothing there.
    if (areOnALine(readings, around)) continue;
    count += 1;
    const plates = platesOver(readings, around, spacingM);
    SMOOTHINGS.forEach((smoothing, s) => {
      squares[s]! += (predicted(readings, around, plates(smoothing), x, y) - readings.levelMm[left]!) ** 2;
    });
  }
  if (count < LEAST_FOR_LEAVING_OUT) return { smoothing: SMOOTHINGS[SMOOTHINGS.length - 1]! };
  const limit = Math.min(...squares) * AS_GOOD ** 2;
  const chosen = squares.findLastIndex((sum) => sum <= limit);
  return { smoothing: SMOOTHINGS[chosen]!, leaveOneOut: Math.sqrt(squares[chosen]! / count) as Millimetres };
}

function platesOver(readings: Readings, around: Uint32Array, spacingM: number): ThinPlates {
  const x = new Float64Array(around.length);
  const y = new Float64Array(around.length);
  for (let k = 0; k < around.length; k++) {
    x[k] = readings.xM[around[k]!]!;
    y[k] = readings.yM[around[k]!]!;
  }
  return thinPlatesOver(x, y, spacingM);
}

/** Without a spline all readings are on one line, as when one of four is left out: their mean is what they tell. */
function predicted(
  readings: Readings,
  around: Uint32Array,
  plate: ThinPlate | undefined,
  x: number,
  y: number,
): number {
  const weights = plate?.weightsAt(x, y);
  let level = 0;
  for (let k = 0; k < around.length; k++)
    level += (weights ? weights[k]! : 1 / around.length) * readings.levelMm[around[k]!]!;
  return level;
}

function distanceToNearest(readings: Readings, around: Uint32Array, x: number, y: number): Metres {
  let squared = Infinity;
  for (let k = 0; k < around.length; k++) {
    const dx = readings.xM[around[k]!]! - x;
    const dy = readings.yM[around[k]!]! - y;
    squared = Math.min(squared, dx * dx + dy * dy);
  }
  return Math.sqrt(squared) as Metres;
}

function sameIndices(a: Uint32Array, b: Uint32Array): boolean {
  if (a.length !== b.length) return false;
  for (let k = 0; k < a.length; k++) if (a[k] !== b[k]) return false;
  return true;
}

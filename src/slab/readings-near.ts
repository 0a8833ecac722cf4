/** Which readings speak for a place: the nearest ones of its own room, as many as are wanted. */
import Flatbush from "flatbush";
import type { Point } from "../geometry/point.ts";

/** Readings as columns; coordinates in metres, levels in millimetres. */
export interface Readings {
  readonly xM: Float64Array;
  readonly yM: Float64Array;
  readonly levelMm: Float64Array;
  /** The room in which each was taken. */
  readonly roomOf: Uint32Array;
}

export interface ReadingsNear {
  /**
   * Readings for a place that lies in one room (or in several, as the line between two rooms in a doorway does), lowest
   * index first. A room's own readings count where they are three at least and not as good as on one line;
   * else those of all rooms do. `without` is left out.
   */
  around(x: number, y: number, rooms: readonly number[], without?: number): Uint32Array;
  /** Rooms whose own readings do not suffice. */
  readonly poorRooms: readonly number[];
}

/** Readings whose cloud is narrower than this share of its length are as good as on one line: a plane through them may tilt at will. */
const NARROW = 0.001;
/** A cloud this wide against its length (1 to 10) holds a plane well; a narrower one is widened with more readings. */
const WIDE_ENOUGH = 0.1;

/** True where all places are as good as on one line (or are fewer than three). */
export function isOnALine(places: readonly Point[]): boolean {
  const cloud = { xM: new Float64Array(places.length), yM: new Float64Array(places.length) };
  const all = new Uint32Array(places.length);
  for (let i = 0; i < places.length; i++) {
    cloud.xM[i] = places[i]!.x;
    cloud.yM[i] = places[i]!.y;
    all[i] = i;
  }
  return widthShare(cloud, all) <= NARROW;
}

/** Whether these readings are as good as on one line. */
export const areOnALine = (readings: Readings, indices: ArrayLike<number>): boolean =>
  widthShare(readings, indices) <= NARROW;

/** Indexes the readings by room; `wanted` is how many are taken where there are that many. */
export function readingsNear(readings: Readings, roomCount: number, wanted: number): ReadingsNear {
  const everywhere = new Uint32Array(readings.xM.length);
  const counts = new Uint32Array(roomCount);
  for (let i = 0; i < everywhere.length; i++) {
    everywhere[i] = i;
    counts[readings.roomOf[i]!]!++;
  }
  const ofRoom = Array.from(counts, (count) => new Uint32Array(count));
  counts.fill(0);
  for (let i = 0; i < everywhere.length; i++) {
    const room = readings.roomOf[i]!;
    ofRoom[room]![counts[room]!++] = i;
  }
  const isRich = ofRoom.map((indices) => indices.length >= 3 && widthShare(readings, indices) > NARROW);
  const indexes = new Map<number, Finder>();
  const finderOf = (room: number): Finder => {
    const key = isRich[room] ? room : -1;
    let finder = indexes.get(key);
    if (!finder) {
      finder = finderOver(readings, key === -1 ? everywhere : ofRoom[room]!);
      indexes.set(key, finder);
    }
    return finder;
  };
  return {
    poorRooms: isRich.flatMap((rich, room) => (rich ? [] : [room])),
    around: (x, y, rooms, without) => {
      const rich = rooms.filter((room) => isRich[room]);
      const finders = [...new Set((rich.length > 0 ? rich : rooms).map(finderOf))];
      const most = finders.reduce((n, finder) => n + finder.count, 0);
      let best: Uint32Array = new Uint32Array(0);
      let bestWidth = -1;
      for (let count = wanted; ; count *= 2) {
        const found = nearest(readings, finders, x, y, count, without);
        const width = widthShare(readings, found);
        if (width > bestWidth) {
          best = found;
          bestWidth = width;
        }
        if (width >= WIDE_ENOUGH || count >= most) return best;
      }
    },
  };
}

interface Finder {
  readonly count: number;
  nearest(x: number, y: number, count: number): number[];
}

function finderOver(readings: Readings, indices: Uint32Array): Finder {
  const index = new Flatbush(indices.length);
  for (const i of indices) index.add(readings.xM[i]!, readings.yM[i]!);
  index.finish();
  return {
    count: indices.length,
    nearest: (x, y, count) => index.neighbors(x, y, count).map((k) => indices[k]!),
  };
}

/** On a grid several readings are equally far, in squared distance: all of those are taken, so that turning the plan changes nothing. */
const SAME_DISTANCE = 1 + 1e-9;

function nearest(
  readings: Readings,
  finders: readonly Finder[],
  x: number,
  y: number,
  count: number,
  without: number | undefined,
): Uint32Array {
  // Twelve more than wanted: no more than that many grid points lie on one circle at such distances.
  let found = finders[0]!.nearest(x, y, count + 13);
  if (finders.length > 1) {
    found = finders.flatMap((finder) => finder.nearest(x, y, count + 13));
    found.sort((i, j) => squaredTo(readings, i, x, y) - squaredTo(readings, j, x, y) || i - j);
  }
  const kept: number[] = [];
  let limit = Infinity;
  for (const i of found) {
    if (i === without) continue;
    const squared = squaredTo(readings, i, x, y);
    if (squared > limit) break;
    if (kept.push(i) === count) limit = squared * SAME_DISTANCE;
  }
  return Uint32Array.from(kept).sort();
}

function squaredTo(readings: Readings, i: number, x: number, y: number): number {
  const dx = readings.xM[i]! - x;
  const dy = readings.yM[i]! - y;
  return dx * dx + dy * dy;
}

/**
 * How wide the cloud of readings is against its length: the root of the ratio of the eigenvalues of its second
 * moments. 0 on a line, 1 where it is as wide as long.
 */
function widthShare(readings: Pick<Readings, "xM" | "yM">, indices: ArrayLike<number>): number {
  const n = indices.length;
  if (n < 3) return 0;
  let meanX = 0;
  let meanY = 0;
  for (let k = 0; k < n; k++) {
    meanX += readings.xM[indices[k]!]! / n;
    meanY += readings.yM[indices[k]!]! / n;
  }
  let xx = 0;
  let yy = 0;
  let xy = 0;
  for (let k = 0; k < n; k++) {
    const dx = readings.xM[indices[k]!]! - meanX;
    const dy = readings.yM[indices[k]!]! - meanY;
    xx += dx * dx;
    yy += dy * dy;
    xy += dx * dy;
  }
  const half = (xx + yy) / 2;
  const spread = Math.hypot((xx - yy) / 2, xy);
  return half + spread === 0 ? 0 : Math.sqrt(Math.max(0, half - spread) / (half + spread));
}

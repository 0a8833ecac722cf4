/** In which order a crew reads: row by row, turning at each end, room by room. */
import { distance, type Point } from "../geometry/point.ts";

export interface PlaceToRead {
  readonly pointId: string;
  readonly at: Point;
  readonly roomIndex: number;
  /** Length of hose to it. */
  readonly hoseM: number;
}

/** Habit: zero is checked about every twenty readings (common practice). */
const READINGS_BETWEEN_CHECKS = 20;
/** Habit: one point in twenty is read twice (common practice). */
const TWICE_SHARE = 0.05;

/**
 * Rooms by the shortest hose to any of their points, rows from the one nearest to the start of its room.
 * A row is what stands within half a spacing north of its first point.
 */
export function serpentine<T extends PlaceToRead>(places: readonly T[], spacingNorthM: number): T[] {
  const rooms = new Map<number, T[]>();
  for (const place of places) {
    const room = rooms.get(place.roomIndex);
    if (room) room.push(place);
    else rooms.set(place.roomIndex, [place]);
  }
  const nearest = (room: readonly T[]): number => Math.min(...room.map((place) => place.hoseM));
  return [...rooms.values()]
    .sort((a, b) => nearest(a) - nearest(b))
    .flatMap((room) => {
      const rows: T[][] = [];
      for (const place of room.toSorted((a, b) => a.at.y - b.at.y || a.at.x - b.at.x)) {
        const row = rows[rows.length - 1];
        if (row && place.at.y - row[0]!.at.y < spacingNorthM / 2) row.push(place);
        else rows.push([place]);
      }
      return rows.flatMap((row, k) => row.sort((a, b) => (k % 2 === 0 ? a.at.x - b.at.x : b.at.x - a.at.x)));
    });
}

/** One point in twenty at least, spread: each time the one farthest from those chosen, the first farthest from the middle. */
export function readTwice<T extends PlaceToRead>(places: readonly T[]): T[] {
  const count = Math.ceil(places.length * TWICE_SHARE);
  if (places.length === 0) return [];
  const middle: Point = {
    x: places.reduce((sum, place) => sum + place.at.x, 0) / places.length,
    y: places.reduce((sum, place) => sum + place.at.y, 0) / places.length,
  };
  const away = places.map((place) => distance(place.at, middle));
  const chosen: T[] = [];
  while (chosen.length < count) {
    let farthest = 0;
    for (let k = 1; k < places.length; k++) if (away[k]! > away[farthest]!) farthest = k;
    const place = places[farthest]!;
    places.forEach((other, k) => {
      const near = distance(other.at, place.at);
      away[k] = chosen.length === 0 ? near : Math.min(away[k]!, near);
    });
    chosen.push(place);
  }
  return chosen;
}

/** Counts of readings after which the zero mark is read: at the start, every twenty, and at the end. */
export function zeroChecksAfter(readings: number): number[] {
  const after: number[] = [];
  for (let count = 0; count < readings; count += READINGS_BETWEEN_CHECKS) after.push(count);
  after.push(readings);
  return after;
}

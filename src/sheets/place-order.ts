/** In which order pins are placed: room after room, row by row, turning at each end. */
import type { PinDepth } from "../depths/model.ts";
import type { Point } from "../geometry/point.ts";
import type { Plan } from "../layout/model.ts";

export interface RoomPins {
  readonly roomIndex: number;
  readonly pins: readonly PinDepth[];
}

/** Pins nearer to one row than this share of the least row spacing belong to it. */
const SHARE_OF_ROW = 0.5;
/** Where a floor has one row only. */
const USUAL_ROW_M = 1;

/**
 * The pins of each room in walking order: rows of lettered lines, each walked the other way than the
 * one before, starting at the corner nearest to where the last room was left (at first: the way in).
 */
export function placeOrder(plan: Plan, pins: readonly PinDepth[]): RoomPins[] {
  const rowM = leastRowSpacing(plan) * SHARE_OF_ROW;
  let standing = entrance(plan);
  return plan.floors.flatMap((_, roomIndex): RoomPins[] => {
    const here = pins.filter(({ pin }) => pin.roomIndex === roomIndex);
    if (here.length === 0) return [];
    const rows = rowsOf(here, rowM);
    const routes = [false, true].flatMap((fromNorth) =>
      [false, true].map((fromEast) => walk(rows, fromNorth, fromEast)),
    );
    const from = standing;
    const nearest = routes.reduce((best, route) => (reach(from, route) < reach(from, best) ? route : best));
    standing = nearest.at(-1)!.pin.at;
    return [{ roomIndex, pins: nearest }];
  });
}

function entrance(plan: Plan): Point | undefined {
  const doors = plan.floors.flatMap((floor) => floor.doors);
  return (doors.find((door) => door.entrance) ?? doors[0])?.jambs[0];
}

const reach = (from: Point | undefined, route: readonly PinDepth[]): number => {
  const first = route[0]!.pin.at;
  return from ? Math.hypot(first.x - from.x, first.y - from.y) : 0;
};

function leastRowSpacing(plan: Plan): number {
  const at = plan.gridLines
    .filter(({ axis }) => axis === "lettered")
    .map((line) => line.at)
    .sort((p, q) => p - q);
  const gaps = at.slice(1).map((y, k) => y - at[k]!);
  return gaps.length > 0 ? Math.min(...gaps) : USUAL_ROW_M;
}

/** Rows from south to north; a pin starts a new row when it lies well north of the row's first. */
function rowsOf(pins: readonly PinDepth[], rowM: number): PinDepth[][] {
  const northward = [...pins].sort((p, q) => p.pin.at.y - q.pin.at.y || p.pin.at.x - q.pin.at.x);
  const rows: PinDepth[][] = [];
  for (const pin of northward) {
    const row = rows.at(-1);
    if (row && pin.pin.at.y - row[0]!.pin.at.y < rowM) row.push(pin);
    else rows.push([pin]);
  }
  return rows.map((row) => row.sort((p, q) => p.pin.at.x - q.pin.at.x || p.pin.at.y - q.pin.at.y));
}

function walk(rows: readonly (readonly PinDepth[])[], fromNorth: boolean, fromEast: boolean): PinDepth[] {
  const ordered = fromNorth ? [...rows].reverse() : rows;
  return ordered.flatMap((row, index) => ((index % 2 === 0) === fromEast ? [...row].reverse() : row));
}

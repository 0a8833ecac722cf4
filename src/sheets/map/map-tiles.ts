/** Cuts a floor that is too large for one sheet into tiles, between the grid lines and not through doors. */
import type { Point } from "../../geometry/point.ts";
import { boundsOf } from "../../geometry/polygon.ts";
import { rowLetters } from "../../job/grid-names.ts";
import type { Plan } from "../../layout/model.ts";
import type { Window } from "./map-scale.ts";

export interface Tile {
  /** Empty where the whole floor is on one sheet; else a letter from the north and a number from the west: `a1`. */
  readonly name: string;
  readonly window: Window;
  readonly column: number;
  readonly row: number;
}

/** What a floor is cut by: rooms and doors, and where its pins are. */
export type PlanToTile = Pick<Plan, "floors"> & { readonly pins: readonly { readonly at: Point }[] };

/** The floor with a margin round it, which holds what is printed outside the walls. */
export function floorWindow(plan: Pick<Plan, "floors">, marginM: number): Window {
  const bounds = boundsOf(plan.floors.flatMap(({ polygon }) => polygon.outline));
  return {
    minX: bounds.minX - marginM,
    minY: bounds.minY - marginM,
    maxX: bounds.maxX + marginM,
    maxY: bounds.maxY + marginM,
  };
}

/** Something that a match line had better not run through, as a range along one axis, with what it costs. */
interface Obstruction {
  readonly from: number;
  readonly to: number;
  readonly cost: number;
}

/** Cuts are tried this far apart. */
const CUT_STEP_M = 0.1;
const LEAST_STEPS_A_PART = 40;
const THROUGH_A_DOOR = 200;
const BESIDE_A_DOOR = 40;
const THROUGH_A_COLUMN = 20;
const THROUGH_A_PIN = 10;
/** A tile half as long again as the mean costs half of this. */
const UNEVEN = 20;

/**
 * Places to cut the range from `low` to `high` into parts no longer than `most`: as few as can be,
 * and among those the cuts that meet the least. Solved exactly over cuts `CUT_STEP_M` apart or finer, by
 * dynamic programming from the low end.
 */
export function cutRange(low: number, high: number, most: number, obstructions: readonly Obstruction[]): number[] {
  const fewest = Math.ceil((high - low) / most - 1e-9);
  if (fewest <= 1) return [];
  const steps = Math.ceil(Math.max((high - low) / CUT_STEP_M, LEAST_STEPS_A_PART * fewest));
  const stepM = (high - low) / steps;
  const reach = Math.floor(most / stepM);
  // Whole steps may need a part more than the length alone.
  const parts = Math.ceil(steps / reach);
  const costs = new Float64Array(steps + 1);
  for (const { from, to, cost } of obstructions) {
    const first = Math.max(1, Math.floor((from - low) / stepM) + 1);
    for (let s = first; s < steps && low + s * stepM < to; s++) costs[s]! += cost;
  }
  const even = steps / parts;
  // best[k][s]: least cost of reaching step s with k parts.
  const best = Array.from({ length: parts + 1 }, () => new Float64Array(steps + 1).fill(Infinity));
  const from = Array.from({ length: parts + 1 }, () => new Int32Array(steps + 1));
  best[0]![0] = 0;
  for (let k = 1; k <= parts; k++) {
    const [before, now, cameFrom] = [best[k - 1]!, best[k]!, from[k]!];
    for (let s = k; s <= steps; s++) {
      const cost = costs[s]!;
      let [least, at] = [Infinity, 0];
      for (let r = Math.max(k - 1, s - reach); r < s; r++) {
        const total = before[r]! + cost + (UNEVEN * Math.abs(s - r - even)) / even;
        if (total < least) {
          least = total;
          at = r;
        }
      }
      now[s] = least;
      cameFrom[s] = at;
    }
  }
  const cuts: number[] = [];
  for (let k = parts, s = steps; k > 1; k--) {
    s = from[k]![s]!;
    cuts.unshift(low + s * stepM);
  }
  return cuts;
}

/**
 * Tiles of at most `mostWidthM` × `mostHeightM`, row by row from the north-west, without those that
 * hold no floor.
 */
export function tileFloor(
  plan: PlanToTile,
  whole: Window,
  mostWidthM: number,
  mostHeightM: number,
  clearM: number,
): Tile[] {
  const along = (axis: "x" | "y"): Obstruction[] => [
    ...plan.floors.flatMap((floor) => [
      ...floor.doors.flatMap((door) => {
        const ends = door.jambs.map((at) => at[axis]);
        const [from, to] = [Math.min(...ends), Math.max(...ends)];
        return [
          { from, to, cost: THROUGH_A_DOOR },
          { from: from - door.width, to: to + door.width, cost: BESIDE_A_DOOR },
        ];
      }),
      ...floor.obstacles.map((obstacle) => {
        const ends = obstacle.ring.map((at) => at[axis]);
        return { from: Math.min(...ends) - clearM / 4, to: Math.max(...ends) + clearM / 4, cost: THROUGH_A_COLUMN };
      }),
      ...floor.walls
        .filter((wall) => Math.abs(wall.from[axis] - wall.to[axis]) < 0.01)
        .map((wall) => ({ from: wall.from[axis] - 0.3, to: wall.from[axis] + 0.3, cost: THROUGH_A_COLUMN })),
    ]),
    // A pin's label stands to its upper right: more room is wanted to the east and north of it.
    ...plan.pins.map(({ at }) => ({ from: at[axis] - clearM / 4, to: at[axis] + clearM, cost: THROUGH_A_PIN })),
  ];
  const xs = [whole.minX, ...cutRange(whole.minX, whole.maxX, mostWidthM, along("x")), whole.maxX];
  const ys = [whole.minY, ...cutRange(whole.minY, whole.maxY, mostHeightM, along("y")), whole.maxY];
  const tiles: Tile[] = [];
  const single = xs.length === 2 && ys.length === 2;
  for (let row = 0; row + 1 < ys.length; row++) {
    const fromTop = ys.length - 2 - row;
    for (let column = 0; column + 1 < xs.length; column++) {
      const window = { minX: xs[column]!, maxX: xs[column + 1]!, minY: ys[fromTop]!, maxY: ys[fromTop + 1]! };
      tiles.push({
        name: single ? "" : `${rowLetters(row).toLowerCase()}${column + 1}`,
        window,
        column,
        row,
      });
    }
  }
  return tiles.filter(({ window }) => hasFloor(plan, window));
}

/** Whether a room's box reaches into the window by more than a sliver; a room's own shape may still miss it. */
function hasFloor(plan: PlanToTile, window: Window): boolean {
  const sliver = 0.02 * Math.min(window.maxX - window.minX, window.maxY - window.minY);
  return (
    plan.pins.some(
      ({ at }) => at.x >= window.minX && at.x < window.maxX && at.y >= window.minY && at.y < window.maxY,
    ) ||
    plan.floors.some(({ polygon }) => {
      const bounds = boundsOf(polygon.outline);
      return (
        Math.min(bounds.maxX, window.maxX) - Math.max(bounds.minX, window.minX) > sliver &&
        Math.min(bounds.maxY, window.maxY) - Math.max(bounds.minY, window.minY) > sliver
      );
    })
  );
}

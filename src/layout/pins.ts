/** Where pins stand: at every grid and extra point, closer along doors, and between grid points that are too far apart. */
import { distance, type Point, point, pointAlong } from "../geometry/point.ts";
import type { Material } from "../job/library-model.ts";
import type { Door, GridSpec } from "../job/model.ts";
import type { Metres } from "../units.ts";
import { type FloorFinder, type GridSize, gridPlace, gridPointId } from "./grid.ts";
import type { PlanPin } from "./model.ts";

/** Common practice: a hand's breadth from jamb and wall, so that a pin can be stuck, read and raked round. */
const FROM_JAMB_M: Metres = 0.1;
const FROM_WALL_M: Metres = 0.1;

/** An opening narrower than this has one pin, in its middle (common practice). */
const ONE_PIN_OPENING_M: Metres = 0.4;

/** Two pins closer than this serve as one (common practice: half a foot; nearer ones are in the rake's way). */
const ONE_PIN_WITHIN_M: Metres = 0.15;

/** A grid this much wider than the material's pin spacing still counts as that spacing: both are rounded values. */
const SPACING_SLACK_M: Metres = 0.01;

/** Pins by place, in squares of the distance within which two are one. */
export interface PinIndex {
  /** The nearest pin of the room within ONE_PIN_WITHIN_M. */
  near(roomIndex: number, at: Point): PlanPin | undefined;
  add(pin: PlanPin): void;
  /** Puts a pin in the place of one that is there already. */
  replace(pin: PlanPin): void;
  /** In the order in which they were added. */
  all(): PlanPin[];
}

export function pinIndex(): PinIndex {
  const pins: PlanPin[] = [];
  const squares = new Map<string, number[]>();
  const square = (v: number) => Math.floor(v / ONE_PIN_WITHIN_M);
  return {
    near(roomIndex, at) {
      let best: PlanPin | undefined;
      for (let i = square(at.x) - 1; i <= square(at.x) + 1; i++) {
        for (let j = square(at.y) - 1; j <= square(at.y) + 1; j++) {
          for (const k of squares.get(`${i},${j}`) ?? []) {
            const pin = pins[k] as PlanPin;
            if (pin.roomIndex !== roomIndex || distance(pin.at, at) >= ONE_PIN_WITHIN_M) continue;
            if (best === undefined || distance(pin.at, at) < distance(best.at, at)) best = pin;
          }
        }
      }
      return best;
    },
    add(pin) {
      const key = `${square(pin.at.x)},${square(pin.at.y)}`;
      const there = squares.get(key);
      if (there) there.push(pins.length);
      else squares.set(key, [pins.length]);
      pins.push(pin);
    },
    replace(pin) {
      pins[pins.findIndex(({ id }) => id === pin.id)] = pin;
    },
    all: () => [...pins],
  };
}

/** Places along a door, inside the room that declares it: one near each jamb and the rest evenly between. */
export function doorPlaces(door: Door, spacing: Metres): Point[] {
  const [from, to] = door.jambs;
  const width = distance(from, to);
  const inward = { x: -(to.y - from.y) / width, y: (to.x - from.x) / width };
  const setIn = (along: number): Point => {
    const p = pointAlong(from, to, along);
    return point(p.x + FROM_WALL_M * inward.x, p.y + FROM_WALL_M * inward.y);
  };
  if (width < ONE_PIN_OPENING_M) return [setIn(width / 2)];
  const run = width - 2 * FROM_JAMB_M;
  const gaps = Math.max(1, Math.ceil((run - SPACING_SLACK_M) / spacing));
  return Array.from({ length: gaps + 1 }, (_, k) => setIn(FROM_JAMB_M + (run * k) / gaps));
}

/**
 * Adds the pins of a door: D1a, D1b … from the first jamb to the second. Where a pin stands already,
 * that one guards the door. Gives back how many places of the door are off the floor or in a column.
 */
export function addDoorPins(
  door: Door,
  roomIndex: number,
  spacing: Metres,
  finder: FloorFinder,
  pins: PinIndex,
): number {
  let blocked = 0;
  let letter = 0;
  for (const at of doorPlaces(door, spacing)) {
    if (finder.on(at)?.roomIndex !== roomIndex) {
      blocked += 1;
      continue;
    }
    const near = pins.near(roomIndex, at);
    if (near !== undefined) {
      if (near.doorId === undefined) pins.replace({ ...near, doorId: door.id });
      continue;
    }
    pins.add({ id: `${door.id}${doorLetter(letter)}`, at, roomIndex, kind: "door", doorId: door.id });
    letter += 1;
  }
  return blocked;
}

/** a … z, then aa, ab …: a wide opening may want more than 26. */
function doorLetter(index: number): string {
  const rest = Math.floor(index / 26);
  return (rest > 0 ? doorLetter(rest - 1) : "") + String.fromCharCode(97 + (index % 26));
}

/** Steps into which the grid's spacing is cut so that pins stand no farther apart than the material wants. */
export const stepsBetween = (gridSpacing: Metres, pinSpacing: Metres): number =>
  Math.max(1, Math.ceil((gridSpacing - SPACING_SLACK_M) / pinSpacing));

/**
 * Adds the pins between grid points where the grid is wider than the material's pins may be.
 * Gives back how many.
 */
export function addBetweenPins(
  grid: GridSpec,
  size: GridSize,
  material: Material,
  finder: FloorFinder,
  pins: PinIndex,
): number {
  const east = stepsBetween(grid.spacingEast, material.pinSpacing);
  const north = stepsBetween(grid.spacingNorth, material.pinSpacing);
  let added = 0;
  for (let up = 0; up < size.lettered * north; up++) {
    for (let along = 0; along < size.numbered * east; along++) {
      if (up % north === 0 && along % east === 0) continue;
      const at = gridPlace(grid, up / north, along / east);
      const place = finder.on(at);
      if (place === undefined || pins.near(place.roomIndex, at) !== undefined) continue;
      const base = gridPointId(Math.floor(up / north), Math.floor(along / east));
      const id = `${base}${stepName("n", up % north)}${stepName("e", along % east)}`;
      pins.add({ id, at, roomIndex: place.roomIndex, kind: "between" });
      added += 1;
    }
  }
  return added;
}

const stepName = (direction: "n" | "e", steps: number): string =>
  steps === 0 ? "" : steps === 1 ? direction : `${direction}${steps}`;

/** The slab's level at any place of the floor. */
import { triangleFinder, valueAt } from "../geometry/locate.ts";
import type { Point } from "../geometry/point.ts";
import type { Millimetres } from "../units.ts";
import type { Slab } from "./model.ts";

/** Gives the level at a place; with `roomIndex`, as that room has it. Undefined off the floor (or off that room's). */
export type LevelFinder = (at: Point, roomIndex?: number) => Millimetres | undefined;

/** Indexes the slab's triangles once, for many look-ups. */
export function levelFinder(slab: Slab): LevelFinder {
  const find = triangleFinder(slab.mesh);
  return (at, roomIndex) => {
    const place = find(at, roomIndex);
    return place && (valueAt(slab.mesh, slab.levelMm, place) as Millimetres);
  };
}

/** An index is made at the first look-up on a slab and kept with it; a slab never changes. */
const finders = new WeakMap<Slab, LevelFinder>();

/** Level of the slab at a place, straight between the vertices round it; undefined off the floor. */
export function levelAt(slab: Slab, at: Point, roomIndex?: number): Millimetres | undefined {
  let find = finders.get(slab);
  if (!find) {
    find = levelFinder(slab);
    finders.set(slab, find);
  }
  return find(at, roomIndex);
}

/** Ways on foot over the whole floor, and how far every section lies from the way out. */
import { lengthsBetween, type Passage, type WalkableFloor, walkableFloor } from "../geometry/paths.ts";
import { distance, type Point, type Polygon, type Ring } from "../geometry/point.ts";
import { boundsOf, signedArea } from "../geometry/polygon.ts";
import type { Plan } from "../layout/model.ts";
import type { Metres } from "../units.ts";
import { isPassable, longestOf, middleOf } from "./borders.ts";
import type { Segment } from "./model.ts";
import type { Opening } from "./openings.ts";
import { type Portal, type Section, widthOf } from "./sections.ts";

/** A column narrower than this costs the walker a step; ways go through it as if it were not there. */
const DETOUR_M: Metres = 1.5;

export const isLarge = (ring: Ring): boolean => {
  const { minX, minY, maxX, maxY } = boundsOf(ring);
  return Math.min(maxX - minX, maxY - minY) >= DETOUR_M;
};

/** The floor without the columns that nobody walks round. */
export const withoutColumns = ({ outline, holes }: Polygon): Polygon => ({ outline, holes: holes.filter(isLarge) });

/** The floors of all rooms with what joins them, for walking. */
export const walkingFloor = (plan: Plan, openings: readonly Opening[]): WalkableFloor =>
  walkableThrough(
    plan.floors.map(({ polygon }) => withoutColumns(polygon)),
    openings,
  );

/** Parts of floor and the openings between rooms, with the sill in between where two floors do not touch. */
export function walkableThrough(floors: readonly Polygon[], openings: readonly Opening[]): WalkableFloor {
  const sills: Polygon[] = [];
  const passages: Passage[] = [];
  for (const { edge, beyond } of openings) {
    if (beyond.kind !== "room") continue;
    passages.push(edge);
    if (beyond.touching) continue;
    passages.push(beyond.edge);
    const straight = distance(edge.to, beyond.edge.from) <= distance(edge.to, beyond.edge.to);
    const [near, far] = straight ? [beyond.edge.from, beyond.edge.to] : [beyond.edge.to, beyond.edge.from];
    const sill = [edge.from, edge.to, near, far];
    sills.push({ outline: signedArea(sill) < 0 ? sill.reverse() : sill, holes: [] });
  }
  return walkableFloor([...floors, ...sills], passages);
}

export interface Distances {
  /** Of each portal, in metres on foot to the nearest way out; Infinity where there is none. */
  readonly ofPortal: Float64Array;
  /** Of each section: its nearest portal. */
  readonly ofSection: Float64Array;
  /** Between the nearest portals of two sections, row by row. */
  readonly between: Float64Array;
  /** Index of each section's nearest portal; −1 where it has none. */
  readonly entry: Int32Array;
}

export const portalPlace = ({ stretches }: Portal): Point => middleOf(longestOf(stretches) as Segment);

export function distancesOut(
  floor: WalkableFloor,
  sections: readonly Section[],
  portals: readonly Portal[],
): Distances {
  const places = portals.map(portalPlace);
  const exits = portals.flatMap(({ other }, k) => (other === undefined ? [places[k]!] : []));
  const fromExits = lengthsBetween(floor, exits, places);
  const ofPortal = new Float64Array(portals.length).fill(Number.POSITIVE_INFINITY);
  for (let e = 0; e < exits.length; e++)
    for (let k = 0; k < portals.length; k++) ofPortal[k] = Math.min(ofPortal[k]!, fromExits[e * portals.length + k]!);
  const entry = new Int32Array(sections.length).fill(-1);
  const ofSection = new Float64Array(sections.length).fill(Number.POSITIVE_INFINITY);
  for (const [k, portal] of portals.entries()) {
    if (!isPassable(portal.stretches, widthOf(portal)) || !(ofPortal[k]! < ofSection[portal.section]!)) continue;
    ofSection[portal.section] = ofPortal[k]!;
    entry[portal.section] = k;
  }
  const entries = sections.map(({ index }) => (entry[index]! < 0 ? undefined : places[entry[index]!]));
  const reached = entries.flatMap((place, k) => (place ? [k] : []));
  const at = reached.map((k) => entries[k] as Point);
  const lengths = lengthsBetween(floor, at, at);
  const between = new Float64Array(sections.length * sections.length).fill(Number.POSITIVE_INFINITY);
  for (const [i, a] of reached.entries())
    for (const [j, b] of reached.entries()) between[a * sections.length + b] = lengths[i * reached.length + j]!;
  return { ofPortal, ofSection, between, entry };
}

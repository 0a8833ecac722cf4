/**
 * A top that falls from all walls of a room to a point drain: level along the walls, and from each wall a plane down to
 * the drain. Between them the top is straight; in a doorway it stays as high as along the walls.
 */
import { type CutMesh, cutMesh } from "../geometry/cut-mesh.ts";
import type { Mesh } from "../geometry/mesh.ts";
import type { Point, Ring } from "../geometry/point.ts";
import type { Metres, Millimetres, MillimetresPerMetre } from "../units.ts";
import type { Plane } from "./wishes.ts";

export interface DrainFalls {
  readonly at: Point;
  /** The inside faces of the room's walls, counter-clockwise; the drain sees every one of them from its inner side. */
  readonly outline: Ring;
  /** How far the top lies lower at the drain than along the walls. */
  readonly drop: Millimetres;
}

/** A top as a plane, with what falls to a drain taken off it. */
export type Top = Plane & { readonly drain?: DrainFalls };

/** The plane from one wall to the drain. Wall k runs from corner k of the outline. */
export interface Facet {
  readonly wall: number;
  /** From the drain square to the wall's line. */
  readonly distance: Metres;
  readonly fall: MillimetresPerMetre;
}

const cross = (o: Point, a: Point, b: Point): number => (a.x - o.x) * (b.y - o.y) - (a.y - o.y) * (b.x - o.x);

/** Distance of the drain from each wall's line; nothing or less where it does not see the wall from inside. */
export const wallDistances = (at: Point, outline: Ring): readonly Metres[] =>
  outline.map((a, k) => {
    const b = outline[(k + 1) % outline.length]!;
    return (cross(a, b, at) / Math.hypot(b.x - a.x, b.y - a.y)) as Metres;
  });

export const facetsOf = ({ at, outline, drop }: DrainFalls): readonly Facet[] =>
  wallDistances(at, outline).map((distance, wall) => ({ wall, distance, fall: drop / distance }));

/** How far the top lies lower at a place than along the walls: all of the drop at the drain, nothing from the walls on. */
export function dropAt({ at, outline, drop }: DrainFalls, place: Point): Millimetres {
  let nearest = Number.NEGATIVE_INFINITY;
  /** 0 at the wall, 1 at the drain. */
  let wayIn = 0;
  for (let k = 0; k < outline.length; k++) {
    const a = outline[k]!;
    const b = outline[(k + 1) % outline.length]!;
    // Between the lines from the drain to both ends of the wall; on such a line either side's plane says the same.
    const between = Math.min(cross(at, a, place), cross(at, place, b));
    if (between <= nearest) continue;
    nearest = between;
    wayIn = cross(a, b, place) / cross(a, b, at);
  }
  return drop * Math.min(1, Math.max(0, wayIn));
}

/** The room's triangles cut where the top bends: from the drain to every corner, and along walls that have a doorway. */
export const cutWhereBent = (mesh: Mesh, room: number, { at, outline }: DrainFalls): CutMesh =>
  cutMesh(mesh, room, [
    ...outline.map((corner): readonly [Point, Point] => [at, corner]),
    ...outline.map((corner, k): readonly [Point, Point] => [corner, outline[(k + 1) % outline.length]!]),
  ]);

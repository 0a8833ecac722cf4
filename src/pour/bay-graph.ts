/** The bays of one section, which of them lie side by side, and where one can walk from one to the next and out. */
import { distance, type Point, point } from "../geometry/point.ts";
import { centroid, polygonContains } from "../geometry/polygon.ts";
import type { Litres, Metres, Millimetres, SquareMetres } from "../units.ts";
import { edgesOf, isPassable, PASSABLE_M, sharedStretches } from "./borders.ts";
import { type Cell, cellMeasures, splitCell } from "./cells.ts";
import type { LaneField } from "./lanes.ts";
import type { Segment } from "./model.ts";
import { extentAlong, type LaneDirection } from "./parts.ts";
import { type Portal, widthOf } from "./sections.ts";
import { type VolumeProfile, volumeProfile } from "./volume-profile.ts";

export interface BayShape {
  readonly index: number;
  readonly cell: Cell;
  readonly direction: LaneDirection;
  /** Along the lane; worked out when it is first asked for, since most bays that are tried never are. */
  readonly profile: () => VolumeProfile;
  /** How far it reaches along the lane. */
  readonly from: Metres;
  readonly to: Metres;
  readonly area: SquareMetres;
  readonly volume: Litres;
  readonly greatest: Millimetres;
  /** A place inside. */
  readonly centre: Point;
}

/** Litres less than this on a bay or a section are none: a spoonful. */
const SPOONFUL: Litres = 0.01;

/** Whether material goes on it; in a lower lift some of the floor stays dry. */
export const isWet = ({ volume }: { readonly volume: Litres }): boolean => volume > SPOONFUL;

export interface Border {
  readonly a: number;
  readonly b: number;
  readonly stretches: readonly Segment[];
  readonly passable: boolean;
}

export interface BayGraph {
  readonly bays: readonly BayShape[];
  readonly borders: readonly Border[];
  /** Of each bay, the indices of its borders. */
  readonly bordersOf: readonly (readonly number[])[];
  /** Of each bay, where it touches a way on: out, or into a section that is poured later. */
  readonly exitsOf: readonly (readonly Exit[])[];
}

export interface Exit {
  readonly stretches: readonly Segment[];
  /** Of the whole opening. */
  readonly width: Metres;
  readonly portal: number;
}

/** Cuts the lanes out of each field; each connected piece of a lane is a bay. */
export function baysOf(
  fields: readonly { readonly field: LaneField; readonly lines: readonly Metres[] }[],
): BayShape[] {
  const bays: BayShape[] = [];
  for (const { field, lines } of fields) {
    let rest: Cell[] = [field.cell];
    const { along, across } = field.direction;
    const lanes: Cell[][] = [];
    for (const at of lines) {
      const line = { through: point(at * across.x, at * across.y), along };
      const cuts = rest.map((cell) => splitCell(cell, line));
      lanes.push(cuts.flatMap(({ right }) => right));
      rest = cuts.flatMap(({ left }) => left);
    }
    lanes.push(rest);
    for (const cell of lanes.flat()) bays.push(bayShape(cell, field.direction, bays.length));
  }
  return bays;
}

export function bayShape(cell: Cell, direction: LaneDirection, index: number): BayShape {
  const { along } = direction;
  let profile: VolumeProfile | undefined;
  const { area, volume, greatest } = cellMeasures(cell);
  const [from, to] = extentAlong(cell.floor, along);
  return {
    index,
    cell,
    direction,
    profile: () => {
      profile ??= volumeProfile(cell.pieces, along.x, along.y);
      return profile;
    },
    from,
    to,
    area,
    volume,
    greatest,
    centre: placeInside(cell),
  };
}

/** The centre of area, or of the largest piece where that lies off the floor. */
function placeInside({ floor, pieces }: Cell): Point {
  const middle = centroid(floor);
  if (polygonContains(floor, middle)) return middle;
  let best: Point | undefined;
  let most = 0;
  for (const piece of pieces) {
    const x = piece.reduce((sum, p) => sum + p.x, 0) / piece.length;
    const y = piece.reduce((sum, p) => sum + p.y, 0) / piece.length;
    const size = piece.reduce((sum, p) => sum + distance(point(p.x, p.y), point(x, y)), 0);
    if (size > most) {
      most = size;
      best = point(x, y);
    }
  }
  return best ?? middle;
}

export function bayGraph(bays: readonly BayShape[], portals: readonly { portal: Portal; index: number }[]): BayGraph {
  const edges = bays.map(({ cell }) => edgesOf(cell.floor));
  const boxes = edges.map((list) => ({
    minX: Math.min(...list.map(({ from }) => from.x)),
    maxX: Math.max(...list.map(({ from }) => from.x)),
    minY: Math.min(...list.map(({ from }) => from.y)),
    maxY: Math.max(...list.map(({ from }) => from.y)),
  }));
  const borders: Border[] = [];
  const bordersOf = bays.map((): number[] => []);
  for (let a = 0; a < bays.length; a++) {
    for (let b = a + 1; b < bays.length; b++) {
      const [p, q] = [boxes[a]!, boxes[b]!];
      if (p.minX > q.maxX + 1e-3 || q.minX > p.maxX + 1e-3 || p.minY > q.maxY + 1e-3 || q.minY > p.maxY + 1e-3)
        continue;
      const stretches = sharedStretches(edges[a]!, edges[b]!);
      if (stretches.length === 0) continue;
      bordersOf[a]!.push(borders.length);
      bordersOf[b]!.push(borders.length);
      borders.push({ a, b, stretches, passable: isPassable(stretches) });
    }
  }
  const exitsOf = bays.map((_, k) =>
    portals.flatMap(({ portal, index }): Exit[] => {
      const stretches = sharedStretches(edges[k]!, portal.stretches);
      return stretches.length === 0 ? [] : [{ stretches, width: widthOf(portal), portal: index }];
    }),
  );
  return { bays, borders, bordersOf, exitsOf };
}

export const otherBay = ({ a, b }: Pick<Border, "a" | "b">, bay: number): number => (a === bay ? b : a);

/** From firm floor a rake reaches so far: the last of a bay is poured from there (common practice). */
export const RAKE_REACH_M: Metres = 1.5;

/**
 * True where one can stand at the end towards which a bay is poured: where an edge to open floor is
 * wide enough to walk through within a rake's reach of that end.
 */
export function opensAtEnd(
  bay: BayShape,
  backward: boolean,
  stretches: readonly Segment[],
  width = PASSABLE_M,
): boolean {
  const { x, y } = bay.direction.along;
  // How far a place lies past the line from which the end is in reach; the edge of a doorway can lie past the end itself.
  const past = (p: Point): number => {
    const at = x * p.x + y * p.y;
    return backward ? bay.from + RAKE_REACH_M - at : at - (bay.to - RAKE_REACH_M);
  };
  const near = stretches.flatMap(({ from, to }): Segment[] => {
    const [s, t] = [past(from), past(to)];
    if (s >= 0 && t >= 0) return [{ from, to }];
    if (s < 0 && t < 0) return [];
    const share = s / (s - t);
    const limit = point(from.x + share * (to.x - from.x), from.y + share * (to.y - from.y));
    return [s >= 0 ? { from, to: limit } : { from: limit, to }];
  });
  return isPassable(near, width);
}

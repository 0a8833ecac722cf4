/** One placement of a straightedge on a floor: its gap, and how it is found and corrected there. */
import type { Point } from "../geometry/point.ts";
import type { EdgeContact } from "../job/contract-model.ts";
import type { Metres, Millimetres } from "../units.ts";
import {
  type Cut,
  cutFloor,
  type Direction,
  directionAt,
  emptyCut,
  type FloorSurface,
  pointOnLine,
  readingsUnder,
} from "./floor-profiles.ts";
import {
  countedGap,
  emptyUnderEdge,
  FEWEST_READINGS_UNDER_EDGE,
  gapWeights,
  gatherUnder,
  letRest,
  noRest,
  type RestFound,
  type UnderEdge,
} from "./straightedge.ts";

export interface EdgeTask {
  readonly length: Metres;
  readonly contact: EdgeContact;
  /** The gap allowed: places past it are listed. */
  readonly limit: Millimetres;
  /** A tighter gap that a share of all places must keep. */
  readonly most?: Millimetres;
  /** First direction, radians counter-clockwise from east: along the longest wall, so that a turned plan gives the same. */
  readonly firstDirection: number;
  /** The edge is laid down at least this often along a line, and lines are at most this far apart. */
  readonly step: Metres;
  /** No set of places is begun that would bring their number past this; on a very large floor the step is made wider. */
  readonly greatestPlaces: number;
}

/** The edge lying on the floor. */
export interface EdgePlace {
  readonly ends: readonly [Point, Point];
  readonly contacts: readonly [Point, Point];
  readonly gapAt: Point;
  readonly gap: Millimetres;
  readonly readings: number;
  /** What each vertex of the mesh adds to the gap, for its uncertainty: gap = Σ weight × level. */
  readonly weights: ReadonlyMap<number, number>;
  /** How the gap grows with each contact's level. */
  readonly leverage: readonly [number, number];
  /** How far contacts and gap stand above the straight line of best fit to the floor under the edge. */
  readonly aboveFit: { readonly contacts: readonly [Millimetres, Millimetres]; readonly gap: Millimetres };
}

/** Where an edge is laid: its line, and how far along it begins. */
export interface Laid {
  readonly angle: number;
  readonly offset: number;
  readonly start: number;
  readonly gap: number;
}

/** What a search works with: buffers that are written again at every placement. */
export interface Bench {
  readonly floor: FloorSurface;
  readonly task: EdgeTask;
  readonly cut: Cut;
  readonly under: UnderEdge;
  readonly one: RestFound;
  readonly other: RestFound;
}

/** Rounding of places along a line; and how far the last line keeps off the rim of the floor, which a line can only touch. */
export const OFF_RIM_M = 1e-6;
export const layingBench = (floor: FloorSurface, task: EdgeTask): Bench => ({
  floor,
  task,
  cut: emptyCut(),
  under: emptyUnderEdge(),
  one: noRest(),
  other: noRest(),
});

/** The gap that counts, of what was gathered under the edge; the worse of two rests. */
export function gapOf(bench: Bench, start: number): number {
  const { one, other, task, under } = bench;
  const rests = letRest(under, start, task.length, one, other);
  const gap = countedGap(one, task.contact);
  return rests === 2 ? Math.max(gap, countedGap(other, task.contact)) : gap;
}

/** The gap with the edge laid on a line through the floor; undefined where it is not wholly on it, or not decided. */
export function gapAt(bench: Bench, angle: number, offset: number, start: number): number | undefined {
  const { floor, task, cut, under } = bench;
  const end = start + task.length;
  let gap: number | undefined;
  cutFloor(floor, directionAt(angle), offset, cut, (stretch) => {
    const last = stretch.count - 1;
    if (stretch.alongM[0]! > start + OFF_RIM_M || stretch.alongM[last]! < end - OFF_RIM_M) return;
    let hint = 0;
    while (hint < last && stretch.alongM[hint]! < start) hint++;
    let past = hint;
    while (past < last && stretch.alongM[past]! < end) past++;
    if (stretch.unreadBefore[past]! > stretch.unreadBefore[Math.max(0, hint - 1)]!) return;
    if (readingsUnder(stretch, start, end) < FEWEST_READINGS_UNDER_EDGE) return;
    gatherUnder(under, stretch, start, task.length, hint);
    gap = gapOf(bench, start);
  });
  return gap;
}

/** The place in plan points, with what each vertex adds to its gap. */
export function placeOf(bench: Bench, laid: Laid): EdgePlace {
  const { floor, task, cut, under, one, other } = bench;
  const direction: Direction = directionAt(laid.angle);
  const end = laid.start + task.length;
  let place: EdgePlace | undefined;
  cutFloor(floor, direction, laid.offset, cut, (stretch) => {
    const last = stretch.count - 1;
    if (stretch.alongM[0]! > laid.start + OFF_RIM_M || stretch.alongM[last]! < end - OFF_RIM_M) return;
    gatherUnder(under, stretch, laid.start, task.length, 0);
    const rests = letRest(under, laid.start, task.length, one, other);
    const rest = rests === 2 && countedGap(other, task.contact) > countedGap(one, task.contact) ? other : one;
    const low = task.contact === "between-contacts" ? rest.gapAt : rest.wholeGapAt;
    const at = (k: number): Point => pointOnLine(direction, laid.offset, under.alongM[k]!);
    const weights = new Map<number, number>();
    const add = (vertex: number, weight: number): void => {
      weights.set(vertex, (weights.get(vertex) ?? 0) + weight);
    };
    for (const [k, weight] of gapWeights(stretch, under, rest, low)) {
      add(stretch.from[k]!, weight * (1 - stretch.share[k]!));
      add(stretch.to[k]!, weight * stretch.share[k]!);
    }
    const [left, right] = [under.alongM[rest.left]!, under.alongM[rest.right]!];
    const toRight = (under.alongM[low]! - left) / (right - left);
    const above = aboveBestFit(under);
    place = {
      ends: [pointOnLine(direction, laid.offset, laid.start), pointOnLine(direction, laid.offset, end)],
      contacts: [at(rest.left), at(rest.right)],
      gapAt: at(low),
      gap: countedGap(rest, task.contact),
      readings: readingsUnder(stretch, laid.start, end),
      weights,
      leverage: [1 - toRight, toRight],
      aboveFit: { contacts: [above(rest.left), above(rest.right)], gap: above(low) },
    };
  });
  if (!place)
    throw new Error(`the edge at ${laid.start} m along the line ${laid.offset} m off is no longer on the floor`);
  return place;
}

/** How far a sample stands above the straight line of best fit to what lies under the edge, each by the floor it stands for. */
function aboveBestFit(under: UnderEdge): (sample: number) => Millimetres {
  const { alongM, levelMm, count } = under;
  const stands = (k: number): number => (alongM[Math.min(count - 1, k + 1)]! - alongM[Math.max(0, k - 1)]!) / 2;
  let [sum, sumS, sumH] = [0, 0, 0];
  for (let k = 0; k < count; k++) {
    sum += stands(k);
    sumS += stands(k) * alongM[k]!;
    sumH += stands(k) * levelMm[k]!;
  }
  const [meanS, meanH] = [sumS / sum, sumH / sum];
  let [along, both] = [0, 0];
  for (let k = 0; k < count; k++) {
    along += stands(k) * (alongM[k]! - meanS) ** 2;
    both += stands(k) * (alongM[k]! - meanS) * (levelMm[k]! - meanH);
  }
  return (k) => levelMm[k]! - meanH - (both / along) * (alongM[k]! - meanS);
}

/** Cells of floor that straight lines cut: the outline for people, the pieces for volumes, kept together. */
import { distance, type Point, type Polygon, point, type Ring } from "../geometry/point.ts";
import {
  boundsOf,
  distanceToSegment,
  intersectionOf,
  nearestOnRing,
  polygonArea,
  polygonContains,
} from "../geometry/polygon.ts";
import { addTo, emptySum, sumSoFar } from "../numeric/sum.ts";
import type { Litres, Metres, Millimetres, SquareMetres } from "../units.ts";
import { type FillPiece, pieceMeasures } from "./fill.ts";

/** A connected part of one room's floor and what goes on it. */
export interface Cell {
  readonly floor: Polygon;
  readonly pieces: readonly FillPiece[];
}

/** A straight line without ends; its left side is where the cross product is positive. */
export interface Line {
  readonly through: Point;
  /** Of length 1. */
  readonly along: { readonly x: number; readonly y: number };
}

export function lineThrough(from: Point, to: Point): Line {
  const length = Math.hypot(to.x - from.x, to.y - from.y);
  if (!(length > 0)) throw new Error("a line through one place twice has no direction");
  return { through: from, along: { x: (to.x - from.x) / length, y: (to.y - from.y) / length } };
}

/** Distance of a place to the left of a line, in metres; negative to the right. */
export const leftOf = ({ through, along }: Line, p: { readonly x: number; readonly y: number }): Metres =>
  along.x * (p.y - through.y) - along.y * (p.x - through.x);

/** Floor narrower than this beside a line is not cut off: ten times the grid of the polygon operations. */
const SLIVER_M = 1e-5;
/** A component smaller than this is the rounding of a corner: a square centimetre. */
const CRUMB_M2 = 1e-4;
/** One narrower than this is the rounding of a line along a wall: the finest mark of a tape. */
const CRUMB_M = 1e-3;

/** What rounding leaves beside a cut. The mean width of a strip is its area over half its rim. */
function isCrumb(part: Polygon): boolean {
  const area = polygonArea(part);
  const rim = part.outline.reduce((sum, p, k) => sum + distance(p, part.outline[(k + 1) % part.outline.length]!), 0);
  return area < CRUMB_M2 || (2 * area) / rim < CRUMB_M;
}

/** Cuts a cell along a line into the connected parts on its left and on its right; either can be empty. */
export function splitCell(cell: Cell, line: Line): { readonly left: Cell[]; readonly right: Cell[] } {
  let most = Number.NEGATIVE_INFINITY;
  let least = Number.POSITIVE_INFINITY;
  for (const p of cell.floor.outline) {
    const off = leftOf(line, p);
    most = Math.max(most, off);
    least = Math.min(least, off);
  }
  if (least > -SLIVER_M) return { left: [cell], right: [] };
  if (most < SLIVER_M) return { left: [], right: [cell] };
  const leftPieces: FillPiece[] = [];
  const rightPieces: FillPiece[] = [];
  for (const piece of cell.pieces) {
    let high = Number.NEGATIVE_INFINITY;
    let low = Number.POSITIVE_INFINITY;
    for (const p of piece) {
      const off = leftOf(line, p);
      if (off > high) high = off;
      if (off < low) low = off;
    }
    if (low >= 0) leftPieces.push(piece);
    else if (high <= 0) rightPieces.push(piece);
    else {
      leftPieces.push(clipPiece(piece, line, 1));
      rightPieces.push(clipPiece(piece, line, -1));
    }
  }
  const left = connected(cell.floor, halfPlane(cell.floor, line, 1), leftPieces);
  const right = connected(cell.floor, halfPlane(cell.floor, line, -1), rightPieces);
  // Nothing but crumbs on one side: they stay with the other.
  if (left === undefined || right === undefined) {
    return left === undefined ? { left: [], right: [cell] } : { left: [cell], right: [] };
  }
  return { left, right };
}

/** The part of a convex piece on one side of a line (Sutherland & Hodgman, Communications of the ACM 17 (1974)). */
function clipPiece(piece: FillPiece, line: Line, side: 1 | -1): FillPiece {
  const kept: FillPiece[number][] = [];
  for (let k = 0; k < piece.length; k++) {
    const p = piece[k]!;
    const q = piece[(k + 1) % piece.length]!;
    const dp = side * leftOf(line, p);
    const dq = side * leftOf(line, q);
    if (dp >= 0) kept.push(p);
    if ((dp > 0 && dq < 0) || (dp < 0 && dq > 0)) {
      const t = dp / (dp - dq);
      kept.push({
        x: p.x + t * (q.x - p.x),
        y: p.y + t * (q.y - p.y),
        value: p.value + t * (q.value - p.value),
      });
    }
  }
  return kept;
}

function halfPlane(floor: Polygon, { through, along }: Line, side: 1 | -1): Polygon {
  const { minX, minY, maxX, maxY } = boundsOf(floor.outline);
  const reach = maxX - minX + (maxY - minY) + Math.hypot(through.x - minX, through.y - minY) + 1;
  const corner = (forward: number, across: number): Point =>
    point(
      through.x + reach * (forward * along.x - across * side * along.y),
      through.y + reach * (forward * along.y + across * side * along.x),
    );
  const outline = [corner(-1, 0), corner(1, 0), corner(1, 1), corner(-1, 1)];
  return { outline: side > 0 ? outline : outline.reverse(), holes: [] };
}

/** The connected parts of a floor inside a half-plane, each with its pieces; undefined where there are only crumbs. */
function connected(floor: Polygon, half: Polygon, pieces: readonly FillPiece[]): Cell[] | undefined {
  const floors = intersectionOf([floor], [half])
    .filter((part) => !isCrumb(part))
    .map((part): Polygon => ({ outline: withoutSpikes(part.outline), holes: part.holes }));
  if (floors.length === 0) return undefined;
  if (floors.length === 1) return [{ floor: floors[0]!, pieces }];
  const sorted = floors.map((): FillPiece[] => []);
  for (const piece of pieces) sorted[floorOf(floors, middleOf(piece))]!.push(piece);
  return floors.map((part, k) => ({ floor: part, pieces: sorted[k]! }));
}

/** A line that runs along a wall leaves spikes narrower than this beside it: a tenth of a millimetre. */
const SPIKE_M = 1e-4;

/** Takes out corners at which a ring runs out and straight back. */
export function withoutSpikes(ring: Ring): Ring {
  const kept = [...ring];
  for (let k = 0, steady = 0; kept.length > 3 && steady < kept.length; ) {
    const at = k % kept.length;
    const before = kept[(at + kept.length - 1) % kept.length]!;
    const after = kept[(at + 1) % kept.length]!;
    if (isSpike(before, kept[at]!, after)) {
      kept.splice(at, 1);
      steady = 0;
      k = Math.max(0, at - 1);
    } else {
      steady++;
      k = at + 1;
    }
  }
  return kept;
}

function isSpike(before: Point, at: Point, after: Point): boolean {
  const toBefore = distance(at, before);
  const toAfter = distance(at, after);
  if (toBefore < SPIKE_M || toAfter < SPIKE_M) return true;
  // Back the way it came: the nearer neighbour lies on the way to the farther one.
  return toBefore < toAfter
    ? distanceToSegment(before, at, after) < SPIKE_M
    : distanceToSegment(after, at, before) < SPIKE_M;
}

const middleOf = (piece: FillPiece): Point =>
  point(piece.reduce((sum, p) => sum + p.x, 0) / piece.length, piece.reduce((sum, p) => sum + p.y, 0) / piece.length);

/** The floor that holds a place, else the nearest. */
export function floorOf(floors: readonly Polygon[], p: Point): number {
  const holds = floors.findIndex((floor) => polygonContains(floor, p));
  if (holds >= 0) return holds;
  let nearest = 0;
  let away = Number.POSITIVE_INFINITY;
  for (const [k, { outline }] of floors.entries()) {
    const { distance } = nearestOnRing(p, outline);
    if (distance < away) {
      away = distance;
      nearest = k;
    }
  }
  return nearest;
}

/** What a cell holds: the area that gets material, its volume, and the greatest fill. */
export function cellMeasures({ pieces }: Cell): {
  readonly area: SquareMetres;
  readonly volume: Litres;
  readonly greatest: Millimetres;
} {
  const area = emptySum();
  const volume = emptySum();
  let greatest = 0;
  for (const piece of pieces) {
    const measures = pieceMeasures(piece);
    if (measures.volume > 0) addTo(area, measures.area);
    addTo(volume, measures.volume);
    for (const { value } of piece) greatest = Math.max(greatest, value);
  }
  return { area: sumSoFar(area), volume: sumSoFar(volume), greatest };
}

/** What lies along a line on the floor: how deep the pour is there, and where the line meets a bay's sides. */
import type { Depths } from "../depths/model.ts";
import { triangleCount } from "../geometry/mesh.ts";
import { distance, type Point, point } from "../geometry/point.ts";
import { ON_LINE_M } from "../geometry/polygon.ts";
import type { Metres, Millimetres } from "../units.ts";
import type { BayShape } from "./bay-graph.ts";
import { edgesOf } from "./borders.ts";
import type { FillPiece } from "./fill.ts";
import type { Segment } from "./model.ts";

/** The greatest depth of the pour along each stretch, places below the least depth as if ground down; exact for the surface. */
export function greatestDepthAlong(depths: Depths, stretches: readonly Segment[]): Millimetres {
  const { leastAllowed } = depths;
  const { mesh, depthMm } = depths.drawn ?? depths;
  let greatest: Millimetres = 0;
  for (const { from, to } of stretches) {
    const minX = Math.min(from.x, to.x) - ON_LINE_M;
    const maxX = Math.max(from.x, to.x) + ON_LINE_M;
    const minY = Math.min(from.y, to.y) - ON_LINE_M;
    const maxY = Math.max(from.y, to.y) + ON_LINE_M;
    for (let t = 0; t < triangleCount(mesh); t++) {
      const [a, b, c] = [mesh.corners[3 * t]!, mesh.corners[3 * t + 1]!, mesh.corners[3 * t + 2]!];
      const [ax, bx, cx] = [mesh.xM[a]!, mesh.xM[b]!, mesh.xM[c]!];
      if (Math.max(ax, bx, cx) < minX || Math.min(ax, bx, cx) > maxX) continue;
      const [ay, by, cy] = [mesh.yM[a]!, mesh.yM[b]!, mesh.yM[c]!];
      if (Math.max(ay, by, cy) < minY || Math.min(ay, by, cy) > maxY) continue;
      const corners: Corners = [ax, ay, bx, by, cx, cy];
      const within = shareInTriangle(corners, from, to);
      if (!within) continue;
      for (const share of within) {
        const p = point(from.x + share * (to.x - from.x), from.y + share * (to.y - from.y));
        const depth = valueIn(corners, [depthMm[a]!, depthMm[b]!, depthMm[c]!], p);
        greatest = Math.max(greatest, depth, leastAllowed);
      }
    }
  }
  return greatest;
}

type Corners = readonly [number, number, number, number, number, number];

/** From where to where a stretch lies in a triangle, as shares of it (Cyrus & Beck, Computers & Graphics 3 (1978)). */
function shareInTriangle(c: Corners, from: Point, to: Point): [number, number] | undefined {
  let low = 0;
  let high = 1;
  for (let k = 0; k < 3; k++) {
    const [px, py] = [c[2 * k]!, c[2 * k + 1]!];
    const [qx, qy] = [c[(2 * k + 2) % 6]!, c[(2 * k + 3) % 6]!];
    const length = Math.hypot(qx - px, qy - py);
    if (length === 0) return undefined;
    const inside = (p: Point): number => ((qx - px) * (p.y - py) - (qy - py) * (p.x - px)) / length + ON_LINE_M;
    const [s, t] = [inside(from), inside(to)];
    if (s < 0 && t < 0) return undefined;
    if (s < 0) low = Math.max(low, s / (s - t));
    else if (t < 0) high = Math.min(high, s / (s - t));
  }
  return low <= high ? [low, high] : undefined;
}

function valueIn([ax, ay, bx, by, cx, cy]: Corners, [a, b, c]: readonly [number, number, number], p: Point): number {
  const whole = (bx - ax) * (cy - ay) - (cx - ax) * (by - ay);
  const atB = ((p.x - ax) * (cy - ay) - (cx - ax) * (p.y - ay)) / whole;
  const atC = ((bx - ax) * (p.y - ay) - (p.x - ax) * (by - ay)) / whole;
  return a + atB * (b - a) + atC * (c - a);
}

/** The greatest fill of pieces along stretches that they were cut along. */
export function greatestFillAlong(pieces: readonly FillPiece[], stretches: readonly Segment[]): Millimetres {
  let greatest: Millimetres = 0;
  for (const { from, to } of stretches) {
    const length = distance(from, to);
    const ux = (to.x - from.x) / length;
    const uy = (to.y - from.y) / length;
    for (const piece of pieces) {
      for (const p of piece) {
        if (p.value <= greatest) continue;
        const along = ux * (p.x - from.x) + uy * (p.y - from.y);
        if (along < -10 * ON_LINE_M || along > length + 10 * ON_LINE_M) continue;
        if (Math.abs(ux * (p.y - from.y) - uy * (p.x - from.x)) <= 10 * ON_LINE_M) greatest = p.value;
      }
    }
  }
  return greatest;
}

/** Lines across a bay are taken this far inside its ends, where its sides begin and stop. */
const INSIDE_M: Metres = 1e-3;

/** The line across a bay at a place along its lane, from its right side to its left. */
export function lineAcross(bay: BayShape, at: Metres): readonly [Point, Point] {
  const { spot, sides } = crossed(bay, at);
  return [spot(sides[0]!), spot(sides[sides.length - 1]!)];
}

/** A place on the floor in the middle of a bay at a place along its lane: of the widest stretch between walls and columns. */
export function middleAcross(bay: BayShape, at: Metres): Point {
  const { spot, sides } = crossed(bay, at);
  let best = 0;
  for (let k = 2; k + 1 < sides.length; k += 2)
    if (sides[k + 1]! - sides[k]! > sides[best + 1]! - sides[best]! + INSIDE_M) best = k;
  return spot((sides[best]! + sides[best + 1]!) / 2);
}

/** Where the line across a bay meets its rim, from the right; in pairs, with floor between each. */
function crossed(
  { cell, direction, from, to }: BayShape,
  at: Metres,
): { readonly spot: (side: Metres) => Point; readonly sides: readonly Metres[] } {
  const { along, across } = direction;
  const inset = Math.min(INSIDE_M, (to - from) / 4);
  const place = Math.min(to - inset, Math.max(from + inset, at));
  const sides: Metres[] = [];
  for (const edge of edgesOf(cell.floor)) {
    const s = along.x * edge.from.x + along.y * edge.from.y;
    const t = along.x * edge.to.x + along.y * edge.to.y;
    if (s < place === t < place) continue;
    const share = (place - s) / (t - s);
    const x = edge.from.x + share * (edge.to.x - edge.from.x);
    const y = edge.from.y + share * (edge.to.y - edge.from.y);
    sides.push(across.x * x + across.y * y);
  }
  sides.sort((p, q) => p - q);
  const spot = (side: Metres): Point => point(place * along.x + side * across.x, place * along.y + side * across.y);
  return { spot, sides };
}

/** How wide a bay is at its widest, square to its lane. */
export function widthOfBay({ cell, direction: { across } }: BayShape): Metres {
  const places = cell.floor.outline.map((p) => across.x * p.x + across.y * p.y);
  return Math.max(...places) - Math.min(...places);
}

/** The top of the pour, worked out again: where it falls to a drain, by the line from the drain out through the place. */
import type { Point } from "../geometry/point.ts";
import type { Plan } from "../layout/model.ts";
import type { Slab } from "../slab/model.ts";
import type { Target, TargetZone } from "../target/model.ts";

interface Corner {
  readonly x: number;
  readonly y: number;
}

/** Level of a zone's top at a place; no zone has no top. */
export function topAgainMm(zone: TargetZone | undefined, { x, y }: Corner): number {
  if (zone === undefined) return Number.NaN;
  const flat = zone.top + zone.fallEast * x + zone.fallNorth * y;
  if (zone.drain === undefined) return flat;
  const { at, outline, drop } = zone.drain;
  // From the drain out through the place the top rises evenly until the line meets a wall.
  let shareOfWay = 0;
  for (const [k, a] of outline.entries()) {
    const b = outline[(k + 1) % outline.length] as Point;
    const [ex, ey] = [b.x - a.x, b.y - a.y];
    const [px, py] = [x - at.x, y - at.y];
    const turn = px * ey - py * ex;
    if (turn === 0) continue;
    const out = ((a.x - at.x) * ey - (a.y - at.y) * ex) / turn;
    const along = ((a.x - at.x) * py - (a.y - at.y) * px) / turn;
    if (out > 0 && along >= -1e-9 && along <= 1 + 1e-9) shareOfWay = Math.max(shareOfWay, 1 / out);
  }
  return flat - drop * (1 - Math.min(1, shareOfWay));
}

interface SlabCorner extends Corner {
  levelMm: number;
}

/** A triangle of the floor over which slab and top are straight. */
export interface FloorPiece {
  readonly room: number;
  readonly zone: TargetZone;
  readonly corners: readonly Readonly<SlabCorner>[];
  readonly areaM2: number;
}

/**
 * Shows the whole floor in such triangles, one after another; false where a room is in no zone. A scan has millions:
 * what is shown holds until the next one.
 */
export function visitFloor(
  { mesh, levelMm }: Slab,
  { zones }: Target,
  plan: Plan,
  visit: (piece: FloorPiece) => void,
): boolean {
  const zoneOf = plan.floors.map((_, room) => zones.find(({ roomIndices }) => roomIndices.includes(room)));
  const doorwaysOf = plan.floors.map(({ doors }) => doors.flatMap(({ doorway }) => (doorway ? [doorway] : [])));
  const triangle = [0, 1, 2].map(() => ({ x: 0, y: 0, levelMm: 0 }));
  for (let t = 0; t < mesh.regionOf.length; t++) {
    const room = mesh.regionOf[t] as number;
    const zone = zoneOf[room];
    if (zone === undefined) return false;
    for (const [k, corner] of triangle.entries()) {
      const v = mesh.corners[3 * t + k] as number;
      corner.x = mesh.xM[v] as number;
      corner.y = mesh.yM[v] as number;
      corner.levelMm = levelMm[v] as number;
    }
    if (zone.drain === undefined) {
      visit({ room, zone, corners: triangle, areaM2: areaOf(triangle) });
      continue;
    }
    for (const ring of straightPieces(zone.drain, doorwaysOf[room] ?? [], triangle)) {
      for (let k = 1; k + 1 < ring.length; k++) {
        const three = [ring[0], ring[k], ring[k + 1]] as Corner[];
        const corners = three.map((at) => ({ x: at.x, y: at.y, levelMm: levelInTriangle(triangle, at) }));
        visit({ room, zone, corners, areaM2: areaOf(three) });
      }
    }
  }
  return true;
}

function areaOf(three: readonly Corner[]): number {
  const [a, b, c] = three as [Corner, Corner, Corner];
  return ((b.x - a.x) * (c.y - a.y) - (c.x - a.x) * (b.y - a.y)) / 2;
}

/** A triangle of the slab in pieces over which a top that falls to a drain is straight: under each plane, and in each doorway. */
function straightPieces(
  { at, outline }: NonNullable<TargetZone["drain"]>,
  doorways: readonly (readonly Corner[])[],
  triangle: readonly Corner[],
): readonly (readonly Corner[])[] {
  const planes = outline.map((a, k): readonly Corner[] => [at, a, outline[(k + 1) % outline.length] as Point]);
  return [...planes, ...doorways].map((window) => clipped(triangle, window)).filter((piece) => piece.length >= 3);
}

/** What two counter-clockwise convex rings share (Sutherland & Hodgman, Communications of the ACM 17, 1974). */
export function clipped(ring: readonly Corner[], window: readonly Corner[]): readonly Corner[] {
  let left = ring;
  for (const [k, a] of window.entries()) {
    const b = window[(k + 1) % window.length] as Corner;
    const side = ({ x, y }: Corner): number => (b.x - a.x) * (y - a.y) - (b.y - a.y) * (x - a.x);
    left = left.flatMap((p, i): Corner[] => {
      const q = left[(i + 1) % left.length] as Corner;
      const [sp, sq] = [side(p), side(q)];
      const kept = sp >= 0 ? [p] : [];
      if (sp >= 0 === sq >= 0) return kept;
      const share = sp / (sp - sq);
      return [...kept, { x: p.x + share * (q.x - p.x), y: p.y + share * (q.y - p.y) }];
    });
  }
  return left;
}

/** Level of the slab at a place of one of its triangles, by areas of the three parts that the place makes of it. */
export function levelInTriangle(corners: readonly (Corner & { readonly levelMm: number })[], at: Corner): number {
  const area = (a: Corner, b: Corner, c: Corner): number => (b.x - a.x) * (c.y - a.y) - (c.x - a.x) * (b.y - a.y);
  const [a, b, c] = corners as [(typeof corners)[0], (typeof corners)[0], (typeof corners)[0]];
  return (a.levelMm * area(at, b, c) + b.levelMm * area(at, c, a) + c.levelMm * area(at, a, b)) / area(a, b, c);
}

/** What goes where, lift by lift: convex pieces of floor over which the fill is straight. */
import type { Depths } from "../depths/model.ts";
import { aboveByRegion, areaByRegion, clipTriangle, type ValuedPoint } from "../geometry/level.ts";
import { triangleCount } from "../geometry/mesh.ts";
import type { Lift } from "../quantities/model.ts";
import type { Litres, Millimetres, SquareMetres } from "../units.ts";

/** A convex piece of floor, corners counter-clockwise, with the thickness of material in millimetres at each. */
export type FillPiece = readonly ValuedPoint[];

/**
 * The pieces of each lift, room by room: `[lift][room]`. Over all lifts they hold the volume to order and
 * the allowance for the surface's profile, which goes with the first material that a place gets.
 * A lift below the last fills only what lies deeper than its top; the last one fills the rest, places
 * below the least depth as if ground down to it. Every lift has pieces over the whole floor, of no fill where it
 * leaves the floor dry.
 */
export function fillPieces(
  { mesh, depthMm, leastAllowed }: Pick<Depths, "mesh" | "depthMm" | "leastAllowed">,
  lifts: readonly Lift[],
  profile: Millimetres,
  roomCount: number,
): FillPiece[][][] {
  const tops = lifts.slice(0, -1).map(({ topBelowTarget }) => topBelowTarget);
  const pieces = lifts.map(() => Array.from({ length: roomCount }, (): FillPiece[] => []));
  const steps = [leastAllowed, ...tops].sort((p, q) => p - q);
  for (let t = 0; t < triangleCount(mesh); t++) {
    const room = mesh.regionOf[t]!;
    const corners = [0, 1, 2].map((k): ValuedPoint => {
      const v = mesh.corners[3 * t + k]!;
      return { x: mesh.xM[v]!, y: mesh.yM[v]!, value: depthMm[v]! };
    });
    for (let s = 0; s <= steps.length; s++) {
      const part = clipTriangle(corners, s === 0 ? undefined : steps[s - 1], steps[s]);
      if (part.length < 3) continue;
      // A triangle that lies level at the step would be cut out on both sides of it: it belongs above.
      if (s < steps.length && part.every(({ value }) => value >= steps[s]!)) continue;
      const mean = part.reduce((sum, p) => sum + p.value, 0) / part.length;
      const lowest = tops.findIndex((top) => mean > top);
      const firstLift = lowest < 0 ? lifts.length - 1 : lowest;
      for (let lift = 0; lift < lifts.length; lift++) {
        const extra = lift === firstLift ? profile : 0;
        pieces[lift]![room]!.push(
          part.map(({ x, y, value }) => ({ x, y, value: fillOf(value, lift, tops, leastAllowed) + extra })),
        );
      }
    }
  }
  return pieces;
}

/**
 * The pieces to pour. Of a scan they are those of the points that are shown, each room of each lift brought to the volume
 * that all points make: the pour is laid out on what can be drawn, and takes what is ordered.
 */
export function piecesToPour(
  depths: Pick<Depths, "mesh" | "depthMm" | "drawn" | "leastAllowed">,
  lifts: readonly Lift[],
  profile: Millimetres,
  roomCount: number,
): FillPiece[][][] {
  const { drawn, leastAllowed } = depths;
  if (drawn === undefined) return fillPieces(depths, lifts, profile, roomCount);
  const wanted = volumesOfLifts(depths, lifts, profile, roomCount);
  return fillPieces({ ...drawn, leastAllowed }, lifts, profile, roomCount).map((rooms, lift) =>
    rooms.map((pieces, room) => {
      const volume = pieces.reduce((sum, piece) => sum + pieceMeasures(piece).volume, 0);
      const factor = volume > 0 ? wanted[lift]![room]! / volume : 1;
      return pieces.map((piece) => piece.map(({ x, y, value }) => ({ x, y, value: value * factor })));
    }),
  );
}

/** What each lift takes in each room, `[lift][room]`: as the pieces hold it, from areas and integrals alone. */
function volumesOfLifts(
  { mesh, depthMm, leastAllowed }: Pick<Depths, "mesh" | "depthMm" | "leastAllowed">,
  lifts: readonly Lift[],
  profile: Millimetres,
  roomCount: number,
): number[][] {
  const areas = areaByRegion(mesh, roomCount);
  const toLeast = aboveByRegion(mesh, depthMm, leastAllowed, roomCount);
  const poured = areas.map(() => 0);
  const wetted = areas.map(() => 0);
  return lifts.map(({ topBelowTarget }, lift) => {
    const isLast = lift === lifts.length - 1;
    const below = isLast ? undefined : aboveByRegion(mesh, depthMm, topBelowTarget, roomCount);
    return areas.map((area, room) => {
      const upTo = below ? below[room]!.integral : leastAllowed * area + toLeast[room]!.integral;
      const first = (below ? below[room]!.area : area) - wetted[room]!;
      const volume = upTo - poured[room]! + profile * first;
      poured[room] = upTo;
      wetted[room]! += first;
      return volume;
    });
  });
}

/** How much of a depth a lift fills. */
function fillOf(depth: Millimetres, lift: number, tops: readonly Millimetres[], least: Millimetres): Millimetres {
  const below = lift === 0 ? 0 : Math.max(depth - tops[lift - 1]!, 0);
  const upTo = lift === tops.length ? Math.max(depth, least) : Math.max(depth - tops[lift]!, 0);
  return upTo - below;
}

/** Area of a convex piece, and ∫ fill over it by a fan of triangles (prism over a triangle: A (v₁ + v₂ + v₃)/3). */
export function pieceMeasures(piece: FillPiece): { readonly area: SquareMetres; readonly volume: Litres } {
  const first = piece[0]!;
  let area = 0;
  let volume = 0;
  for (let k = 1; k + 1 < piece.length; k++) {
    const a = piece[k]!;
    const b = piece[k + 1]!;
    const half = ((a.x - first.x) * (b.y - first.y) - (b.x - first.x) * (a.y - first.y)) / 2;
    area += half;
    volume += (half * (first.value + a.value + b.value)) / 3;
  }
  return { area, volume };
}

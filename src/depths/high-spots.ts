/** Places to grind: connected floor on which less than the least depth would lie. */
import { connectedRegions } from "../geometry/bands.ts";
import type { Millimetres } from "../units.ts";
import type { DepthSurface, HighSpot } from "./model.ts";

/** A place that lacks less than this is left as it is: finer than a level is read or a grinder is set (common practice). */
export const GRIND_FROM_MM: Millimetres = 0.1;

/** H1, H2 …, most to grind first, over all parts of the floor. */
export function findHighSpots(parts: readonly (DepthSurface & { readonly leastAllowed: Millimetres })[]): HighSpot[] {
  return parts
    .flatMap(({ mesh, depthMm, leastAllowed }) =>
      connectedRegions(mesh, depthMm, undefined, leastAllowed).map((piece) => ({
        piece,
        leastAllowed,
        grind: leastAllowed - piece.least.value,
      })),
    )
    .filter(({ grind }) => grind >= GRIND_FROM_MM)
    .sort((a, b) => b.grind - a.grind || b.piece.area - a.piece.area || a.piece.region - b.piece.region)
    .map(({ piece, leastAllowed, grind }, k) => ({
      id: `H${k + 1}`,
      roomIndex: piece.region,
      regions: piece.polygons,
      area: piece.area,
      worst: piece.least.at,
      grind,
      groundVolume: leastAllowed * piece.area - piece.integral,
      proud: piece.least.value < 0,
    }));
}

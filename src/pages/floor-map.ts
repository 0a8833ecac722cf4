/**
 * The floor as a drawing for the screen: it zooms and pans, so it is one drawing of the whole floor,
 * not the tiles of the pin map. Coordinates are units of the drawing, the longer side 1000 of them.
 */
import type { Depths, PinDepth } from "../depths/model.ts";
import { count, height } from "../format.ts";
import { distance, type Point, type Polygon, point, type Ring } from "../geometry/point.ts";
import { boundsOf, centroid, polygonArea } from "../geometry/polygon.ts";
import type { HeightUnit } from "../job/model.ts";
import type { Plan, PlanPin } from "../layout/model.ts";
import { onPaper, pathThrough } from "../sheets/drawing.ts";
import { type BandLook, bandLook } from "../sheets/map/floor-marks.ts";

export interface FloorMap {
  readonly width: number;
  readonly height: number;
  /** How tall a letter of a pin's name is: a quarter of the usual way from a pin to its nearest, within bounds. */
  readonly letter: number;
  readonly rooms: readonly { readonly name: string; readonly d: string; readonly x: number; readonly y: number }[];
  readonly obstacles: readonly {
    readonly id: string;
    readonly kind: "column" | "opening";
    readonly d: string;
    readonly x: number;
    readonly y: number;
  }[];
  readonly doors: readonly { readonly id: string; readonly d: string }[];
  readonly bands: readonly MapBand[];
  readonly highSpots: readonly { readonly id: string; readonly d: string; readonly x: number; readonly y: number }[];
  readonly contours: readonly { readonly index: boolean; readonly d: string }[];
  readonly pins: readonly MapPin[];
}

export interface MapBand extends BandLook {
  readonly number: string;
  readonly d: string;
  /** Where its number stands: inside its largest part. */
  readonly x: number;
  readonly y: number;
}

export interface MapPin {
  readonly id: string;
  readonly x: number;
  readonly y: number;
  readonly look: "read" | "interpolated" | "grind" | "not-yet";
  /** What stands under the name: the cut in the job's leading unit, or nothing yet. */
  readonly cut: string;
}

const LONGER_SIDE = 1000;
const MARGIN = 30;

/** Draws the plan, with depths where there are any. */
export function drawFloorMap(plan: Plan, depths: Depths | undefined, leading: HeightUnit): FloorMap {
  const bounds = boundsOf(plan.floors.flatMap((floor) => floor.polygon.outline));
  const scale = LONGER_SIDE / Math.max(bounds.maxX - bounds.minX, bounds.maxY - bounds.minY);
  const at = ({ x, y }: Point) => ({
    x: onPaper((x - bounds.minX) * scale + MARGIN),
    y: onPaper((bounds.maxY - y) * scale + MARGIN),
  });
  const ringPath = (ring: Ring) => pathThrough(ring.map(at), true);
  const areaPath = (polygon: Polygon) => [polygon.outline, ...polygon.holes].map(ringPath).join("");

  const middleOf = (ring: Ring) => centroid({ outline: ring, holes: [] });
  const covered = [
    ...plan.pins.map((pin) => pin.at),
    ...plan.floors.flatMap((floor) => floor.obstacles.map(({ ring }) => middleOf(ring))),
  ];

  return {
    width: onPaper((bounds.maxX - bounds.minX) * scale + 2 * MARGIN),
    height: onPaper((bounds.maxY - bounds.minY) * scale + 2 * MARGIN),
    letter: letterHeight(plan.pins, scale),
    rooms: plan.floors.map((floor) => ({
      name: floor.name,
      d: areaPath(floor.polygon),
      ...at(roomiestPlace(floor.polygon, covered)),
    })),
    obstacles: plan.floors.flatMap((floor) =>
      floor.obstacles.map(({ id, kind, ring }) => ({
        id,
        kind,
        d: ringPath(ring),
        ...at(middleOf(ring)),
      })),
    ),
    doors: plan.floors.flatMap((floor) =>
      floor.doors.map(({ id, jambs }) => ({ id, d: pathThrough(jambs.map(at), false) })),
    ),
    bands: (depths?.bands ?? []).flatMap((band) => {
      const largest = largestOf(band.regions);
      if (largest === undefined) return [];
      const d = band.regions.map(areaPath).join("");
      return [{ ...bandLook(band.number), number: count(band.number), d, ...at(roomiestPlace(largest, covered)) }];
    }),
    highSpots: (depths?.highSpots ?? []).map(({ id, regions, worst }) => {
      const largest = largestOf(regions);
      const d = regions.map(areaPath).join("");
      return { id, d, ...at(largest === undefined ? worst : roomiestPlace(largest, covered)) };
    }),
    contours: (depths?.contours ?? []).map(({ index, lines }) => ({
      index,
      d: lines.map((line) => pathThrough(line.map(at), false)).join(""),
    })),
    pins:
      depths === undefined
        ? plan.pins.map((pin) => ({ id: pin.id, ...at(pin.at), look: "not-yet", cut: "" }))
        : depths.pins.map((depth) => ({
            id: depth.pin.id,
            ...at(depth.pin.at),
            look: depth.cut.kind === "cut" ? depth.from : "grind",
            cut: cutOf(depth, leading),
          })),
  };
}

const cutOf = ({ cut }: PinDepth, leading: HeightUnit): string =>
  cut.kind === "cut" ? height(cut.length, leading).large.number : "";

const largestOf = (regions: readonly Polygon[]): Polygon | undefined =>
  [...regions].sort((p, q) => polygonArea(q) - polygonArea(p))[0];

/** Scan lines on which room for a name is looked for. */
const SCAN_LINES = 13;
/** A stretch this much shorter than the longest is still long enough for a name that would else stand on a pin. */
const LONG_ENOUGH = 0.6;

/**
 * A place for a name inside a polygon: the middle of a long stretch that one of a few lines from west to east finds
 * in it, and of those the farthest from what the name would cover.
 */
function roomiestPlace(polygon: Polygon, covered: readonly Point[]): Point {
  const rings = [polygon.outline, ...polygon.holes];
  const { minY, maxY } = boundsOf(polygon.outline);
  const stretches: { length: number; middle: Point }[] = [];
  for (let line = 1; line <= SCAN_LINES; line += 1) {
    const y = minY + ((maxY - minY) * line) / (SCAN_LINES + 1);
    const crossings = rings.flatMap((ring) => crossingsAt(ring, y)).sort((a, b) => a - b);
    for (let k = 0; k + 1 < crossings.length; k += 2) {
      const [from, to] = [crossings[k] as number, crossings[k + 1] as number];
      stretches.push({ length: to - from, middle: point((from + to) / 2, y) });
    }
  }
  const longest = Math.max(...stretches.map(({ length }) => length));
  const clearance = (at: Point) => Math.min(...covered.map((other) => distance(at, other)));
  let best = polygon.outline[0] as Point;
  let clearest = -1;
  for (const { length, middle } of stretches) {
    if (length < LONG_ENOUGH * longest) continue;
    const clear = clearance(middle);
    if (clear <= clearest) continue;
    best = middle;
    clearest = clear;
  }
  return best;
}

/** Where a ring crosses the line at y, going up or down: an even number of places (half-open rule, as in point-in-polygon tests). */
function crossingsAt(ring: Ring, y: number): number[] {
  return ring.flatMap((a, k) => {
    const b = ring[(k + 1) % ring.length] as Point;
    if (a.y <= y === b.y <= y) return [];
    return [a.x + ((y - a.y) / (b.y - a.y)) * (b.x - a.x)];
  });
}

/** The middle one of the ways from each pin to its nearest decides; pins that crowd at a door come apart when zoomed. */
function letterHeight(pins: readonly PlanPin[], scale: number): number {
  const nearest = pins
    .map((pin) => {
      let squared = Number.POSITIVE_INFINITY;
      for (const other of pins) {
        const apart = (other.at.x - pin.at.x) ** 2 + (other.at.y - pin.at.y) ** 2;
        if (apart > 0 && apart < squared) squared = apart;
      }
      return Math.sqrt(squared);
    })
    .sort((a, b) => a - b);
  const usual = nearest[nearest.length >> 1];
  const wanted = usual === undefined || !Number.isFinite(usual) ? LARGEST_LETTER : (usual * scale) / 4;
  return onPaper(Math.min(LARGEST_LETTER, Math.max(SMALLEST_LETTER, wanted)));
}

const LARGEST_LETTER = 22;
const SMALLEST_LETTER = 3;

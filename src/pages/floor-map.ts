/**
 * The floor as a drawing for the screen: it zooms and pans, so it is one drawing of the whole floor,
 * not the tiles of the pin map. Coordinates are units of the drawing, the longer side 1000 of them.
 */
import type { Depths, PinDepth } from "../depths/model.ts";
import { height } from "../format.ts";
import type { Point, Polygon, Ring } from "../geometry/point.ts";
import { boundsOf, centroid } from "../geometry/polygon.ts";
import type { HeightUnit } from "../job/model.ts";
import type { Plan, PlanPin } from "../layout/model.ts";
import { onPaper, pathThrough } from "../sheets/drawing.ts";

export interface FloorMap {
  readonly width: number;
  readonly height: number;
  /** How tall a letter of a pin's name is: a third of the way to its nearest neighbour, within bounds. */
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
  /** Areas by class of depth: `proud` and `thin` first, then the bands by number. */
  readonly bands: readonly { readonly shade: number; readonly d: string }[];
  readonly highSpots: readonly { readonly id: string; readonly d: string; readonly x: number; readonly y: number }[];
  readonly contours: readonly { readonly index: boolean; readonly d: string }[];
  readonly pins: readonly MapPin[];
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
/** Shades go round: a band's number stands in the legend, the shade only helps. */
const SHADES = 4;

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

  return {
    width: onPaper((bounds.maxX - bounds.minX) * scale + 2 * MARGIN),
    height: onPaper((bounds.maxY - bounds.minY) * scale + 2 * MARGIN),
    letter: letterHeight(plan.pins, scale),
    rooms: plan.floors.map((floor) => ({
      name: floor.name,
      d: areaPath(floor.polygon),
      ...at(centroid(floor.polygon)),
    })),
    obstacles: plan.floors.flatMap((floor) =>
      floor.obstacles.map(({ id, kind, ring }) => ({
        id,
        kind,
        d: ringPath(ring),
        ...at(centroid({ outline: ring, holes: [] })),
      })),
    ),
    doors: plan.floors.flatMap((floor) =>
      floor.doors.map(({ id, jambs }) => ({ id, d: pathThrough(jambs.map(at), false) })),
    ),
    bands: (depths?.bands ?? []).map((band) => ({
      shade: (band.number - 1) % SHADES,
      d: band.regions.map(areaPath).join(""),
    })),
    highSpots: (depths?.highSpots ?? []).map((spot) => ({
      id: spot.id,
      d: spot.regions.map(areaPath).join(""),
      ...at(spot.worst),
    })),
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

function letterHeight(pins: readonly PlanPin[], scale: number): number {
  let nearest = Number.POSITIVE_INFINITY;
  // Names are laid out once a job and pins are at most a few thousand; only neighbours along x matter.
  const sorted = [...pins].sort((a, b) => a.at.x - b.at.x || a.at.y - b.at.y);
  for (let i = 0; i < sorted.length; i += 1) {
    const a = sorted[i] as PlanPin;
    for (let j = i + 1; j < sorted.length; j += 1) {
      const b = sorted[j] as PlanPin;
      if (b.at.x - a.at.x >= nearest) break;
      const apart = Math.hypot(b.at.x - a.at.x, b.at.y - a.at.y);
      if (apart > 0 && apart < nearest) nearest = apart;
    }
  }
  const wanted = Number.isFinite(nearest) ? (nearest * scale) / 3 : LARGEST_LETTER;
  return onPaper(Math.min(LARGEST_LETTER, Math.max(SMALLEST_LETTER, wanted)));
}

const LARGEST_LETTER = 22;
const SMALLEST_LETTER = 3;

/** Names that stand inside what they name: numbers of depth bands, names of rooms, depths on contours. */
import type { Plan } from "../../layout/model.ts";
import { box, circle, type Mark, type PaperPoint, text } from "../drawing.ts";
import { CAP_HEIGHT, textWidthMm } from "../type/text-metrics.ts";
import { DEPTH_MM, HEADING_MM, KNEELING_MM } from "../type/type-sizes.ts";
import type { Projection } from "./map-scale.ts";
import { type Box, boxAround, boxWithin, grown, type Occupancy } from "./occupancy.ts";

const NUMBER_HALF_MM = 2.6;
/** A region smaller than this on paper has no room for its number. */
const LEAST_REGION_MM = 3 * NUMBER_HALF_MM;
const LEAST_STEP_MM = 3;
/** Places tried along each side of a region. */
const MOST_STEPS = 28;

const corners = (of: Box): PaperPoint[] => [
  { x: of.minX, y: of.minY },
  { x: of.maxX, y: of.minY },
  { x: of.maxX, y: of.maxY },
  { x: of.minX, y: of.maxY },
];

/** Even-odd. */
function insideRings(rings: readonly (readonly PaperPoint[])[], at: PaperPoint): boolean {
  let inside = false;
  for (const ring of rings) {
    for (let k = 0; k < ring.length; k++) {
      const [a, b] = [ring[k]!, ring[(k + 1) % ring.length]!];
      if (a.y > at.y !== b.y > at.y && at.x < a.x + ((at.y - a.y) / (b.y - a.y)) * (b.x - a.x)) inside = !inside;
    }
  }
  return inside;
}

/** A free place for a box inside the rings and the frame, as near to the middle as there is room. */
export function placeInside(
  rings: readonly (readonly PaperPoint[])[],
  halfWidth: number,
  halfHeight: number,
  taken: Occupancy,
  frame: Box,
): Box | undefined {
  const xs = rings[0]!.map(({ x }) => x);
  const ys = rings[0]!.map(({ y }) => y);
  const bounds: Box = {
    minX: Math.max(frame.minX, Math.min(...xs)) + halfWidth,
    maxX: Math.min(frame.maxX, Math.max(...xs)) - halfWidth,
    minY: Math.max(frame.minY, Math.min(...ys)) + halfHeight,
    maxY: Math.min(frame.maxY, Math.max(...ys)) - halfHeight,
  };
  const middle = { x: (bounds.minX + bounds.maxX) / 2, y: (bounds.minY + bounds.maxY) / 2 };
  const stepX = Math.max(LEAST_STEP_MM, (bounds.maxX - bounds.minX) / MOST_STEPS);
  const stepY = Math.max(LEAST_STEP_MM, (bounds.maxY - bounds.minY) / MOST_STEPS);
  const places: { at: PaperPoint; off: number }[] = [];
  for (let x = bounds.minX; x <= bounds.maxX; x += stepX) {
    for (let y = bounds.minY; y <= bounds.maxY; y += stepY) {
      places.push({ at: { x, y }, off: Math.hypot(x - middle.x, y - middle.y) });
    }
  }
  places.sort((p, q) => p.off - q.off);
  for (const { at } of places) {
    const candidate = boxAround(at.x, at.y, halfWidth, halfHeight);
    if (taken.boxIsFree(grown(candidate, 0.4)) && corners(candidate).every((corner) => insideRings(rings, corner))) {
      return candidate;
    }
  }
  return undefined;
}

/** A band's number, where it fits wholly into the region. */
export function numberInside(name: string, rings: readonly PaperPoint[][], taken: Occupancy, frame: Box): Mark[] {
  const xs = rings[0]!.map(({ x }) => x);
  const ys = rings[0]!.map(({ y }) => y);
  const small = Math.min(Math.max(...xs) - Math.min(...xs), Math.max(...ys) - Math.min(...ys)) < LEAST_REGION_MM;
  const place = small ? undefined : placeInside(rings, NUMBER_HALF_MM, NUMBER_HALF_MM, taken, frame);
  if (!place) return [];
  taken.addBox(place);
  const at = { x: place.minX + NUMBER_HALF_MM, y: place.minY + NUMBER_HALF_MM };
  return [
    circle(at.x, at.y, NUMBER_HALF_MM, "label-box"),
    circle(at.x, at.y, NUMBER_HALF_MM, "fine"),
    text(at.x, at.y + (KNEELING_MM * CAP_HEIGHT) / 2, name, KNEELING_MM, "middle"),
  ];
}

/** Each room's name where there is room for it, inside its outline. */
export function placeRoomNames(plan: Plan, projection: Projection, taken: Occupancy, frame: Box): Mark[] {
  return plan.floors.flatMap((floor) => {
    const outline = floor.polygon.outline.map((at) => projection.toPaper(at));
    const halfWidth = textWidthMm(floor.name, HEADING_MM, 700) / 2 + 1;
    const halfHeight = (HEADING_MM * CAP_HEIGHT) / 2 + 1;
    const place = placeInside([outline], halfWidth, halfHeight, taken, frame);
    if (!place) return [];
    taken.addBox(place);
    return [
      box(place.minX, place.minY, 2 * halfWidth, 2 * halfHeight, "label-box"),
      text(place.minX + halfWidth, place.maxY - 1, floor.name, HEADING_MM, "middle", 700),
    ];
  });
}

/** Between two labels of one line. */
const LABEL_EVERY_MM = 120;

/** A contour's depth on the line itself, which is broken there. */
export function labelOnLine(name: string, points: readonly PaperPoint[], taken: Occupancy, frame: Box): Mark[] {
  const marks: Mark[] = [];
  const halfWidth = textWidthMm(name, DEPTH_MM) / 2 + 0.5;
  const halfHeight = (DEPTH_MM * CAP_HEIGHT) / 2 + 0.5;
  let since = LABEL_EVERY_MM * 0.6;
  for (let k = 0; k + 1 < points.length; k++) {
    const [a, b] = [points[k]!, points[k + 1]!];
    const length = Math.hypot(b.x - a.x, b.y - a.y);
    for (let along = 0; along < length; along += 3) {
      since += Math.min(3, length);
      if (since < LABEL_EVERY_MM) continue;
      const at = { x: a.x + ((b.x - a.x) * along) / length, y: a.y + ((b.y - a.y) * along) / length };
      const candidate = boxAround(at.x, at.y, halfWidth, halfHeight);
      if (!boxWithin(candidate, frame) || !taken.boxIsFree(grown(candidate, 0.4))) continue;
      taken.addBox(candidate);
      since = 0;
      marks.push(
        box(candidate.minX, candidate.minY, 2 * halfWidth, 2 * halfHeight, "label-box"),
        text(at.x, candidate.maxY - 0.5, name, DEPTH_MM, "middle"),
      );
    }
  }
  return marks;
}

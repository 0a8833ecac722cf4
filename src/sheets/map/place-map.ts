/** Places the labels of a map: of items, ends of lines and walls. By where things are and how much paper they take, not by what they say. */
import { distance, type Point, point, pointAlong } from "../../geometry/point.ts";
import { placeAgainstRing } from "../../geometry/polygon.ts";
import type { PlanUnit } from "../../job/model.ts";
import type { Plan, RoomFloor } from "../../layout/model.ts";
import type { Mark, PaperPoint } from "../drawing.ts";
import type { Words } from "../words/en.ts";
import { type Building, benchMarkMarks, buildingMarks, entranceMark, frameOf } from "./floor-marks.ts";
import {
  endsOf,
  type LineEnd,
  type LineOnPaper,
  linesOnPaper,
  placeLineLabels,
  placeZeroWalls,
} from "./line-labels.ts";
import { inWindow, type Projection } from "./map-scale.ts";
import type { PlanToTile } from "./map-tiles.ts";
import { type Box, boxAround, newOccupancy, type Occupancy } from "./occupancy.ts";
import { type MapItem, PIN_RADIUS_MM } from "./pin-labels.ts";
import { type LabelWish, type PlacedLabel, placeLabels } from "./place-labels.ts";

/** What the places of labels go by: where things are and how much paper their labels take, not what these say. */
export interface LabelSubject {
  readonly job: {
    readonly units: { readonly plan: PlanUnit };
    readonly benchMarks: readonly { readonly at: Point }[];
  };
  readonly plan: PlanToTile & Pick<Plan, "gridLines">;
  readonly words: Pick<Words, "wall">;
  readonly items: readonly Pick<MapItem, "id" | "at" | "roomIndex" | "kind" | "labelWidth" | "labelHeight">[];
}

/** An item in the window, and the place of its label, if it found one. */
export interface PlacedItem {
  readonly id: string;
  readonly place?: PlacedLabel;
}

/** The labels that tell whether a scale is large enough, and what is left of the paper. */
export interface PlacedMap {
  readonly projection: Projection;
  readonly taken: Occupancy;
  readonly building: Building;
  readonly items: readonly PlacedItem[];
  readonly lines: readonly LineOnPaper[];
  /** Labels of lines and walls: those placed before the items' labels, and those placed after. */
  readonly marks: { readonly before: readonly Mark[]; readonly after: readonly Mark[] };
  /** Bench marks and entrances. */
  readonly symbols: readonly Mark[];
  /** Ids of items, and ends of lines, whose label found no room. */
  readonly itemsWithout: readonly string[];
  readonly linesWithout: readonly LineEnd[];
  /** Walls from which lines are measured and whose name is not on the map. */
  readonly zeroBeyond: readonly string[];
}

/** Kept free in the middle of an opening, half of it to each side: the leader to the door's name starts there. */
const DOOR_MIDDLE_MM = 0.6;

/** An item without a label goes into a detail of its own; so many ends of lines without theirs are as bad. */
const ITEM_IN_ENDS = 4;
/** What a map lacks, in ends of lines. */
export const lacking = ({ itemsWithout, linesWithout }: PlacedMap): number =>
  ITEM_IN_ENDS * itemsWithout.length + linesWithout.length;

/** So often is a map begun anew for ends of lines that found no room. */
const MOST_TRIES = 5;
/** Where more is lacking the map is too small for it: going first, ends of lines take the room of items and gain nothing. */
const MOST_LACKING_TO_TRY = 10;

/**
 * Places the labels of items, walls and lines on the map of a window. Ends of lines that find no room go first in the
 * next try (Joslin and Clements 1999, "Squeaky wheel" optimization); the try that lacks least is taken.
 */
export function placeMap(subject: LabelSubject, projection: Projection): PlacedMap {
  let best = placeAll(subject, projection, []);
  let firstEnds: readonly LineEnd[] = [];
  let lost = best.linesWithout;
  for (let tried = 1; tried < MOST_TRIES && lost.length > 0 && lacking(best) <= MOST_LACKING_TO_TRY; tried++) {
    firstEnds = [...lost, ...firstEnds.filter((end) => !lost.some((one) => isSameEnd(one, end)))];
    const placed = placeAll(subject, projection, firstEnds);
    if (lacking(placed) < lacking(best)) best = placed;
    lost = placed.linesWithout;
  }
  return best;
}

const isSameEnd = (p: LineEnd, q: LineEnd): boolean => p.line === q.line && p.end === q.end;

/** @param firstEnds of lines, whose labels are placed before those of items. */
function placeAll(subject: LabelSubject, projection: Projection, firstEnds: readonly LineEnd[]): PlacedMap {
  const { plan, words, job } = subject;
  const frame = frameOf(projection);
  const taken = newOccupancy();
  const building = buildingMarks(plan, projection);
  for (const [a, b] of building.hard) taken.addSegment(a, b, "wall");

  const items = subject.items.filter(({ at }) => inWindow(projection.window, at));
  for (const { at } of items) {
    const { x, y } = projection.toPaper(at);
    taken.addSymbol(boxAround(x, y, PIN_RADIUS_MM, PIN_RADIUS_MM));
  }
  const bench: Mark[] = [];
  for (const mark of job.benchMarks.filter(({ at }) => inWindow(projection.window, at))) {
    const at = projection.toPaper(mark.at);
    taken.addSymbol(boxAround(at.x, at.y, 2.2, 2.2));
    bench.push(...benchMarkMarks(at));
  }
  for (const { jambs } of plan.floors.flatMap(({ doors }) => doors)) {
    const { x, y } = projection.toPaper(pointAlong(jambs[0], jambs[1], distance(jambs[0], jambs[1]) / 2));
    taken.addSymbol(boxAround(x, y, DOOR_MIDDLE_MM, DOOR_MIDDLE_MM));
  }
  const ways: Mark[] = [];
  for (const door of plan.floors.flatMap(({ doors }) => doors).filter(({ entrance }) => entrance)) {
    if (!inWindow(projection.window, door.jambs[0])) continue;
    const { mark, at } = entranceMark(door, projection);
    taken.addSymbol(boxAround(at.x, at.y, 3.6, 3.6));
    ways.push(mark);
  }

  const lines = linesOnPaper(plan.gridLines, projection, frame);
  const placeEnds = (ends: readonly LineEnd[]) =>
    placeLineLabels(ends, lines, job.units.plan, taken, frame, {
      isOutside: (candidate) => isOff(plan, projection, candidate),
      isInside: (candidate, roomIndex) => isHome(plan, projection, candidate, roomIndex),
    });
  const first = placeEnds(firstEnds);
  const placed = placeItemLabels(subject, items, projection, taken, frame);
  const zero = placeZeroWalls(lines, plan, projection, words, taken, frame);
  const others = placeEnds(
    endsOf(lines, job.units.plan).filter((end) => !firstEnds.some((one) => isSameEnd(one, end))),
  );

  return {
    projection,
    taken,
    building,
    items: placed,
    lines,
    linesWithout: [...first.without, ...others.without],
    marks: { before: first.marks, after: [...zero.marks, ...others.marks] },
    symbols: [...bench, ...ways],
    itemsWithout: placed.filter(({ place }) => place === undefined).map(({ id }) => id),
    zeroBeyond: zero.beyond,
  };
}

function placeItemLabels(
  { plan }: LabelSubject,
  items: LabelSubject["items"],
  projection: Projection,
  taken: Occupancy,
  frame: Box,
): PlacedItem[] {
  const wishes = items.map((item): LabelWish => {
    return {
      at: projection.toPaper(item.at),
      width: item.labelWidth,
      height: item.labelHeight,
      clear: PIN_RADIUS_MM,
      belongs: (candidate) => isHome(plan, projection, candidate, item.roomIndex),
      isOutside: (candidate) => isOff(plan, projection, candidate),
    };
  });
  const places = placeLabels(wishes, taken, frame);
  return items.map(({ id }, index) => {
    const place = places[index];
    return { id, ...(place && { place }) };
  });
}

const corners = (of: Box): PaperPoint[] => [
  { x: of.minX, y: of.minY },
  { x: of.maxX, y: of.minY },
  { x: of.maxX, y: of.maxY },
  { x: of.minX, y: of.maxY },
];

function fromPaper(projection: Projection, at: PaperPoint): Point {
  const { window } = projection;
  const corner = projection.toPaper(point(window.minX, window.maxY));
  const mPerMm = projection.scale.ratio / 1000;
  return point(window.minX + (at.x - corner.x) * mPerMm, window.maxY - (at.y - corner.y) * mPerMm);
}

/** Whether no corner of a box lies on a floor. */
const isOff = (plan: LabelSubject["plan"], projection: Projection, candidate: Box): boolean =>
  corners(candidate)
    .map((at) => fromPaper(projection, at))
    .every((at) => plan.floors.every(({ polygon }) => placeAgainstRing(polygon.outline, at) === "outside"));

/** Whether the middle of a box lies in a room. */
const isHome = (
  plan: LabelSubject["plan"],
  projection: Projection,
  { minX, maxX, minY, maxY }: Box,
  roomIndex: number,
): boolean =>
  placeAgainstRing(
    (plan.floors[roomIndex] as RoomFloor).polygon.outline,
    fromPaper(projection, { x: (minX + maxX) / 2, y: (minY + maxY) / 2 }),
  ) !== "outside";

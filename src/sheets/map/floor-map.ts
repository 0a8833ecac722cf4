/** One map: the floor in a window, with every pin labelled, every grid line measured, every band numbered. */
import type { Depths } from "../../depths/model.ts";
import { decimal, height } from "../../format.ts";
import { distance, type Point, type Polygon, point, pointAlong } from "../../geometry/point.ts";
import { placeAgainstRing } from "../../geometry/polygon.ts";
import type { Job, PlanUnit } from "../../job/model.ts";
import type { Plan, RoomFloor } from "../../layout/model.ts";
import { box, type Layer, line, type Mark, type PaperPoint, pathThrough, text } from "../drawing.ts";
import { CAP_HEIGHT, textWidthMm } from "../type/text-metrics.ts";
import { DEPTH_MM, KNEELING_MM } from "../type/type-sizes.ts";
import type { Words } from "../words/en.ts";
import { brokenAtLabels, insideBox } from "./clip-lines.ts";
import {
  type Building,
  bandLook,
  bandMarks,
  benchMarkMarks,
  buildingMarks,
  contourMarks,
  contoursOnPaper,
  entranceMark,
  frameOf,
  highSpotMarks,
  shapesOnPaper,
} from "./floor-marks.ts";
import { labelOnLine, numberInside, placeRoomNames } from "./inside-names.ts";
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
import { type Box, boxAround, boxWithin, newOccupancy, type Occupancy } from "./occupancy.ts";
import { type MapItem, PIN_RADIUS_MM } from "./pin-labels.ts";
import { type LabelWish, type PlacedLabel, placeLabels } from "./place-labels.ts";

/** What a sheet shows of a floor: every item with its label; depth bands and contours where they are known. */
export interface MapSubject {
  readonly job: Job;
  readonly plan: Plan;
  readonly words: Words;
  readonly items: readonly MapItem[];
  readonly depths?: Depths;
  /** Numbered areas shown in place of the bands of depth. */
  readonly areas?: readonly { readonly number: number; readonly regions: readonly Polygon[] }[];
  /** What a sheet draws of its own; it takes its room before names of rooms, doors and columns do. */
  readonly overlay?: (projection: Projection, taken: Occupancy, frame: Box) => MapOverlay;
}

/** Marks under the walls, over them, and labels on top of everything. */
export interface MapOverlay {
  readonly under: readonly Mark[];
  readonly over: readonly Mark[];
  readonly labels: readonly Mark[];
}

export interface FloorMap {
  readonly layers: readonly Layer[];
  /** Multiple of the floor's own contour interval that is drawn. */
  readonly contourStep: number;
}

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

/** The lines that belong to items, as far as they run through the window, broken at labels. */
function reachMarks(items: readonly MapItem[], projection: Projection, taken: Occupancy): Mark[] {
  return items
    .flatMap(({ reach }) => reach ?? [])
    .flatMap(({ line, style }) =>
      insideBox(
        line.map((end) => projection.toPaper(end)),
        frameOf(projection),
      )
        .flatMap((part) => brokenAtLabels(part, taken))
        .map((part): Mark => ({ kind: "path", d: pathThrough(part, false), style })),
    );
}

/** Draws the map once its labels stand: everything else takes the room that is left. */
export function drawFloorMap(subject: MapSubject, placed: PlacedMap): FloorMap {
  const { plan, depths, job } = subject;
  const { projection, taken, building, lines } = placed;
  const frame = frameOf(projection);
  const items = itemMarks(subject, placed);
  const labels: Mark[] = [...placed.marks.before, ...items.labels, ...placed.marks.after];
  const own = subject.overlay?.(projection, taken, frame) ?? { under: [], over: [], labels: [] };
  labels.push(...own.labels);
  const high = placeHighSpotLabels(subject, projection, taken, frame);
  labels.push(...high.marks, ...placeNames(subject, projection, taken, frame));
  const bands = (subject.areas ?? depths?.bands ?? []).map((band) => ({
    band,
    shapes: shapesOnPaper(band.regions, projection),
  }));
  for (const { band, shapes } of bands) {
    for (const shape of shapes) labels.push(...numberInside(decimal(band.number, 0), shape, taken, frame));
  }
  const { contours, step } = depths ? contoursOnPaper(depths, projection) : { contours: [], step: 1 };
  for (const contour of contours.filter(({ index }) => index)) {
    const name = height(contour.depth, job.units.height).large.number;
    for (const points of contour.lines) labels.push(...labelOnLine(name, points, taken, frame));
  }
  labels.push(...placeRoomNames(plan, projection, taken, frame));

  const swings = building.swings.flatMap((swing) =>
    brokenAtLabels(swing, taken).map(
      (part): Mark => ({ kind: "path", d: pathThrough(part, false), style: "door-swing" }),
    ),
  );
  const gridMarks = lines.flatMap(({ from, to }) =>
    brokenAtLabels([from, to], taken).map(
      (part): Mark => ({ kind: "path", d: pathThrough(part, false), style: "grid-line" }),
    ),
  );
  return {
    layers: [
      {
        name: "bands",
        marks: [...own.under, ...bands.flatMap(({ band, shapes }) => bandMarks(shapes, bandLook(band.number)))],
      },
      { name: "high spots", marks: high.shapes.flatMap((shapes) => highSpotMarks(shapes, taken)) },
      { name: "contours", marks: contourMarks(contours, taken) },
      { name: "grid", marks: gridMarks },
      { name: "building", marks: [...building.marks, ...swings, ...own.over] },
      {
        name: "symbols",
        marks: [...reachMarks(subject.items, projection, taken), ...placed.symbols, ...items.symbols],
      },
      { name: "labels", marks: labels },
    ],
    contourStep: step,
  };
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

/** What the items say, in the places found for it. */
function itemMarks(
  { items }: MapSubject,
  placed: PlacedMap,
): { readonly symbols: readonly Mark[]; readonly labels: readonly Mark[] } {
  const byId = new Map(items.map((item) => [item.id, item]));
  const symbols: Mark[] = [];
  const labels: Mark[] = [];
  for (const { id, place } of placed.items) {
    const item = byId.get(id) as MapItem;
    symbols.push(...item.symbol(placed.projection.toPaper(item.at)));
    if (!place) continue;
    if (place.leader) labels.push(line(place.leader[0], place.leader[1], "leader"));
    labels.push(...item.label(place.box));
  }
  return { symbols, labels };
}

/** One line of text as a wish beside a point. */
function nameWish(content: string, at: PaperPoint, clear: number, size: number, weight: 400 | 700): LabelWish {
  return {
    at,
    width: textWidthMm(content, size, weight) + 1.2,
    height: size * CAP_HEIGHT + 1.6,
    clear,
    belongs: () => true,
    isOutside: () => false,
  };
}

function nameMarks(content: string, place: Box, size: number, weight: 400 | 700): Mark[] {
  return [
    box(place.minX, place.minY, place.maxX - place.minX, place.maxY - place.minY, "label-box"),
    text(place.minX + 0.6, place.maxY - 0.8, content, size, "start", weight),
  ];
}

/** Doors, columns and bench marks by name. */
function placeNames(subject: MapSubject, projection: Projection, taken: Occupancy, frame: Box): Mark[] {
  const { plan, job, words } = subject;
  const named: { name: string; at: PaperPoint; clear: number }[] = [];
  for (const floor of plan.floors) {
    for (const door of floor.doors) {
      const [a, b] = door.jambs.map((at) => projection.toPaper(at)) as [PaperPoint, PaperPoint];
      const at = { x: (a.x + b.x) / 2, y: (a.y + b.y) / 2 };
      const name = door.entrance ? `${door.id}, ${words.map.entrance.toLowerCase()}` : door.id;
      named.push({ name, at, clear: 1.5 });
    }
    for (const obstacle of floor.obstacles) {
      const ring = obstacle.ring.map((at) => projection.toPaper(at));
      const xs = ring.map(({ x }) => x);
      const ys = ring.map(({ y }) => y);
      const at = {
        x: (Math.min(...xs) + Math.max(...xs)) / 2,
        y: (Math.min(...ys) + Math.max(...ys)) / 2,
      };
      named.push({ name: obstacle.id, at, clear: Math.max(...xs) - at.x });
    }
  }
  for (const mark of job.benchMarks) named.push({ name: mark.id, at: projection.toPaper(mark.at), clear: 2.2 });
  const here = named.filter(({ at }) => boxWithin(boxAround(at.x, at.y, 0, 0), frame));
  const places = placeLabels(
    here.map(({ name, at, clear }) => nameWish(name, at, clear, KNEELING_MM, 400)),
    taken,
    frame,
  );
  return places.flatMap((place, index) =>
    place === undefined
      ? []
      : [
          ...(place.leader ? [line(place.leader[0], place.leader[1], "leader")] : []),
          ...nameMarks(here[index]!.name, place.box, KNEELING_MM, 400),
        ],
  );
}

function placeHighSpotLabels(
  { depths, job, words }: MapSubject,
  projection: Projection,
  taken: Occupancy,
  frame: Box,
): { readonly marks: Mark[]; readonly shapes: PaperPoint[][][][] } {
  const here = (depths?.highSpots ?? [])
    .map((spot) => ({ spot, shapes: shapesOnPaper(spot.regions, projection) }))
    .filter(({ shapes }) => shapes.length > 0);
  const labelled = here.filter(({ spot }) => inWindow(projection.window, spot.worst));
  const marks: Mark[] = [];
  for (const { spot } of labelled) {
    const grind = height(spot.grind, job.units.height);
    // With what to take off where there is room, else the name alone, by which the list has it.
    for (const content of [
      `${spot.id} ${words.map.noPin} ${words.both(grind.large.text, grind.small.text)}`,
      spot.id,
    ]) {
      const [place] = placeLabels([nameWish(content, projection.toPaper(spot.worst), 1, DEPTH_MM, 700)], taken, frame);
      if (!place) continue;
      if (place.leader) marks.push(line(place.leader[0], place.leader[1], "leader"));
      marks.push(...nameMarks(content, place.box, DEPTH_MM, 700));
      break;
    }
  }
  return { marks, shapes: here.map(({ shapes }) => shapes) };
}

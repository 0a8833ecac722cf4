/** One map: the floor in a window, with every pin labelled, every grid line measured, every band numbered. */
import type { Depths } from "../../depths/model.ts";
import { decimal, height } from "../../format.ts";
import type { Polygon } from "../../geometry/point.ts";
import type { Job } from "../../job/model.ts";
import type { Plan } from "../../layout/model.ts";
import { box, type Layer, line, type Mark, type PaperPoint, pathThrough, text } from "../drawing.ts";
import { CAP_HEIGHT, textWidthMm } from "../type/text-metrics.ts";
import { DEPTH_MM, KNEELING_MM } from "../type/type-sizes.ts";
import type { Words } from "../words/en.ts";
import { brokenAtLabels, insideBox } from "./clip-lines.ts";
import {
  bandLook,
  bandMarks,
  contourMarks,
  contoursOnPaper,
  frameOf,
  highSpotMarks,
  shapesOnPaper,
} from "./floor-marks.ts";
import { labelOnLine, numberInside, placeRoomNames } from "./inside-names.ts";
import { inWindow, type Projection } from "./map-scale.ts";
import { type Box, boxAround, boxWithin, type Occupancy } from "./occupancy.ts";
import type { MapItem } from "./pin-labels.ts";
import { type LabelWish, placeLabels } from "./place-labels.ts";
import type { PlacedMap } from "./place-map.ts";

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

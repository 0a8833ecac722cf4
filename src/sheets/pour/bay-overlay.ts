/** Bays on a map: their floors, numbers, arrows of pouring, the edges between them, and dams. */
import { count } from "../../format.ts";
import type { Point } from "../../geometry/point.ts";
import { centroid } from "../../geometry/polygon.ts";
import type { Bay, PourablePlan, Segment } from "../../pour/model.ts";
import { metres } from "../../units.ts";
import { box, line, type Mark, type PaperPoint, pathThrough, text } from "../drawing.ts";
import { brokenAtLabels, insideBox } from "../map/clip-lines.ts";
import type { MapOverlay } from "../map/floor-map.ts";
import { bandMarks, shapesOnPaper } from "../map/floor-marks.ts";
import { placeInside } from "../map/inside-names.ts";
import { inWindow, type Projection } from "../map/map-scale.ts";
import { type Box, boxAround, boxWithin, type Occupancy } from "../map/occupancy.ts";
import { placeLabels } from "../map/place-labels.ts";
import { CAP_HEIGHT, textWidthMm } from "../type/text-metrics.ts";
import { DEPTH_MM, HEADING_MM, KEY_VALUE_MM } from "../type/type-sizes.ts";

/** A number in its bay: as large as there is room for, so that it is read standing where it can be. */
const NUMBER_SIZES_MM = [KEY_VALUE_MM, HEADING_MM, DEPTH_MM];
const PADDING_MM = 0.9;

/** The bays of one lift, drawn into a window. */
export function bayOverlay(pour: PourablePlan, lift: number) {
  const bays = pour.bays.filter((bay) => bay.lift === lift);
  const numbers = new Set(bays.map(({ number }) => number));
  const edges = pour.edges.filter(({ later }) => numbers.has(later)).flatMap(({ segments }) => segments);
  return (projection: Projection, taken: Occupancy, frame: Box): MapOverlay => {
    const shapes = bays.map((bay) => ({ bay, shapes: shapesOnPaper([bay.floor], projection) }));
    // Numbers first: everything else is broken at them.
    const labels = shapes.flatMap((one) => numberMarks(one.bay, one.shapes, projection, taken, frame));
    const heads = bays.flatMap((bay) => arrowMarks(bay, projection, taken, frame));
    return {
      under: shapes.flatMap(({ bay, shapes: parts }) =>
        bay.number % 2 === 0 ? bandMarks(parts, { tint: "tint-1", hatchDegrees: [] }) : [],
      ),
      over: [
        ...lineMarks(edges, "bay-edge", projection, taken, frame),
        ...lineMarks(
          pour.dams.flatMap(({ segments }) => segments),
          "dam",
          projection,
          taken,
          frame,
        ),
        ...heads,
      ],
      labels,
    };
  };
}

function lineMarks(
  segments: readonly Segment[],
  style: "bay-edge" | "dam",
  projection: Projection,
  taken: Occupancy,
  frame: Box,
): Mark[] {
  return segments
    .flatMap(({ from, to }) => insideBox([projection.toPaper(from), projection.toPaper(to)], frame))
    .flatMap((part) => brokenAtLabels(part, taken))
    .map((part): Mark => ({ kind: "path", d: pathThrough(part, false), style }));
}

function labelMarks(name: string, place: Box, sizeMm: number): Mark[] {
  return [
    box(place.minX, place.minY, place.maxX - place.minX, place.maxY - place.minY, "label-box"),
    text((place.minX + place.maxX) / 2, place.maxY - PADDING_MM, name, sizeMm, "middle", 700),
  ];
}

const halfOf = (name: string, sizeMm: number): readonly [number, number] => [
  textWidthMm(name, sizeMm, 700) / 2 + PADDING_MM,
  (sizeMm * CAP_HEIGHT) / 2 + PADDING_MM,
];

/** The number inside the largest part of its bay that the window shows; where it fits nowhere, beside it on a leader. */
function numberMarks(
  bay: Bay,
  shapes: readonly PaperPoint[][][],
  projection: Projection,
  taken: Occupancy,
  frame: Box,
): Mark[] {
  const name = count(bay.number);
  const bySize = [...shapes].sort((p, q) => extentOf(q) - extentOf(p));
  for (const sizeMm of NUMBER_SIZES_MM) {
    const [halfWidth, halfHeight] = halfOf(name, sizeMm);
    for (const rings of bySize) {
      const place = placeInside(rings, halfWidth, halfHeight, taken, frame);
      if (!place) continue;
      taken.addBox(place);
      return labelMarks(name, place, sizeMm);
    }
  }
  const middle = middleOf(bay);
  if (!inWindow(projection.window, middle)) return [];
  const [halfWidth, halfHeight] = halfOf(name, DEPTH_MM);
  const [beside] = placeLabels(
    [
      {
        at: projection.toPaper(middle),
        width: 2 * halfWidth,
        height: 2 * halfHeight,
        clear: 0.5,
        belongs: () => true,
        isOutside: () => false,
      },
    ],
    taken,
    frame,
  );
  if (!beside) return [];
  return [
    ...(beside.leader ? [line(beside.leader[0], beside.leader[1], "leader")] : []),
    ...labelMarks(name, beside.box, DEPTH_MM),
  ];
}

function extentOf(rings: readonly PaperPoint[][]): number {
  const xs = (rings[0] as PaperPoint[]).map(({ x }) => x);
  const ys = (rings[0] as PaperPoint[]).map(({ y }) => y);
  return (Math.max(...xs) - Math.min(...xs)) * (Math.max(...ys) - Math.min(...ys));
}

const middleOf = ({ from, to }: Bay): Point => ({ x: (from.x + to.x) / 2, y: (from.y + to.y) / 2 });

/** Along the lane through the middle of its floor: where it begins and ends lie off that line where it is cut by a doorway. */
function middleLine({ floor, from, along, length }: Bay): Segment {
  const middle = centroid(floor);
  const before = (middle.x - from.x) * along.x + (middle.y - from.y) * along.y;
  const at = (reaches: number): Point => ({
    x: metres(middle.x + (reaches - before) * along.x),
    y: metres(middle.y + (reaches - before) * along.y),
  });
  return { from: at(0), to: at(length) };
}

/** Where along the bay the arrow's head may stand: far along it, away from labels. */
const HEAD_AT = [0.86, 0.78, 0.92, 0.7, 0.62];
const TAIL_AT = 0.1;
const HEAD_MM = 3.4;
/** What is left of a shaft between two labels looks like a dot where it is shorter. */
const LEAST_SHAFT_MM = 1.5;

const longEnough = (part: readonly PaperPoint[]): boolean => {
  const [a, b] = [part[0], part.at(-1)];
  return a !== undefined && b !== undefined && Math.hypot(b.x - a.x, b.y - a.y) >= LEAST_SHAFT_MM;
};

/** An arrow along the bay through its middle, the way in which it is poured. */
function arrowMarks(bay: Bay, projection: Projection, taken: Occupancy, frame: Box): Mark[] {
  const { from, to } = middleLine(bay);
  const [a, b] = [projection.toPaper(from), projection.toPaper(to)];
  const length = Math.hypot(b.x - a.x, b.y - a.y);
  if (length < 3 * HEAD_MM) return [];
  const [ux, uy] = [(b.x - a.x) / length, (b.y - a.y) / length];
  const at = (share: number): PaperPoint => ({ x: a.x + share * (b.x - a.x), y: a.y + share * (b.y - a.y) });
  const tip = HEAD_AT.map(at).find((place) => {
    const room = boxAround(place.x - (ux * HEAD_MM) / 2, place.y - (uy * HEAD_MM) / 2, HEAD_MM / 2, HEAD_MM / 2);
    return boxWithin(room, frame) && taken.boxesIn(room).length === 0;
  });
  if (!tip) return [];
  const base = { x: tip.x - ux * HEAD_MM, y: tip.y - uy * HEAD_MM };
  const half = HEAD_MM * 0.36;
  const head = pathThrough(
    [tip, { x: base.x - uy * half, y: base.y + ux * half }, { x: base.x + uy * half, y: base.y - ux * half }],
    true,
  );
  const shaft = insideBox([at(TAIL_AT), base], frame)
    .flatMap((part) => brokenAtLabels(part, taken))
    .filter(longEnough);
  taken.addBox(boxAround((tip.x + base.x) / 2, (tip.y + base.y) / 2, HEAD_MM / 2, HEAD_MM / 2));
  return [
    ...shaft.map((part): Mark => ({ kind: "path", d: pathThrough(part, false), style: "bay-arrow" })),
    { kind: "path", d: head, style: "solid" },
  ];
}

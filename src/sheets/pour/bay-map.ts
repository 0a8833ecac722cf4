/** The bay map: bays by number with their arrows, mixing station, ways in and out, dams; and the lines to mark on the slab. */
import { count, planLength } from "../../format.ts";
import type { Point } from "../../geometry/point.ts";
import { distanceToSegment } from "../../geometry/polygon.ts";
import type { Bay, PourablePlan } from "../../pour/model.ts";
import { box, circle, line, type Mark, type PaperPoint, pathThrough, text } from "../drawing.ts";
import { mapPages } from "../map/map-pages.ts";
import {
  commonItems,
  noteItem,
  type PanelItem,
  type PanelSubject,
  SAMPLE_MIDDLE,
  sampleItem,
} from "../map/map-panel.ts";
import type { MapItem } from "../map/pin-labels.ts";
import type { ClockSubject } from "../mixing-schedule.ts";
import type { PageContent, SheetContent } from "../model.ts";
import type { Block } from "../page/blocks.ts";
import { flowSheet } from "../page/flow-sheet.ts";
import { type CellText, cell, heading, KNEELING, paragraph, table } from "../page/make-blocks.ts";
import { pageFrame, SMALL_PAPER } from "../page/paper.ts";
import { CAP_HEIGHT, textWidthMm } from "../type/text-metrics.ts";
import { DEPTH_MM, KNEELING_MM } from "../type/type-sizes.ts";
import { bayFigures } from "./bay-figures.ts";
import { bayOverlay } from "./bay-overlay.ts";
import type { OffsetRange } from "./bay-places.ts";
import { wallText } from "./pour-text.ts";

/** A line nearer to the wall than this is the wall: a tape is read to a millimetre. */
const AT_WALL_M = 2e-3;
/** A lane so wide on paper holds its number in large type. */
const LANE_ON_PAPER_MM = 11;
/** Of a metre on paper, the least and the most that the narrowest lane may ask for. */
const LEAST_SPACING_MM = 2;
const GREATEST_SPACING_MM = 11;

export function composeBayMap(subject: ClockSubject): SheetContent {
  const { job, plan, pour, words } = subject;
  const lifts = [...new Set(pour.bays.map(({ lift }) => lift))];
  const pages = lifts.flatMap((lift): PageContent[] => {
    const bays = pour.bays.filter((bay) => bay.lift === lift);
    const title = lifts.length > 1 ? words.bayMap.titleLift(job.title, count(lift + 1)) : words.bayMap.title(job.title);
    return mapPages({
      id: lifts.length > 1 ? `bay-map-${lift + 1}` : "bay-map",
      // Lines of the grid would run through every bay: the table below gives each line to mark.
      subject: {
        job,
        plan: { ...plan, gridLines: [] },
        words,
        items: itemsOf(subject),
        overlay: bayOverlay(pour, lift),
      },
      leastSpacingMm: spacingFor(bays),
      title,
      description: (_, scale) => words.bayMap.description(words.bays(count(bays.length)), scale),
      panel: (panel) => panelItems(panel, subject, lifts.length > 1 ? lift : undefined),
    });
  });
  // Where every bay fills its room, the map's panel says so, and no page of lines follows.
  const lines = pour.bays.every((bay) => fillsRoom(pour, bay))
    ? []
    : flowSheet(
        "bay-map",
        words,
        ["crew"],
        SMALL_PAPER[job.paper],
        lineBlocks(subject, pageFrame(SMALL_PAPER[job.paper], "portrait").widthMm),
      ).pages;
  return { id: "bay-map", title: words.titles["bay-map"], sets: ["crew", "gc"], pages: [...pages, ...lines] };
}

/** Nothing is to be marked where a bay is alone in its room. */
const fillsRoom = (pour: PourablePlan, bay: Bay): boolean =>
  !pour.bays.some((other) => other !== bay && other.roomIndex === bay.roomIndex && other.lift === bay.lift);

const fillingText = (pour: PourablePlan, words: ClockSubject["words"]): string | undefined => {
  const filling = pour.bays.filter((bay) => fillsRoom(pour, bay)).map(({ number }) => words.bay(count(number)));
  return filling.length === 0 ? undefined : words.bayMap.linesNone(words.listOf(filling));
};

/** Paper for a metre of floor, so that the narrowest lane holds its number. */
function spacingFor(bays: readonly Bay[]): number {
  const narrowest = Math.min(...bays.map(({ width, length }) => Math.min(width, length)));
  return Math.min(GREATEST_SPACING_MM, Math.max(LEAST_SPACING_MM, LANE_ON_PAPER_MM / narrowest));
}

const SYMBOL_MM = 2;
const PADDING_MM = 0.8;

/** A square on its corner: one on its side is a column. */
const stationSymbol = ({ x, y }: PaperPoint): Mark[] => {
  const half = SYMBOL_MM * Math.SQRT2;
  const corners = [
    { x, y: y - half },
    { x: x + half, y },
    { x, y: y + half },
    { x: x - half, y },
  ];
  return [{ kind: "path", d: pathThrough(corners, true), style: "solid" }];
};
const palletSymbol = ({ x, y }: PaperPoint): Mark[] => [
  box(x - SYMBOL_MM, y - SYMBOL_MM, 2 * SYMBOL_MM, 2 * SYMBOL_MM, "blank-box"),
];
const plugSymbol = ({ x, y }: PaperPoint): Mark[] => [circle(x, y, 1.5, "pin"), circle(x, y, 0.7, "reading-point")];

/** Station, pallets and plugs, and dams by their names. */
function itemsOf({ plan, pour, words }: ClockSubject): MapItem[] {
  const named = (id: string, at: Point, symbol: (place: PaperPoint) => Mark[]): MapItem => ({
    id,
    at,
    roomIndex: nearestRoom(plan.floors, at),
    // They lie anywhere: their spacing says nothing of the scale.
    kind: "door",
    labelWidth: textWidthMm(id, KNEELING_MM, 700) + 2 * PADDING_MM,
    labelHeight: KNEELING_MM * CAP_HEIGHT + 2 * PADDING_MM,
    symbol,
    label: (place) => [
      box(place.minX, place.minY, place.maxX - place.minX, place.maxY - place.minY, "label-box"),
      text(place.minX + PADDING_MM, place.maxY - PADDING_MM, id, KNEELING_MM, "start", 700),
    ],
  });
  return [
    named(words.bayMap.station, pour.station.at, stationSymbol),
    ...palletPlaces(pour).map(({ at, numbers }) =>
      named(words.listOf(numbers.map((number) => words.bayMap.pallet(count(number)))), at, palletSymbol),
    ),
    ...pour.plugs.map(({ id, at }) => named(id, at, plugSymbol)),
    ...pour.dams
      .filter(({ why }) => why === "planned" || why === "moving-joint")
      .flatMap(({ id, segments }) => {
        const longest = [...segments].sort((p, q) => lengthOf(q) - lengthOf(p))[0];
        return longest ? [named(id, middleOf(longest), () => [])] : [];
      }),
  ];
}

/** Pallets by the place where they stand: more than one where a place is used again. */
function palletPlaces(pour: PourablePlan): { readonly at: Point; readonly numbers: number[] }[] {
  const places: { readonly at: Point; readonly numbers: number[] }[] = [];
  for (const { number, at } of pour.logistics.pallets) {
    if (!at) continue;
    const same = places.find((place) => place.at.x === at.x && place.at.y === at.y);
    if (same) same.numbers.push(number);
    else places.push({ at, numbers: [number] });
  }
  return places;
}

const lengthOf = ({ from, to }: { readonly from: Point; readonly to: Point }): number =>
  Math.hypot(to.x - from.x, to.y - from.y);
const middleOf = ({ from, to }: { readonly from: Point; readonly to: Point }): Point => ({
  x: (from.x + to.x) / 2,
  y: (from.y + to.y) / 2,
});

function nearestRoom(floors: ClockSubject["plan"]["floors"], at: Point): number {
  const far = floors.map(({ walls }) => Math.min(...walls.map(({ from, to }) => distanceToSegment(at, from, to))));
  return far.indexOf(Math.min(...far));
}

/** The panel: what the marks mean. */
function panelItems(panel: PanelSubject, { plan, pour, words }: ClockSubject, lift: number | undefined): PanelItem[] {
  const w = words.bayMap;
  const at = (x: number, y: number): PaperPoint => ({ x: x + SAMPLE_MIDDLE.x, y: y + SAMPLE_MIDDLE.y });
  const across = (style: "bay-edge" | "dam") => (x: number, y: number) => [
    line({ x, y: y + SAMPLE_MIDDLE.y }, { x: x + 2 * SAMPLE_MIDDLE.x, y: y + SAMPLE_MIDDLE.y }, style),
  ];
  const filling = fillingText(pour, words);
  const kinds = new Set(plan.floors.flatMap(({ obstacles }) => obstacles.map(({ kind }) => kind)));
  return [
    ...commonItems(panel),
    ...(lift === undefined ? [] : [noteItem(w.lift(count(lift + 1)))]),
    ...(filling !== undefined && pour.bays.every((bay) => fillsRoom(pour, bay)) ? [noteItem(filling)] : []),
    sampleItem(w.legendBay, (x, y) => {
      const middle = at(x, y);
      return [
        box(x, y, 2 * SAMPLE_MIDDLE.x, 2 * SAMPLE_MIDDLE.y, "tint-1"),
        line({ x: x + 1, y: middle.y }, { x: x + 9, y: middle.y }, "bay-arrow"),
        {
          kind: "path",
          d: `M${x + 11.4} ${middle.y}L${x + 8.4} ${middle.y - 1.2}L${x + 8.4} ${middle.y + 1.2}Z`,
          style: "solid",
        },
      ];
    }),
    ...(pour.edges.length > 0 ? [sampleItem(w.legendEdge, across("bay-edge"))] : []),
    ...(pour.dams.length > 0 ? [sampleItem(w.legendDam, across("dam"))] : []),
    sampleItem(w.legendStation(pour.station.exitId), (x, y) => stationSymbol(at(x, y))),
    ...(palletPlaces(pour).length > 0 ? [sampleItem(w.legendPallet, (x, y) => palletSymbol(at(x, y)))] : []),
    ...(pour.plugs.length > 0 ? [sampleItem(w.legendPlug, (x, y) => plugSymbol(at(x, y)))] : []),
    ...(kinds.has("column")
      ? [sampleItem(words.map.column, (x, y) => [box(x + 3.7, y + 0.8, 4.6, 4.6, "column")])]
      : []),
    ...(kinds.has("opening")
      ? [sampleItem(words.map.opening, (x, y) => [box(x + 2, y + 0.4, 8, 5.4, "opening")])]
      : []),
  ];
}

/** Sides and ends of every bay, square from a named wall; bays of several lifts lie on each other's lines. */
function lineBlocks(subject: ClockSubject, width: number): Block[] {
  const { job, plan, pour, words } = subject;
  const w = words.bayMap;
  const lengths = (value: number): CellText => {
    if (value < AT_WALL_M) return cell(words.clock.wall, DEPTH_MM);
    const { large, small } = planLength(value, job.units.plan);
    return {
      runs: [
        { text: large.text, sizeMm: DEPTH_MM, weight: 700 },
        { text: small.text, sizeMm: DEPTH_MM },
      ],
    };
  };
  const filling = fillingText(pour, words);
  const rows = bayFigures(subject).flatMap(({ bay, place }) => {
    if (fillsRoom(pour, bay)) return [];
    const row = (what: string, range: OffsetRange | undefined) => ({
      cells: [
        cell(words.bay(count(bay.number)), DEPTH_MM, 700),
        cell(what, KNEELING_MM),
        range ? lengths(range.from) : cell(words.clock.none, DEPTH_MM),
        range ? lengths(range.to) : cell(words.clock.none, DEPTH_MM),
        cell(range ? wallText(plan, bay.roomIndex, range.wallIndex, words) : w.linesFreehand, KNEELING_MM),
      ],
    });
    return [row(w.sides, place.sides), row(w.ends, place.ends)];
  });
  const lines = table(
    w.captionLines,
    [
      { heading: w.columns.bay, widthMm: Math.floor(width * 0.19), namesRow: true },
      { heading: w.columns.what, widthMm: Math.floor(width * 0.15) },
      { heading: w.columns.from, widthMm: Math.floor(width * 0.21), align: "end" },
      { heading: w.columns.to, widthMm: Math.floor(width * 0.21), align: "end" },
      { heading: w.columns.wall, widthMm: Math.floor(width * 0.24) },
    ],
    rows,
    KNEELING_MM,
  );
  return [
    heading(w.lines, width),
    ...(filling === undefined ? [] : [paragraph(filling, width, KNEELING)]),
    paragraph(w.linesHowTo, width, KNEELING),
    lines,
  ];
}

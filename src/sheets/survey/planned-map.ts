/** The plan of a survey that was planned: where the level stands, a blank box at every point, who reads it, what is shared. */
import type { Point } from "../../geometry/point.ts";
import type { PlanPoint } from "../../layout/model.ts";
import type { PlannedSetUp, SurveyPlan } from "../../survey/model.ts";
import { box, circle, line, type Mark, type MarkStyle, type PaperPoint, pathThrough, text } from "../drawing.ts";
import { mapPages } from "../map/map-pages.ts";
import { buildingItems, commonItems, noteItem, SAMPLE_MIDDLE, sampleItem } from "../map/map-panel.ts";
import { type MapItem, READING_BOX_MM, READING_POINT_RADIUS_MM } from "../map/pin-labels.ts";
import type { PageContent } from "../model.ts";
import { CAP_HEIGHT, textWidthMm } from "../type/text-metrics.ts";
import { DESK_MM, KNEELING_MM } from "../type/type-sizes.ts";
import type { PlaceSubject } from "./point-place.ts";

/** Boxes to write in are wider than the labels of pins. */
const LEAST_POINT_SPACING_MM = 27;
const RING_MM = 1.5;
const POSITION_MM = 2.2;
const PADDING_MM = 0.4;
const NAME_PADDING_MM = 0.8;

interface ToRead {
  readonly setUpIds: readonly string[];
  readonly twice: boolean;
}

function pointSymbol({ setUpIds, twice }: ToRead, { x, y }: PaperPoint): Mark[] {
  const marks: Mark[] = [circle(x, y, 2 * READING_POINT_RADIUS_MM, "reading-point")];
  if (setUpIds.length > 1) marks.push(circle(x, y, RING_MM, "bench-mark"));
  if (twice) marks.push(box(x - RING_MM, y - RING_MM, 2 * RING_MM, 2 * RING_MM, "bench-mark"));
  return marks;
}

/** A reading point with its id, below it the set-ups that read it, and an empty box. */
function pointItem(point: PlanPoint, toRead: ToRead): MapItem {
  const { id, at, roomIndex, kind } = point;
  const readers = toRead.setUpIds.join(" ");
  const names = Math.max(textWidthMm(id, KNEELING_MM, 700), textWidthMm(readers, DESK_MM));
  return {
    id,
    at,
    roomIndex,
    kind,
    labelWidth: names + 1.2 + READING_BOX_MM.width + 2 * PADDING_MM,
    labelHeight: READING_BOX_MM.height + 2 * PADDING_MM,
    symbol: (place) => pointSymbol(toRead, place),
    label: (place) => [
      box(place.minX, place.minY, place.maxX - place.minX, place.maxY - place.minY, "label-box"),
      text(place.minX + PADDING_MM, place.minY + 0.6 + KNEELING_MM * CAP_HEIGHT, id, KNEELING_MM, "start", 700),
      text(place.minX + PADDING_MM, place.maxY - 0.8, readers, DESK_MM),
      box(
        place.maxX - PADDING_MM - READING_BOX_MM.width,
        place.minY + PADDING_MM,
        READING_BOX_MM.width,
        READING_BOX_MM.height,
        "blank-box",
      ),
    ],
  };
}

function positionSymbol({ x, y }: PaperPoint): Mark[] {
  const corners = [
    { x, y: y - POSITION_MM },
    { x: x + POSITION_MM, y: y + POSITION_MM },
    { x: x - POSITION_MM, y: y + POSITION_MM },
  ];
  return [{ kind: "path", d: pathThrough(corners, true), style: "solid" }];
}

/** How the hose lies, and where it ends. */
const WAY: MarkStyle = "hose";
const END: MarkStyle = "hose-end";

/** A position of the level, by its name. As pins at doors do, it keeps out of what is usual between points. */
function positionItem({ id, at, roomIndex, hose }: PlannedSetUp): MapItem {
  return {
    id,
    at,
    roomIndex,
    kind: "door",
    labelWidth: textWidthMm(id, KNEELING_MM, 700) + 2 * NAME_PADDING_MM,
    labelHeight: KNEELING_MM * CAP_HEIGHT + 2 * NAME_PADDING_MM,
    ...(hose && {
      reach: [{ line: hose.way, style: WAY }, ...hose.ends.map((end) => ({ line: end, style: END }))],
    }),
    symbol: positionSymbol,
    label: (place) => [
      box(place.minX, place.minY, place.maxX - place.minX, place.maxY - place.minY, "label-box"),
      text(place.minX + NAME_PADDING_MM, place.maxY - NAME_PADDING_MM, id, KNEELING_MM, "start", 700),
    ],
  };
}

/** The name of a set-up on the longest line along which its hose ends. */
function endItem({ id, roomIndex, hose }: PlannedSetUp, w: PlaceSubject["words"]["surveyForm"]): MapItem[] {
  const longest = hose?.ends.reduce<readonly Point[]>((most, next) => (next.length > most.length ? next : most), []);
  const at = longest?.[longest.length >> 1];
  if (at === undefined) return [];
  const name = w.endOf(id);
  return [
    {
      id: `${id} end`,
      at,
      roomIndex,
      kind: "door",
      labelWidth: textWidthMm(name, DESK_MM) + 2 * NAME_PADDING_MM,
      labelHeight: DESK_MM * CAP_HEIGHT + 2 * NAME_PADDING_MM,
      symbol: () => [],
      label: (place) => [
        box(place.minX, place.minY, place.maxX - place.minX, place.maxY - place.minY, "label-box"),
        text(place.minX + NAME_PADDING_MM, place.maxY - NAME_PADDING_MM, name, DESK_MM),
      ],
    },
  ];
}

/** Who reads each point, and whether anybody does so twice. */
function readersOf({ positions }: SurveyPlan): ReadonlyMap<string, ToRead> {
  const readers = new Map<string, { setUpIds: string[]; twice: boolean }>();
  for (const { id, order } of positions) {
    for (const { pointId, why } of order) {
      const one = readers.get(pointId) ?? { setUpIds: [], twice: false };
      if (why === "second-time") one.twice = true;
      else one.setUpIds.push(id);
      readers.set(pointId, one);
    }
  }
  return readers;
}

export function plannedMapPages({ job, plan, words }: PlaceSubject, surveyPlan: SurveyPlan): PageContent[] {
  const w = words.surveyForm;
  const readers = readersOf(surveyPlan);
  const items = [
    ...plan.points.map((point) => pointItem(point, readers.get(point.id) ?? { setUpIds: [], twice: false })),
    ...surveyPlan.positions.map(positionItem),
    ...surveyPlan.positions.flatMap((one) => endItem(one, w)),
  ];
  const middle = (x: number, y: number): PaperPoint => ({ x: x + SAMPLE_MIDDLE.x, y: y + SAMPLE_MIDDLE.y });
  const hoses = surveyPlan.positions.flatMap(({ hose }) => (hose ? [hose] : []));
  const lineSample =
    (style: MarkStyle) =>
    (x: number, y: number): Mark[] => [
      line({ x, y: y + SAMPLE_MIDDLE.y }, { x: x + 2 * SAMPLE_MIDDLE.x, y: y + SAMPLE_MIDDLE.y }, style),
    ];
  const sample = (toRead: ToRead) => (x: number, y: number) => pointSymbol(toRead, middle(x, y));
  return mapPages({
    id: "survey-plan",
    subject: { job, plan, words, items },
    leastSpacingMm: LEAST_POINT_SPACING_MM,
    title: words.survey.planTitle(job.title),
    description: (points) => words.survey.planDescription(points),
    panel: (panel) => [
      ...commonItems(panel),
      noteItem(words.survey.planHowTo(job.units.height)),
      noteItem(w.mapReaders),
      sampleItem(w.mapPosition, (x, y) => positionSymbol(middle(x, y))),
      ...(hoses.length > 0 ? [sampleItem(w.mapWay, lineSample(WAY))] : []),
      ...(hoses.some(({ ends }) => ends.length > 0) ? [sampleItem(w.mapEnd, lineSample(END))] : []),
      ...(surveyPlan.positions.length > 1 ? [sampleItem(w.mapTie, sample({ setUpIds: ["", ""], twice: false }))] : []),
      sampleItem(w.mapTwice, sample({ setUpIds: [""], twice: true })),
      ...buildingItems(panel),
    ],
  });
}

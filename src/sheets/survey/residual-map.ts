/** The map of residuals: at each point the largest, those to be read again marked, those that nothing checks too. */
import { fineHeight } from "../../format.ts";
import type { PlanPoint } from "../../layout/model.ts";
import type { AdjustedLevels } from "../../survey/model.ts";
import { box, circle, type Mark, type PaperPoint, text } from "../drawing.ts";
import { LEAST_PIN_SPACING_MM, mapPages } from "../map/map-pages.ts";
import { buildingItems, commonItems, noteItem, SAMPLE_MIDDLE, sampleItem } from "../map/map-panel.ts";
import { type MapItem, READING_POINT_RADIUS_MM } from "../map/pin-labels.ts";
import type { PageContent } from "../model.ts";
import { CAP_HEIGHT, textWidthMm } from "../type/text-metrics.ts";
import { DESK_MM } from "../type/type-sizes.ts";
import type { PlaceSubject } from "./point-place.ts";
import { usedReadings } from "./read-again-rows.ts";

type Standing = "suspect" | "checked" | "once";

const SYMBOL_MM = 1.4;

/** Nothing is told by hue: a suspect is a square, a checked point a ring, an unchecked one a dot. */
function symbolOf(standing: Standing, { x, y }: PaperPoint): Mark[] {
  const dot = circle(x, y, 1.4 * READING_POINT_RADIUS_MM, "reading-point");
  if (standing === "once") return [dot];
  if (standing === "checked") return [circle(x, y, SYMBOL_MM, "pin"), dot];
  return [box(x - SYMBOL_MM, y - SYMBOL_MM, 2 * SYMBOL_MM, 2 * SYMBOL_MM, "solid")];
}

const PADDING_MM = 0.6;
const LINE_MM = DESK_MM * 1.26;

function residualItem(point: PlanPoint, below: string, standing: Standing): MapItem {
  const weight = standing === "suspect" ? 700 : 400;
  const { id, at, roomIndex, kind } = point;
  return {
    id,
    at,
    roomIndex,
    kind,
    labelWidth: Math.max(textWidthMm(id, DESK_MM, 700), textWidthMm(below, DESK_MM, weight)) + 2 * PADDING_MM,
    labelHeight: 2 * PADDING_MM + DESK_MM * CAP_HEIGHT + LINE_MM + 0.4,
    symbol: (place) => symbolOf(standing, place),
    label(place) {
      const x = place.minX + PADDING_MM;
      const baseline = place.minY + PADDING_MM + DESK_MM * CAP_HEIGHT;
      return [
        box(place.minX, place.minY, place.maxX - place.minX, place.maxY - place.minY, "label-box"),
        text(x, baseline, id, DESK_MM, "start", 700),
        text(x, baseline + LINE_MM, below, DESK_MM, "start", weight),
      ];
    },
  };
}

export function residualPages({ job, plan, words }: PlaceSubject, { report, points }: AdjustedLevels): PageContent[] {
  const w = words.surveyReport;
  const unit = job.units.height;
  const suspects = new Map(report.readAgain.toReversed().map(({ pointId, slip }) => [pointId, slip]));
  const largest = new Map<string, { readonly residual: number; readonly checked: boolean }>();
  for (const one of usedReadings(report)) {
    const before = largest.get(one.ref.pointId);
    const checked = one.check.kind === "checked" || (before?.checked ?? false);
    const residual = before && Math.abs(before.residual) >= Math.abs(one.residual) ? before.residual : one.residual;
    largest.set(one.ref.pointId, { residual, checked });
  }
  const read = new Set(points.map(({ id }) => id));
  const items = plan.points
    .filter(({ id }) => read.has(id))
    .map((point) => {
      const of = largest.get(point.id);
      const standing: Standing = suspects.has(point.id) ? "suspect" : of?.checked ? "checked" : "once";
      const shown = suspects.get(point.id) ?? (of?.checked ? of.residual : undefined);
      const below =
        shown === undefined ? w.uncheckedOnMap : `${shown > 0 ? "+" : ""}${fineHeight(shown, unit).large.number}`;
      return residualItem(point, below, standing);
    });
  const sample = (standing: Standing) => (x: number, y: number) =>
    symbolOf(standing, { x: x + SAMPLE_MIDDLE.x, y: y + SAMPLE_MIDDLE.y });
  return mapPages({
    id: "residual-map",
    subject: { job, plan, words, items },
    leastSpacingMm: LEAST_PIN_SPACING_MM,
    title: w.mapTitle(job.title),
    description: (count) => w.mapDescription(count),
    panel: (subject) => [
      ...commonItems(subject),
      noteItem(w.mapUnit(unit)),
      sampleItem(w.mapSuspect, sample("suspect")),
      sampleItem(w.mapChecked, sample("checked")),
      sampleItem(w.mapOnce, sample("once")),
      ...buildingItems(subject),
    ],
  });
}

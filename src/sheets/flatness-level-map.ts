/** The finished floor's level less the target, at every point that was read, over areas that are high or low. */
import type { Conformity, LevelAtPoint } from "../conformity/model.ts";
import { difference, fineHeight } from "../format.ts";
import { regionsBetween } from "../geometry/bands.ts";
import type { HeightUnit } from "../job/model.ts";
import { type Millimetres, MM_PER_INCH } from "../units.ts";
import { box, circle, text } from "./drawing.ts";
import { type FloorText, gapText } from "./flatness-text.ts";
import { mapPages } from "./map/map-pages.ts";
import { bandItem, commonItems, noteItem } from "./map/map-panel.ts";
import { type MapItem, READING_POINT_RADIUS_MM } from "./map/pin-labels.ts";
import type { PageContent } from "./model.ts";
import { CAP_HEIGHT, textWidthMm } from "./type/text-metrics.ts";
import { KNEELING_MM } from "./type/type-sizes.ts";

/** Where the contract has no rule of level, high and low are told from here on: for reading only (common practice). */
const USUAL_LIMIT_MM = 3 as Millimetres;
/** The map is as large as fits its paper: what is drawn smaller than 1:500 would be too small to find. */
const LEAST_SPACING_MM = 2;
/** With more points than these only those that are off by more than half the limit have a label. */
const ALL_LABELLED = 60;
/** More labels than these are no longer read off a map: those farthest off have one. */
const MOST_LABELS = 200;
const PADDING_MM = 0.6;
const LINE_MM = KNEELING_MM * 1.26;

const signed = (mm: number, unit: HeightUnit): string =>
  unit === "mm" ? difference(mm, 1) : difference(mm / MM_PER_INCH, 2);

/** The id, and below it how far the floor is off: heavier where it is outside the rule. */
function itemOf({ id, at, roomIndex, difference: off, verdict }: LevelAtPoint, unit: HeightUnit): MapItem {
  const value = signed(off, unit);
  const weight = verdict?.result === "outside" ? 700 : 400;
  return {
    id,
    at,
    roomIndex,
    // Only some points are shown: their spacing says nothing of the scale, as with pins at doors.
    kind: "door",
    labelWidth: Math.max(textWidthMm(id, KNEELING_MM), textWidthMm(value, KNEELING_MM, weight)) + 2 * PADDING_MM,
    labelHeight: KNEELING_MM * CAP_HEIGHT + LINE_MM + 2 * PADDING_MM,
    symbol: ({ x, y }) => [circle(x, y, 2 * READING_POINT_RADIUS_MM, "reading-point")],
    label: ({ minX, minY, maxX, maxY }) => [
      box(minX, minY, maxX - minX, maxY - minY, "label-box"),
      text(minX + PADDING_MM, maxY - PADDING_MM - LINE_MM, id, KNEELING_MM),
      text(minX + PADDING_MM, maxY - PADDING_MM, value, KNEELING_MM, "start", weight),
    ],
  };
}

/** Pages of the map; none without a target. */
export function levelMapPages(id: string, floor: FloorText, conformity: Conformity): PageContent[] {
  const { level, rules } = conformity;
  if (level === undefined) return [];
  const { job, plan, words } = floor;
  const { flatness } = words;
  const rule = rules.flatMap(({ parts }) => parts.map(({ part }) => part)).find(({ kind }) => kind === "level");
  const limit = rule?.kind === "level" ? rule.plusMinus : USUAL_LIMIT_MM;
  const regions = (from?: number, to?: number) =>
    regionsBetween(level.mesh, level.differenceMm, from as Millimetres, to as Millimetres).polygons;
  // A value exactly at the upper limit counts as above it on the map; the tables and verdicts hold it within.
  const areas = [
    { number: 1, meaning: flatness.levelBand.within(gapText(floor, limit)), regions: regions(-limit, limit) },
    { number: 2, meaning: flatness.levelBand.low(gapText(floor, limit)), regions: regions(undefined, -limit) },
    { number: 3, meaning: flatness.levelBand.high(gapText(floor, limit)), regions: regions(limit, undefined) },
  ].filter((area) => area.regions.length > 0);
  const most = level.points.length <= ALL_LABELLED ? 0 : limit / 2;
  const shown = level.points
    .filter((point) => Math.abs(point.difference) >= most)
    .toSorted((a, b) => Math.abs(b.difference) - Math.abs(a.difference))
    .slice(0, MOST_LABELS);
  const { unit } = fineHeight(limit, job.units.height).large;
  return mapPages({
    id: `${id}-levels`,
    // A point's place is on the plan that it was read by: grid lines would only crowd the numbers.
    subject: {
      job,
      plan: { ...plan, gridLines: [] },
      words,
      areas,
      items: shown.map((point) => itemOf(point, job.units.height)),
    },
    leastSpacingMm: LEAST_SPACING_MM,
    title: flatness.levelMapTitle(job.title),
    description: flatness.levelMapDescription,
    panel: (subject) => [
      ...commonItems(subject),
      noteItem(flatness.levelMapHint(unit)),
      ...(shown.length < level.points.length ? [noteItem(flatness.levelMapSome(gapText(floor, most)))] : []),
      ...areas.map(({ number, meaning }) => bandItem(number, meaning)),
    ],
  });
}

/** The map of a flatness report: worst places with the edge that found them, places to mend, sample lines. */
import { findPlace } from "../conformity/found-place.ts";
import type { Conformity, Finding, FoundPlace, PlannedLine } from "../conformity/model.ts";
import { fineHeight } from "../format.ts";
import type { Point } from "../geometry/point.ts";
import { polygonContains } from "../geometry/polygon.ts";
import type { SampleLine } from "../job/contract-model.ts";
import type { FloorLine } from "../job/model.ts";
import { box, circle, line, type Mark, type MarkStyle, text } from "./drawing.ts";
import type { FloorText } from "./flatness-text.ts";
import type { WorstPlace } from "./flatness-verdicts.ts";
import { mapPages } from "./map/map-pages.ts";
import { commonItems, type PanelItem, sampleItem } from "./map/map-panel.ts";
import type { MapItem } from "./map/pin-labels.ts";
import type { PageContent } from "./model.ts";
import { CAP_HEIGHT, textWidthMm } from "./type/text-metrics.ts";
import { KNEELING_MM } from "./type/type-sizes.ts";

const PADDING_MM = 0.8;
const SYMBOL_MM = 1.4;
/** Places lie anywhere and are few: only what is drawn at 1:500 and smaller would be too small to find. */
const LEAST_SPACING_MM = 2;

type Look = "worst" | "mend" | "line" | "joint";

const LINE_OF: Readonly<Record<Look, MarkStyle>> = { worst: "bar", mend: "bar", line: "fine", joint: "match-line" };

const SYMBOL: Readonly<Record<Look, (x: number, y: number) => Mark[]>> = {
  worst: (x, y) => [circle(x, y, SYMBOL_MM, "pin"), circle(x, y, SYMBOL_MM / 3, "reading-point")],
  mend: (x, y) => [box(x - SYMBOL_MM, y - SYMBOL_MM, 2 * SYMBOL_MM, 2 * SYMBOL_MM, "solid")],
  line: (x, y) => [circle(x, y, SYMBOL_MM / 2, "reading-point")],
  joint: () => [],
};

interface Named {
  readonly label: string;
  readonly at: Point;
  readonly roomIndex: number;
  readonly look: Look;
  readonly reach?: readonly [Point, Point];
}

function itemOf({ label, at, roomIndex, look, reach }: Named): MapItem {
  const weight = look === "line" ? 400 : 700;
  return {
    id: label,
    at,
    roomIndex,
    // Spacing of places says nothing of the scale, as with pins at doors.
    kind: "door",
    labelWidth: textWidthMm(label, KNEELING_MM, weight) + 2 * PADDING_MM,
    labelHeight: KNEELING_MM * CAP_HEIGHT + 2 * PADDING_MM,
    ...(reach && { reach: [{ line: reach, style: LINE_OF[look] }] }),
    symbol: ({ x, y }) => SYMBOL[look](x, y),
    label: (place) => [
      box(place.minX, place.minY, place.maxX - place.minX, place.maxY - place.minY, "label-box"),
      text(place.minX + PADDING_MM, place.maxY - PADDING_MM, label, KNEELING_MM, "start", weight),
    ],
  };
}

/** Names of all that was found at one place stand in one label. */
function together(named: readonly Named[]): Named[] {
  const made: Named[] = [];
  for (const one of named) {
    const same = made.findIndex(
      ({ at, look }) => look === one.look && Math.hypot(at.x - one.at.x, at.y - one.at.y) < 0.05,
    );
    if (same < 0) made.push(one);
    else made[same] = { ...made[same]!, label: `${made[same]!.label}, ${one.label}` };
  }
  return made;
}

/** Pages of the map; none where nothing has a place. */
export function placeMapPages(
  id: string,
  floor: FloorText,
  conformity: Conformity,
  worst: ReadonlyMap<Finding, WorstPlace>,
  lines: readonly SampleLine[],
): PageContent[] {
  const { job } = floor;
  const value = (mm: number | undefined): string =>
    mm === undefined ? "" : ` ${fineHeight(mm, job.units.height).large.text}`;
  const at = ({ at: place, roomIndex, ends }: FoundPlace) => ({ at: place, roomIndex, ...(ends && { reach: ends }) });
  const named: Named[] = [
    ...[...worst.values()].map(({ id: name, found }): Named => ({ label: name, look: "worst", ...at(found) })),
    ...conformity.places.map(
      ({ id: name, least, whole, found }): Named => ({
        label: `${name}${value(least ?? whole)}`,
        look: "mend",
        at: found.at,
        roomIndex: found.roomIndex,
      }),
    ),
    ...lines.flatMap(({ id: name, ends }): Named[] =>
      ends ? [{ label: name, look: "line", ...placed(floor, ends[0]), reach: ends }] : [],
    ),
    ...jointsOn(floor, conformity.joints),
  ];
  return mapOfNamed(id, floor, named);
}

const placed = ({ job, plan }: FloorText, at: Point): Pick<Named, "at" | "roomIndex"> => ({
  at,
  roomIndex: findPlace(job, plan, at).roomIndex,
});

/** Places tried along a joint for its name, from its middle outwards. */
const NAME_PLACES = 20;

/** A joint may run past the floor at its ends: its name stands where there is floor, as near its middle as may be. */
function jointsOn(floor: FloorText, joints: readonly FloorLine[]): Named[] {
  return joints.flatMap(({ id: label, from, to }): Named[] => {
    const places = Array.from({ length: NAME_PLACES + 1 }, (_, k) => {
      const share = 0.5 + ((k % 2 === 0 ? 1 : -1) * Math.ceil(k / 2)) / NAME_PLACES;
      return { x: from.x + share * (to.x - from.x), y: from.y + share * (to.y - from.y) };
    });
    const at = places.find((place) => floor.plan.floors.some(({ polygon }) => polygonContains(polygon, place)));
    return at ? [{ label, look: "joint", ...placed(floor, at), reach: [from, to] }] : [];
  });
}

/** The map of sample lines that are still to be read: each by its name, from its first reading on. */
export function plannedLinePages(id: string, floor: FloorText, lines: readonly PlannedLine[]): PageContent[] {
  const named = lines.map(
    ({ id: label, ends }): Named => ({
      label,
      look: "line",
      at: ends[0],
      roomIndex: findPlace(floor.job, floor.plan, ends[0]).roomIndex,
      reach: ends,
    }),
  );
  return mapOfNamed(id, floor, named);
}

function mapOfNamed(id: string, { job, plan, words }: FloorText, named: readonly Named[]): PageContent[] {
  if (named.length === 0) return [];
  const looks = new Set(named.map(({ look }) => look));
  const { flatness } = words;
  const legend: readonly (readonly [Look, string])[] = [
    ["worst", flatness.mapWorst],
    ["mend", flatness.mapCorrection],
    ["line", flatness.mapLine],
    ["joint", flatness.mapJoint],
  ];
  const legendItems = legend
    .filter(([look]) => looks.has(look))
    .map(
      ([look, meaning]): PanelItem =>
        sampleItem(meaning, (x, y) => [
          ...(look === "mend" ? [] : [line({ x, y: y + 3 }, { x: x + 12, y: y + 3 }, LINE_OF[look])]),
          ...SYMBOL[look](look === "line" ? x : x + 6, y + 3),
        ]),
    );
  return mapPages({
    id,
    // The table gives every place its own two distances: grid lines would only crowd the map.
    subject: { job, plan: { ...plan, gridLines: [] }, words, items: together(named).map(itemOf) },
    leastSpacingMm: LEAST_SPACING_MM,
    title: flatness.mapTitle(job.title),
    description: flatness.mapDescription,
    panel: (subject) => [...commonItems(subject), ...legendItems],
  });
}

/** What stands beside a map: scale, check length, north, bands, symbols, notes. Items flow down columns. */
import type { Depths } from "../../depths/model.ts";
import { decimal, fineHeight, height, interval } from "../../format.ts";
import type { HeightUnit, Job, PaperFamily } from "../../job/model.ts";
import type { Plan } from "../../layout/model.ts";
import { M_PER_FOOT, MM_PER_INCH } from "../../units.ts";
import { box, circle, line, type Mark, type PaperPoint, pathThrough, text } from "../drawing.ts";
import { CAP_HEIGHT, textWidthMm, wrapText } from "../type/text-metrics.ts";
import { DEPTH_MM, HEADING_MM, KNEELING_MM, LEADING } from "../type/type-sizes.ts";
import type { Words } from "../words/en.ts";
import { bandLook, bandMarks, benchMarkMarks, contourInterval } from "./floor-marks.ts";
import { hatchPath } from "./hatching.ts";
import { inside, type MapScale, type Window } from "./map-scale.ts";
import type { Tile } from "./map-tiles.ts";
import { type Box, boxAround, boxesOverlap } from "./occupancy.ts";
import { pinSymbol } from "./pin-labels.ts";

const LINE_MM = KNEELING_MM * LEADING;
const CAP_MM = KNEELING_MM * CAP_HEIGHT;
const SAMPLE_MM = 12;
const ITEM_GAP_MM = 1.2;
const SAMPLE_HEIGHT_MM = 6.2;
/** Where a symbol stands in its sample. */
export const SAMPLE_MIDDLE: PaperPoint = { x: SAMPLE_MM / 2, y: SAMPLE_HEIGHT_MM / 2 };
export const PANEL_COLUMN_MM = 79;

export interface PanelItem {
  readonly heightMm: number;
  /** Marks with (x, y) the upper left corner. */
  marksAt(x: number, y: number): Mark[];
}

function textItem(content: string, size: number, weight: 400 | 700, indent = 0): PanelItem {
  const lines = wrapText(content, PANEL_COLUMN_MM - indent - 1, size, weight);
  const leading = size * 1.28;
  return {
    heightMm: lines.length * leading + ITEM_GAP_MM,
    marksAt: (x, y) =>
      lines.map((one, index) => text(x + indent, y + index * leading + size * 0.95, one, size, "start", weight)),
  };
}

/** A sample of a symbol and what it means. */
export function sampleItem(content: string, sample: (x: number, y: number) => Mark[]): PanelItem {
  const lines = wrapText(content, PANEL_COLUMN_MM - SAMPLE_MM - 3, KNEELING_MM, 400);
  const rowMm = Math.max(lines.length * LINE_MM, SAMPLE_HEIGHT_MM);
  return {
    heightMm: rowMm + ITEM_GAP_MM,
    marksAt: (x, y) => [
      ...sample(x, y),
      ...lines.map((one, index) =>
        text(
          x + SAMPLE_MM + 2.5,
          y + rowMm / 2 - ((lines.length - 1) * LINE_MM) / 2 + CAP_MM / 2 + index * LINE_MM,
          one,
          KNEELING_MM,
        ),
      ),
    ],
  };
}

const ring = (x: number, y: number, width: number, heightMm: number): PaperPoint[] => [
  { x, y },
  { x: x + width, y },
  { x: x + width, y: y + heightMm },
  { x, y: y + heightMm },
];

function bandItems(depths: Depths, unit: HeightUnit, words: Words): PanelItem[] {
  return depths.bands
    .filter(({ area }) => area > 0)
    .map((band) => {
      const from = band.from === undefined ? undefined : height(band.from, unit);
      const to = band.to === undefined ? undefined : height(band.to, unit);
      const range = (pick: "large" | "small"): string => {
        if (from && to) return words.map.bandDepth(from[pick].number, to[pick].text);
        if (to) return band.to === 0 ? words.map.bandProud : words.map.bandBelow(to[pick].text);
        if (from) return words.map.bandAbove(from[pick].text);
        return "";
      };
      const [large, small] = [range("large"), range("small")];
      return bandItem(band.number, large === small ? large : words.both(large, small));
    });
}

/** A numbered area and what it means. */
export const bandItem = (number: number, meaning: string): PanelItem =>
  sampleItem(meaning, (x, y) => {
    const swatch = ring(x, y, SAMPLE_MM, SAMPLE_HEIGHT_MM);
    return [
      ...bandMarks([[swatch]], bandLook(number)),
      box(x, y, SAMPLE_MM, SAMPLE_HEIGHT_MM, "frame"),
      circle(x + SAMPLE_MM / 2, y + SAMPLE_HEIGHT_MM / 2, 2.6, "label-box"),
      circle(x + SAMPLE_MM / 2, y + SAMPLE_HEIGHT_MM / 2, 2.6, "fine"),
      text(x + SAMPLE_MM / 2, y + SAMPLE_HEIGHT_MM / 2 + CAP_MM / 2, decimal(number, 0), KNEELING_MM, "middle"),
    ];
  });

/** Scale bars of both systems, each of a round length that takes 35 to 72 mm of paper. */
function scaleBarItem(scale: MapScale): PanelItem {
  const bars = [
    { unitM: 1, steps: [0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50], name: "m", places: (step: number) => (step < 1 ? 1 : 0) },
    {
      unitM: M_PER_FOOT,
      steps: [0.5, 1, 2, 5, 10, 20, 50, 100, 200],
      name: "ft",
      places: (step: number) => (step < 1 ? 1 : 0),
    },
  ].map((system) => {
    const onPaper = (step: number): number => (step * system.unitM * 1000 * 4) / scale.ratio;
    const step = [...system.steps].reverse().find((one) => onPaper(one) <= 72) ?? system.steps[0]!;
    return { ...system, step, partMm: onPaper(step) / 4 };
  });
  const rowMm = 11;
  return {
    heightMm: bars.length * rowMm + ITEM_GAP_MM,
    marksAt: (x, y) =>
      bars.flatMap((bar, index) => {
        const top = y + index * rowMm;
        const parts = [0, 1, 2, 3].map((part) =>
          box(x + part * bar.partMm, top + 5.6, bar.partMm, 2.4, part % 2 === 0 ? "solid" : "frame"),
        );
        const last = `${decimal(4 * bar.step, bar.places(bar.step))} ${bar.name}`;
        const numbers = [
          text(x, top + 4.4, "0", KNEELING_MM),
          text(x + 4 * bar.partMm, top + 4.4, last, KNEELING_MM, "end"),
        ];
        const half = decimal(2 * bar.step, bar.places(bar.step));
        const roomForHalf = 2 * bar.partMm - textWidthMm(last, KNEELING_MM) > textWidthMm(half, KNEELING_MM);
        if (roomForHalf) numbers.push(text(x + 2 * bar.partMm, top + 4.4, half, KNEELING_MM, "middle"));
        return [...parts, ...numbers];
      }),
  };
}

/** A length that tells whether the print was made at full size; it fits into a column of the panel. */
export const CHECK_LENGTH_MM: Readonly<Record<PaperFamily, number>> = { letter: 3 * MM_PER_INCH, a4: 75 };

export function checkBar(x: number, y: number, lengthMm: number): Mark[] {
  return [
    line({ x, y: y + 2.5 }, { x: x + lengthMm, y: y + 2.5 }, "bar"),
    line({ x, y }, { x, y: y + 5 }, "bar"),
    line({ x: x + lengthMm, y }, { x: x + lengthMm, y: y + 5 }, "bar"),
  ];
}

function checkLengthItem(job: Job, words: Words): PanelItem {
  const lengthMm = CHECK_LENGTH_MM[job.paper];
  const printed = fineHeight(lengthMm, job.paper === "letter" ? "in" : "mm");
  const caption = textItem(words.map.checkLength(words.both(printed.large.text, printed.small.text)), KNEELING_MM, 400);
  return {
    heightMm: 7 + caption.heightMm,
    marksAt: (x, y) => [...checkBar(x, y, lengthMm), ...caption.marksAt(x, y + 6.5)],
  };
}

/** The north arrow, 12 mm wide and 17 mm high. */
export function northMarks(words: Words, x: number, y: number): Mark[] {
  const [tip, notch] = [
    { x: x + 6, y: y + 5.6 },
    { x: x + 6, y: y + 12.6 },
  ];
  const half = (dx: number): string => pathThrough([tip, { x: x + 6 + dx, y: y + 15 }, notch], true);
  return [
    { kind: "path", d: half(3.5), style: "solid" },
    { kind: "path", d: half(-3.5), style: "frame" },
    text(x + 6, y + 4.4, words.north, DEPTH_MM, "middle", 700),
  ];
}

function northItem(words: Words, scaleText: string): PanelItem {
  return {
    heightMm: 16.5,
    marksAt: (x, y) => [
      ...northMarks(words, x, y),
      text(x + SAMPLE_MM + 2.5, y + 6.5, words.map.scale, KNEELING_MM),
      text(x + SAMPLE_MM + 2.5, y + 13, scaleText, KNEELING_MM, "start", 700),
    ],
  };
}

const KEY_PADDING_MM = 0.6;
/** So high at most is the key map of a panel; less where a sheet of its own has it large. */
const KEY_MM = 40;
const KEY_BESIDE_A_SHEET_MM = 24;
/** Of more tiles than these the key map is a sheet of its own too. */
export const FEW_TILES = 4;

interface KeyLabel {
  readonly box: Box;
  readonly frame: Mark;
  readonly name: readonly Mark[];
}

/** This tile's name, and of the others those that overlap none before them: on a vast floor names are larger than tiles. */
function apart(labels: readonly KeyLabel[], here: number): KeyLabel[] {
  const first = labels[here];
  const chosen = first === undefined ? [] : [first];
  for (const label of labels)
    if (label !== first && chosen.every((one) => !boxesOverlap(one.box, label.box))) chosen.push(label);
  return labels.filter((label) => chosen.includes(label));
}

/** The whole floor small, with the tiles by name, as many as have room, and this one shaded. */
function keyMapItem(plan: Plan, tiles: readonly Tile[], here: Tile, whole: Window): PanelItem {
  const widthMm = PANEL_COLUMN_MM - 4;
  const most = tiles.length > FEW_TILES ? KEY_BESIDE_A_SHEET_MM : KEY_MM;
  const mmPerM = Math.min(widthMm / (whole.maxX - whole.minX), most / (whole.maxY - whole.minY));
  const heightMm = (whole.maxY - whole.minY) * mmPerM;
  // On a long and narrow floor the names of the tiles are higher than the floor.
  const above = Math.max(0, (CAP_MM + 2 * KEY_PADDING_MM - heightMm) / 2);
  return {
    heightMm: heightMm + 2 * above + 3,
    marksAt(x, y) {
      const put = (at: { x: number; y: number }): PaperPoint => ({
        x: x + (at.x - whole.minX) * mmPerM,
        y: y + above + (whole.maxY - at.y) * mmPerM,
      });
      const boxOf = (tile: Window, style: "tint-1" | "frame"): Mark => {
        const window = inside(tile, whole);
        const corner = put({ x: window.minX, y: window.maxY });
        return box(
          corner.x,
          corner.y,
          (window.maxX - window.minX) * mmPerM,
          (window.maxY - window.minY) * mmPerM,
          style,
        );
      };
      const marks: Mark[] = [boxOf(here.window, "tint-1")];
      for (const floor of plan.floors) {
        marks.push({ kind: "path", d: pathThrough(floor.polygon.outline.map(put), true), style: "wall-line" });
      }
      const labels = tiles.map((tile): KeyLabel => {
        const window = inside(tile.window, whole);
        const middle = put({ x: (window.minX + window.maxX) / 2, y: (window.minY + window.maxY) / 2 });
        const weight = tile === here ? 700 : 400;
        const nameMm = textWidthMm(tile.name, KNEELING_MM, weight) + 2 * KEY_PADDING_MM;
        const nameHeight = CAP_MM + 2 * KEY_PADDING_MM;
        return {
          frame: boxOf(tile.window, "frame"),
          box: boxAround(middle.x, middle.y, nameMm / 2, nameHeight / 2),
          name: [
            box(middle.x - nameMm / 2, middle.y - nameHeight / 2, nameMm, nameHeight, "label-box"),
            text(middle.x, middle.y + CAP_MM / 2, tile.name, KNEELING_MM, "middle", weight),
          ],
        };
      });
      const shown = apart(labels, tiles.indexOf(here));
      marks.push(
        ...(shown.length === labels.length
          ? labels.flatMap(({ frame, name }) => [frame, ...name])
          : // Names reach over the edges of small tiles: they lie on top of all edges.
            [...labels.map(({ frame }) => frame), ...shown.flatMap(({ name }) => name)]),
      );
      return marks;
    },
  };
}

export interface PanelSubject {
  readonly job: Job;
  readonly plan: Plan;
  readonly words: Words;
  readonly scale: MapScale;
  readonly contourStep: number;
  readonly whole: Window;
  readonly tiles: readonly Tile[];
  readonly here: Tile;
}

/** What every map's panel has: which tile, north, scale and check length. */
export function commonItems(subject: PanelSubject): PanelItem[] {
  const { job, plan, words } = subject;
  const items: PanelItem[] = [];
  if (subject.tiles.length > 1) {
    items.push(textItem(words.map.tile(subject.here.name), HEADING_MM, 700));
    items.push(keyMapItem(plan, subject.tiles, subject.here, subject.whole));
  }
  items.push(northItem(words, subject.scale.text), scaleBarItem(subject.scale), checkLengthItem(job, words));
  return items;
}

/** Grid lines, columns, openings and bench marks, those that occur on this floor. */
export function buildingItems({ job, plan, words }: PanelSubject): PanelItem[] {
  const items: PanelItem[] = [
    sampleItem(words.map.gridLine, (x, y) => [
      line({ x, y: y + SAMPLE_HEIGHT_MM / 2 }, { x: x + SAMPLE_MM, y: y + SAMPLE_HEIGHT_MM / 2 }, "grid-line"),
    ]),
  ];
  const kinds = new Set(plan.floors.flatMap(({ obstacles }) => obstacles.map(({ kind }) => kind)));
  if (kinds.has("column")) {
    items.push(sampleItem(words.map.column, (x, y) => [box(x + 3.7, y + 0.8, 4.6, 4.6, "column")]));
  }
  if (kinds.has("opening")) {
    items.push(sampleItem(words.map.opening, (x, y) => [box(x + 2, y + 0.4, 8, 5.4, "opening")]));
  }
  if (job.benchMarks.length > 0) {
    items.push(sampleItem(words.map.benchMark, (x, y) => benchMarkMarks({ x: x + 6, y: y + SAMPLE_HEIGHT_MM / 2 })));
  }
  items.push(noteItem(words.map.zeroWalls));
  return items;
}

export const noteItem = (content: string): PanelItem => textItem(content, KNEELING_MM, 400);

/** The items of a pin map's panel. */
export function pinMapItems(subject: PanelSubject, depths: Depths): PanelItem[] {
  const { job, words } = subject;
  const unit = job.units.height;
  const items = [...commonItems(subject), ...bandItems(depths, unit, words)];
  if (depths.pins.some(({ from }) => from === "read")) {
    items.push(sampleItem(words.map.pin, (x, y) => pinSymbol("read", { x: x + 6, y: y + SAMPLE_HEIGHT_MM / 2 })));
  }
  if (depths.pins.some(({ from }) => from === "interpolated")) {
    items.push(
      sampleItem(words.map.pinInterpolated, (x, y) =>
        pinSymbol("interpolated", { x: x + 6, y: y + SAMPLE_HEIGHT_MM / 2 }),
      ),
    );
  }
  items.push(noteItem(words.map.labelHint(unit, unit === "mm" ? "in" : "mm")));
  if (depths.highSpots.length > 0) {
    items.push(
      sampleItem(words.map.highSpot, (x, y) => {
        const shape = ring(x, y, SAMPLE_MM, SAMPLE_HEIGHT_MM);
        return [
          ...[45, 135].map(
            (degrees): Mark => ({ kind: "path", d: hatchPath([shape], degrees, 1.7), style: "high-spot-hatch" }),
          ),
          box(x, y, SAMPLE_MM, SAMPLE_HEIGHT_MM, "high-spot"),
        ];
      }),
    );
  }
  if (depths.contours.length > 0) {
    const { large, small } = interval(contourInterval(depths) * subject.contourStep, unit);
    items.push(
      sampleItem(words.map.contour(words.both(large.text, small.text)), (x, y) => [
        line({ x, y: y + 1.9 }, { x: x + SAMPLE_MM, y: y + 1.9 }, "contour"),
        line({ x, y: y + 4.3 }, { x: x + SAMPLE_MM, y: y + 4.3 }, "contour-index"),
      ]),
    );
  }
  return [...items, ...buildingItems(subject)];
}

/** How many columns the items need at a height, in the order of reading. */
export function columnsNeeded(items: readonly PanelItem[], heightMm: number): number {
  return flow(items, heightMm).length;
}

function flow(items: readonly PanelItem[], heightMm: number): PanelItem[][] {
  const columns: PanelItem[][] = [[]];
  let used = 0;
  for (const item of items) {
    if (used + item.heightMm > heightMm && used > 0) {
      columns.push([]);
      used = 0;
    }
    columns.at(-1)!.push(item);
    used += item.heightMm;
  }
  return columns;
}

/** The lowest panel that holds the items in so many columns. */
export function heightForColumns(items: readonly PanelItem[], columns: number): number {
  const total = items.reduce((sum, item) => sum + item.heightMm, 0);
  for (let heightMm = total / columns; ; heightMm += 2) if (columnsNeeded(items, heightMm) <= columns) return heightMm;
}

export const COLUMN_GAP_MM = 6;

export function panelMarks(items: readonly PanelItem[], x: number, y: number, heightMm: number): Mark[] {
  return flow(items, heightMm).flatMap((column, index) => {
    let top = y;
    return column.flatMap((item) => {
      const marks = item.marksAt(x + index * (PANEL_COLUMN_MM + COLUMN_GAP_MM), top);
      top += item.heightMm;
      return marks;
    });
  });
}

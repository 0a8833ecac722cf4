/** Places where pins crowd, drawn again at a larger scale: insets of a map, several on a page. */
import { count } from "../../format.ts";
import { box, type Drawing, type Layer, type Mark, shifted, text } from "../drawing.ts";
import type { PageContent } from "../model.ts";
import { drawingBlock } from "../page/make-blocks.ts";
import { pageFrame, SMALL_PAPER } from "../page/paper.ts";
import { DEPTH_MM, KNEELING_MM } from "../type/type-sizes.ts";
import { drawFloorMap, type MapSubject } from "./floor-map.ts";
import { northMarks } from "./map-panel.ts";
import { type MapScale, projectionOf, scalesFor, type Window } from "./map-scale.ts";
import type { MapItem } from "./pin-labels.ts";
import { type PlacedMap, placeMap } from "./place-map.ts";

export interface Detail {
  /** `1`, `2` … */
  readonly name: string;
  readonly items: readonly MapItem[];
  readonly drawn: Drawn;
}

/** A detail as it is drawn: at which scale, and with which of the floor's items. */
interface Drawn {
  readonly shown: MapSubject;
  readonly scale: MapScale;
  readonly placed: PlacedMap;
  /** Items that it is drawn for and that find no label here either. */
  readonly ownWithout: number;
}

/** Items without a label nearer to each other than this share a detail. */
const TOGETHER_M = 2.5;
/** Floor shown round the outermost of them. */
const AROUND_M = 0.8;
const COLUMNS = 2;
const ROWS = 3;
const CELL_GAP_MM = 4;
const TITLE_MM = 8;
const PAGE_HEAD_MM = 18;

interface Size {
  readonly width: number;
  readonly height: number;
}

function cellOn({ job }: MapSubject): Size {
  const frame = pageFrame(SMALL_PAPER[job.paper], "portrait");
  return {
    width: (frame.widthMm - (COLUMNS - 1) * CELL_GAP_MM) / COLUMNS,
    height: (frame.heightMm - PAGE_HEAD_MM - ROWS * CELL_GAP_MM) / ROWS,
  };
}

/**
 * Groups what found no label on a map drawn at `mapScale` by nearness: an item joins the first group that has one near
 * it. Of a group that has no room for all of its labels each item gets a detail of its own.
 */
export function detailsFor(subject: MapSubject, without: readonly MapItem[], mapScale: MapScale): Detail[] {
  const groups: MapItem[][] = [];
  for (const item of without) {
    const near = groups.find((group) =>
      group.some((other) => Math.hypot(other.at.x - item.at.x, other.at.y - item.at.y) < TOGETHER_M),
    );
    if (near) near.push(item);
    else groups.push([item]);
  }
  return groups
    .flatMap((items) => {
      const drawn = drawnFor(subject, items, mapScale);
      return drawn.ownWithout === 0
        ? [{ items, drawn }]
        : items.map((item) => ({ items: [item], drawn: drawnFor(subject, [item], mapScale) }));
    })
    .map((detail, index) => ({ name: count(index + 1), ...detail }));
}

/** The pages of the details. */
export function detailPages(id: string, subject: MapSubject, details: readonly Detail[], title: string): PageContent[] {
  const paper = SMALL_PAPER[subject.job.paper];
  const frame = pageFrame(paper, "portrait");
  const cell = cellOn(subject);
  const pages: PageContent[] = [];
  for (let first = 0; first < details.length; first += COLUMNS * ROWS) {
    const here = details.slice(first, first + COLUMNS * ROWS);
    const layers: Layer[] = [{ name: "north", marks: northMarks(subject.words, 0, 0) }];
    here.forEach((detail, index) => {
      const x = (index % COLUMNS) * (cell.width + CELL_GAP_MM);
      const y = PAGE_HEAD_MM + Math.floor(index / COLUMNS) * (cell.height + CELL_GAP_MM);
      layers.push({ name: `detail ${detail.name}`, marks: detailMarks(subject, detail, x, y, cell) });
    });
    const number = pages.length + 1;
    const drawing: Drawing = {
      id: `${id}-details-${number}`,
      widthMm: frame.widthMm,
      heightMm: frame.heightMm,
      title,
      description: here.map((detail) => detailTitle(subject, detail)).join("; "),
      layers,
    };
    pages.push({ paper, orientation: "portrait", blocks: [drawingBlock(drawing)] });
  }
  return pages;
}

export const detailTitle = ({ words }: MapSubject, { name, items }: Pick<Detail, "name" | "items">): string =>
  `${words.map.detail(name)}: ${words.listOf(items.map(({ id }) => id))}`;

/** How far a scale is from the map's: smaller drawings count as farther than all larger ones. */
const farFrom = (map: MapScale, { ratio }: MapScale): number =>
  ratio <= map.ratio ? map.ratio / ratio : 1000 * (ratio / map.ratio);

/** How the items are best drawn: none smaller than on the map that had no room, with their neighbours where these leave room. */
function drawnFor(subject: MapSubject, items: readonly MapItem[], mapScale: MapScale): Drawn {
  const cell = cellOn(subject);
  const map = { width: cell.width, height: cell.height - TITLE_MM };
  const xs = items.map(({ at }) => at.x);
  const ys = items.map(({ at }) => at.y);
  const centre = { x: (Math.min(...xs) + Math.max(...xs)) / 2, y: (Math.min(...ys) + Math.max(...ys)) / 2 };
  const windowAt = ({ ratio }: MapScale): Window => {
    const halfWidth = (map.width * ratio) / 2000;
    const halfHeight = (map.height * ratio) / 2000;
    return {
      minX: centre.x - halfWidth,
      maxX: centre.x + halfWidth,
      minY: centre.y - halfHeight,
      maxY: centre.y + halfHeight,
    };
  };
  const holds = (window: Window): boolean =>
    Math.min(...xs) - AROUND_M >= window.minX &&
    Math.max(...xs) + AROUND_M <= window.maxX &&
    Math.min(...ys) - AROUND_M / 2 >= window.minY &&
    Math.max(...ys) + AROUND_M / 2 <= window.maxY;
  const scales = scalesFor(subject.job.units.plan);
  const fitting = scales.filter((scale) => holds(windowAt(scale)));
  const larger = fitting.filter(({ ratio }) => ratio <= mapScale.ratio);
  const tried = larger.length > 0 ? larger : fitting;
  const candidates = tried.length > 0 ? [...tried].reverse() : scales.slice(-1);
  const bestOf = (shown: MapSubject, at: readonly MapScale[]): Drawn =>
    at
      .map((scale): Drawn => {
        const placed = placeMap(shown, projectionOf(scale, windowAt(scale), 0, 0));
        return { shown, scale, placed, ownWithout: items.filter(({ id }) => placed.itemsWithout.includes(id)).length };
      })
      .reduce((least, one) =>
        one.ownWithout < least.ownWithout ||
        (one.ownWithout === least.ownWithout && one.placed.itemsWithout.length < least.placed.itemsWithout.length)
          ? one
          : least,
      );
  const among = bestOf(subject, candidates);
  if (among.ownWithout === 0) return among;
  // Its own items are what it is drawn for: where their neighbours leave them no room, they stand alone.
  const alone = bestOf({ ...subject, items }, candidates);
  // Several are parted by whoever asked; at a scale of which the window does not hold them one might be off it.
  if (alone.ownWithout === 0 || items.length > 1) return alone;
  // Where columns leave them none at such a scale, any other will do: the nearest of the series, larger ones first.
  const others = [...scales].sort((p, q) => farFrom(mapScale, p) - farFrom(mapScale, q));
  const elsewhere = others
    .map((scale) => bestOf({ ...subject, items }, [scale]))
    .find(({ ownWithout }) => ownWithout === 0);
  return elsewhere ?? alone;
}

function detailMarks(subject: MapSubject, detail: Detail, x: number, y: number, cell: Size): Mark[] {
  const { shown, placed, scale } = detail.drawn;
  const { layers } = drawFloorMap(shown, placed);
  return [
    text(x, y + TITLE_MM - 2.4, detailTitle(subject, detail), DEPTH_MM, "start", 700),
    text(x + cell.width, y + TITLE_MM - 2.4, scale.text.split(",")[0] ?? "", KNEELING_MM, "end"),
    ...layers.flatMap(({ marks }) => marks).map((mark) => shifted(mark, x, y + TITLE_MM)),
    box(x, y + TITLE_MM, cell.width, cell.height - TITLE_MM, "frame"),
  ];
}

/** The key map as a sheet of its own: on which tile, and so on which page, a pin of a large floor is found. */
import { count } from "../../format.ts";
import type { Point } from "../../geometry/point.ts";
import type { GridLine } from "../../layout/model.ts";
import { box, type Drawing, type Layer, line, type Mark, pathThrough, text } from "../drawing.ts";
import type { Orientation, PageContent, PaperSize } from "../model.ts";
import type { Block } from "../page/blocks.ts";
import { drawingBlock, GAP_MM, heading, KNEELING, list, paragraph } from "../page/make-blocks.ts";
import { flowOntoPages } from "../page/page-flow.ts";
import { LARGE_PAPER, pageFrame, SMALL_PAPER } from "../page/paper.ts";
import { CAP_HEIGHT, DESCENT, textWidthMm } from "../type/text-metrics.ts";
import { KNEELING_MM, LEADING } from "../type/type-sizes.ts";
import type { MapSubject } from "./floor-map.ts";
import { entranceMark } from "./floor-marks.ts";
import { COLUMN_GAP_MM, commonItems, FEW_TILES, heightForColumns, PANEL_COLUMN_MM, panelMarks } from "./map-panel.ts";
import { inside, type MapScale, type Projection, projectionOf, scalesFor, windowSize } from "./map-scale.ts";
import { floorWindow, type Tile } from "./map-tiles.ts";

const CAP_MM = KNEELING_MM * CAP_HEIGHT;
/** Round a text within its tile, and between its two lines. */
const PADDING_MM = 0.8;
/** From the tile's name to its page, and what both take with a descender below. */
const LINE_MM = KNEELING_MM * LEADING;
const NAME_HEIGHT_MM = CAP_MM + LINE_MM + KNEELING_MM * DESCENT + 2 * PADDING_MM;
/** Beside and above the floor the lines of each row and column of tiles, beyond the arrowhead of a way in. */
const LINES_OFF_MM = 9;
const EDGE_MM = 27;
/** Below it an arrowhead at most. */
const FOOT_MM = 10;

interface Frame {
  readonly paper: PaperSize;
  readonly orientation: Orientation;
  readonly scale: MapScale;
}

/** The pages of the key map, first in the order of the map's pages; none where a glance at the small one is enough. */
export function keyMapPages(id: string, subject: MapSubject, tiles: readonly Tile[]): PageContent[] {
  if (tiles.length <= FEW_TILES) return [];
  const frame = frameFor(subject, tiles);
  // The pages of the key map itself come before those that it names.
  let pages = pagesOf(id, subject, tiles, frame, 1);
  if (pages.length > 1) pages = pagesOf(id, subject, tiles, frame, pages.length);
  return pages;
}

/** The largest scale on the smallest paper on which every tile holds its name and page. */
function frameFor({ job, plan }: MapSubject, tiles: readonly Tile[]): Frame {
  const floor = windowSize(floorWindow(plan, 0));
  const frames = [SMALL_PAPER[job.paper], LARGE_PAPER[job.paper]].flatMap((paper) =>
    (["portrait", "landscape"] as const).flatMap((orientation): Frame[] => {
      const { width, height } = mapRoom(paper, orientation);
      const scale = scalesFor(job.units.plan).find(
        ({ ratio }) => (floor.width * 1000) / ratio <= width && (floor.height * 1000) / ratio <= height,
      );
      return scale ? [{ paper, orientation, scale }] : [];
    }),
  );
  const roomiest = (of: readonly Frame[]): Frame | undefined =>
    [...of].sort((p, q) => p.scale.ratio - q.scale.ratio)[0];
  const holding = frames.filter(({ scale }) =>
    tiles.every((tile) => {
      const size = windowSize(inside(tile.window, floorWindow(plan, 0)));
      return (
        (size.width * 1000) / scale.ratio >= textWidthMm(tile.name, KNEELING_MM, 700) + 2 * PADDING_MM &&
        (size.height * 1000) / scale.ratio >= NAME_HEIGHT_MM
      );
    }),
  );
  const small = holding.filter(({ paper }) => paper === SMALL_PAPER[job.paper]);
  const frame = roomiest(small) ?? roomiest(holding) ?? roomiest(frames);
  if (!frame) throw new Error(`no scale is small enough for the key map of ${job.id}`);
  return frame;
}

/** Of a page the paper for the floor alone: text above it, the lines' names at two edges, the panel below. */
function mapRoom(paper: PaperSize, orientation: Orientation): { readonly width: number; readonly height: number } {
  const { widthMm, heightMm } = pageFrame(paper, orientation);
  return { width: widthMm - 2 * EDGE_MM, height: heightMm - EDGE_MM - FOOT_MM - TEXT_ROOM_MM - PANEL_ROOM_MM };
}
const TEXT_ROOM_MM = 26;
const PANEL_ROOM_MM = 38;

function pagesOf(
  id: string,
  subject: MapSubject,
  tiles: readonly Tile[],
  { paper, orientation, scale }: Frame,
  keyPages: number,
): PageContent[] {
  const { words, plan } = subject;
  const { widthMm, heightMm } = pageFrame(paper, orientation);
  const pageOf = (tile: Tile): string => count(keyPages + 1 + tiles.indexOf(tile));
  const elsewhere = subject.items.filter(({ id, at }) => tileByName(id, plan.gridLines, tiles) !== tileAt(at, tiles));
  const byTile = tiles.flatMap((tile) => {
    const here = elsewhere.filter(({ at }) => tileAt(at, tiles) === tile).map(({ id }) => id);
    return here.length === 0 ? [] : [words.map.pinsOfTile(tile.name, pageOf(tile), words.listOf(here))];
  });
  const blocks: Block[] = [
    heading(words.map.keyMap, widthMm),
    paragraph(words.map.findPin, widthMm, KNEELING),
    drawingBlock(keyDrawing(id, subject, tiles, scale, widthMm, pageOf)),
    ...(byTile.length === 0 ? [] : [heading(words.map.elsewhere, widthMm), list(byTile, widthMm, KNEELING)]),
  ];
  return flowOntoPages(blocks, heightMm).map((content) => ({ paper, orientation, blocks: content }));
}

const tileAt = (at: Point, tiles: readonly Tile[]): Tile | undefined =>
  tiles.find(({ window }) => at.x >= window.minX && at.x < window.maxX && at.y >= window.minY && at.y < window.maxY);

/** Where the grid lines that an id begins with lead: B7, and B7n, which stands north of it. */
function tileByName(id: string, lines: readonly GridLine[], tiles: readonly Tile[]): Tile | undefined {
  const [, letter, number] = /^([A-Z]+)(\d+)[a-z]*$/.exec(id) ?? [];
  const along = (name: string | undefined, axis: GridLine["axis"]) =>
    lines.find((one) => one.axis === axis && one.name === name)?.at;
  const [x, y] = [along(number, "numbered"), along(letter, "lettered")];
  return x === undefined || y === undefined ? undefined : tileAt({ x, y }, tiles);
}

function keyDrawing(
  id: string,
  subject: MapSubject,
  tiles: readonly Tile[],
  scale: MapScale,
  widthMm: number,
  pageOf: (tile: Tile) => string,
): Drawing {
  const { job, plan, words } = subject;
  const whole = floorWindow(plan, 0);
  const size = windowSize(whole);
  const [mapWidth, mapHeight] = [(size.width * 1000) / scale.ratio, (size.height * 1000) / scale.ratio];
  const left = (widthMm - mapWidth) / 2;
  const projection = projectionOf(scale, whole, left, EDGE_MM);
  const items = commonItems({ job, plan, words, scale, contourStep: 1, whole, tiles: [], here: tiles[0] as Tile });
  const columns = Math.max(1, Math.floor((widthMm + COLUMN_GAP_MM) / (PANEL_COLUMN_MM + COLUMN_GAP_MM)));
  const panelHeight = heightForColumns(items, columns);
  const panelTop = EDGE_MM + mapHeight + FOOT_MM;
  const layers: Layer[] = [
    { name: "tiles", marks: tiles.map((tile) => tileFrame(tile, projection)) },
    { name: "walls", marks: wallMarks(subject, projection) },
    { name: "names", marks: tiles.flatMap((tile) => tileName(tile, projection, pageOf(tile))) },
    { name: "lines", marks: lineRanges(plan.gridLines, tiles, projection) },
    { name: "panel", marks: panelMarks(items, 0, panelTop, panelHeight) },
  ];
  return {
    id: `${id}-key`,
    widthMm,
    heightMm: panelTop + panelHeight + GAP_MM,
    title: words.map.keyMap,
    description: words.map.findPin,
    layers,
  };
}

function corners({ window }: Tile, { toPaper, window: whole }: Projection) {
  const shown = inside(window, whole);
  return [toPaper({ x: shown.minX, y: shown.maxY }), toPaper({ x: shown.maxX, y: shown.minY })] as const;
}

function tileFrame(tile: Tile, projection: Projection): Mark {
  const [a, b] = corners(tile, projection);
  return box(a.x, a.y, b.x - a.x, b.y - a.y, "frame");
}

function wallMarks({ plan }: MapSubject, projection: Projection): Mark[] {
  return plan.floors.flatMap((floor) => [
    { kind: "path", d: pathThrough(floor.polygon.outline.map(projection.toPaper), true), style: "wall-line" } as const,
    ...floor.doors.filter(({ entrance }) => entrance).map((door) => entranceMark(door, projection).mark),
  ]);
}

/** The tile's name, and under it its page. */
function tileName(tile: Tile, projection: Projection, page: string): Mark[] {
  const [a, b] = corners(tile, projection);
  const [x, y] = [(a.x + b.x) / 2, (a.y + b.y) / 2];
  const width = Math.max(textWidthMm(tile.name, KNEELING_MM, 700), textWidthMm(page, KNEELING_MM)) + 2 * PADDING_MM;
  const top = y - NAME_HEIGHT_MM / 2;
  const baseline = top + PADDING_MM + CAP_MM;
  return [
    box(x - width / 2, top, width, NAME_HEIGHT_MM, "label-box"),
    text(x, baseline, tile.name, KNEELING_MM, "middle", 700),
    text(x, baseline + LINE_MM, page, KNEELING_MM, "middle"),
  ];
}

/** From the first to the last of the lines that a band of tiles holds, in the order of their names: `A–F`. */
function rangeOf(lines: readonly GridLine[], axis: GridLine["axis"], from: number, to: number): string {
  const names = lines
    .filter((one) => one.axis === axis && one.at >= from && one.at < to)
    .sort((p, q) => p.at - q.at)
    .map(({ name }) => name);
  return [...new Set([names[0] ?? "", names.at(-1) ?? ""])].filter((name) => name !== "").join("–");
}

/** At the left the lettered lines of each row of tiles, above the numbered ones of each column, uphill where they are narrow. */
function lineRanges(lines: readonly GridLine[], tiles: readonly Tile[], projection: Projection): Mark[] {
  const { window: whole, toPaper } = projection;
  const corner = toPaper({ x: whole.minX, y: whole.maxY });
  const firstOf = (of: "row" | "column"): Tile[] =>
    [...new Set(tiles.map((tile) => tile[of]))].map((index) => tiles.find((tile) => tile[of] === index) as Tile);
  const rows = firstOf("row").flatMap((tile): Mark[] => {
    const [a, b] = corners(tile, projection);
    const range = rangeOf(lines, "lettered", tile.window.minY, tile.window.maxY);
    return range === ""
      ? []
      : [
          text(corner.x - LINES_OFF_MM - 1, (a.y + b.y) / 2 + CAP_MM / 2, range, KNEELING_MM, "end", 700),
          line({ x: corner.x - LINES_OFF_MM, y: a.y + 0.6 }, { x: corner.x - LINES_OFF_MM, y: b.y - 0.6 }, "fine"),
        ];
  });
  const columns = firstOf("column").flatMap((tile): Mark[] => {
    const [a, b] = corners(tile, projection);
    const range = rangeOf(lines, "numbered", tile.window.minX, tile.window.maxX);
    if (range === "") return [];
    const x = (a.x + b.x) / 2;
    const fits = textWidthMm(range, KNEELING_MM, 700) + 2 * PADDING_MM <= b.x - a.x;
    return [
      fits
        ? text(x, corner.y - LINES_OFF_MM - 1, range, KNEELING_MM, "middle", 700)
        : text(x + CAP_MM / 2, corner.y - LINES_OFF_MM - 1, range, KNEELING_MM, "start", 700, 90),
      line({ x: a.x + 0.6, y: corner.y - LINES_OFF_MM }, { x: b.x - 0.6, y: corner.y - LINES_OFF_MM }, "fine"),
    ];
  });
  return [...rows, ...columns];
}

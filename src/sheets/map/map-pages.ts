/** Lays a map out: paper, orientation, scale and tiles, so that every label has its place. */
import { count } from "../../format.ts";
import { polygonArea } from "../../geometry/polygon.ts";
import { MM_PER_INCH } from "../../units.ts";
import type { Drawing } from "../drawing.ts";
import type { Orientation, PageContent, PaperSize } from "../model.ts";
import { drawingBlock } from "../page/make-blocks.ts";
import { LARGE_PAPER, pageFrame, SMALL_PAPER } from "../page/paper.ts";
import { drawFloorMap, type MapSubject } from "./floor-map.ts";
import { keyMapPages } from "./key-map-page.ts";
import { type LabelMemory, placerWith, type RememberingPlacer } from "./label-memory.ts";
import { detailPages, detailsFor, detailTitle } from "./map-details.ts";
import { freeCorner, offsetNotes } from "./map-notes.ts";
import {
  COLUMN_GAP_MM,
  columnsNeeded,
  heightForColumns,
  noteItem,
  PANEL_COLUMN_MM,
  type PanelItem,
  type PanelSubject,
  panelMarks,
} from "./map-panel.ts";
import { MARGIN_ON_PAPER_MM, type MapScale, projectionOf, scalesFor, windowSize } from "./map-scale.ts";
import { floorWindow, type Tile, tileFloor } from "./map-tiles.ts";
import { MATCH_NAME_MM, matchMarks } from "./match-lines.ts";
import { lacking, type PlacedMap } from "./place-map.ts";

/** Two neighbouring pins of the grid at least so far apart on paper: then a square inch has at most two labels. */
export const LEAST_PIN_SPACING_MM = MM_PER_INCH;

/** What to lay out. */
export interface MapOrder {
  /** Kebab case, unique among the drawings of a job. */
  readonly id: string;
  readonly subject: MapSubject;
  readonly leastSpacingMm: number;
  /** True where pins are set out from the grid lines on the map: then every line has its offset at both its ends. */
  readonly setsOut?: boolean;
  readonly title: string;
  /** What a screen reader says of one map, given how many items are on it and its scale. */
  readonly description: (items: string, scale: string) => string;
  readonly panel: (subject: PanelSubject) => readonly PanelItem[];
  readonly memory?: LabelMemory;
}

/** Lines of the panel kept for notes that a map turns out to need: walls off the map, details. */
const RESERVED_NOTES = 2;
/** For so many offsets that find no room at the ends of their lines the panel keeps room. */
const NOTED_LINES = 2;
/** So many stand there at most, where it has more room than it kept. */
const MOST_NOTED_LINES = 8;

interface Sheetful {
  readonly paper: PaperSize;
  readonly orientation: Orientation;
  /** Where the map goes on the page. */
  readonly map: { readonly width: number; readonly height: number };
  readonly panel: { readonly x: number; readonly y: number; readonly height: number };
}

/**
 * Half the floor's pins have no neighbour nearer than this, in metres. Pins at doors do not count: they
 * crowd on any floor, and their labels step aside on leader lines.
 */
function usualSpacing({ items }: MapSubject): number {
  const places = items.filter(({ kind }) => kind !== "door").map(({ at }) => at);
  const nearest = places.flatMap((at, index) => {
    let [least, nearestOne] = [Infinity, at];
    for (const [k, other] of places.entries()) {
      const squared = (other.x - at.x) ** 2 + (other.y - at.y) ** 2;
      if (k !== index && squared < least) [least, nearestOne] = [squared, other];
    }
    return least === Infinity ? [] : [Math.hypot(nearestOne.x - at.x, nearestOne.y - at.y)];
  });
  nearest.sort((p, q) => p - q);
  return nearest[Math.floor(nearest.length / 2)] ?? 1;
}

/** The ways to divide a page between map and panel: panel at the right of a wide page, below on a tall one. */
function sheetfuls(order: MapOrder, paper: PaperSize, tiled: boolean): Sheetful[] {
  const items = [
    ...order.panel(panelSubject(order.subject, tiled)),
    ...Array.from({ length: RESERVED_NOTES + (order.setsOut ? NOTED_LINES : 0) }, () => noteItem(order.subject.job.id)),
  ];
  return (["landscape", "portrait"] as const).map((orientation) => {
    const frame = pageFrame(paper, orientation);
    if (orientation === "landscape") {
      const columns = columnsNeeded(items, frame.heightMm);
      const panelWidth = columns * PANEL_COLUMN_MM + (columns - 1) * COLUMN_GAP_MM;
      return {
        paper,
        orientation,
        map: { width: frame.widthMm - panelWidth - COLUMN_GAP_MM, height: frame.heightMm },
        panel: { x: frame.widthMm - panelWidth, y: 0, height: frame.heightMm },
      };
    }
    const columns = Math.floor((frame.widthMm + COLUMN_GAP_MM) / (PANEL_COLUMN_MM + COLUMN_GAP_MM));
    const height = heightForColumns(items, columns);
    return {
      paper,
      orientation,
      map: { width: frame.widthMm, height: frame.heightMm - height - COLUMN_GAP_MM },
      panel: { x: 0, y: frame.heightMm - height, height },
    };
  });
}

/** The panel before the tiles are known: as high as it will be. */
function panelSubject({ job, plan, words }: MapSubject, tiled: boolean): PanelSubject {
  const whole = floorWindow(plan, 0);
  const here: Tile = { name: tiled ? "a1" : "", window: whole, column: 0, row: 0 };
  const scale = scalesFor(job.units.plan)[0] as MapScale;
  return { job, plan, words, scale, contourStep: 1, whole, tiles: tiled ? [here, here] : [here], here };
}

interface Attempt {
  readonly sheetful: Sheetful;
  readonly scale: MapScale;
  readonly tiles: readonly Tile[];
}

/**
 * How the floor can be laid out, best first: on one small sheet, on one large sheet, on tiles, which take a while to cut.
 * @param isTooMany asked before tiles are cut: whether a layout of so many at least is not looked at anyhow
 */
function* attempts(order: MapOrder, isTooMany: (tiles: number) => boolean): Generator<Attempt> {
  const { subject, leastSpacingMm } = order;
  const { job, plan } = subject;
  const coarsest = (usualSpacing(subject) * 1000) / leastSpacingMm;
  const scales = scalesFor(job.units.plan);
  const legible = scales.filter(({ ratio }) => ratio <= coarsest);
  const allowed = legible.length > 0 ? legible : scales.slice(0, 1);
  const whole = windowSize(floorWindow(plan, 0));
  for (const paper of [SMALL_PAPER[job.paper], LARGE_PAPER[job.paper]]) {
    const fitting = sheetfuls(order, paper, false)
      .flatMap((sheetful) => {
        const scale = allowed.find(
          ({ ratio }) =>
            (whole.width * 1000) / ratio + 2 * MARGIN_ON_PAPER_MM <= sheetful.map.width &&
            (whole.height * 1000) / ratio + 2 * MARGIN_ON_PAPER_MM <= sheetful.map.height,
        );
        return scale ? [{ sheetful, scale }] : [];
      })
      .sort((p, q) => p.scale.ratio - q.scale.ratio);
    for (const { sheetful, scale } of fitting) {
      // The window fills the map's place, so that labels may use all of it.
      const grow = (extent: number, paperMm: number): number => (paperMm * scale.ratio) / 1000 / 2 - extent / 2;
      const bounds = floorWindow(plan, 0);
      const [growX, growY] = [grow(whole.width, sheetful.map.width), grow(whole.height, sheetful.map.height)];
      const window = {
        minX: bounds.minX - growX,
        maxX: bounds.maxX + growX,
        minY: bounds.minY - growY,
        maxY: bounds.maxY + growY,
      };
      yield { sheetful, scale, tiles: [{ name: "", window, column: 0, row: 0 }] };
    }
  }
  const area = plan.floors.reduce((sum, { polygon }) => sum + polygonArea(polygon), 0);
  // The coarsest come first, and no more attempts than these are ever drawn.
  for (const scale of allowed.slice(-MOST_ATTEMPTS).toReversed()) {
    const tiled = sheetfuls(order, LARGE_PAPER[job.paper], true).flatMap((sheetful): Attempt[] => {
      const mPerMm = scale.ratio / 1000;
      const margin = MARGIN_ON_PAPER_MM * mPerMm;
      // The names of the neighbouring tiles stand outside the match lines.
      const clear = 2 * MATCH_NAME_MM;
      const [width, height] = [(sheetful.map.width - clear) * mPerMm, (sheetful.map.height - clear) * mPerMm];
      // So many it takes to cover the floor, however they are cut.
      if (isTooMany(Math.ceil(area / (width * height)))) return [];
      const tiles = tileFloor(plan, floorWindow(plan, margin), width, height, LABEL_REACH_MM * mPerMm);
      return [{ sheetful, scale, tiles: grownOutward(tiles, sheetful, scale) }];
    });
    // Of one scale the orientation with fewer sheets.
    yield* tiled.sort((p, q) => p.tiles.length - q.tiles.length);
  }
}

/** How far a pin and its label reach. */
const LABEL_REACH_MM = 21;

/** Lets every tile use what is left of its paper beyond the edges where no other tile joins. */
function grownOutward(tiles: readonly Tile[], { map }: Sheetful, scale: MapScale): Tile[] {
  const mPerMm = scale.ratio / 1000;
  const columns = tiles.map(({ column }) => column);
  const rows = tiles.map(({ row }) => row);
  const share = (room: number, low: boolean, high: boolean): readonly [number, number] => {
    const each = room / Math.max(1, Number(low) + Number(high));
    return [low ? each : 0, high ? each : 0];
  };
  return tiles.map((tile) => {
    const size = windowSize(tile.window);
    const clear = 2 * MATCH_NAME_MM;
    const [west, east] = share(
      (map.width - clear) * mPerMm - size.width,
      tile.column === Math.min(...columns),
      tile.column === Math.max(...columns),
    );
    const [north, south] = share(
      (map.height - clear) * mPerMm - size.height,
      tile.row === Math.min(...rows),
      tile.row === Math.max(...rows),
    );
    const { window } = tile;
    return {
      ...tile,
      window: {
        minX: window.minX - west,
        maxX: window.maxX + east,
        minY: window.minY - south,
        maxY: window.maxY + north,
      },
    };
  });
}

interface LaidOut {
  readonly attempt: Attempt;
  readonly maps: readonly { readonly tile: Tile; readonly placed: PlacedMap }[];
}

function lay(placer: RememberingPlacer, attempt: Attempt): LaidOut {
  const { sheetful, scale, tiles } = attempt;
  const maps = tiles.map((tile) => {
    const size = windowSize(tile.window);
    const left = (sheetful.map.width - (size.width * 1000) / scale.ratio) / 2;
    const top = (sheetful.map.height - (size.height * 1000) / scale.ratio) / 2;
    return { tile, placed: placer.place(projectionOf(scale, tile.window, left, top)) };
  });
  return { attempt, maps };
}

const sumOver = ({ maps }: LaidOut, of: (placed: PlacedMap) => number): number =>
  maps.reduce((sum, { placed }) => sum + of(placed), 0);

/** A sheet more is worth it where at least so many ends of lines find their place by it. */
const ENDS_A_SHEET = 4;
/** An end for which the panel has no room at all counts for so many more. */
const NOT_EVEN_NOTED = 1;

/**
 * What a layout lacks, and what its sheets cost whoever has to leaf through them. Where pins are set out from the lines,
 * an end that has no room beside the map either counts once more.
 */
const shortOf = (laid: LaidOut, setsOut: boolean): number =>
  sumOver(laid, lacking) +
  (setsOut
    ? NOT_EVEN_NOTED * sumOver(laid, ({ linesWithout }) => Math.max(0, linesWithout.length - MOST_NOTED_LINES))
    : 0) +
  ENDS_A_SHEET * laid.maps.length;

/** So many items may go to details. */
const SHARE_IN_DETAILS = 0.06;

/** Items labelled but for a few crowded ones; ends of lines measured, all but the noted ones where pins are set out from the lines. */
const isComplete = (laid: LaidOut, setsOut: boolean): boolean =>
  hasItems(laid) &&
  (setsOut
    ? laid.maps.every(({ placed }) => placed.linesWithout.length <= NOTED_LINES)
    : sumOver(laid, (placed) => placed.linesWithout.length) <= sumOver(laid, (placed) => placed.lines.length) / 2);

const hasItems = (laid: LaidOut): boolean =>
  sumOver(laid, (placed) => placed.itemsWithout.length) <=
  SHARE_IN_DETAILS * sumOver(laid, (placed) => placed.items.length);

/**
 * So many times the sheets are taken for ends of lines alone. Where pins are set out from them, the next scale of the
 * series is worth it, which takes 2.25 times the sheets from 1:75 to 1:50, and a few more for whole tiles; and a few
 * sheets in any case.
 */
const MOST_TIMES = 2;
const MOST_TIMES_SET_OUT = 2.5;
const FEW_SHEETS = 4;

/** So many sheets another layout may take that may have room for ends of lines. */
const mostTiles = ({ tiles }: Attempt, setsOut: boolean): number =>
  setsOut ? Math.max(MOST_TIMES_SET_OUT * tiles.length, FEW_SHEETS) : MOST_TIMES * tiles.length;

/** Whether another layout may have room for ends of lines, and is worth its sheets. */
function isWorthTrying({ tiles, scale, sheetful }: Attempt, best: Attempt, setsOut: boolean): boolean {
  if (tiles.length > mostTiles(best, setsOut)) return false;
  const isLarger = sheetful.map.width * sheetful.map.height > best.sheetful.map.width * best.sheetful.map.height;
  return scale.ratio < best.scale.ratio || tiles.length > best.tiles.length || isLarger;
}

/** So many layouts are drawn before the best of them is taken. */
const MOST_ATTEMPTS = 6;

function bestLayout(order: MapOrder): LaidOut | undefined {
  const { id, subject, memory } = order;
  const placer = placerWith(memory, id, subject.words.language, subject);
  const setsOut = order.setsOut === true;
  let best: LaidOut | undefined;
  let tried = 0;
  const isTooMany = (tiles: number): boolean =>
    best !== undefined && hasItems(best) && tiles > mostTiles(best.attempt, setsOut);
  for (const attempt of attempts(order, isTooMany)) {
    if (tried === MOST_ATTEMPTS) break;
    if (best && hasItems(best) && !isWorthTrying(attempt, best.attempt, setsOut)) continue;
    tried += 1;
    // Its sheets alone cost more than all that the best one lacks: it need not be drawn to be no better.
    if (best && ENDS_A_SHEET * attempt.tiles.length >= shortOf(best, setsOut)) continue;
    const laid = lay(placer, attempt);
    if (!best || shortOf(laid, setsOut) < shortOf(best, setsOut)) best = laid;
    if (isComplete(best, setsOut)) break;
  }
  placer.keep();
  return best;
}

/** The pages of a map, one a tile; where there are many, a key map to find a pin by comes first. */
export function mapPages(order: MapOrder): PageContent[] {
  const { subject } = order;
  const { job, plan, words } = subject;
  const best = bestLayout(order);
  if (!best) throw new Error(`no scale is large enough for the map ${order.id} of ${job.id}`);
  const { attempt } = best;
  const { paper, orientation, panel } = attempt.sheetful;
  const frame = pageFrame(paper, orientation);
  const without = best.maps.flatMap(({ placed }) => placed.itemsWithout);
  const details = detailsFor(
    subject,
    subject.items.filter(({ id }) => without.includes(id)),
    attempt.scale,
  );
  const pages = best.maps.map(({ tile, placed }): PageContent => {
    const map = drawFloorMap(subject, placed);
    const before = [
      ...order.panel({
        job,
        plan,
        words,
        scale: attempt.scale,
        contourStep: map.contourStep,
        whole: floorWindow(plan, 0.5),
        tiles: attempt.tiles,
        here: tile,
      }),
      ...placed.zeroBeyond.slice(0, RESERVED_NOTES).map((wall) => noteItem(wall)),
    ];
    const detailsHere = details.filter((detail) => detail.items.some(({ id }) => placed.itemsWithout.includes(id)));
    const after = detailsHere.map((detail) => noteItem(detailTitle(subject, detail)));
    // Where more find no place, the cut table has them: it begins with all lines.
    const notes = (order.setsOut ? offsetNotes(placed, subject) : [])
      .slice(0, MOST_NOTED_LINES)
      .map((note) => noteItem(note));
    const columns = Math.floor((frame.widthMm - panel.x + COLUMN_GAP_MM) / (PANEL_COLUMN_MM + COLUMN_GAP_MM) + 1e-6);
    const withNotes = (shown: number): PanelItem[] => [...before, ...notes.slice(0, shown), ...after];
    const isTooLong = (panelItems: readonly PanelItem[]) => columnsNeeded(panelItems, panel.height) > columns;
    let shown = notes.length;
    while (shown > NOTED_LINES && isTooLong(withNotes(shown))) shown -= 1;
    // Where the key map leaves little room the details are named by their numbers; their own pages name their pins.
    if (after.length > 0 && isTooLong(withNotes(shown)))
      after.splice(0, after.length, noteItem(words.map.detail(words.listOf(detailsHere.map(({ name }) => name)))));
    while (shown > 0 && isTooLong(withNotes(shown))) shown -= 1;
    const items = withNotes(shown);
    const corner = notes.slice(shown);
    const free = corner.length === 0 ? undefined : freeCorner(attempt.sheetful.map, placed, subject, corner);
    const drawing: Drawing = {
      id: tile.name === "" ? order.id : `${order.id}-${tile.name}`,
      widthMm: frame.widthMm,
      heightMm: frame.heightMm,
      title: order.title,
      description: order.description(count(placed.items.length), attempt.scale.text),
      layers: [
        ...map.layers,
        { name: "match lines", marks: matchMarks(tile, attempt.tiles, placed.projection, subject) },
        {
          name: "panel",
          marks: [
            ...panelMarks(items, panel.x, panel.y, panel.height),
            ...(free ? panelMarks(corner, free.minX, free.minY, free.maxY - free.minY) : []),
          ],
        },
      ],
    };
    return { paper, orientation, blocks: [drawingBlock(drawing)] };
  });
  return [
    ...(order.setsOut ? keyMapPages(order.id, subject, attempt.tiles) : []),
    ...pages,
    ...detailPages(order.id, subject, details, order.title),
  ];
}

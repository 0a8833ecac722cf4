/** Where a map goes on: the lines at which two tiles meet, each with the name of the tile beyond. */
import { line, type Mark, text } from "../drawing.ts";
import { textWidthMm } from "../type/text-metrics.ts";
import { KNEELING_MM } from "../type/type-sizes.ts";
import type { MapSubject } from "./floor-map.ts";
import { inside, MARGIN_ON_PAPER_MM, type Projection } from "./map-scale.ts";
import { floorWindow, type Tile } from "./map-tiles.ts";

/** Paper for the name of a tile outside its match line. */
export const MATCH_NAME_MM = 7;

/** The edges at which the map goes on, each with the name of the tile beyond it. */
export function matchMarks(
  tile: Tile,
  tiles: readonly Tile[],
  projection: Projection,
  { plan, words }: MapSubject,
): Mark[] {
  // Match lines run as far as there is floor, with a little beyond.
  const beyondM = (MARGIN_ON_PAPER_MM * projection.scale.ratio) / 1000;
  const window = inside(projection.window, floorWindow(plan, beyondM));
  const [a, b] = [
    projection.toPaper({ x: window.minX, y: window.maxY }),
    projection.toPaper({ x: window.maxX, y: window.minY }),
  ];
  if (tiles.length === 1) return [];
  const marks: Mark[] = [];
  const neighbour = (column: number, row: number): Tile | undefined =>
    tiles.find((one) => one.column === tile.column + column && one.row === tile.row + row);
  const edges = [
    { beyond: neighbour(0, -1), from: a, to: { x: b.x, y: a.y }, uphill: false, outside: -1 },
    { beyond: neighbour(0, 1), from: { x: a.x, y: b.y }, to: b, uphill: false, outside: 1 },
    { beyond: neighbour(-1, 0), from: { x: a.x, y: b.y }, to: a, uphill: true, outside: -1 },
    { beyond: neighbour(1, 0), from: b, to: { x: b.x, y: a.y }, uphill: true, outside: 1 },
  ];
  for (const { beyond, from, to, uphill, outside } of edges) {
    if (!beyond) continue;
    const name = `${words.map.matchLine}, ${words.map.continues(words.map.tile(beyond.name))}`;
    const width = textWidthMm(name, KNEELING_MM, 700);
    const middle = { x: (from.x + to.x) / 2, y: (from.y + to.y) / 2 };
    marks.push(line(from, to, "match-line"));
    const across = outside < 0 ? -1.6 : 1.6 + KNEELING_MM * 0.72;
    marks.push(
      uphill
        ? text(middle.x + across, middle.y + width / 2, name, KNEELING_MM, "start", 700, 90)
        : text(middle.x - width / 2, middle.y + across, name, KNEELING_MM, "start", 700),
    );
  }
  return marks;
}

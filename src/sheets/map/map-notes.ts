/** Offsets of grid lines that found no room at the ends of their lines, and a free corner of the sheet to note them in. */
import { planLength } from "../../format.ts";
import type { MapSubject } from "./floor-map.ts";
import type { LineOnPaper } from "./line-labels.ts";
import { PANEL_COLUMN_MM, type PanelItem } from "./map-panel.ts";
import { inside, MARGIN_ON_PAPER_MM } from "./map-scale.ts";
import { floorWindow } from "./map-tiles.ts";
import type { Box } from "./occupancy.ts";
import type { PlacedMap } from "./place-map.ts";

/** Notes in a corner keep so far from the map. */
const CORNER_GAP_MM = 2;

/** A corner of the sheet beside the map that is free for notes for which the panel has no room. */
export function freeCorner(
  map: { readonly width: number; readonly height: number },
  { projection, taken }: PlacedMap,
  { plan }: MapSubject,
  notes: readonly PanelItem[],
): Box | undefined {
  const high = notes.reduce((sum, { heightMm }) => sum + heightMm, 0);
  const beyondM = (MARGIN_ON_PAPER_MM * projection.scale.ratio) / 1000;
  const window = inside(projection.window, floorWindow(plan, beyondM));
  const [a, b] = [
    projection.toPaper({ x: window.minX, y: window.maxY }),
    projection.toPaper({ x: window.maxX, y: window.minY }),
  ];
  return [0, map.width - PANEL_COLUMN_MM]
    .flatMap((minX) =>
      [0, map.height - high].map((minY): Box => ({ minX, minY, maxX: minX + PANEL_COLUMN_MM, maxY: minY + high })),
    )
    .find(({ minX, minY, maxX, maxY }) => {
      const isBeside =
        maxX + CORNER_GAP_MM <= a.x ||
        minX - CORNER_GAP_MM >= b.x ||
        maxY + CORNER_GAP_MM <= a.y ||
        minY - CORNER_GAP_MM >= b.y;
      const around = {
        minX: minX - CORNER_GAP_MM,
        minY: minY - CORNER_GAP_MM,
        maxX: maxX + CORNER_GAP_MM,
        maxY: maxY + CORNER_GAP_MM,
      };
      return isBeside && minY >= 0 && taken.boxesIn(around).length === 0;
    });
}

/** The offsets that have no room at an end of their line, each once. */
export function offsetNotes({ lines, linesWithout }: PlacedMap, { job, plan, words }: MapSubject): string[] {
  const notes = linesWithout.map((end) => {
    const { name, distance, roomIndex } = lines[end.line] as LineOnPaper;
    const { large, small } = planLength(distance, job.units.plan);
    return `${name}: ${words.both(large.text, small.text)}, ${plan.floors[roomIndex]?.name}`;
  });
  return [...new Set(notes)];
}

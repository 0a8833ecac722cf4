/** Cuts lines at the edge of a map, and away under labels. */
import type { PaperPoint } from "../drawing.ts";
import { type Box, clipToBox, type Occupancy } from "./occupancy.ts";

const between = (a: PaperPoint, b: PaperPoint, t: number): PaperPoint => ({
  x: a.x + (b.x - a.x) * t,
  y: a.y + (b.y - a.y) * t,
});

/** Joins pieces that follow each other into polylines. */
function joined(pieces: readonly (readonly [PaperPoint, PaperPoint])[]): PaperPoint[][] {
  const lines: PaperPoint[][] = [];
  for (const [a, b] of pieces) {
    const end = lines.at(-1)?.at(-1);
    if (end && Math.abs(end.x - a.x) < 1e-9 && Math.abs(end.y - a.y) < 1e-9) lines.at(-1)!.push(b);
    else lines.push([a, b]);
  }
  return lines;
}

/** The parts of a polyline inside a box. */
export function insideBox(points: readonly PaperPoint[], box: Box): PaperPoint[][] {
  const pieces: [PaperPoint, PaperPoint][] = [];
  for (let k = 0; k + 1 < points.length; k++) {
    const [a, b] = [points[k]!, points[k + 1]!];
    const range = clipToBox(a, b, box);
    if (range)
      pieces.push([range[0] === 0 ? a : between(a, b, range[0]), range[1] === 1 ? b : between(a, b, range[1])]);
  }
  return joined(pieces);
}

/** The parts of a polyline that no box of the occupancy covers: a line is broken at a label. */
export function brokenAtLabels(points: readonly PaperPoint[], labels: Occupancy): PaperPoint[][] {
  const pieces: [PaperPoint, PaperPoint][] = [];
  for (let k = 0; k + 1 < points.length; k++) {
    const [a, b] = [points[k]!, points[k + 1]!];
    const bounds = {
      minX: Math.min(a.x, b.x) - 0.01,
      minY: Math.min(a.y, b.y) - 0.01,
      maxX: Math.max(a.x, b.x) + 0.01,
      maxY: Math.max(a.y, b.y) + 0.01,
    };
    const covered = labels
      .boxesIn(bounds)
      .flatMap((box) => {
        const range = clipToBox(a, b, box);
        return range ? [range] : [];
      })
      .sort((p, q) => p[0] - q[0]);
    let from = 0;
    for (const [start, end] of covered) {
      if (start > from) pieces.push([from === 0 ? a : between(a, b, from), between(a, b, start)]);
      from = Math.max(from, end);
    }
    if (from < 1) pieces.push([from === 0 ? a : between(a, b, from), b]);
  }
  return joined(pieces);
}

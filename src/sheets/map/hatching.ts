/** Hatch lines as lines: they print alike everywhere, and a photocopy keeps them. */
import { type PaperPoint, pathThrough } from "../drawing.ts";

/**
 * The parts inside the rings (even-odd) of parallel lines `spacingMm` apart at `angleDegrees`, as one
 * SVG path. All lines of one angle lie on one raster over the whole paper, so that hatches of
 * neighbouring shapes join.
 */
export function hatchPath(rings: readonly (readonly PaperPoint[])[], angleDegrees: number, spacingMm: number): string {
  const angle = (angleDegrees * Math.PI) / 180;
  const cos = Math.cos(angle);
  const sin = Math.sin(angle);
  // Turned so that the hatch runs along u, with lines at whole multiples of the spacing in v.
  const turned = rings.map((ring) => ring.map(({ x, y }) => ({ u: x * cos + y * sin, v: -x * sin + y * cos })));
  let low = Infinity;
  let high = -Infinity;
  for (const ring of turned) {
    for (const { v } of ring) {
      low = Math.min(low, v);
      high = Math.max(high, v);
    }
  }
  let path = "";
  for (let k = Math.ceil(low / spacingMm); k * spacingMm <= high; k++) {
    const v = k * spacingMm;
    const crossings: number[] = [];
    for (const ring of turned) {
      for (let i = 0; i < ring.length; i++) {
        const a = ring[i]!;
        const b = ring[(i + 1) % ring.length]!;
        if (a.v > v !== b.v > v) crossings.push(a.u + ((v - a.v) / (b.v - a.v)) * (b.u - a.u));
      }
    }
    crossings.sort((p, q) => p - q);
    for (let i = 0; i + 1 < crossings.length; i += 2) {
      const ends = [crossings[i]!, crossings[i + 1]!].map((u) => ({ x: u * cos - v * sin, y: u * sin + v * cos }));
      path += pathThrough(ends, false);
    }
  }
  return path;
}

/** Floors made by hand: a grid of readings, each cell cut once, turned and moved as a test likes. */
import { type FloorSurface, floorSurface } from "../../src/conformity/floor-profiles.ts";
import type { Mesh } from "../../src/geometry/mesh.ts";

export interface MadeGrid {
  readonly columns: number;
  readonly rows: number;
  readonly spacing: number;
  readonly turn?: number;
  readonly move?: readonly [number, number];
  /** Cells left out, as [column, row]. */
  readonly holes?: readonly (readonly [number, number])[];
  /** A vertical step along this column's line: its vertices are doubled, the second for the floor east of it. */
  readonly stepAtColumn?: number;
}

/** The mesh; places by the floor's own x and y, before it is turned. */
export function gridMesh(grid: MadeGrid): { mesh: Mesh; own: { x: number; y: number; east: boolean }[] } {
  const { columns, rows, spacing, turn = 0, move = [0, 0], holes = [], stepAtColumn } = grid;
  const own: { x: number; y: number; east: boolean }[] = [];
  for (let j = 0; j < rows; j++) {
    for (let i = 0; i < columns; i++) own.push({ x: i * spacing, y: j * spacing, east: false });
  }
  if (stepAtColumn !== undefined) {
    for (let j = 0; j < rows; j++) own.push({ x: stepAtColumn * spacing, y: j * spacing, east: true });
  }
  const vertex = (i: number, j: number, cell: number): number =>
    stepAtColumn === i && cell === i ? columns * rows + j : j * columns + i;
  const corners: number[] = [];
  for (let j = 0; j + 1 < rows; j++) {
    for (let i = 0; i + 1 < columns; i++) {
      if (holes.some(([hi, hj]) => hi === i && hj === j)) continue;
      const [a, b] = [vertex(i, j, i), vertex(i + 1, j, i)];
      const [d, c] = [vertex(i, j + 1, i), vertex(i + 1, j + 1, i)];
      // Diagonals both ways, as a triangulation of uneven points would have them.
      if ((i * 7 + j * 3) % 5 < 2) corners.push(a, b, c, a, c, d);
      else corners.push(a, b, d, b, c, d);
    }
  }
  const [cos, sin] = [Math.cos(turn), Math.sin(turn)];
  return {
    own,
    mesh: {
      xM: Float64Array.from(own, ({ x, y }) => x * cos - y * sin + move[0]),
      yM: Float64Array.from(own, ({ x, y }) => x * sin + y * cos + move[1]),
      corners: Uint32Array.from(corners),
      regionOf: new Uint32Array(corners.length / 3),
    },
  };
}

export function gridFloor(
  grid: MadeGrid,
  level: (x: number, y: number, east: boolean) => number,
  read: (x: number, y: number) => boolean = () => true,
): FloorSurface {
  const { mesh, own } = gridMesh(grid);
  const levelMm = Float64Array.from(own, ({ x, y, east }) => level(x, y, east));
  return floorSurface(
    mesh,
    levelMm,
    Uint8Array.from(own, ({ x, y }) => (read(x, y) ? 1 : 0)),
  );
}

/** Level at a place by trying every triangle; undefined off the floor. */
export function levelAt({ mesh, levelMm }: FloorSurface, x: number, y: number): number | undefined {
  const { corners, xM, yM } = mesh;
  for (let t = 0; t < corners.length; t += 3) {
    const [a, b, c] = [corners[t]!, corners[t + 1]!, corners[t + 2]!];
    const cross = (p: number, q: number) => (xM[q]! - xM[p]!) * (y - yM[p]!) - (yM[q]! - yM[p]!) * (x - xM[p]!);
    const [u, v, w] = [cross(b, c), cross(c, a), cross(a, b)];
    if (u < -1e-12 || v < -1e-12 || w < -1e-12) continue;
    return (u * levelMm[a]! + v * levelMm[b]! + w * levelMm[c]!) / (u + v + w);
  }
  return undefined;
}

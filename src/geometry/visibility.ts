/** Whether one place on the floor sees another: the straight line between them against the edges in the way. */
import { orient2d } from "robust-predicates";
import type { Ring } from "./point.ts";
import { boundsOf } from "./polygon.ts";

/** The edges that block, sorted into the cells of a square grid so that a line meets only those near it. */
export interface Blockers {
  /** Edge k runs from (ax[k], ay[k]) to (bx[k], by[k]), metres. */
  readonly ax: Float64Array;
  readonly ay: Float64Array;
  readonly bx: Float64Array;
  readonly by: Float64Array;
  readonly minX: number;
  readonly minY: number;
  readonly cell: number;
  readonly columns: number;
  readonly rows: number;
  /** Edges of cell c: cellEdges[cellStart[c]] to cellEdges[cellStart[c + 1] − 1]. */
  readonly cellStart: Int32Array;
  readonly cellEdges: Int32Array;
  /** The last query that looked at each edge, so that an edge in several cells is met once. */
  readonly seen: Int32Array;
  /** The number of the query under way. */
  query: number;
}

/** Collects the edges of closed rings. Throws where there is none. */
export function blockersOf(rings: readonly Ring[]): Blockers {
  const corners = rings.flat();
  const { minX, minY, maxX, maxY } = boundsOf(corners);
  const count = corners.length;
  const ax = new Float64Array(count);
  const ay = new Float64Array(count);
  const bx = new Float64Array(count);
  const by = new Float64Array(count);
  let edge = 0;
  for (const ring of rings) {
    for (let k = 0; k < ring.length; k++, edge++) {
      const a = ring[k]!;
      const b = ring[(k + 1) % ring.length]!;
      ax[edge] = a.x;
      ay[edge] = a.y;
      bx[edge] = b.x;
      by[edge] = b.y;
    }
  }
  // About four cells an edge: long walls lie in many, columns in one or two.
  const width = Math.max(maxX - minX, maxY - minY);
  const cell = Math.max(width / 1024, Math.sqrt(((maxX - minX) * (maxY - minY)) / (4 * count)));
  const columns = Math.floor((maxX - minX) / cell) + 1;
  const rows = Math.floor((maxY - minY) / cell) + 1;
  const grid = { minX, minY, cell, columns, rows };
  const perCell = new Int32Array(columns * rows + 1);
  for (let k = 0; k < count; k++) {
    forEachCell(grid, ax[k]!, ay[k]!, bx[k]!, by[k]!, (c) => {
      perCell[c + 1] = perCell[c + 1]! + 1;
      return true;
    });
  }
  for (let c = 0; c < columns * rows; c++) perCell[c + 1] = perCell[c + 1]! + perCell[c]!;
  const cellEdges = new Int32Array(perCell[columns * rows]!);
  const filled = perCell.slice();
  for (let k = 0; k < count; k++) {
    forEachCell(grid, ax[k]!, ay[k]!, bx[k]!, by[k]!, (c) => {
      cellEdges[filled[c]!] = k;
      filled[c] = filled[c]! + 1;
      return true;
    });
  }
  return { ax, ay, bx, by, ...grid, cellStart: perCell, cellEdges, seen: new Int32Array(count), query: 0 };
}

/** True where no edge meets the line from (px, py) to (qx, qy); one that only touches it blocks too. Exact predicates. */
export function seesThrough(blockers: Blockers, px: number, py: number, qx: number, qy: number): boolean {
  const { ax, ay, bx, by, cellStart, cellEdges, seen } = blockers;
  const query = ++blockers.query;
  return forEachCell(blockers, px, py, qx, qy, (c) => {
    for (let k = cellStart[c]!; k < cellStart[c + 1]!; k++) {
      const edge = cellEdges[k]!;
      if (seen[edge] === query) continue;
      seen[edge] = query;
      const eax = ax[edge]!;
      const eay = ay[edge]!;
      const ebx = bx[edge]!;
      const eby = by[edge]!;
      if (Math.max(eax, ebx) < Math.min(px, qx) || Math.min(eax, ebx) > Math.max(px, qx)) continue;
      if (Math.max(eay, eby) < Math.min(py, qy) || Math.min(eay, eby) > Math.max(py, qy)) continue;
      const sideA = orient2d(px, py, qx, qy, eax, eay);
      const sideB = orient2d(px, py, qx, qy, ebx, eby);
      if ((sideA > 0 && sideB > 0) || (sideA < 0 && sideB < 0)) continue;
      const sideP = orient2d(eax, eay, ebx, eby, px, py);
      const sideQ = orient2d(eax, eay, ebx, eby, qx, qy);
      if ((sideP > 0 && sideQ > 0) || (sideP < 0 && sideQ < 0)) continue;
      return false;
    }
    return true;
  });
}

type Cells = Pick<Blockers, "minX" | "minY" | "cell" | "columns" | "rows">;

/**
 * Visits every cell that the line touches, row by row, until `visit` gives false; true if it never did.
 * Each row's stretch is widened by a hundredth of a cell, far more than rounding can lose.
 */
function forEachCell(
  { minX, minY, cell, columns, rows }: Cells,
  px: number,
  py: number,
  qx: number,
  qy: number,
  visit: (cell: number) => boolean,
): boolean {
  const x0 = (px - minX) / cell;
  const y0 = (py - minY) / cell;
  const x1 = (qx - minX) / cell;
  const y1 = (qy - minY) / cell;
  const low = Math.max(0, Math.floor(Math.min(y0, y1) - MARGIN));
  const high = Math.min(rows - 1, Math.floor(Math.max(y0, y1) + MARGIN));
  const slope = y1 === y0 ? 0 : (x1 - x0) / (y1 - y0);
  for (let row = low; row <= high; row++) {
    let from = Math.min(x0, x1);
    let to = Math.max(x0, x1);
    if (y1 !== y0) {
      const atBottom = x0 + (row - MARGIN - y0) * slope;
      const atTop = x0 + (row + 1 + MARGIN - y0) * slope;
      from = Math.max(from, Math.min(atBottom, atTop));
      to = Math.min(to, Math.max(atBottom, atTop));
    }
    const first = Math.max(0, Math.floor(from - MARGIN));
    const last = Math.min(columns - 1, Math.floor(to + MARGIN));
    for (let column = first; column <= last; column++) if (!visit(row * columns + column)) return false;
  }
  return true;
}

const MARGIN = 0.01;

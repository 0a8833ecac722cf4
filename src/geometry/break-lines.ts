/** Opens a mesh along break lines: each side of the line gets vertices of its own. */
import type { KeptEdge } from "./arrangement.ts";
import type { OpenMesh } from "./cocircular.ts";
import { nextHalfEdge, previousHalfEdge } from "./mesh.ts";

export interface OpenedMesh {
  readonly xM: Float64Array;
  readonly yM: Float64Array;
  /** For each vertex the one at the same place on the left of the line; itself where there is no line. */
  readonly leftOfBreak: Uint32Array;
}

/**
 * Unlinks the triangles on both sides of every break line and gives the right side new vertices,
 * after all others. Where an open line ends inside the floor both sides share its last vertex.
 * Changes `corners` and `twin` of the mesh.
 */
export function splitAlongBreaks(mesh: OpenMesh, edges: readonly KeptEdge[]): OpenedMesh {
  const { xM, yM, corners, twin } = mesh;
  const lines = edges.filter((edge) => edge.region === undefined).map((edge) => [edge.from, edge.to] as const);
  const count = xM.length;
  const identity = new Uint32Array(count);
  for (let v = 0; v < count; v++) identity[v] = v;
  if (lines.length === 0) return { xM, yM, leftOfBreak: identity };

  const leaving = new Map<number, number[]>();
  for (const line of lines) for (const v of line) leaving.set(v, []);
  for (let h = 0; h < corners.length; h++) leaving.get(corners[h]!)?.push(h);
  const find = (from: number, to: number) => leaving.get(from)?.find((h) => corners[nextHalfEdge(h)] === to);

  /** Half-edges with the floor on the left of a line, by the vertex that they leave or reach. */
  const leftSides = new Set<number>();
  for (const [from, to] of lines) {
    const left = find(from, to);
    if (left === undefined) continue;
    const right = twin[left]!;
    leftSides.add(left);
    if (right < 0) continue;
    twin[left] = -1;
    twin[right] = -1;
  }

  const copies: number[] = [];
  for (const [vertex, halfEdges] of leaving) {
    const fans = fansAround(vertex, halfEdges, corners, twin);
    if (fans.length < 2) continue;
    const isLeft = (fan: readonly number[]) => fan.some((h) => leftSides.has(h) || leftSides.has(previousHalfEdge(h)));
    const keeps = Math.max(0, fans.findIndex(isLeft));
    fans.forEach((fan, k) => {
      if (k === keeps) return;
      const copy = count + copies.length;
      copies.push(vertex);
      for (const h of fan) corners[h] = copy;
    });
  }
  const total = count + copies.length;
  const extend = (values: Float64Array) => {
    const longer = new Float64Array(total);
    longer.set(values);
    copies.forEach((v, k) => {
      longer[count + k] = values[v]!;
    });
    return longer;
  };
  const leftOfBreak = new Uint32Array(total);
  leftOfBreak.set(identity);
  leftOfBreak.set(copies, count);
  return { xM: extend(xM), yM: extend(yM), leftOfBreak };
}

/** The half-edges that leave a vertex, grouped by the triangles that hang together round it. */
function fansAround(vertex: number, halfEdges: readonly number[], corners: Uint32Array, twin: Int32Array): number[][] {
  const open = new Set(halfEdges);
  const fans: number[][] = [];
  for (const start of halfEdges) {
    if (!open.delete(start)) continue;
    const fan = [start];
    const take = (h: number) => {
      if (h < 0 || !open.delete(h)) return false;
      if (corners[h] !== vertex) throw new Error(`half-edge ${h} does not leave vertex ${vertex}`);
      fan.push(h);
      return true;
    };
    for (let h = twin[previousHalfEdge(start)]!; take(h); h = twin[previousHalfEdge(h)]!);
    for (let h = forward(start, twin); take(h); h = forward(h, twin));
    fans.push(fan);
  }
  return fans;
}

/** The next half-edge that leaves the same vertex, the other way round. */
function forward(h: number, twin: Int32Array): number {
  const across = twin[h]!;
  return across < 0 ? -1 : nextHalfEdge(across);
}

/**
 * Types of the package behind `#constrainautor` (see "imports" in package.json). The package ships its
 * TypeScript source as its types, which does not pass under this project's stricter settings.
 */
interface Delaunay {
  readonly coords: ArrayLike<number> & { readonly length: number };
  readonly triangles: Uint32Array | Int32Array;
  readonly halfedges: Int32Array;
}

/** Puts constrained edges into a Delaunay triangulation, in place (Sloan's flips). */
export default class Constrainautor {
  constructor(delaunay: Delaunay, edges?: readonly (readonly [number, number])[]);
  /** Throws where an edge passes through a vertex or crosses another constrained edge. */
  constrainOne(from: number, to: number): number;
  constrainAll(edges: readonly (readonly [number, number])[]): this;
  delaunify(deep?: boolean): this;
  isConstrained(halfedge: number): boolean;
  /** The halfedge between two vertices: its negative where only the other direction stands, Infinity where none does. */
  findEdge(from: number, to: number): number;
}

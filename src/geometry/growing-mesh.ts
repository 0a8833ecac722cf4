/** A mesh that is being cut: edges and triangles are split in place, neighbours stay joined. */
import { type Mesh, nextHalfEdge, previousHalfEdge, triangleCount, triangleOf, twinsOf, vertexCount } from "./mesh.ts";
import { type Point, point } from "./point.ts";
import { type Bounds, boundsOf } from "./polygon.ts";

export class GrowingMesh {
  private readonly x: number[];
  private readonly y: number[];
  private readonly values: number[][];
  private readonly corners: number[];
  private readonly twin: number[];
  private readonly parent: number[];
  private readonly regionOf: Uint32Array;
  /** The triangles that a triangle of the first mesh was cut into; absent while it is whole. */
  private readonly parts = new Map<number, number[]>();

  constructor(mesh: Mesh, values: readonly Float64Array[]) {
    for (const value of values)
      if (value.length !== vertexCount(mesh))
        throw new Error(`${value.length} values for a mesh of ${vertexCount(mesh)} vertices`);
    this.x = Array.from(mesh.xM);
    this.y = Array.from(mesh.yM);
    this.values = values.map((value) => Array.from(value));
    this.corners = Array.from(mesh.corners);
    this.twin = Array.from(twinsOf(mesh));
    this.parent = Array.from({ length: triangleCount(mesh) }, (_, t) => t);
    this.regionOf = mesh.regionOf;
  }

  cornersOf(t: number): [Point, Point, Point] {
    return [this.place(3 * t), this.place(3 * t + 1), this.place(3 * t + 2)];
  }

  boxOf(t: number): Bounds {
    return boundsOf(this.cornersOf(t));
  }

  /** The triangles into which a triangle of the first mesh has been cut so far. */
  partsOf(first: number): readonly number[] {
    return this.parts.get(first) ?? [first];
  }

  private place(h: number): Point {
    const v = this.corners[h]!;
    return point(this.x[v]!, this.y[v]!);
  }

  /**
   * Splits the edge of half-edge h at a place on it, and the triangles on both sides. Gives the new
   * triangles and the neighbour, whose corners have changed as well.
   */
  splitEdge(h: number, at: Point): number[] {
    const u = this.corners[h]!;
    const v = this.corners[nextHalfEdge(h)]!;
    const span = Math.hypot(this.x[v]! - this.x[u]!, this.y[v]! - this.y[u]!);
    const s = Math.hypot(at.x - this.x[u]!, at.y - this.y[u]!) / span;
    const n = this.addVertex(at, (value) => value[u]! + s * (value[v]! - value[u]!));
    const g = this.twin[h]!;
    const beyond = this.splitSide(h, n);
    if (g < 0) return [triangleOf(beyond)];
    // h now runs u→n and `beyond` n→v; g runs v→n and `back` n→u.
    const back = this.splitSide(g, n);
    this.link(h, back);
    this.link(beyond, g);
    return [triangleOf(beyond), triangleOf(g), triangleOf(back)];
  }

  /** Cuts the triangle of h (u→v, opposite w) from n on the edge to w; gives the half-edge n→v of the new one. */
  private splitSide(h: number, n: number): number {
    const next = nextHalfEdge(h);
    const v = this.corners[next]!;
    const w = this.corners[previousHalfEdge(h)]!;
    const beyond = this.addTriangle(n, v, w, triangleOf(h));
    this.link(beyond + 1, this.twin[next]!);
    this.corners[next] = n;
    this.link(next, beyond + 2);
    this.twin[beyond] = -1;
    return beyond;
  }

  /** Splits a triangle into three at a place inside it; gives the two new ones. */
  splitTriangle(t: number, at: Point): number[] {
    const [a, b, c] = [this.corners[3 * t]!, this.corners[3 * t + 1]!, this.corners[3 * t + 2]!];
    const [p, q, r] = this.cornersOf(t);
    const cross = (i: Point, j: Point, k: Point) => (j.x - i.x) * (k.y - i.y) - (k.x - i.x) * (j.y - i.y);
    const whole = cross(p, q, r);
    const wa = cross(at, q, r) / whole;
    const wb = cross(p, at, r) / whole;
    const n = this.addVertex(at, (value) => value[c]! + wa * (value[a]! - value[c]!) + wb * (value[b]! - value[c]!));
    // t keeps a→b; the new triangles take b→c and c→a.
    const second = this.addTriangle(b, c, n, t);
    const third = this.addTriangle(c, a, n, t);
    this.link(second, this.twin[3 * t + 1]!);
    this.link(third, this.twin[3 * t + 2]!);
    this.corners[3 * t + 2] = n;
    this.link(3 * t + 1, second + 2);
    this.link(second + 1, third + 2);
    this.link(third + 1, 3 * t + 2);
    return [triangleOf(second), triangleOf(third)];
  }

  private addVertex(at: Point, carried: (value: readonly number[]) => number): number {
    for (const value of this.values) value.push(carried(value));
    this.y.push(at.y);
    return this.x.push(at.x) - 1;
  }

  /** Gives the half-edge that leaves the first corner. */
  private addTriangle(a: number, b: number, c: number, from: number): number {
    const h = this.corners.push(a, b, c) - 3;
    this.twin.push(-1, -1, -1);
    const first = this.parent[from]!;
    this.parent.push(first);
    const parts = this.parts.get(first);
    if (parts) parts.push(h / 3);
    else this.parts.set(first, [first, h / 3]);
    return h;
  }

  private link(h: number, g: number): void {
    this.twin[h] = g;
    if (g >= 0) this.twin[g] = h;
  }

  /** The mesh as it is now; `zoneAt` is asked for the zone at the centre of each triangle. */
  result(zoneAt: (centre: Point) => number): {
    mesh: Mesh;
    values: Float64Array[];
    zoneOf: Int32Array;
    parentOf: Uint32Array;
  } {
    const parentOf = Uint32Array.from(this.parent);
    const zoneOf = new Int32Array(parentOf.length);
    for (let t = 0; t < zoneOf.length; t++) {
      const [p, q, r] = this.cornersOf(t);
      zoneOf[t] = zoneAt(point((p.x + q.x + r.x) / 3, (p.y + q.y + r.y) / 3));
    }
    return {
      mesh: {
        xM: Float64Array.from(this.x),
        yM: Float64Array.from(this.y),
        corners: Uint32Array.from(this.corners),
        regionOf: parentOf.map((t) => this.regionOf[t]!),
        twin: Int32Array.from(this.twin),
      },
      values: this.values.map((value) => Float64Array.from(value)),
      zoneOf,
      parentOf,
    };
  }
}

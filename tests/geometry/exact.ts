/**
 * A slow referee for plane geometry: whole numbers and fractions without rounding. A coordinate counts in steps of
 * 2⁻⁸⁰ m, which takes every double between 2⁻²⁷ and 2³⁰ m as it is; nothing of it is shared with the program.
 */
import type { Point, Polygon } from "../../src/geometry/point.ts";

/** Steps of 2⁻⁸⁰; a double smaller than 2⁻²⁷ loses what lies below a step. */
export const exact = (value: number): bigint => BigInt(Math.trunc(value * 2 ** 80));

/** Numerator and denominator; the denominator is above zero. */
type Fraction = readonly [bigint, bigint];

const fraction = (n: bigint, d: bigint): Fraction => (d < 0n ? [-n, -d] : [n, d]);
const add = ([a, b]: Fraction, [c, d]: Fraction): Fraction => (b === d ? [a + c, b] : [a * d + c * b, b * d]);
const less = ([a, b]: Fraction, [c, d]: Fraction): Fraction => (b === d ? [a - c, b] : [a * d - c * b, b * d]);
const times = ([a, b]: Fraction, [c, d]: Fraction): Fraction => [a * c, b * d];
const compare = ([a, b]: Fraction, [c, d]: Fraction): number => {
  const difference = a * d - c * b;
  return difference < 0n ? -1 : difference > 0n ? 1 : 0;
};

/** Adds fractions up; each is cut off at 2⁻⁴⁰ of a square step, far below any double. */
class ExactSum {
  private whole = 0n;
  add([n, d]: Fraction): void {
    this.whole += (n << 40n) / d;
  }
  /** Of a product of `factors` lengths in steps. */
  value(factors: number): number {
    return Number(this.whole) / 2 ** 40 / 2 ** (80 * factors);
  }
}

interface Place {
  readonly x: bigint;
  readonly y: bigint;
}

const placeOf = (p: Point): Place => ({ x: exact(p.x), y: exact(p.y) });

/** Above zero where a, b, c turn left; twice the area of the triangle, in square steps. */
export const turn = (a: Place, b: Place, c: Place): bigint => (b.x - a.x) * (c.y - a.y) - (c.x - a.x) * (b.y - a.y);

/** Above zero where the three points turn left. */
export const turnOf = (a: Point, b: Point, c: Point): bigint => turn(placeOf(a), placeOf(b), placeOf(c));

interface Edge {
  readonly low: Place;
  readonly high: Place;
  /** 1 where the ring goes up along it, −1 where it goes down. */
  readonly winds: 1 | -1;
  /** Which of the two sets it belongs to. */
  readonly of: 0 | 1;
}

function edgesOf(polygons: readonly Polygon[], of: 0 | 1): Edge[] {
  const edges: Edge[] = [];
  for (const { outline, holes } of polygons)
    for (const [k, ring] of [outline, ...holes].entries()) {
      const places = ring.map(placeOf);
      const twice = places.reduce((sum, p, at) => {
        const q = places[(at + 1) % places.length]!;
        return sum + p.x * q.y - q.x * p.y;
      }, 0n);
      // Outlines counter-clockwise, holes clockwise.
      const asIs = twice > 0n === (k === 0);
      places.forEach((p, at) => {
        const q = places[(at + 1) % places.length]!;
        const [a, b] = asIs ? [p, q] : [q, p];
        if (a.y === b.y) return;
        edges.push(a.y < b.y ? { low: a, high: b, winds: 1, of } : { low: b, high: a, winds: -1, of });
      });
    }
  return edges;
}

/** Heights at which two edges cross; those of parallel ones are their ends'. */
function crossingHeight(e: Edge, f: Edge): Fraction | undefined {
  const [ex, ey] = [e.high.x - e.low.x, e.high.y - e.low.y];
  const [fx, fy] = [f.high.x - f.low.x, f.high.y - f.low.y];
  const across = ex * fy - fx * ey;
  if (across === 0n) return undefined;
  const t = fraction((f.low.x - e.low.x) * fy - fx * (f.low.y - e.low.y), across);
  if (t[0] < 0n || t[0] > t[1]) return undefined;
  return [e.low.y * t[1] + t[0] * ey, t[1]];
}

const xAt = ({ low, high }: Edge, y: Fraction): Fraction => {
  const rise = high.y - low.y;
  return [low.x * rise * y[1] + (high.x - low.x) * (y[0] - low.y * y[1]), rise * y[1]];
};

/**
 * Area in m² of the places that `isIn` takes, told whether each lies in the first and in the second set of polygons.
 * The plane is cut at the height of every corner and every crossing; between two cuts all is trapezoids.
 */
export function exactArea(
  a: readonly Polygon[],
  b: readonly Polygon[],
  isIn: (inA: boolean, inB: boolean) => boolean,
): number {
  const edges = [...edgesOf(a, 0), ...edgesOf(b, 1)];
  const heights: Fraction[] = edges.flatMap(({ low, high }): Fraction[] => [
    [low.y, 1n],
    [high.y, 1n],
  ]);
  edges.forEach((e, k) => {
    for (const f of edges.slice(k + 1)) {
      if (e.high.y <= f.low.y || f.high.y <= e.low.y) continue;
      const at = crossingHeight(e, f);
      if (at) heights.push(at);
    }
  });
  heights.sort(compare);
  const sum = new ExactSum();
  for (let k = 0; k + 1 < heights.length; k++) {
    const [bottom, top] = [heights[k]!, heights[k + 1]!];
    if (compare(bottom, top) === 0) continue;
    const met = edges
      .filter(({ low, high }) => compare([low.y, 1n], bottom) <= 0 && compare(top, [high.y, 1n]) <= 0)
      .map((edge) => {
        const [below, above] = [xAt(edge, bottom), xAt(edge, top)];
        return { edge, twiceMiddle: add(below, above) };
      })
      .sort((p, q) => compare(p.twiceMiddle, q.twiceMiddle));
    const winding = [0, 0];
    met.forEach(({ edge, twiceMiddle }, m) => {
      // Going east, into a polygon through an edge that goes down and out of it through one that goes up.
      winding[edge.of]! += edge.winds;
      const next = met[m + 1];
      if (next === undefined || !isIn(winding[0] !== 0, winding[1] !== 0)) return;
      const width = less(next.twiceMiddle, twiceMiddle);
      sum.add(times(width, times(less(top, bottom), [1n, 2n])));
    });
  }
  return sum.value(2);
}

/** Whether a place lies in the polygon: inside, on its edge, or outside. Nothing is rounded, and nothing is near enough. */
export function exactPlace(polygon: Polygon, p: Point): "inside" | "on" | "outside" {
  const q = placeOf(p);
  let winding = 0;
  for (const { low, high, winds } of edgesOf([polygon], 0)) {
    const side = turn(low, high, q);
    if (side === 0n && low.y <= q.y && q.y <= high.y) return "on";
    // A half-open edge: its upper end belongs to the next one.
    if (low.y <= q.y && q.y < high.y && side > 0n) winding += winds;
  }
  for (const ring of [polygon.outline, ...polygon.holes])
    for (const [k, one] of ring.entries()) {
      const [a, b] = [placeOf(one), placeOf(ring[(k + 1) % ring.length]!)];
      if (a.y !== b.y || a.y !== q.y) continue;
      if ((a.x <= q.x && q.x <= b.x) || (b.x <= q.x && q.x <= a.x)) return "on";
    }
  return winding === 0 ? "outside" : "inside";
}

/** The least distance in m from p to the polygon's edges; from exact differences, rounded only at the end. */
export function distanceToEdges(polygon: Polygon, p: Point): number {
  const q = placeOf(p);
  let least = Number.POSITIVE_INFINITY;
  for (const ring of [polygon.outline, ...polygon.holes])
    for (const [k, one] of ring.entries())
      least = Math.min(least, distanceTo(q, placeOf(one), placeOf(ring[(k + 1) % ring.length]!)));
  return least;
}

const STEP = 2 ** -80;

function distanceTo(q: Place, a: Place, b: Place): number {
  const [dx, dy] = [b.x - a.x, b.y - a.y];
  const [px, py] = [q.x - a.x, q.y - a.y];
  const along = px * dx + py * dy;
  const squared = dx * dx + dy * dy;
  if (squared === 0n || along <= 0n) return Math.hypot(Number(px), Number(py)) * STEP;
  if (along >= squared) return Math.hypot(Number(q.x - b.x), Number(q.y - b.y)) * STEP;
  const off = px * dy - py * dx;
  return (Number(off < 0n ? -off : off) / Math.hypot(Number(dx), Number(dy))) * STEP;
}

/** The least distance in m between two edges of a ring that do not follow each other; 0 where they cross. */
export function narrowest(ring: readonly Point[]): number {
  const places = ring.map(placeOf);
  const n = places.length;
  let least = Number.POSITIVE_INFINITY;
  for (let i = 0; i < n; i++)
    for (let j = i + 2; j < n; j++) {
      if (i === 0 && j === n - 1) continue;
      const [a, b, c, d] = [places[i]!, places[(i + 1) % n]!, places[j]!, places[(j + 1) % n]!];
      const apart = (p: bigint, q: bigint) => (p > 0n && q > 0n) || (p < 0n && q < 0n);
      if (
        !apart(turn(a, b, c), turn(a, b, d)) &&
        !apart(turn(c, d, a), turn(c, d, b)) &&
        turn(a, b, c) !== turn(a, b, d)
      )
        return 0;
      least = Math.min(least, distanceTo(a, c, d), distanceTo(b, c, d), distanceTo(c, a, b), distanceTo(d, a, b));
    }
  return least;
}

interface Valued {
  readonly x: number;
  readonly y: number;
  readonly value: number;
}

/**
 * Area in m² and ∫ value in mm·m² of the part of a triangle on which from ≤ value ≤ to, by cutting it with fractions.
 * An end left out has no limit.
 */
export function exactPart(corners: readonly Valued[], from?: number, to?: number): { area: number; integral: number } {
  type Corner = { x: Fraction; y: Fraction; v: Fraction };
  let ring: Corner[] = corners.map(({ x, y, value }) => ({
    x: [exact(x), 1n],
    y: [exact(y), 1n],
    v: [exact(value), 1n],
  }));
  const cut = (inside: (v: Fraction) => Fraction) => {
    const kept: Corner[] = [];
    ring.forEach((p, k) => {
      const q = ring[(k + 1) % ring.length]!;
      const [dp, dq] = [inside(p.v), inside(q.v)];
      if (dp[0] >= 0n) kept.push(p);
      if ((dp[0] > 0n && dq[0] < 0n) || (dp[0] < 0n && dq[0] > 0n)) {
        const whole = less(dp, dq);
        const t = fraction(dp[0] * whole[1], dp[1] * whole[0]);
        const between = (a: Fraction, b: Fraction): Fraction => add(a, times(t, less(b, a)));
        kept.push({ x: between(p.x, q.x), y: between(p.y, q.y), v: between(p.v, q.v) });
      }
    });
    ring = kept;
  };
  if (from !== undefined) cut((v) => less(v, [exact(from), 1n]));
  if (to !== undefined) cut((v) => less([exact(to), 1n], v));
  const [area, integral] = [new ExactSum(), new ExactSum()];
  for (let k = 1; k + 1 < ring.length; k++) {
    const [a, b, c] = [ring[0]!, ring[k]!, ring[k + 1]!];
    const twice = less(times(less(b.x, a.x), less(c.y, a.y)), times(less(c.x, a.x), less(b.y, a.y)));
    area.add(times(twice, [1n, 2n]));
    integral.add(times(twice, times(add(a.v, add(b.v, c.v)), [1n, 6n])));
  }
  return { area: area.value(2), integral: integral.value(3) };
}

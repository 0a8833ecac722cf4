/** In which order sections are poured: nobody shut in, the shortest way among such orders. */
import { isPassable } from "./borders.ts";
import { type Portal, type Section, widthOf } from "./sections.ts";
import type { Distances } from "./walking.ts";

/** Up to so many sections every order is tried, by the best way to each set of poured ones. */
const EXACT_SECTIONS = 10;
/** Passes in which each section is tried at every other place. */
const PASSES = 4;

/**
 * The order as indices. While one is poured, every other still to come reaches a way out through sections
 * that are still to come. Sections from which no way leads out come first, in the order of their index.
 */
export function orderSections(
  sections: readonly Section[],
  portals: readonly Portal[],
  distances: Distances,
): number[] {
  const links = linksOf(sections.length, portals);
  // Farthest first: the way out of a section leads through nearer ones only, which are still open.
  const farthestFirst = sections
    .map(({ index }) => index)
    .sort((p, q) => {
      const [dp, dq] = [distances.ofSection[p]!, distances.ofSection[q]!];
      return dp === dq ? p - q : dp > dq ? -1 : 1;
    });
  const shutIn = farthestFirst.filter((k) => distances.ofSection[k] === Number.POSITIVE_INFINITY);
  const open = farthestFirst.slice(shutIn.length);
  const best = open.length <= EXACT_SECTIONS ? shortest(open, links, distances) : improved(open, links, distances);
  return [...shutIn, ...(best ?? open)];
}

export interface Links {
  /** True where a way leads out of the section itself. */
  readonly out: readonly boolean[];
  readonly next: readonly (readonly number[])[];
}

export function linksOf(count: number, portals: readonly Portal[]): Links {
  const out = Array.from({ length: count }, () => false);
  const next = Array.from({ length: count }, () => new Set<number>());
  for (const portal of portals) {
    if (!isPassable(portal.stretches, widthOf(portal))) continue;
    if (portal.other === undefined) out[portal.section] = true;
    else next[portal.section]!.add(portal.other);
  }
  return { out, next: next.map((set) => [...set].sort((p, q) => p - q)) };
}

/** True where all of `left` reach a way out through `left`. */
function allReachOut(left: ReadonlySet<number>, { out, next }: Links): boolean {
  const reached = new Set<number>();
  const open = [...left].filter((k) => out[k]);
  for (let k = open.pop(); k !== undefined; k = open.pop()) {
    if (reached.has(k)) continue;
    reached.add(k);
    for (const other of next[k]!) if (left.has(other) && !reached.has(other)) open.push(other);
  }
  return reached.size === left.size;
}

/** Steps between entries of sections that follow each other, then out. */
export function wayOfOrder(order: readonly number[], { between, ofSection }: Distances): number {
  const n = ofSection.length;
  let way = 0;
  for (let k = 0; k + 1 < order.length; k++) way += between[order[k]! * n + order[k + 1]!]!;
  const last = order[order.length - 1];
  return last === undefined ? way : way + ofSection[last]!;
}

/**
 * Held & Karp, "A dynamic programming approach to sequencing problems", J. SIAM 10 (1962), over sets that leave a way
 * out; undefined where no way on foot joins the sections.
 */
function shortest(open: readonly number[], links: Links, { between, ofSection }: Distances): number[] | undefined {
  const n = open.length;
  if (n === 0) return [];
  const size = ofSection.length;
  const full = 2 ** n - 1;
  const leavesWayOut = Array.from({ length: full + 1 }, (_, poured) =>
    allReachOut(new Set(open.filter((_, k) => (poured & (1 << k)) === 0)), links),
  );
  // way[poured][last]: the shortest way over the poured ones that ends in `last`.
  const way = Array.from({ length: full + 1 }, () => new Float64Array(n).fill(Number.POSITIVE_INFINITY));
  const before = Array.from({ length: full + 1 }, () => new Int8Array(n).fill(-1));
  for (let k = 0; k < n; k++) if (leavesWayOut[1 << k]) way[1 << k]![k] = 0;
  for (let poured = 1; poured <= full; poured++) {
    if (!leavesWayOut[poured]) continue;
    for (let last = 0; last < n; last++) {
      const soFar = way[poured]![last]!;
      if (soFar === Number.POSITIVE_INFINITY) continue;
      for (let k = 0; k < n; k++) {
        const then = poured | (1 << k);
        if (then === poured || !leavesWayOut[then]) continue;
        const total = soFar + between[open[last]! * size + open[k]!]!;
        if (total < way[then]![k]!) {
          way[then]![k] = total;
          before[then]![k] = last;
        }
      }
    }
  }
  let last = 0;
  for (let k = 1; k < n; k++)
    if (way[full]![k]! + ofSection[open[k]!]! < way[full]![last]! + ofSection[open[last]!]!) last = k;
  if (way[full]![last] === Number.POSITIVE_INFINITY) return undefined;
  const order: number[] = [];
  for (let poured = full; last >= 0; ) {
    order.unshift(open[last]!);
    const previous = before[poured]![last]!;
    poured &= ~(1 << last);
    last = previous;
  }
  return order;
}

/** Farthest first, then each section moved to wherever the way becomes shortest, while it does. */
function improved(open: readonly number[], links: Links, distances: Distances): number[] {
  let order = [...open];
  let way = wayOfOrder(order, distances);
  for (let pass = 0; pass < PASSES; pass++) {
    let better = false;
    for (let from = 0; from < order.length; from++) {
      for (let to = 0; to < order.length; to++) {
        if (to === from) continue;
        const tried = order.toSpliced(from, 1).toSpliced(to, 0, order[from]!);
        const length = wayOfOrder(tried, distances);
        if (length >= way - 1e-9 * way || !leavesWaysOut(tried, links)) continue;
        order = tried;
        way = length;
        better = true;
      }
    }
    if (!better) break;
  }
  return order;
}

/** Whether the order shuts nothing in at any step. */
export function leavesWaysOut(order: readonly number[], links: Links): boolean {
  const left = new Set(order);
  return order.every((k) => {
    left.delete(k);
    return allReachOut(left, links);
  });
}

/** The fewest positions of the level that reach every point and hang together as one net. */
import type { Row, SolveBinary } from "../numeric/integer-program.ts";

export interface CoverProblem {
  /** Per position, the points that it reaches. */
  readonly reach: readonly ReadonlySet<number>[];
  readonly pointCount: number;
  /** Per position, the positions that it can be tied to. */
  readonly ties: readonly ReadonlySet<number>[];
  /** Positions that are part of every choice. */
  readonly settled: readonly number[];
}

export type Cover =
  | {
      readonly kind: "covered";
      readonly positions: readonly number[];
      /** No choice has fewer. */
      readonly least: number;
      readonly proved: boolean;
    }
  /** Every point can be reached, but no choice of positions hangs together. */
  | { readonly kind: "not-one-net" };

/** Each round forbids the ways in which the last choice fell apart; far more than floors of a dozen rooms have needed. */
const MOST_ROUNDS = 200;

/**
 * The fewest positions that cover and hang together lie within one part of the graph of ties; every part that covers by
 * itself is tried. Points that no position reaches are left out by the caller.
 */
export function fewestPositions(problem: CoverProblem, solve: SolveBinary, mostNodes: number): Cover {
  const { reach, ties, settled } = problem;
  const everywhere = reach.map((_, position) => position);
  let best: Cover = { kind: "not-one-net" };
  let least = Infinity;
  for (const part of partsOf(everywhere, ties)) {
    const within = new Set(part);
    if (!coversAll(problem, part) || settled.some((position) => !within.has(position))) continue;
    const cover = fewestWithin(problem, part, solve, mostNodes);
    if (cover.kind !== "covered") continue;
    least = Math.min(least, cover.least);
    if (best.kind !== "covered" || cover.positions.length < best.positions.length) best = cover;
  }
  return best.kind === "covered" ? { ...best, least, proved: best.positions.length === least } : best;
}

/**
 * Set covering with a connected choice, by integer programs and cuts: a choice that falls apart is forbidden by
 * asking, for each of its parts, for a position on the rim (node separators; Álvarez-Miranda, Ljubić & Mutzel, "The
 * maximum weight connected subgraph problem", in Facets of Combinatorial Optimization (2013)). Each program has fewer
 * conditions than the truth, so its bound holds for the whole problem.
 */
function fewestWithin(problem: CoverProblem, part: readonly number[], solve: SolveBinary, mostNodes: number): Cover {
  const { reach, ties, settled } = problem;
  const within = new Set(part);
  const costs = reach.map(() => 1);
  const rows: Row[] = coveringRows(problem, within);
  for (const position of settled) rows.push({ terms: [[position, 1]], least: 1 });
  let least = 0;
  let last: number[] | undefined;
  for (let round = 0; round < MOST_ROUNDS; round++) {
    const solution = solve({ costs, rows }, mostNodes);
    if (solution.kind === "impossible") return { kind: "not-one-net" };
    // A count is whole: the bound is rounded up, less what the solver's arithmetic leaves.
    least = Math.max(least, Math.ceil(solution.bound - 1e-6));
    if (solution.kind === "cut-short") break;
    last = withoutSpares(problem, indicesOf(solution.chosen));
    const parts = partsOf(last, ties);
    if (parts.length <= 1) return { kind: "covered", positions: last, least, proved: last.length === least };
    for (const one of parts) rows.push(...rimRows(one, parts, ties));
  }
  // Stopped by the count: the best choice so far, or all positions less those that can be spared, joined up.
  const joined = joinedUp(last ?? withoutSpares(problem, part), ties);
  return joined
    ? { kind: "covered", positions: joined, least, proved: joined.length === least }
    : { kind: "not-one-net" };
}

const indicesOf = (chosen: readonly boolean[]): number[] => chosen.flatMap((one, k) => (one ? [k] : []));

/** One row a point; a point whose row asks for more than another's does is left out, for the other implies it. */
function coveringRows({ reach, pointCount }: CoverProblem, within: ReadonlySet<number>): Row[] {
  const coverers = new Map<string, readonly number[]>();
  for (let p = 0; p < pointCount; p++) {
    const by = reach.flatMap((points, position) => (within.has(position) && points.has(p) ? [position] : []));
    coverers.set(by.join(), by);
  }
  const sets = [...coverers.values()].sort((a, b) => a.length - b.length);
  const kept: Set<number>[] = [];
  for (const by of sets) {
    const own = new Set(by);
    if (kept.every((other) => ![...other].every((position) => own.has(position)))) kept.push(own);
  }
  return kept.map((by) => ({ terms: [...by].map((position) => [position, 1] as const), least: 1 }));
}

const coversAll = ({ reach, pointCount }: CoverProblem, chosen: readonly number[]): boolean => {
  const covered = new Set<number>();
  for (const position of chosen) for (const p of reach[position]!) covered.add(p);
  return covered.size === pointCount;
};

/** Drops positions that a stopped search chose for nothing, the last first, as long as the rest covers and hangs together as before. */
function withoutSpares(problem: CoverProblem, chosen: readonly number[]): number[] {
  let kept = [...chosen];
  for (const position of chosen.toReversed()) {
    if (problem.settled.includes(position)) continue;
    const rest = kept.filter((one) => one !== position);
    if (coversAll(problem, rest) && partsOf(rest, problem.ties).length <= partsOf(kept, problem.ties).length)
      kept = rest;
  }
  return kept;
}

/** The chosen positions by parts that hang together. */
export function partsOf(chosen: readonly number[], ties: readonly ReadonlySet<number>[]): number[][] {
  const left = new Set(chosen);
  const parts: number[][] = [];
  for (const start of chosen) {
    if (!left.delete(start)) continue;
    const part = [start];
    for (let head = 0; head < part.length; head++)
      for (const next of ties[part[head]!]!) if (left.delete(next)) part.push(next);
    parts.push(part);
  }
  return parts;
}

/**
 * What a part that does not cover everything forbids. A connected choice with any of its positions goes on over its
 * rim; and where that one and a position of another part are both chosen, over the rim on the other's side.
 */
function rimRows(
  part: readonly number[],
  parts: readonly (readonly number[])[],
  ties: readonly ReadonlySet<number>[],
): Row[] {
  const own = new Set(part);
  const rim = new Set(part.flatMap((position) => [...ties[position]!].filter((next) => !own.has(next))));
  const rows = part.map(
    (position): Row => ({ terms: [...[...rim].map((one) => [one, 1] as const), [position, -1]], least: 0 }),
  );
  for (const other of parts) {
    if (other === part) continue;
    // What is reached from the other part without going through this one.
    const beyond = new Set(other);
    const queue = [...other];
    for (let head = 0; head < queue.length; head++) {
      for (const next of ties[queue[head]!]!) {
        if (own.has(next) || beyond.has(next)) continue;
        beyond.add(next);
        queue.push(next);
      }
    }
    const facing = [...rim].filter((position) => beyond.has(position));
    if (facing.length === rim.size) continue;
    rows.push({ terms: [...facing.map((one) => [one, 1] as const), [part[0]!, -1], [other[0]!, -1]], least: -1 });
  }
  return rows;
}

/** A choice that fell apart, with the shortest chains of ties added between its parts; undefined where there are none. */
function joinedUp(chosen: readonly number[], ties: readonly ReadonlySet<number>[]): number[] | undefined {
  const all = new Set(chosen);
  for (;;) {
    const parts = partsOf([...all], ties);
    if (parts.length <= 1) return [...all].sort((a, b) => a - b);
    const home = new Set(parts[0]);
    const cameFrom = new Map<number, number>();
    const queue = [...home];
    let found: number | undefined;
    for (let head = 0; head < queue.length && found === undefined; head++) {
      for (const next of ties[queue[head]!]!) {
        if (home.has(next) || cameFrom.has(next)) continue;
        cameFrom.set(next, queue[head]!);
        queue.push(next);
        if (all.has(next)) {
          found = next;
          break;
        }
      }
    }
    if (found === undefined) return undefined;
    for (let at = cameFrom.get(found); at !== undefined && !home.has(at); at = cameFrom.get(at)) all.add(at);
  }
}

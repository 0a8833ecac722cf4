/** What ought to come out at nothing: zero marks read again, loops of set-ups, lines between bench marks. */
import { distance, type Point } from "../geometry/point.ts";
import type { ClosingRule } from "../job/model.ts";
import { metres, millimetres } from "../units.ts";
import { TYING_POINTS } from "./datum.ts";
import type { Closure, Tie } from "./model.ts";
import type { NetworkSolution } from "./network.ts";
import type { Observations } from "./observations.ts";

/** A difference as a sum of readings, each with its factor: what its error and standard deviation follow from. */
type Combination = ReadonlyMap<number, number>;

interface Edge {
  readonly from: number;
  readonly to: number;
  readonly pointIds: readonly string[];
  /** (level by `from`) − (level by `to`), the mean over the shared points, and the same at each of them. */
  readonly difference: Combination;
  readonly atPoints: readonly Combination[];
}

/** Name of the bench marks, taken together, where they stand in for a set-up. */
export const BENCH_MARKS = "bench marks";

/** How the set-ups agree where they overlap, pair by pair in the order of the job. */
export function tiesOf(observations: Observations, solution: NetworkSolution): Tie[] {
  return edgesOf(observations).map((edge) => {
    const mean = sumOf(observations, solution, edge.difference).error;
    let spread = 0;
    for (const one of edge.atPoints)
      spread = Math.max(spread, Math.abs(sumOf(observations, solution, one).error - mean));
    const shared = edge.pointIds.length;
    return {
      setUpIds: [nameOf(observations, edge.from), nameOf(observations, edge.to)],
      pointIds: edge.pointIds,
      greatestSpread: millimetres(spread),
      strength: shared >= TYING_POINTS ? "found" : shared === 2 ? "felt-not-found" : "not-checked",
    };
  });
}

/** Closing errors of set-ups and loops, each against the job's own rule where it states one. */
export function closuresOf(
  observations: Observations,
  solution: NetworkSolution,
  rule: ClosingRule | undefined,
): Closure[] {
  return [...zeroClosures(observations, rule), ...loopClosures(observations, solution, rule)];
}

/** The zero mark at the end of a set-up against the zero mark at its start. */
function zeroClosures(observations: Observations, rule: ClosingRule | undefined): Closure[] {
  const closures: Closure[] = [];
  for (const setUp of observations.setUps) {
    const checks = setUp.zeroChecks ?? [];
    const last = checks[checks.length - 1];
    if (!last || last.afterReadings === 0) continue;
    const start = checks[0]!.afterReadings === 0 ? checks[0]!.level : 0;
    closures.push(
      judged(
        {
          kind: "set-up",
          setUpIds: [setUp.id],
          error: millimetres(last.level - start),
          sd: millimetres(setUp.instrument.readingSd * Math.SQRT2),
        },
        undefined,
        rule,
      ),
    );
  }
  return closures;
}

/**
 * One loop for every tie that a spanning tree of the set-ups leaves over, the bench marks counting as
 * one more set-up; the tree grows by breadth, so that loops are short. Loops that close by
 * themselves, the same readings going in and out, say nothing and are left out.
 */
function loopClosures(observations: Observations, solution: NetworkSolution, rule: ClosingRule | undefined): Closure[] {
  const edges = edgesOf(observations);
  const nodes = observations.setUps.length + 1;
  const edgeTo = new Array<Edge | undefined>(nodes);
  const depth = new Int32Array(nodes).fill(-1);
  const inTree = new Set<Edge>();
  for (let start = 0; start < nodes; start++) {
    if (depth[start]! >= 0) continue;
    depth[start] = 0;
    const queue = [start];
    for (let head = 0; head < queue.length; head++) {
      const node = queue[head]!;
      for (const edge of edges) {
        if (edge.from !== node && edge.to !== node) continue;
        const next = edge.from === node ? edge.to : edge.from;
        if (depth[next]! >= 0) continue;
        depth[next] = depth[node]! + 1;
        edgeTo[next] = edge;
        inTree.add(edge);
        queue.push(next);
      }
    }
  }
  const closures: Closure[] = [];
  for (const edge of edges) {
    if (inTree.has(edge)) continue;
    // From both ends of the edge back to where the two branches meet.
    const legs: { edge: Edge; forward: boolean }[] = [];
    const path: number[] = [edge.from];
    const back: number[] = [edge.to];
    let a = edge.from;
    let b = edge.to;
    const step = (node: number): number => (edgeTo[node]!.from === node ? edgeTo[node]!.to : edgeTo[node]!.from);
    legs.push({ edge, forward: true });
    while (a !== b) {
      if (depth[a]! > depth[b]!) {
        legs.push({ edge: edgeTo[a]!, forward: edgeTo[a]!.to === a });
        a = step(a);
        path.push(a);
      } else {
        legs.push({ edge: edgeTo[b]!, forward: edgeTo[b]!.from === b });
        b = step(b);
        back.push(b);
      }
    }
    back.pop();
    const order = [...path, ...back.reverse()];
    const total = new Map<number, number>();
    for (const leg of legs) {
      for (const [reading, factor] of leg.edge.difference)
        total.set(reading, (total.get(reading) ?? 0) + (leg.forward ? factor : -factor));
    }
    const { error, sd } = sumOf(observations, solution, total);
    const finest = observations.network.sdMm.reduce((least, value) => Math.min(least, value), Infinity);
    if (!(sd > finest * NOTHING)) continue;
    const benchMarks = order.includes(observations.setUps.length);
    closures.push(
      judged(
        {
          kind: benchMarks ? "bench-marks" : "loop",
          setUpIds: order.map((node) => nameOf(observations, node)),
          error: millimetres(error),
          sd: millimetres(sd),
        },
        lengthOf(observations, order, edges),
        rule,
      ),
    );
  }
  return closures;
}

/** Relative to the finest reading: the rounding of factors that cancel is far smaller, a true loop is near 1. */
const NOTHING = 1e-9;

function edgesOf(observations: Observations): Edge[] {
  const { network, places, setUps } = observations;
  const benchMarkNode = setUps.length;
  /** Readings of each place by set-up. */
  const readBy = places.map(() => new Map<number, number[]>());
  for (let i = 0; i < network.used.length; i++) {
    if (network.used[i] === 0) continue;
    const bySetUp = readBy[network.pointOf[i]!]!;
    const readings = bySetUp.get(network.setUpOf[i]!);
    if (readings) readings.push(i);
    else bySetUp.set(network.setUpOf[i]!, [i]);
  }
  const shared = new Map<number, { pointIds: string[]; atPoints: Combination[] }>();
  readBy.forEach((bySetUp, p) => {
    const nodes = [...bySetUp.keys()].sort((a, b) => a - b);
    if (network.given[p]!.kind !== "free") nodes.push(benchMarkNode);
    for (let u = 0; u < nodes.length; u++) {
      for (let v = u + 1; v < nodes.length; v++) {
        const difference = new Map<number, number>();
        const from = bySetUp.get(nodes[u]!)!;
        for (const i of from) difference.set(i, 1 / from.length);
        const to = bySetUp.get(nodes[v]!);
        if (to) for (const i of to) difference.set(i, -1 / to.length);
        // The bench mark's own level comes in as a reading numbered below zero.
        else difference.set(-1 - p, -1);
        const key = nodes[u]! * (setUps.length + 1) + nodes[v]!;
        const pair = shared.get(key) ?? { pointIds: [], atPoints: [] };
        pair.pointIds.push(places[p]!.id);
        pair.atPoints.push(difference);
        shared.set(key, pair);
      }
    }
  });
  return [...shared]
    .sort(([a], [b]) => a - b)
    .map(([key, pair]) => {
      const difference = new Map<number, number>();
      for (const one of pair.atPoints) {
        for (const [reading, factor] of one)
          difference.set(reading, (difference.get(reading) ?? 0) + factor / pair.atPoints.length);
      }
      return { from: Math.floor(key / (setUps.length + 1)), to: key % (setUps.length + 1), ...pair, difference };
    });
}

/**
 * The sum of readings, each corrected for its set-up's zero and drift, and its standard deviation by
 * the propagation of independent errors. Round a loop the corrections of the zeros cancel.
 */
function sumOf(
  { network }: Observations,
  solution: NetworkSolution,
  combination: Combination,
): { error: number; sd: number } {
  let error = 0;
  let variance = 0;
  for (const [reading, factor] of combination) {
    if (reading < 0) {
      const known = network.given[-1 - reading]!;
      if (known.kind === "free") continue;
      error += factor * known.levelMm;
      if (known.kind === "weighted") variance += (factor * known.sdMm) ** 2;
      continue;
    }
    const s = network.setUpOf[reading]!;
    const level = network.readMm[reading]! + solution.zeroMm[s]! - solution.driftMm[s]! * network.clock[reading]!;
    error += factor * level;
    variance += (factor * network.sdMm[reading]!) ** 2;
  }
  return { error, sd: Math.sqrt(variance) };
}

/** Round the loop from one position of the level to the next; undefined where one of them is not known. */
function lengthOf(observations: Observations, order: readonly number[], edges: readonly Edge[]): number | undefined {
  const positionOf = (node: number, neighbour: number): Point | undefined => {
    const own = observations.setUps[node]?.reservoir;
    if (own || node < observations.setUps.length) return own;
    // Bench marks stand where the neighbouring set-up read them.
    const edge = edges.find((one) => one.to === node && one.from === neighbour);
    return observations.places.find((place) => place.id === edge?.pointIds[0])?.at;
  };
  let length = 0;
  for (let k = 0; k < order.length; k++) {
    const here = order[k]!;
    const there = order[(k + 1) % order.length]!;
    const a = positionOf(here, there);
    const b = positionOf(there, here);
    if (!a || !b) return undefined;
    length += distance(a, b);
  }
  return length;
}

function judged(
  closure: Pick<Closure, "kind" | "setUpIds" | "error" | "sd">,
  lengthM: number | undefined,
  rule: ClosingRule | undefined,
): Closure {
  const known = { ...closure, ...(lengthM !== undefined && { length: metres(lengthM) }) };
  if (!rule) return { ...known, verdict: "not-judged" };
  const setUps = closure.setUpIds.filter((id) => id !== BENCH_MARKS).length;
  const allowed =
    rule.per === "root-set-up"
      ? rule.k * Math.sqrt(setUps)
      : lengthM === undefined
        ? undefined
        : rule.k * Math.sqrt(lengthM / 1000);
  if (allowed === undefined) return { ...known, rule, verdict: "not-judged" };
  return {
    ...known,
    rule,
    allowed: millimetres(allowed),
    verdict: Math.abs(closure.error) <= allowed ? "within" : "beyond",
  };
}

const nameOf = (observations: Observations, node: number): string => observations.setUps[node]?.id ?? BENCH_MARKS;

/**
 * The order of the bays of one section: nobody shut in, no late edge, then the shortest way on foot.
 * Depth first, the edge that runs out soonest first; on small sections through all orders, on large ones
 * through a counted number of steps from several starts.
 */
import type { Litres, Metres, Minutes } from "../units.ts";
import { type BayGraph, isWet, opensAtEnd, otherBay } from "./bay-graph.ts";
import { isPassable } from "./borders.ts";
import { edgeAge, frontAge, oldestAlong, type PouredBay, powderOf, type RunClock, slicesOf } from "./slices.ts";
import { litresBefore } from "./volume-profile.ts";

export interface OrderTask {
  readonly graph: BayGraph;
  readonly clock: RunClock;
  /** What the run has put on the floor before this section. */
  readonly before: Litres;
  readonly limit: Minutes;
  /** Of each bay, from powder meeting water to placing. */
  readonly toPlacing: readonly Minutes[];
  /** On foot between the middles of bays, row by row; and from each to the way out. */
  readonly between: Float64Array;
  readonly toExit: Float64Array;
  /** From where the crew comes to each bay; zeros at the start. */
  readonly fromBefore: Float64Array;
}

export interface BayOrder {
  readonly poured: readonly PouredBay[];
  readonly way: Metres;
}

/** Up to so many bays every start is tried in one search. */
const EXACT_BAYS = 9;
/** Steps of a search: on small sections enough for all orders that keep the rules. */
const EXACT_STEPS = 60_000;
const STEPS_A_START = 300;
const STARTS = 8;
/** Fronts that can be begun at any step, the farthest from the way out. */
const NEW_FRONTS = 4;

/** The best order found; undefined where none keeps the rules. */
export function orderBays(task: OrderTask): BayOrder | undefined {
  const count = task.graph.bays.length;
  if (count <= EXACT_BAYS) return search(task, undefined, EXACT_STEPS, undefined);
  const farthest = task.graph.bays
    .map(({ index }) => index)
    .sort((p, q) => task.toExit[q]! - task.toExit[p]! || p - q)
    .slice(0, STARTS);
  let best: BayOrder | undefined;
  // Lanes follow each other best the same way, so which way the first one runs decides for all of them.
  for (const bay of farthest)
    for (const backward of [false, true]) best = search(task, { bay, backward }, STEPS_A_START, best) ?? best;
  return best;
}

interface Start {
  readonly bay: number;
  readonly backward: boolean;
}

interface Step {
  readonly bay: number;
  readonly backward: boolean;
  readonly poured: PouredBay;
  /** When the soonest of the edges that it renews runs out; Infinity where it renews none. */
  readonly deadline: Minutes;
  readonly worstAge: Minutes;
  readonly move: Metres;
  /** Litres in the half that comes first: deep ends go first where nothing else decides. */
  readonly firstHalf: Litres;
}

function search(
  task: OrderTask,
  start: Start | undefined,
  steps: number,
  known: BayOrder | undefined,
): BayOrder | undefined {
  const { graph } = task;
  const wet = graph.bays.map(isWet);
  const inOrder: PouredBay[] = [];
  const pouredOf: (PouredBay | undefined)[] = graph.bays.map(() => undefined);
  const nearest = graph.bays.map(({ index }) => leastStep(task, index));
  let best = known;
  let found: BayOrder | undefined;
  let left = wet.filter(Boolean).length;
  let stepsLeft = steps;

  const dive = (volume: Litres, way: Metres, last: number | undefined): void => {
    if (left === 0) {
      const whole = last === undefined ? way : way + task.toExit[last]!;
      if (!best || whole < best.way - 1e-6) {
        best = { poured: [...inOrder], way: whole };
        found = best;
      }
      return;
    }
    for (const bays of candidates(task, pouredOf, wet, last === undefined ? start : undefined)) {
      for (const step of nextSteps(task, pouredOf, wet, volume, last, bays, last === undefined ? start : undefined)) {
        if (stepsLeft <= 0) return;
        const onward = way + step.move;
        if (best && onward + restOf(step.bay) >= best.way - 1e-6) continue;
        stepsLeft--;
        pouredOf[step.bay] = step.poured;
        inOrder.push(step.poured);
        left--;
        if (edgesCanWait(task, pouredOf, wet, volume + step.poured.bay.volume))
          dive(volume + step.poured.bay.volume, onward, step.bay);
        pouredOf[step.bay] = undefined;
        inOrder.pop();
        left++;
      }
    }
  };
  /** No way over the bays still to come is shorter than the least step out of each of them and of the last one. */
  const restOf = (last: number): Metres => {
    let rest = nearest[last]!;
    for (let k = 0; k < wet.length; k++) if (wet[k] && !pouredOf[k] && k !== last) rest += nearest[k]!;
    return rest;
  };
  dive(task.before, 0, undefined);
  return found;
}

/** The least step on foot from a bay to any other, or out. */
function leastStep({ graph, between, toExit }: OrderTask, bay: number): Metres {
  const count = graph.bays.length;
  let least = toExit[bay]!;
  for (let k = 0; k < count; k++) if (k !== bay) least = Math.min(least, between[bay * count + k]!);
  return least;
}

/** Bays that can be next, those beside fresh edges before those that begin a front of their own. */
function candidates(
  { graph, toExit }: OrderTask,
  pouredOf: readonly (PouredBay | undefined)[],
  wet: readonly boolean[],
  only: Start | undefined,
): number[][] {
  if (only) return [[only.bay]];
  const open = graph.bays.flatMap(({ index }) => (wet[index] && !pouredOf[index] ? [index] : []));
  if (graph.bays.length <= EXACT_BAYS) return [open];
  const pressing: number[] = [];
  const apart: number[] = [];
  for (const k of open) {
    const beside = graph.bordersOf[k]!.some((border) => pouredOf[otherBay(graph.borders[border]!, k)]);
    (beside ? pressing : apart).push(k);
  }
  return [pressing, apart.sort((p, q) => toExit[q]! - toExit[p]! || p - q).slice(0, NEW_FRONTS)];
}

/** How these bays can be poured next without shutting anyone in or leaving an edge late, the most pressing first. */
function nextSteps(
  task: OrderTask,
  pouredOf: readonly (PouredBay | undefined)[],
  wet: readonly boolean[],
  volume: Litres,
  last: number | undefined,
  bays: readonly number[],
  only: Start | undefined,
): Step[] {
  const { graph } = task;
  const count = graph.bays.length;
  const steps: Step[] = [];
  for (const bay of bays) {
    const open = openWithout(graph, pouredOf, bay);
    if (graph.bays.some(({ index }) => index !== bay && wet[index] && !pouredOf[index] && !open[index])) continue;
    const move = last === undefined ? task.fromBefore[bay]! : task.between[last * count + bay]!;
    for (const backward of only ? [only.backward] : [false, true]) {
      if (!reachesEnd(graph, open, bay, backward)) continue;
      const step = stepOnto(task, pouredOf, volume, bay, backward);
      if (step) steps.push({ ...step, move });
    }
  }
  return steps.sort(
    (p, q) =>
      compare(p.deadline, q.deadline) ||
      (last === undefined ? task.toExit[q.bay]! - task.toExit[p.bay]! : p.move - q.move) ||
      p.bay - q.bay ||
      p.worstAge - q.worstAge ||
      q.firstHalf - p.firstHalf,
  );
}

/** A bay poured one way, with the ages of the edges that it renews; undefined where one comes late. */
function stepOnto(
  { graph, clock, toPlacing, limit }: OrderTask,
  pouredOf: readonly (PouredBay | undefined)[],
  volume: Litres,
  bay: number,
  backward: boolean,
): Omit<Step, "move"> | undefined {
  const shape = graph.bays[bay]!;
  const slices = slicesOf(shape, backward, volume, clock);
  const poured: PouredBay = { bay: shape, backward, slices, clock, toPlacing: toPlacing[bay]! };
  let worstAge = frontAge(poured) ?? 0;
  let deadline = Number.POSITIVE_INFINITY;
  for (const index of graph.bordersOf[bay]!) {
    const border = graph.borders[index]!;
    const neighbour = pouredOf[otherBay(border, bay)];
    if (!neighbour) continue;
    const edge = edgeAge(border.stretches, neighbour, poured);
    if (!edge) continue;
    worstAge = Math.max(worstAge, edge.age);
    deadline = Math.min(deadline, oldestAlong(border.stretches, neighbour) + limit);
  }
  if (worstAge > limit + 1e-9) return undefined;
  const low = litresBefore(shape.profile(), (shape.from + shape.to) / 2);
  return { bay, backward, poured, deadline, worstAge, firstHalf: backward ? shape.volume - low : low };
}

/** Both can be without end, and their difference then is no number. */
const compare = (p: number, q: number): number => (p === q ? 0 : p - q);

/** Which bays that are not poured still reach a way out once this one is being poured: 1 where they do. */
function openWithout(graph: BayGraph, pouredOf: readonly (PouredBay | undefined)[], without: number): Uint8Array {
  const open = new Uint8Array(graph.bays.length);
  const stack: number[] = [];
  const reach = (k: number): void => {
    if (open[k] === 1 || k === without || pouredOf[k]) return;
    open[k] = 1;
    stack.push(k);
  };
  graph.exitsOf.forEach((exits, k) => {
    if (exits.some(({ stretches, width }) => isPassable(stretches, width))) reach(k);
  });
  for (let k = stack.pop(); k !== undefined; k = stack.pop())
    for (const index of graph.bordersOf[k]!) {
      const border = graph.borders[index]!;
      if (border.passable) reach(otherBay(border, k));
    }
  return open;
}

/** True where the end towards which the bay is poured opens to the outside or to floor that stays open. */
function reachesEnd(graph: BayGraph, open: Uint8Array, bay: number, backward: boolean): boolean {
  const shape = graph.bays[bay]!;
  return (
    graph.exitsOf[bay]!.some(({ stretches, width }) => opensAtEnd(shape, backward, stretches, width)) ||
    graph.bordersOf[bay]!.some((index) => {
      const border = graph.borders[index]!;
      return open[otherBay(border, bay)] === 1 && opensAtEnd(shape, backward, border.stretches);
    })
  );
}

/** False where some fresh edge is late already, whatever is poured next. */
function edgesCanWait(
  task: OrderTask,
  pouredOf: readonly (PouredBay | undefined)[],
  wet: readonly boolean[],
  volume: Litres,
): boolean {
  const { graph, clock, limit } = task;
  const next = Math.min(clock.batches - 1, Math.floor(volume / clock.floorPerBatch + 1e-3));
  const soonest = powderOf(clock, next) + Math.min(...task.toPlacing);
  return graph.borders.every(({ a, b, stretches }) => {
    const [p, q] = [pouredOf[a], pouredOf[b]];
    if (p && !q && wet[b]) return soonest - oldestAlong(stretches, p) <= limit + 1e-9;
    if (q && !p && wet[a]) return soonest - oldestAlong(stretches, q) <= limit + 1e-9;
    return true;
  });
}

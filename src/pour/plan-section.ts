/**
 * The bays of one section: lanes one way or another, few or many, until an order keeps every edge in
 * time. The fewest bays win, then the shortest way on foot.
 */
import { lengthsBetween, walkableFloor } from "../geometry/paths.ts";
import { distance, type Point } from "../geometry/point.ts";
import { convexHull, signedArea } from "../geometry/polygon.ts";
import type { Job } from "../job/model.ts";
import type { Plan } from "../layout/model.ts";
import type { Litres, Metres, Minutes } from "../units.ts";
import { type BayGraph, type BayShape, bayGraph, bayShape, baysOf, opensAtEnd } from "./bay-graph.ts";
import { lineThrough, splitCell } from "./cells.ts";
import { type MixingPace, timeToPlacing } from "./crew-pace.ts";
import { fewestLanes, isOneLane, type LaneField, laneField, laneLines } from "./lanes.ts";
import { type BayOrder, type OrderTask, orderBays } from "./order-bays.ts";
import { extentAlong, laneDirections, partsOf } from "./parts.ts";
import type { Portal, Section } from "./sections.ts";
import type { RunClock } from "./slices.ts";
import { litresBefore } from "./volume-profile.ts";
import { portalPlace, withoutColumns } from "./walking.ts";

export interface SectionTask {
  readonly job: Job;
  readonly plan: Plan;
  readonly section: Section;
  readonly pace: MixingPace;
  readonly limit: Minutes;
  /** Where one goes on from this section: out, or into sections that are poured later. */
  readonly portals: readonly { readonly portal: Portal; readonly index: number }[];
  /** Of every portal of the floor: on foot to the way out, and from the station. */
  readonly toExit: Float64Array;
  readonly fromStation: Float64Array;
  readonly clock: RunClock;
  readonly before: Litres;
  /** Where the crew comes from; absent at the first section. */
  readonly comesFrom: Point | undefined;
  /** Only whether it can be poured is asked: the first way that does is enough, and safe ones are tried first. */
  readonly trial: boolean;
}

export type SectionPlan =
  | { readonly kind: "planned"; readonly graph: BayGraph; readonly order: BayOrder }
  | { readonly kind: "edge-late"; readonly lane: LeastLane }
  | { readonly kind: "no-order" };

/** The least lane that could be raked, and how old its edge would grow. */
export interface LeastLane {
  readonly length: Metres;
  readonly width: Metres;
  readonly age: Minutes;
  /** Batches that it takes, and what one needs from powder to placing. */
  readonly batches: number;
  readonly toPlacing: Minutes;
}

/** Parts beyond which each takes the direction with the fewest lanes, not every choice of all. */
const FREE_PARTS = 5;
/** Ways of laying lanes that are tried in a section. */
const MOST_LAYOUTS = 36;
const TRIAL_LAYOUTS = 10;
/** In a trial each has so many times the lanes of the one before in the same directions. */
const TRIAL_STEP = 1.08;
/** So many lanes more than the fewest are tried, and such shares more. */
const EXTRA_LANES = [0, 1, 2, 3] as const;
const EXTRA_SHARES = [0.1, 0.2, 0.4, 0.7, 1, 1.3] as const;
/** The last lane, left through a door in its side, takes these shares of the others: its far part waits for the near one. */
const TAPERS = [0.6, 0.4] as const;

interface FieldChoice {
  readonly field: LaneField;
  /** If everything were carried from the nearest way in, and from the farthest corner. */
  readonly fewest: number;
  readonly safe: number;
  /** One lane is wide enough: nothing inside the part has to be renewed but its front. */
  readonly single: boolean;
}

/** What may be poured between a batch on an edge and the batch beside it, near the way in and at the far end. */
interface Caps {
  readonly near: Litres;
  readonly far: Litres;
}

interface Layout {
  readonly choices: readonly FieldChoice[];
  readonly lanes: readonly number[];
  readonly total: number;
}

export function planSection(task: SectionTask): SectionPlan {
  const { section, pace, clock } = task;
  // Nobody gets to a section whose doors are all blocked: no lane in it is too old, there is no way to it.
  if (!Number.isFinite(shortestTime(task))) return { kind: "no-order" };
  const caps = lanesCaps(task);
  const layouts: Layout[] = [];
  const parts = partsOf(section.cell);
  const partings = parts.length > 1 ? [[section.cell], parts] : [[section.cell]];
  let least: LeastLane | undefined;
  for (const cells of partings) {
    const choices = cells.map((cell) =>
      laneDirections(cell.floor).flatMap((direction): FieldChoice[] => {
        const field = fieldOf(task, cell, direction);
        const fewest = fewestLanes(field, pace.laneWidth, pace.leastLaneWidth, caps.near);
        const safe = fewestLanes(field, pace.laneWidth, pace.leastLaneWidth, caps.far);
        const single = isOneLane(field, pace.laneWidth);
        if (fewest !== undefined) return [{ field, fewest, safe: safe ?? fewest, single }];
        if (single) return [{ field, fewest: 1, safe: 1, single }];
        const lane = leastLane(field, pace, clock, shortestTime(task));
        if (!least || lane.batches < least.batches) least = lane;
        return [];
      }),
    );
    if (choices.every((list) => list.length > 0)) layouts.push(...layoutsOf(choices));
  }
  if (layouts.length === 0 && least) return { kind: "edge-late", lane: least };
  let best: Found | undefined;
  for (const layout of inTurn(layouts, task.trial)) {
    if (best && (task.trial || layout.total > best.graph.bays.length)) break;
    const found = tryLayout(task, layout, caps);
    if (!found) continue;
    const fewer = best === undefined ? 1 : best.graph.bays.length - found.graph.bays.length;
    if (fewer > 0 || (fewer === 0 && found.order.way < best!.order.way - 1e-6)) best = found;
  }
  return best ? { kind: "planned", ...best } : { kind: "no-order" };
}

/** The fewest lanes first; for a trial only so many as keep their edges from the farthest corner too, in larger steps. */
function inTurn(layouts: readonly Layout[], trial: boolean): Layout[] {
  const sorted = layouts.toSorted((p, q) => p.total - q.total);
  if (!trial) return sorted.slice(0, MOST_LAYOUTS);
  const isSafe = ({ choices, lanes }: Layout) => lanes.every((count, k) => count === 1 || count >= choices[k]!.safe);
  const spaced: Layout[] = [];
  for (const layout of sorted.filter(isSafe)) {
    const before = spaced.findLast(({ choices }) => choices === layout.choices);
    if (!before || layout.total >= TRIAL_STEP * before.total) spaced.push(layout);
  }
  return spaced.slice(0, TRIAL_LAYOUTS);
}

/** Whole batches inside the limit. With less than one even the next batch comes late; what one batch fills can be poured all the same. */
function lanesCaps(task: SectionTask): Caps {
  const { clock, limit, section, pace } = task;
  const capFor = (toPlacing: Minutes): Litres =>
    Math.max(1, Math.floor((limit - toPlacing) / clock.interval + 1e-9)) * clock.floorPerBatch;
  const shortest = shortestTime(task);
  const [x0, x1] = extentAlong(section.cell.floor, { x: 1, y: 0 });
  const [y0, y1] = extentAlong(section.cell.floor, { x: 0, y: 1 });
  const across = pace.pumped ? 0 : (x1 - x0 + (y1 - y0)) / pace.carryingPace;
  return { near: capFor(shortest), far: capFor(shortest + across) };
}

const shortestTime = ({ pace, portals, fromStation }: SectionTask): Minutes =>
  timeToPlacing(pace, Math.min(...portals.map(({ index }) => fromStation[index]!)));

function fieldOf(
  { plan, section, portals }: SectionTask,
  cell: LaneField["cell"],
  direction: LaneField["direction"],
): LaneField {
  const doors = portals.flatMap(({ portal }) => (portal.through.kind === "opening" ? portal.stretches : []));
  return laneField(cell, direction, plan.floors[section.roomIndex]!.obstacles, doors);
}

/** Every choice of a direction for each part, with lanes from the fewest up. */
function layoutsOf(choices: readonly (readonly FieldChoice[])[]): Layout[] {
  const sorted = choices.map((list) => list.toSorted((p, q) => p.fewest - q.fewest));
  let combined: FieldChoice[][] = [[]];
  for (const list of sorted) {
    const offered = choices.length > FREE_PARTS ? list.slice(0, 1) : list;
    combined = combined.flatMap((so) => offered.map((choice) => [...so, choice]));
  }
  return combined.flatMap((chosen) => {
    const singles = chosen.map(({ single, fewest }) => (single ? 1 : fewest));
    const wishes = [
      singles,
      ...(chosen.length > 1
        ? chosen.map((_, k) => chosen.map(({ fewest }, j) => (j === k ? singles[k]! : fewest)))
        : []),
      ...EXTRA_LANES.flatMap((extra) => [
        chosen.map(({ fewest }) => fewest + extra),
        chosen.map(({ safe }) => safe + extra),
      ]),
      ...EXTRA_SHARES.map((share) => chosen.map(({ safe }) => Math.ceil(safe * (1 + share)))),
    ];
    if (chosen.length > 1)
      for (const extra of [1, 2])
        wishes.push(...chosen.map((_, k) => chosen.map(({ fewest }, j) => fewest + (j === k ? extra : 0))));
    const distinct = new Map(wishes.map((lanes) => [lanes.join(), lanes]));
    return [...distinct.values()].map((lanes) => ({
      choices: chosen,
      lanes,
      total: lanes.reduce((sum, n) => sum + n, 0),
    }));
  });
}

interface Found {
  readonly graph: BayGraph;
  readonly order: BayOrder;
}

/** Lines clear of columns and doors, then as they fall; then the lane with the way out in its side cut there; then that lane narrower. */
function tryLayout(task: SectionTask, layout: Layout, caps: Caps): Found | undefined {
  const plain = [0, 1].flatMap((choice) => layOutBays(task, layout, caps, undefined, choice) ?? []);
  for (const graph of plain) {
    const order = orderBays(orderTask(task, graph));
    if (order) return { graph, order };
  }
  const tapered = TAPERS.flatMap((share) => () => layOutBays(task, layout, caps, share, 0));
  for (const make of [...plain.map((graph) => () => graph), ...tapered]) {
    const graph = make();
    const split = graph && splitAtExits(graph);
    if (!split) continue;
    const finer = bayGraph(split, task.portals);
    const order = orderBays(orderTask(task, finer));
    if (order) return { graph: finer, order };
  }
  return undefined;
}

/**
 * The bays of a layout; with a share, the lane beside the way out takes so much of the others. Undefined
 * where lines cannot be struck so, or the second choice of lines is the first again.
 */
function layOutBays(
  { pace, job, portals }: SectionTask,
  { choices, lanes }: Layout,
  caps: Caps,
  share: number | undefined,
  choice: number,
): BayGraph | undefined {
  let differs = choice === 0;
  const fields: { field: LaneField; lines: Metres[] }[] = [];
  for (const [k, { field }] of choices.entries()) {
    const at = share === undefined ? undefined : endWithExit(field, portals);
    const taper = at && share !== undefined ? { at, share } : undefined;
    const limits = { widest: pace.laneWidth, cap: caps.near, taper };
    const offered = laneLines(field, lanes[k]!, limits, pace.leastLaneWidth, job.units.plan);
    const lines = offered[choice] ?? offered[0];
    if (!lines) return undefined;
    if (offered[choice]) differs = true;
    fields.push({ field, lines });
  }
  if (!differs) return undefined;
  return bayGraph(baysOf(fields), portals);
}

/** The end of a field, across its lanes, at which a way out lies. */
function endWithExit(
  { direction: { across }, from, to }: LaneField,
  portals: SectionTask["portals"],
): "from" | "to" | undefined {
  for (const { portal } of portals) {
    const { x, y } = portalPlace(portal);
    const at = across.x * x + across.y * y;
    if (Math.abs(at - from) < AT_END_M) return "from";
    if (Math.abs(at - to) < AT_END_M) return "to";
  }
  return undefined;
}

/** A doorway's far side lies within this of the end lane: thicker than walls are. */
const AT_END_M: Metres = 0.6;

/** Bays whose way out lies beyond reach of both ends, cut beside it so that both parts are poured towards it. */
function splitAtExits(graph: BayGraph): BayShape[] | undefined {
  let any = false;
  const cells = graph.bays.flatMap((bay) => {
    const { x, y } = bay.direction.along;
    for (const { stretches, width } of graph.exitsOf[bay.index]!) {
      if ([false, true].some((backward) => opensAtEnd(bay, backward, stretches, width))) return [bay];
    }
    const [exit] = graph.exitsOf[bay.index]!.flatMap(({ stretches }) => stretches);
    if (!exit) return [bay];
    const middle = (bay.from + bay.to) / 2;
    const jamb = [exit.from, exit.to].toSorted(
      (p, q) => Math.abs(x * p.x + y * p.y - middle) - Math.abs(x * q.x + y * q.y - middle),
    )[0] as Point;
    const { across } = bay.direction;
    const beside: Point = { x: jamb.x + across.x, y: jamb.y + across.y };
    const { left, right } = splitCell(bay.cell, lineThrough(jamb, beside));
    if (left.length === 0 || right.length === 0) return [bay];
    any = true;
    return [...left, ...right].map((cell) => bayShape(cell, bay.direction, 0));
  });
  return any ? cells.map((bay, index) => ({ ...bay, index })) : undefined;
}

function orderTask(task: SectionTask, graph: BayGraph): OrderTask {
  const { section, portals, pace, clock, before, limit, comesFrom } = task;
  const count = graph.bays.length;
  const centres = graph.bays.map(({ centre }) => centre);
  const places = portals.map(({ portal }) => portalPlace(portal));
  const onFoot = wayMeasure(section, [...centres, ...places]);
  const toPortals = onFoot(centres, places);
  const over = (ofPortal: Float64Array): Float64Array =>
    Float64Array.from(centres, (_, k) =>
      Math.min(...portals.map(({ index }, p) => toPortals[k * places.length + p]! + ofPortal[index]!)),
    );
  const fromStation = over(task.fromStation);
  return {
    graph,
    clock,
    before,
    limit,
    // To the farther end: no farther than the middle and half the length.
    toPlacing: graph.bays.map(({ from, to }, k) => timeToPlacing(pace, fromStation[k]! + (to - from) / 2)),
    between: onFoot(centres, centres),
    toExit: over(task.toExit),
    fromBefore: comesFrom
      ? Float64Array.from(centres, (centre) => distance(centre, comesFrom))
      : new Float64Array(count),
  };
}

/** Lengths on foot inside a section: straight where nothing stands in between. */
function wayMeasure(
  section: Section,
  places: readonly Point[],
): (from: readonly Point[], to: readonly Point[]) => Float64Array {
  const floor = withoutColumns(section.cell.floor);
  const hull = convexHull(floor.outline);
  const isConvex = floor.holes.length === 0 && signedArea(hull) - signedArea(floor.outline) < 0.01 * signedArea(hull);
  if (isConvex || places.length === 0)
    return (from, to) => Float64Array.from(from.flatMap((p) => to.map((q) => distance(p, q))));
  const walkable = walkableFloor([floor], []);
  return (from, to) => {
    const lengths = lengthsBetween(walkable, from, to);
    // A place inside a column that is walked through, or within a doorway cut off by it.
    return lengths.map((length, k) =>
      Number.isFinite(length) ? length : distance(from[Math.floor(k / to.length)]!, to[k % to.length]!),
    );
  };
}

/** The narrowest lane, where it holds most. */
function leastLane(field: LaneField, pace: MixingPace, clock: RunClock, toPlacing: Minutes): LeastLane {
  const width = Math.min(pace.leastLaneWidth, field.to - field.from);
  let most: Litres = 0;
  const steps = Math.max(1, Math.ceil((field.to - field.from) / width));
  for (let k = 0; k < steps; k++) {
    const at = Math.min(field.from + k * width, field.to - width);
    most = Math.max(most, litresBefore(field.profile, at + width) - litresBefore(field.profile, at));
  }
  const [from, to] = extentAlong(field.cell.floor, field.direction.along);
  const batches = most / clock.floorPerBatch;
  const age = Math.ceil(batches - 1e-9) * clock.interval + toPlacing;
  return { length: to - from, width, age, batches, toPlacing };
}

/** What to do when it goes wrong: where the dam goes after each bay, and what one failed mixer does to it. */
import type { Metres, Minutes } from "../units.ts";
import { greatestFillAlong } from "./along.ts";
import { type BayGraph, isWet, otherBay } from "./bay-graph.ts";
import { lengthOf } from "./borders.ts";
import type { BagCheck, MixerFailure, Segment, StopLine } from "./model.ts";
import { edgeAge, frontAge, oldestAlong, type PouredBay, powderOf } from "./slices.ts";

/** Foam pressed down and weighted, metres a minute by one person (from memory). */
const DAM_PACE: Metres = 1;
/** Fetching it and clearing the edge (from memory). */
const DAM_START: Minutes = 1;
/** Share of the bags planned up to a line that may be used beyond plan, where the job states none. Our own choice. */
export const USUAL_CHECK_SHARE = 0.1;

/** The dam after the bay at this place in the order: along every edge that is then fresh. */
export function stopLine(graph: BayGraph, order: readonly PouredBay[], place: number, least: Minutes): StopLine {
  const poured = new Map(order.slice(0, place + 1).map((one) => [one.bay.index, one]));
  const segments: Segment[] = [];
  let height = 0;
  let oldest = Number.POSITIVE_INFINITY;
  for (const { a, b, stretches } of graph.borders) {
    const one = poured.get(a) ?? poured.get(b);
    if (!one || poured.has(a) === poured.has(b) || !isWet(graph.bays[otherBay({ a, b }, one.bay.index)]!)) continue;
    segments.push(...stretches);
    height = Math.max(height, greatestFillAlong(one.bay.cell.pieces, stretches));
    oldest = Math.min(oldest, oldestAlong(stretches, one));
  }
  const length = lengthOf(segments);
  const settingTime = length > 0 ? DAM_START + length / DAM_PACE : 0;
  const next = order[place + 1];
  if (length === 0 || !next) return { segments, length, height, settingTime };
  // Noticed when the next bay's first batch does not come.
  const noticed = powderOf(next.clock, next.slices[0]!.batch) + next.toPlacing;
  const timeLeft = oldest + least - noticed;
  // Each sets a part of it, after fetching.
  const people = timeLeft > DAM_START ? Math.ceil(length / DAM_PACE / (timeLeft - DAM_START) - 1e-9) : undefined;
  return { segments, length, height, settingTime, timeLeft, ...(people === undefined ? {} : { people }) };
}

/** The batch of a bay with which a mixer fails at the greatest cost, and what is left of the worst edge's time then. */
export function mixerFailure(
  graph: BayGraph,
  order: readonly PouredBay[],
  place: number,
  mixers: number,
  least: Minutes,
): MixerFailure {
  const here = order[place]!;
  const earlier = new Map(order.slice(0, place).map((one) => [one.bay.index, one]));
  const first = here.slices[0]!.batch;
  if (mixers < 2) return { worstBatch: first, reachesStopLine: false };
  let worstBatch = first;
  let margin = Number.POSITIVE_INFINITY;
  for (const { batch } of here.slices) {
    const slowed: PouredBay = {
      ...here,
      clock: { ...here.clock, slowedFrom: { batch, interval: (here.clock.interval * mixers) / (mixers - 1) } },
    };
    let age = frontAge(slowed) ?? 0;
    for (const index of graph.bordersOf[here.bay.index]!) {
      const border = graph.borders[index]!;
      const neighbour = earlier.get(otherBay(border, here.bay.index));
      if (neighbour) age = Math.max(age, edgeAge(border.stretches, neighbour, slowed)?.age ?? 0);
    }
    if (least - age >= margin) continue;
    margin = least - age;
    worstBatch = batch;
  }
  return { worstBatch, margin, reachesStopLine: margin >= 0 };
}

/** At the end of a bay: bags used by plan, and the count at which the floor is deeper than read. */
export function bagCheck(planned: number, bagsPerBatch: number, share: number | undefined): BagCheck {
  return { planned, stopAt: planned + Math.max(bagsPerBatch, Math.ceil((share ?? USUAL_CHECK_SHARE) * planned)) };
}

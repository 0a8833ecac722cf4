/** What a bay's sheets say in figures, worked out once for all of them and for packet.json. */
import type { Job } from "../../job/model.ts";
import type { Plan } from "../../layout/model.ts";
import type { Bay, FreshEdge, PourablePlan, Run } from "../../pour/model.ts";
import type { Minutes } from "../../units.ts";
import { type BayPlace, bayPlace, type FrontPlace, frontPlace } from "./bay-places.ts";

export interface PourSubject {
  readonly job: Job;
  readonly plan: Plan;
  readonly pour: PourablePlan;
}

export interface BayFigures {
  readonly bay: Bay;
  readonly place: BayPlace;
  /** Whole minutes, cut off: a start is never printed later than planned, a latest start never past the limit. */
  readonly starts: Minutes;
  readonly latest?: Minutes;
  readonly line: FrontPlace;
  /** Absent where the order ends before that count. */
  readonly stopAt?: number;
  /** Of the edges that it renews, the one with the least to spare. */
  readonly oldest?: FreshEdge;
  /** The run that begins with this bay after a stop. */
  readonly afterStop?: Run;
}

/** Whole minutes that have passed; what is all but a minute counts as one (a billionth of it is rounding). */
const passed = (minutes: Minutes): Minutes => Math.floor(minutes + 1e-9);

/** Every bay with its figures, in the order of pouring. */
export function bayFigures({ job, plan, pour }: PourSubject): BayFigures[] {
  const ordered = pour.batches.at(-1)?.cumulativeBags ?? 0;
  const begun = new Set<number>();
  return pour.bays.map((bay): BayFigures => {
    const place = bayPlace(plan, bay);
    const renewed = pour.edges.filter(({ later }) => later === bay.number);
    const [oldest] = [...renewed].sort((p, q) => p.margin - q.margin);
    const run = pour.runs.find(({ number }) => number === pour.batches[bay.firstBatch - 1]?.run);
    const isFirst = run !== undefined && !begun.has(run.number);
    if (run) begun.add(run.number);
    return {
      bay,
      place,
      starts: passed(bay.begins),
      ...(bay.latestBegin === undefined ? {} : { latest: passed(bay.latestBegin) }),
      line: frontPlace(plan, bay, place, bay.length, job.units.plan),
      ...(bay.bagCheck.stopAt > ordered ? {} : { stopAt: bay.bagCheck.stopAt }),
      ...(oldest ? { oldest } : {}),
      ...(isFirst && run.before.kind !== "start" ? { afterStop: run } : {}),
    };
  });
}

/** The bay in which a batch ends, and the line that it reaches there. */
export interface BatchFront {
  readonly bayNumber: number;
  readonly line: FrontPlace;
}

/** One for every batch, in order; undefined for a batch of which nothing goes into the floor: the floor is full before it. */
export function batchFronts({ job, plan, pour }: PourSubject, bays: readonly BayFigures[]): (BatchFront | undefined)[] {
  return pour.batches.map((batch) => {
    const last = batch.pours.at(-1);
    if (!last) return undefined;
    const figures = bays[last.bayNumber - 1];
    if (!figures)
      throw new Error(`batch ${batch.number} of ${job.id} is poured into bay ${last.bayNumber}, which is none`);
    const { bay, place } = figures;
    return { bayNumber: last.bayNumber, line: frontPlace(plan, bay, place, last.reaches, job.units.plan) };
  });
}

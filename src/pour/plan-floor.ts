/** Every section of every lift, one after the other, for a crew's pace: runs of batches, bays, and their order. */
import type { Litres, Minutes } from "../units.ts";
import { isWet } from "./bay-graph.ts";
import { cellMeasures } from "./cells.ts";
import type { MixingPace } from "./crew-pace.ts";
import type { PartedFloor } from "./floor.ts";
import type { CannotReason, RunGap } from "./model.ts";
import { type LeastLane, planSection, type SectionPlan } from "./plan-section.ts";
import { type PouredBay, powderOf, type RunClock } from "./slices.ts";

export interface PlannedRun {
  readonly lift: number;
  readonly clock: RunClock;
  readonly bags: number;
  readonly before: RunGap;
  readonly ends: Minutes;
  readonly sections: readonly PlannedSection[];
}

export interface PlannedSection {
  readonly index: number;
  readonly plan: Extract<SectionPlan, { kind: "planned" }>;
}

/** Ways of laying lanes that are tried in a section; fewer where only a remedy is tried. */
const TRIES = 36;
const TRIAL_TRIES = 12;

export type FloorPlan =
  | { readonly kind: "planned"; readonly runs: readonly PlannedRun[]; readonly ends: Minutes }
  | { readonly kind: "cannot"; readonly reasons: readonly CannotReason[]; readonly failed: readonly FailedSection[] };

export interface FailedSection {
  readonly index: number;
  readonly lift: number;
  readonly lane?: LeastLane;
}

/** Sections of one run, before anything is planned in them. */
export interface RunDraft {
  readonly lift: number;
  readonly sections: readonly number[];
  readonly litres: Litres;
  readonly bags: number;
  readonly floorPerBag: Litres;
  readonly before: RunGap;
}

/**
 * Plans every section. Where one cannot be poured the rest is tried all the same, as if it could, so that
 * every room that stands in the way is named; `trial` stops at the first.
 */
export function planFloor(parted: PartedFloor, pace: MixingPace, limit: Minutes, trial = false): FloorPlan {
  const { floor, portals, distances, order } = parted;
  const runs: PlannedRun[] = [];
  const failed: FailedSection[] = [];
  const reasons: CannotReason[] = [];
  let time: Minutes = 0;
  for (const draft of draftRuns(parted, pace)) {
    const gap = draft.before.kind === "start" ? 0 : draft.before.minutes;
    const clock: RunClock = {
      starts: time + gap,
      interval: pace.interval,
      floorPerBatch: pace.bagsPerBatch * draft.floorPerBag,
      batches: Math.max(1, Math.ceil(draft.bags / pace.bagsPerBatch)),
    };
    const planned: PlannedSection[] = [];
    let before: Litres = 0;
    let last: PouredBay | undefined;
    for (const index of draft.sections) {
      const section = parted.sections[draft.lift]![index]!;
      const place = order.indexOf(index);
      const open = portals.flatMap((portal, k) =>
        portal.section === index && (portal.other === undefined || order.indexOf(portal.other) > place)
          ? [{ portal, index: k }]
          : [],
      );
      const plan = planSection({
        job: floor.job,
        plan: floor.plan,
        section,
        pace,
        limit,
        portals: open,
        toExit: distances.ofPortal,
        fromStation: parted.fromStation,
        clock,
        before,
        comesFrom: last?.bay.centre,
        tries: trial ? TRIAL_TRIES : TRIES,
      });
      before += cellMeasures(section.cell).volume;
      if (plan.kind === "planned") {
        planned.push({ index, plan });
        last = plan.order.poured.at(-1);
        continue;
      }
      const { roomIndex } = section;
      failed.push({ index, lift: draft.lift, ...(plan.kind === "edge-late" ? { lane: plan.lane } : {}) });
      if (plan.kind === "no-order") reasons.push({ kind: "no-order", roomIndex });
      else {
        const { length, width, age } = plan.lane;
        reasons.push({ kind: "edge-late", roomIndex, laneLength: length, laneWidth: width, age, limit });
      }
      if (trial) return { kind: "cannot", reasons, failed };
    }
    time = powderOf(clock, clock.batches - 1) + (last?.toPlacing ?? pace.mixTime);
    runs.push({ lift: draft.lift, clock, bags: draft.bags, before: draft.before, ends: time, sections: planned });
  }
  return failed.length > 0 ? { kind: "cannot", reasons, failed } : { kind: "planned", runs, ends: time };
}

/**
 * Which sections are poured without a stop. A new lift waits as long as the data sheet says; a crew that
 * needs time to move to another room, or a rest, takes it between sections, where no edge is fresh.
 * Bags come whole: what a run needs is rounded up within the bags that are ordered.
 */
export function draftRuns({ floor, sections, order }: PartedFloor, pace: MixingPace): RunDraft[] {
  const { material, crew, pour } = floor.job;
  const drafts: { lift: number; sections: number[]; litres: Litres; before: RunGap }[] = [];
  const litresPerMinute = (pace.bagsPerBatch * material.yieldPerBag) / (pace.interval * (1 + pour.lossAllowance));
  let sinceRest: Minutes = 0;
  for (const [lift, list] of sections.entries()) {
    const wet = order.filter((index) => isWet(cellMeasures(list[index]!.cell)));
    let room: number | undefined;
    for (const [k, index] of wet.entries()) {
      const { roomIndex, cell } = list[index]!;
      const { volume } = cellMeasures(cell);
      const takes = volume / litresPerMinute;
      const restDue = crew.rest !== undefined && sinceRest > 0 && sinceRest + takes > crew.rest.after;
      const moves = crew.changeover !== undefined && crew.changeover > 0 && room !== undefined && room !== roomIndex;
      let before: RunGap | undefined;
      if (drafts.length === 0) before = { kind: "start" };
      else if (k === 0) before = { kind: "lift", minutes: material.waitBetweenLifts ?? 0 };
      else if (restDue) before = { kind: "rest", minutes: Math.max(crew.rest!.length, crew.changeover ?? 0) };
      else if (moves) before = { kind: "changeover", minutes: crew.changeover! };
      if (before) {
        drafts.push({ lift, sections: [], litres: 0, before });
        if (before.kind !== "changeover") sinceRest = 0;
      }
      const draft = drafts[drafts.length - 1]!;
      draft.sections.push(index);
      draft.litres += volume;
      sinceRest += takes;
      room = roomIndex;
    }
  }
  return withBags(drafts, floor.quantities.bags.toOrder, material.yieldPerBag, pour.lossAllowance);
}

type BaglessDraft = Omit<RunDraft, "bags" | "floorPerBag">;

function withBags(drafts: readonly BaglessDraft[], toOrder: number, yieldPerBag: Litres, loss: number): RunDraft[] {
  let needed = 0;
  let given = 0;
  return drafts.map((draft, k): RunDraft => {
    needed += (draft.litres * (1 + loss)) / yieldPerBag;
    const atLeast = Math.ceil(draft.litres / yieldPerBag - 1e-6);
    const bags =
      k === drafts.length - 1
        ? Math.max(toOrder - given, atLeast)
        : Math.max(Math.ceil(needed - 1e-6) - given, atLeast);
    given += bags;
    // Enough bags: each gives its yield less the loss. Fewer, for the runs before were rounded up: the loss is drawn on.
    const floorPerBag = Math.max(yieldPerBag / (1 + loss), draft.litres / Math.max(bags, 1));
    return { ...draft, bags, floorPerBag };
  });
}

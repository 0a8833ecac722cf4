/** Every section of every lift, one after the other, for a crew's pace: runs of batches, bays, and their order. */
import type { Litres, Minutes } from "../units.ts";
import { cellMeasures } from "./cells.ts";
import type { MixingPace } from "./crew-pace.ts";
import type { PartedFloor } from "./floor.ts";
import type { CannotReason, RunGap } from "./model.ts";
import { type LeastLane, planSection, type SectionPlan } from "./plan-section.ts";
import { draftRuns } from "./runs.ts";
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

export type FloorPlan =
  | { readonly kind: "planned"; readonly runs: readonly PlannedRun[]; readonly ends: Minutes }
  | { readonly kind: "cannot"; readonly reasons: readonly CannotReason[]; readonly failed: readonly FailedSection[] };

export interface FailedSection {
  readonly index: number;
  readonly lift: number;
  readonly lane?: LeastLane;
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
        trial,
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

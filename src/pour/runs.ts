/** Which sections are poured in one go, and with how many bags. */
import type { Crew } from "../job/library-model.ts";
import type { Litres, Minutes } from "../units.ts";
import { isWet } from "./bay-graph.ts";
import { cellMeasures } from "./cells.ts";
import type { MixingPace } from "./crew-pace.ts";
import type { PartedFloor } from "./floor.ts";
import type { RunGap } from "./model.ts";

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
 * Which sections are poured without a stop. A new lift waits as long as the data sheet says; a crew that
 * needs time to move to another room, or a rest, takes it between sections, where no edge is fresh.
 * Bags come whole: what a run needs is rounded up within the bags that are ordered. Where they do not
 * suffice for the stops, the crew goes on without them (`bagsForStops` says what they would cost).
 */
export function draftRuns(parted: PartedFloor, pace: MixingPace): RunDraft[] {
  const stopping = draftWith(parted, pace, parted.floor.job.crew);
  return bagsOver(parted, stopping) > 0 ? draftWith(parted, pace, {}) : stopping;
}

/** Bags beyond the order that rests and moves from room to room would take, each for a batch that is cut. */
export const bagsForStops = (parted: PartedFloor, pace: MixingPace): number =>
  bagsOver(parted, draftWith(parted, pace, parted.floor.job.crew));

const bagsOver = ({ floor }: PartedFloor, drafts: readonly RunDraft[]): number =>
  Math.max(0, drafts.reduce((sum, { bags }) => sum + bags, 0) - floor.quantities.bags.toOrder);

function draftWith(
  { floor, sections, order }: PartedFloor,
  pace: MixingPace,
  { rest, changeover = 0 }: Pick<Crew, "rest" | "changeover">,
): RunDraft[] {
  const { material, pour } = floor.job;
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
      const restDue = rest !== undefined && sinceRest > 0 && sinceRest + takes > rest.after;
      const moves = changeover > 0 && room !== undefined && room !== roomIndex;
      let before: RunGap | undefined;
      if (drafts.length === 0) before = { kind: "start" };
      else if (k === 0) before = { kind: "lift", minutes: material.waitBetweenLifts ?? 0 };
      else if (restDue) before = { kind: "rest", minutes: Math.max(rest.length, changeover) };
      else if (moves) before = { kind: "changeover", minutes: changeover };
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
  /** What a lower lift got beyond its need lies in the floor, and the next one needs so much less. */
  let surplus: Litres = 0;
  let ofLift: Litres = 0;
  return drafts.map((draft, k): RunDraft => {
    if (draft.before.kind === "lift") {
      surplus = Math.max(0, surplus + ofLift);
      ofLift = 0;
    }
    needed += (draft.litres * (1 + loss)) / yieldPerBag;
    const used = Math.min(surplus, draft.litres);
    const atLeast = Math.ceil((draft.litres - used) / yieldPerBag - 1e-6);
    const last = k === drafts.length - 1;
    const bags = Math.max(last ? toOrder - given : Math.ceil(needed - 1e-6) - given, atLeast);
    given += bags;
    surplus -= used;
    ofLift += (bags * yieldPerBag) / (1 + loss) - (draft.litres - used);
    // Enough bags: each gives its yield less the loss. Fewer, for those before were rounded up: the loss is drawn on.
    const floorPerBag = Math.max(yieldPerBag / (1 + loss), draft.litres / Math.max(bags, 1));
    return { ...draft, bags, floorPerBag };
  });
}

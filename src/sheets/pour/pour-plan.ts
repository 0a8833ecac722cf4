/** The pour plan for the office and the GC: whether this crew can pour this floor, with what, when, and what goes wrong. */
import { count, decimal, longDuration } from "../../format.ts";
import type { SheetContent } from "../model.ts";
import type { Block } from "../page/blocks.ts";
import { flowSheet } from "../page/flow-sheet.ts";
import { DESK, heading, list, paragraph, signal } from "../page/make-blocks.ts";
import { pageFrame, SMALL_PAPER } from "../page/paper.ts";
import { reasonTexts, remedyBlocks } from "./do-not-mix.ts";
import {
  bayBlocks,
  edgeBlocks,
  failureBlocks,
  type PlanSubject,
  rateBlocks,
  roleBlocks,
  stopBlocks,
} from "./plan-tables.ts";
import { damBlocks, dayBlocks, logisticsBlocks } from "./preparation.ts";

export function composePourPlan(subject: PlanSubject): SheetContent {
  const { job, plan, pour, words } = subject;
  const paper = SMALL_PAPER[job.paper];
  const width = pageFrame(paper, "portrait").widthMm;
  const { pourPlan } = words;
  const blocks: Block[] = [];
  if (pour.kind === "can-be-poured") {
    const last = pour.batches.at(-1)?.placed ?? 0;
    blocks.push(
      paragraph(
        pourPlan.verdictCan(
          words.bays(count(pour.bays.length)),
          words.batches(count(pour.batches.length)),
          longDuration(last),
        ),
        width,
        { ...DESK, weight: 700 },
      ),
    );
  } else {
    const cannot = { job, plan, pour, words };
    blocks.push(
      signal("notice", words.hold, pourPlan.verdictCannot, width, DESK),
      heading(words.doNotMix.why, width),
      list(reasonTexts(cannot), width, DESK),
      heading(words.doNotMix.would, width),
      ...remedyBlocks(cannot, width, DESK),
    );
  }
  blocks.push(...rateBlocks(subject, width), ...edgeBlocks(subject, width), ...roleBlocks(subject, width));
  if (pour.kind === "can-be-poured") {
    const can = { job, plan, pour, words };
    blocks.push(...bayBlocks(can, width), ...stopBlocks(can, width));
    blocks.push(paragraph(pourPlan.leftover(decimal(pour.leftoverBags, 1)), width, DESK));
    blocks.push(...failureBlocks(can, width));
  }
  blocks.push(
    ...dayBlocks(subject, width),
    ...damBlocks(subject, width),
    ...logisticsBlocks(subject, width),
    paragraph(words.planningAid, width, DESK),
  );
  return flowSheet("pour-plan", words, ["gc"], paper, blocks);
}

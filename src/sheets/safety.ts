/** Safety: what can hurt someone on this pour, the worst first. */
import { bagWeight } from "../format.ts";
import type { Job } from "../job/model.ts";
import type { SheetContent } from "./model.ts";
import type { Block, Type } from "./page/blocks.ts";
import { flowSheet } from "./page/flow-sheet.ts";
import { blanks, heading, paragraph, READING, signal } from "./page/make-blocks.ts";
import { pageFrame, SMALL_PAPER } from "./page/paper.ts";
import type { Words } from "./words/en.ts";

/** Words of the hazards in the order of harm; signal words by ANSI Z535: DANGER will, WARNING could cause death or serious injury. */
export function hazardBlocks(job: Job, words: Words, width: number, set: Type = READING): Block[] {
  const { safety, signal: word } = words;
  const bag = bagWeight(job.material.bag, job.units.plan);
  return [
    signal("danger", word.danger, safety.carbonMonoxide, width, set),
    ...(job.floor.support === "suspended" ? [signal("warning", word.warning, safety.structure, width, set)] : []),
    signal("warning", word.warning, safety.silica, width, set),
    signal("warning", word.warning, safety.caustic, width, set),
    signal("warning", word.warning, safety.electricity, width, set),
    signal("warning", word.warning, safety.oldFloors, width, set),
    signal("caution", word.caution, safety.lifting(words.both(bag.large.text, bag.small.text)), width, set),
    signal("caution", word.caution, safety.slips, width, set),
    signal("notice", word.notice, safety.washout, width, set),
    signal("notice", word.notice, safety.wrongPin, width, set),
  ];
}

export function composeSafety(job: Job, words: Words): SheetContent {
  const paper = SMALL_PAPER[job.paper];
  const width = pageFrame(paper, "portrait").widthMm;
  const blocks: Block[] = [
    paragraph(words.safety.intro, width, READING),
    ...hazardBlocks(job, words, width),
    heading(words.safety.emergency, width),
    blanks(words.safety.emergencyRows, 105, READING, 11),
    paragraph(words.planningAid, width, READING),
  ];
  return flowSheet("safety", words, ["crew", "gc"], paper, blocks);
}

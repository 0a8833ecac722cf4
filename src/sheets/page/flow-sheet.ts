/** A sheet whose blocks flow over upright pages of one size. */
import type { Orientation, PaperSize, SetId, SheetContent } from "../model.ts";
import type { Words } from "../words/en.ts";
import type { Block } from "./blocks.ts";
import { flowOntoPages } from "./page-flow.ts";
import { pageFrame } from "./paper.ts";

export function flowSheet(
  id: keyof Words["titles"],
  words: Words,
  sets: readonly SetId[],
  paper: PaperSize,
  blocks: readonly Block[],
  orientation: Orientation = "portrait",
): SheetContent {
  const pages = flowOntoPages(blocks, pageFrame(paper, orientation).heightMm);
  return {
    id,
    title: words.titles[id],
    sets,
    pages: pages.map((content) => ({ paper, orientation, blocks: content })),
  };
}

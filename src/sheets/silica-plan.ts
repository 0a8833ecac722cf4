/** The safety and silica plan: filled in before work starts. */
import type { Findings, SheetContent } from "./model.ts";
import type { Block } from "./page/blocks.ts";
import { flowSheet } from "./page/flow-sheet.ts";
import { BLANK_CELL, blanks, cell, DESK, heading, paragraph, table } from "./page/make-blocks.ts";
import { pageFrame, SMALL_PAPER } from "./page/paper.ts";
import { hazardBlocks } from "./safety.ts";
import { DESK_MM } from "./type/type-sizes.ts";
import type { Words } from "./words/en.ts";

export function composeSilicaPlan(findings: Findings, words: Words): SheetContent {
  const { job } = findings;
  const { silica } = words;
  const width = pageFrame(SMALL_PAPER[job.paper], "portrait").widthMm;
  const blocks: Block[] = [
    paragraph(silica.intro, width, DESK),
    table(
      silica.caption,
      [
        { heading: silica.columns.task, widthMm: width * 0.22, namesRow: true },
        { heading: silica.columns.control, widthMm: width * 0.52 },
        { heading: silica.columns.respirator, widthMm: width * 0.26 },
      ],
      silica.rows.map(([task, control]) => ({
        cells: [cell(task ?? "", DESK_MM), cell(control ?? "", DESK_MM), BLANK_CELL],
      })),
      DESK_MM,
    ),
    heading(silica.competent, width),
    blanks(silica.competentRows, 95, DESK, 11),
    heading(silica.other, width),
    ...hazardBlocks(job, words, width, DESK),
  ];
  return flowSheet("silica-plan", words, ["gc"], SMALL_PAPER[job.paper], blocks);
}

/** The batch log: what was mixed when, written with a pen. Every result starts blank. */
import { count } from "../format.ts";
import type { Job } from "../job/model.ts";
import type { MixingSchedule } from "../pour/model.ts";
import type { SheetContent } from "./model.ts";
import type { Block } from "./page/blocks.ts";
import { flowSheet } from "./page/flow-sheet.ts";
import { BLANK_CELL, blanks, cell, DESK, heading, paragraph, table } from "./page/make-blocks.ts";
import { pageFrame, SMALL_PAPER } from "./page/paper.ts";
import { DESK_MM, KNEELING_MM } from "./type/type-sizes.ts";
import type { Words } from "./words/en.ts";

/** Lines for batches beyond the planned ones. */
const SPARE_LINES = 4;

export function composeBatchLog(job: Job, schedule: MixingSchedule, words: Words): SheetContent {
  const paper = SMALL_PAPER[job.paper];
  const width = pageFrame(paper, "landscape").widthMm;
  const { columns, columnsEnvironment } = words.log;
  const blank = (count: number) => Array.from({ length: count }, () => BLANK_CELL);
  const environment = words.log.environmentRows.map((row) => ({ cells: [cell(row, DESK_MM), ...blank(3)] }));
  const batches = [
    ...schedule.batches.map((batch) => ({ cells: [cell(count(batch.number), KNEELING_MM, 700), ...blank(7)] })),
    ...Array.from({ length: SPARE_LINES }, () => ({ cells: blank(8) })),
  ];
  const share = (part: number): number => width * part;
  const blocks: Block[] = [
    paragraph(words.log.paper, width, DESK),
    heading(words.log.environment, width),
    table(
      words.log.captionEnvironment,
      [
        { heading: columnsEnvironment.what, widthMm: share(0.4), namesRow: true },
        { heading: columnsEnvironment.before, widthMm: share(0.2) },
        { heading: columnsEnvironment.during, widthMm: share(0.2) },
        { heading: columnsEnvironment.after, widthMm: share(0.2) },
      ],
      environment,
      DESK_MM,
    ),
    heading(words.titles["batch-log"], width),
    table(
      words.log.captionBatches,
      [
        { heading: columns.batch, widthMm: share(0.08), align: "end", namesRow: true },
        { heading: columns.bags, widthMm: share(0.09) },
        { heading: columns.water, widthMm: share(0.12) },
        { heading: columns.waterAt, widthMm: share(0.17) },
        { heading: columns.poured, widthMm: share(0.14) },
        { heading: columns.spread, widthMm: share(0.14) },
        { heading: columns.temperature, widthMm: share(0.14) },
        { heading: columns.initials, widthMm: share(0.12) },
      ],
      batches,
      DESK_MM,
    ),
    blanks(words.log.signed, 60, DESK),
  ];
  return flowSheet("batch-log", words, ["crew", "closeout"], paper, blocks, "landscape");
}

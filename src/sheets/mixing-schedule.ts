/** The pour clock: water, bags and minutes, to be read standing over the sheet. */
import { batchWater, clockTime, count, duration, elapsed, smallArea } from "../format.ts";
import type { Job } from "../job/model.ts";
import type { Batch, MixingSchedule } from "../pour/model.ts";
import type { SheetContent } from "./model.ts";
import type { Block, TableBlock } from "./page/blocks.ts";
import { flowSheet } from "./page/flow-sheet.ts";
import {
  blanks,
  CELL_PADDING_MM,
  type CellText,
  cell,
  type FigureText,
  figures,
  paragraph,
  READING,
  signal,
  table,
} from "./page/make-blocks.ts";
import { LARGE_PAPER, pageFrame, SMALL_PAPER } from "./page/paper.ts";
import { HEADING_LEADING, KEY_VALUE_MM, KNEELING_MM, READING_MM } from "./type/type-sizes.ts";
import type { Words } from "./words/en.ts";

/** More batches than this go on large paper, which holds two columns of them. */
const MANY_BATCHES = 40;

export function composeMixingSchedule(job: Job, schedule: MixingSchedule, words: Words): SheetContent {
  const { batches } = schedule;
  const large = batches.length > MANY_BATCHES;
  const paper = large ? LARGE_PAPER[job.paper] : SMALL_PAPER[job.paper];
  const width = pageFrame(paper, "portrait").widthMm;
  const plan = job.units.plan;
  const perBatch = usualBags(batches);
  const usual = batches.find(({ bags }) => bags === perBatch);
  const last = batches.at(-1);
  const waterPerBag = batchWater(job.material.waterPerBag, plan);
  const values: FigureText[] = [];
  if (usual) {
    const water = batchWater(usual.water, plan);
    values.push(
      { label: words.clock.water, value: water.large.text, second: water.small.text },
      { label: words.clock.waterPerBag, value: waterPerBag.large.text, second: waterPerBag.small.text },
      { label: words.clock.perBatch, value: count(perBatch) },
      { label: words.clock.every, value: duration(schedule.interval).text },
      { label: words.clock.mix, value: duration(job.crew.mixTime).text },
      { label: words.clock.within, value: duration(job.material.flowTime).text, second: words.clock.of },
    );
  }
  const blocks: Block[] = [figures(values, width, large ? 3 : 2, KEY_VALUE_MM, READING_MM)];
  if (schedule.tooSlow) {
    const [covers, lane] = [smallArea(schedule.areaInFlowTime, plan), smallArea(schedule.laneArea, plan)];
    blocks.push(
      signal(
        "notice",
        words.signal.notice,
        words.clock.tooSlow(
          words.both(covers.large.text, covers.small.text),
          words.both(lane.large.text, lane.small.text),
        ),
        width,
      ),
    );
  }
  if (last) {
    blocks.push(
      paragraph(
        words.clock.total(
          words.batches(count(batches.length)),
          words.bags(count(last.cumulativeBags)),
          elapsed(last.poured),
        ),
        width,
        READING,
      ),
    );
    if (last.bags !== perBatch) {
      const water = batchWater(last.water, plan);
      blocks.push(
        paragraph(
          words.clock.lastBatch(
            count(last.number),
            words.bags(count(last.bags)),
            words.both(water.large.text, water.small.text),
          ),
          width,
          { ...READING, weight: 700 },
        ),
      );
    }
  }
  blocks.push(paragraph(`${words.clock.wetEdge} ${words.clock.measured}`, width, READING));
  if (job.pour.start === undefined) blocks.push(blanks([words.clock.noStart], width - 50, READING, 11));
  else blocks.push(paragraph(words.clock.starts(job.pour.start), width, READING));
  if (large) {
    const pageMm = pageFrame(paper, "portrait").heightMm;
    const used = blocks.reduce((sum, block) => sum + block.heightMm, 0);
    blocks.push(...batchTables(batches, words, width, pageMm - used, pageMm));
  } else if (batches.length > 0) blocks.push(batchTable(job, batches, words, width));
  return flowSheet("mixing-schedule", words, ["crew"], paper, blocks);
}

/** The size of most batches. */
function usualBags(batches: readonly Batch[]): number {
  const counts = new Map<number, number>();
  for (const { bags } of batches) counts.set(bags, (counts.get(bags) ?? 0) + 1);
  return [...counts].sort((p, q) => q[1] - p[1] || q[0] - p[0])[0]?.[0] ?? 0;
}

const BATCH_ROW_MM = Math.round((KEY_VALUE_MM * HEADING_LEADING + 2 * CELL_PADDING_MM) * 100) / 100;

/** Every batch with the time at which its powder meets water, and the bags so far. */
function batchTable(job: Job, batches: readonly Batch[], words: Words, width: number): TableBlock {
  const { columns } = words.clock;
  const { start } = job.pour;
  const clock = start === undefined ? undefined : (minutes: number): string => clockTime(start, minutes).text;
  const columnsOfTable = [
    { heading: columns.batch, widthMm: width * 0.2, align: "end" as const, namesRow: true },
    { heading: columns.at, widthMm: width * 0.28, align: "end" as const },
    ...(clock ? [{ heading: columns.clock, widthMm: width * 0.3, align: "end" as const }] : []),
    { heading: columns.bags, widthMm: width * 0.22, align: "end" as const },
  ];
  const rows = batches.map((batch) => ({
    cells: [
      cell(count(batch.number), KEY_VALUE_MM, 700),
      cell(elapsed(batch.powderMeetsWater), KEY_VALUE_MM),
      ...(clock ? [cell(clock(batch.powderMeetsWater), KEY_VALUE_MM)] : []),
      cell(count(batch.cumulativeBags), KEY_VALUE_MM),
    ],
  }));
  return table(words.clock.caption, columnsOfTable, rows, KNEELING_MM);
}

/** The same for many batches: down the left half of a page, then down the right; a table a page. */
function batchTables(batches: readonly Batch[], words: Words, width: number, firstMm: number, pageMm: number): Block[] {
  const { columns } = words.clock;
  const half = [
    { heading: columns.batch, widthMm: width * 0.15, align: "end" as const, namesRow: true },
    { heading: columns.at, widthMm: width * 0.19, align: "end" as const },
    { heading: columns.bags, widthMm: width * 0.16, align: "end" as const },
  ];
  const cells = (batch: Batch | undefined): CellText[] =>
    batch
      ? [
          cell(count(batch.number), KEY_VALUE_MM, 700),
          cell(elapsed(batch.powderMeetsWater), KEY_VALUE_MM),
          cell(count(batch.cumulativeBags), KEY_VALUE_MM),
        ]
      : [cell("", KEY_VALUE_MM), cell("", KEY_VALUE_MM), cell("", KEY_VALUE_MM)];
  const headMm = table(words.clock.caption, [...half, ...half], [], KNEELING_MM).heightMm;
  const tables: Block[] = [];
  for (let first = 0; first < batches.length; ) {
    const room = (tables.length === 0 ? firstMm : pageMm) - headMm;
    const fits = Math.max(2, Math.floor(room / BATCH_ROW_MM));
    const rows = Math.min(fits, Math.ceil((batches.length - first) / 2));
    tables.push(
      table(
        words.clock.caption,
        [...half, ...half],
        Array.from({ length: rows }, (_, k) => ({
          cells: [...cells(batches[first + k]), ...cells(batches[first + rows + k])],
        })),
        KNEELING_MM,
      ),
    );
    first += 2 * rows;
  }
  return tables;
}

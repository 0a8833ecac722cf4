/** The pour clock: water, bags and minutes, to be read standing over the sheet. */
import { batchWater, clockTime, count, duration, elapsed, smallArea } from "../format.ts";
import type { Job } from "../job/model.ts";
import type { Batch, MixingSchedule } from "../pour/model.ts";
import type { SheetContent } from "./model.ts";
import type { Block } from "./page/blocks.ts";
import { flowSheet } from "./page/flow-sheet.ts";
import { blanks, cell, type FigureText, figures, paragraph, READING, signal, table } from "./page/make-blocks.ts";
import { LARGE_PAPER, pageFrame, SMALL_PAPER } from "./page/paper.ts";
import { KEY_VALUE_MM, KNEELING_MM, READING_MM } from "./type/type-sizes.ts";
import type { Words } from "./words/en.ts";

/** More batches than this go on large paper, which holds three columns of them. */
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
  blocks.push(...batchTables(job, batches, words, width));
  return flowSheet("mixing-schedule", words, ["crew"], paper, blocks);
}

/** The size of most batches. */
function usualBags(batches: readonly Batch[]): number {
  const counts = new Map<number, number>();
  for (const { bags } of batches) counts.set(bags, (counts.get(bags) ?? 0) + 1);
  return [...counts].sort((p, q) => q[1] - p[1] || q[0] - p[0])[0]?.[0] ?? 0;
}

const BATCH_ROW_MM = KEY_VALUE_MM * 1.26 + 1;

/** Every batch with the time at which its powder meets water, and the bags so far. */
function batchTables(job: Job, batches: readonly Batch[], words: Words, width: number): Block[] {
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
  return rows.length === 0 ? [] : [table(words.clock.caption, columnsOfTable, rows, KNEELING_MM, BATCH_ROW_MM)];
}

/** The mixer's log, on plain paper: what was mixed when, written with a pen. Every result starts blank. */
import { batchWater, count, elapsed, fineHeight } from "../format.ts";
import type { Batch } from "../pour/model.ts";
import type { ClockSubject } from "./mixing-schedule.ts";
import type { SheetContent } from "./model.ts";
import type { Block } from "./page/blocks.ts";
import { flowSheet } from "./page/flow-sheet.ts";
import { BLANK_CELL, blanks, type CellText, cell, DESK, heading, list, paragraph, table } from "./page/make-blocks.ts";
import { pageFrame, SMALL_PAPER } from "./page/paper.ts";
import { batchFronts, bayFigures } from "./pour/bay-figures.ts";
import { meterText } from "./pour/plan-tables.ts";
import { lineText, rangeText } from "./pour/pour-text.ts";
import { DESK_MM, KNEELING_MM } from "./type/type-sizes.ts";
import type { Words } from "./words/en.ts";

/** Lines for batches beyond the planned ones. */
const SPARE_LINES = 4;

export function composeBatchLog(subject: ClockSubject): SheetContent {
  const { job, pour, words } = subject;
  const paper = SMALL_PAPER[job.paper];
  const width = pageFrame(paper, "landscape").widthMm;
  const { columns, columnsEnvironment } = words.log;
  const blank = (count: number) => Array.from({ length: count }, () => BLANK_CELL);
  const environment = words.log.environmentRows.map((row) => ({ cells: [cell(row, DESK_MM), ...blank(3)] }));
  const share = (part: number): number => Math.floor(width * part * 100) / 100;
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
    list([...waterTexts(subject), ...ringTexts(subject)], width, DESK),
    // Before the batches: behind them it would often stand on a page of its own.
    blanks(words.log.signed, 60, DESK),
    table(
      words.log.captionBatches,
      [
        { heading: columns.batch, widthMm: share(0.075), align: "end", namesRow: true },
        { heading: columns.line, widthMm: share(0.2) },
        { heading: columns.at, widthMm: share(0.075), align: "end" },
        { heading: columns.bags, widthMm: share(0.07), align: "end" },
        { heading: columns.powder, widthMm: share(0.12) },
        { heading: columns.lot, widthMm: share(0.105) },
        { heading: pour.pace.flowMeter === undefined ? columns.water : columns.flowMeter, widthMm: share(0.09) },
        { heading: columns.temperature, widthMm: share(0.08) },
        { heading: ringHeading(subject), widthMm: share(0.105) },
        { heading: columns.initials, widthMm: share(0.08) },
      ],
      [...batchRows(subject), ...Array.from({ length: SPARE_LINES }, () => ({ cells: blank(10) }))],
      DESK_MM,
    ),
  ];
  return flowSheet("batch-log", words, ["crew", "closeout"], paper, blocks, "landscape");
}

function batchRows(subject: ClockSubject): { cells: CellText[] }[] {
  const { job, plan, pour, words } = subject;
  const bays = bayFigures(subject);
  const fronts = batchFronts(subject, bays);
  const ringed = pour.goNoGo.flowRing?.batches;
  return pour.batches.map((batch, k) => {
    const front = fronts[k];
    const figures = front && bays[front.bayNumber - 1];
    const line = figures && lineText(job, plan, figures.bay, front.line, words);
    return {
      cells: [
        cell(count(batch.number), KNEELING_MM, 700),
        cell(
          line && front
            ? words.log.inBay(
                words.bay(count(front.bayNumber)),
                line.large === line.small ? line.from : words.both(line.large, line.small),
              )
            : words.clock.none,
          DESK_MM,
        ),
        cell(elapsed(batch.powderMeetsWater), KNEELING_MM),
        cell(count(batch.bags), KNEELING_MM),
        BLANK_CELL,
        BLANK_CELL,
        BLANK_CELL,
        BLANK_CELL,
        ringed === undefined || ringed.includes(batch.number) ? BLANK_CELL : cell(words.clock.none, KNEELING_MM),
        BLANK_CELL,
      ],
    };
  });
}

/** The water that is wanted: one line for every stretch of batches of one size; what the flow meter is set to, where a pump doses it. */
function waterTexts({ job, pour, words }: ClockSubject): string[] {
  if (pour.pace.flowMeter !== undefined) return [words.log.meterWanted(meterText({ job, words }, pour.pace.flowMeter))];
  const stretches: Batch[][] = [];
  for (const batch of pour.batches) {
    const last = stretches.at(-1);
    if (last?.[0]?.bags === batch.bags) last.push(batch);
    else stretches.push([batch]);
  }
  return stretches.map((batches) => {
    const [first, last] = [batches[0] as Batch, batches.at(-1) as Batch];
    const water = batchWater(first.water, job.units.plan);
    return words.log.waterWanted(
      rangeText(first.number, last.number, words),
      words.bags(count(first.bags)),
      words.both(water.large.text, water.small.text),
    );
  });
}

/** The flow ring: when, what is accepted, and what to do when a batch is out. */
function ringTexts({ job, words }: ClockSubject): string[] {
  const { log } = words;
  const ring = job.material.flowRing;
  if (!ring) return [log.howToUnknown, log.acceptedUnknown, log.outOfSpread];
  return [log.howTo(count(ring.everyBatches)), log.accepted(spreadText(job, words)), log.outOfSpread];
}

/** The head of the ring's column, with the accepted spread where it is known: it stands over every page. */
function ringHeading({ job: { material, units }, words }: ClockSubject): string {
  const { flowRing } = material;
  if (!flowRing) return words.log.columns.spread;
  const [least, greatest] = [fineHeight(flowRing.least, units.height), fineHeight(flowRing.greatest, units.height)];
  return `${words.log.columns.spread}, ${least.large.number}–${greatest.large.text}`;
}

/** The accepted spread in both units, such as `130.0 mm to 150.0 mm (5.12 in to 5.91 in)`. */
export function spreadText({ material: { flowRing }, units }: ClockSubject["job"], words: Words): string {
  if (!flowRing) throw new Error("the material's data sheet was not read for its flow ring");
  const [least, greatest] = [fineHeight(flowRing.least, units.height), fineHeight(flowRing.greatest, units.height)];
  return words.both(
    words.cards.range(least.large.text, greatest.large.text),
    words.cards.range(least.small.text, greatest.small.text),
  );
}

/** The pour clock: this bay next, so many batches, so much water, at this line by this time; read standing over the sheet. */
import {
  batchWater,
  count,
  duration,
  elapsed,
  height,
  longDuration,
  meteredWater,
  minutesAndSeconds,
  percent,
  planLength,
} from "../format.ts";
import type { Batch, PourPlan } from "../pour/model.ts";
import { USUAL_CHECK_SHARE } from "../pour/stop-lines.ts";
import type { BagStop } from "../record/model.ts";
import { share } from "../units.ts";
import type { SheetContent } from "./model.ts";
import type { Block, TableBlock } from "./page/blocks.ts";
import { down, needsOf, widthsWithoutBreak } from "./page/column-widths.ts";
import { flowSheet } from "./page/flow-sheet.ts";
import {
  blanks,
  CELL_PADDING_MM,
  type CellText,
  cell,
  type FigureText,
  figures,
  heading,
  paragraph,
  READING,
  table,
} from "./page/make-blocks.ts";
import { LARGE_PAPER, pageFrame } from "./page/paper.ts";
import { type BatchFront, type BayFigures, batchFronts, bayFigures, type PourSubject } from "./pour/bay-figures.ts";
import { composeDoNotMix } from "./pour/do-not-mix.ts";
import { ageText, leftText, lineText, rangeText, startText } from "./pour/pour-text.ts";
import { HEADING_LEADING, KEY_VALUE_MM, KNEELING_MM, READING_MM } from "./type/type-sizes.ts";
import type { Words } from "./words/en.ts";

export interface ClockSubject extends PourSubject {
  readonly words: Words;
}

interface StoppedSubject extends ClockSubject {
  /** Nobody mixes past this many bags without written approval. */
  readonly stop: BagStop;
}

/** The clock of a floor that can be poured; of one that cannot, why not. */
export const composePourClock = (subject: Omit<StoppedSubject, "pour">, pour: PourPlan): SheetContent =>
  pour.kind === "can-be-poured" ? composeMixingSchedule({ ...subject, pour }) : composeDoNotMix({ ...subject, pour });

function composeMixingSchedule(subject: StoppedSubject): SheetContent {
  const { job, words } = subject;
  const paper = LARGE_PAPER[job.paper];
  const { widthMm: width, heightMm } = pageFrame(paper, "landscape");
  const bays = bayFigures(subject);
  const first: Block[] = [
    ...headBlocks(subject, width),
    heading(words.clock.byBay, width),
    bayTable(subject, bays, width),
    paragraph(words.clock.counts(percent(job.pour.bagCheckShare ?? share(USUAL_CHECK_SHARE), 0).text), width, READING),
    heading(words.clock.stopTitle, width),
    stopTable(subject, bays, width),
  ];
  const content = flowSheet("mixing-schedule", words, ["crew"], paper, first, "landscape");
  const rest = batchTables(subject, bays, width, heightMm).flatMap(
    (blocks) => flowSheet("mixing-schedule", words, ["crew"], paper, blocks, "landscape").pages,
  );
  return { ...content, pages: [...content.pages, ...rest] };
}

/** The size of most batches. */
export function usualBags(batches: readonly Batch[]): number {
  const counts = new Map<number, number>();
  for (const { bags } of batches) counts.set(bags, (counts.get(bags) ?? 0) + 1);
  return [...counts].sort((p, q) => q[1] - p[1] || q[0] - p[0])[0]?.[0] ?? 0;
}

/** What holds for every batch, and how long it all takes. */
function headBlocks({ job, pour, words, stop }: StoppedSubject, width: number): Block[] {
  const { batches } = pour;
  const plan = job.units.plan;
  const perBatch = usualBags(batches);
  const usual = batches.find(({ bags }) => bags === perBatch);
  const perBag = batchWater(job.material.waterPerBag, plan);
  const values: FigureText[] = [];
  const { flowMeter } = pour.pace;
  if (flowMeter !== undefined) {
    const metered = meteredWater(flowMeter, plan);
    values.push({
      label: words.clock.flowMeter(metered.large.unit),
      value: metered.large.number,
      second: metered.small.text,
    });
  } else if (usual) {
    const water = batchWater(usual.water, plan);
    values.push({ label: words.clock.water, value: water.large.text, second: water.small.text });
  }
  values.push(
    { label: words.clock.waterPerBag, value: perBag.large.text, second: perBag.small.text },
    { label: words.clock.perBatch, value: count(perBatch) },
    { label: words.clock.every, value: minutesAndSeconds(pour.interval), second: words.clock.minutesSeconds },
    { label: words.clock.mix, value: duration(job.crew.mixTime).text },
  );
  if (pour.edgeLimit.limit !== undefined) {
    values.push({ label: words.clock.within, value: leftText(pour.edgeLimit.limit), second: words.clock.of });
  }
  values.push({ label: words.record.stop.figure, value: count(stop.bags) });
  const blocks: Block[] = [
    figures(values, width, values.length, KEY_VALUE_MM, READING_MM),
    paragraph(words.record.stop.cover(words.bags(count(stop.bags))), width, { ...READING, weight: 700 }),
  ];
  const last = batches.at(-1);
  const said = [words.clock.measured];
  if (last) {
    said.unshift(
      words.clock.total(
        words.batches(count(batches.length)),
        words.bags(count(last.cumulativeBags)),
        elapsed(last.poured),
      ),
    );
  }
  for (const small of flowMeter === undefined ? batches.filter(({ bags }) => bags !== perBatch) : []) {
    const water = batchWater(small.water, plan);
    said.push(
      words.clock.lastBatch(
        count(small.number),
        words.bags(count(small.bags)),
        words.both(water.large.text, water.small.text),
      ),
    );
  }
  if (job.pour.start !== undefined) said.unshift(words.clock.starts(job.pour.start));
  blocks.push(paragraph(said.join(" "), width, READING));
  if (job.pour.start === undefined) blocks.push(blanks([words.clock.noStart], width / 2, READING, 11));
  return blocks;
}

const stacked = (value: string, below: string): CellText => ({
  runs: [
    { text: value, sizeMm: KEY_VALUE_MM, weight: 700 },
    ...(below === "" ? [] : [{ text: below, sizeMm: READING_MM }]),
  ],
});

/** Bay after bay: when it starts, its batches, the bags when it is full and when to stop, the line to reach. */
function bayTable(subject: ClockSubject, bays: readonly BayFigures[], width: number): TableBlock {
  const { job, plan, pour, words } = subject;
  const { bayColumns, hoursMinutes, none } = words.clock;
  const lifts = new Set(pour.bays.map(({ lift }) => lift)).size;
  const fixed = job.pour.start !== undefined;
  const rows = bays.map((figures) => {
    const { bay, starts, latest, line, stopAt } = figures;
    const text = lineText(job, plan, bay, line, words);
    const below = [plan.floors[bay.roomIndex]?.name ?? ""];
    if (lifts > 1) below.push(words.bayMap.lift(count(bay.lift + 1)));
    below.push(...stopBefore(figures, words));
    return {
      cells: [
        stacked(count(bay.number), below.join(". ")),
        stacked(startText(job, starts), fixed ? hoursMinutes(elapsed(starts)) : ""),
        latest === undefined
          ? cell(none, KEY_VALUE_MM)
          : stacked(startText(job, latest), fixed ? hoursMinutes(elapsed(latest)) : ""),
        stacked(
          rangeText(bay.firstBatch, bay.lastBatch, words),
          words.batches(count(bay.lastBatch - bay.firstBatch + 1)),
        ),
        cell(count(bay.bagCheck.planned), KEY_VALUE_MM, 700),
        cell(stopAt === undefined ? none : count(stopAt), KEY_VALUE_MM, 700),
        cell("", READING_MM),
        stacked(text.large, text.from),
      ],
    };
  });
  const columns = [
    { heading: bayColumns.bay, share: 0.15, namesRow: true },
    { heading: fixed ? bayColumns.start : bayColumns.startElapsed, share: 0.118, align: "end" },
    { heading: bayColumns.latest, share: 0.118, align: "end" },
    { heading: bayColumns.batches, share: 0.16, align: "end" },
    { heading: bayColumns.bags, share: 0.105, align: "end" },
    { heading: bayColumns.stopAt, share: 0.105, align: "end" },
    { heading: "", share: 0.025 },
    { heading: bayColumns.line, share: 0.219 },
  ] as const;
  const shares = columns.map(({ share }) => share);
  const needs = needsOf(
    columns,
    rows.map(({ cells }) => cells),
    READING_MM,
  );
  // Where not all fit, the longest break over two lines.
  const widths = widthsWithoutBreak(shares, needs, width) ?? shares.map((one) => one * width);
  return table(
    words.clock.captionBays,
    columns.map((column, k) => ({ ...column, widthMm: down(widths[k] as number) })),
    rows,
    READING_MM,
  );
}

/** The stop before a bay with which a run begins. */
function stopBefore({ afterStop }: BayFigures, words: Words): string[] {
  if (!afterStop || afterStop.before.kind === "start") return [];
  const { kind, minutes } = afterStop.before;
  const said = words.clock[kind](kind === "lift" ? longDuration(minutes) : duration(minutes).text);
  return afterStop.flushBefore ? [words.listOf([said, words.clock.flush])] : [said];
}

/** Every bay's edges, and the dam if mixing stops after it. */
function stopTable({ job, pour, words }: ClockSubject, bays: readonly BayFigures[], width: number): TableBlock {
  const { clock } = words;
  const limit = pour.edgeLimit.limit;
  const rows = bays.map(({ bay, oldest }) => {
    const edge: string[] = [];
    if (limit !== undefined) {
      edge.push(
        oldest ? clock.edge(ageText(oldest.age), leftText(limit), leftText(Math.max(0, oldest.margin))) : clock.noEdge,
      );
      if (bay.frontAge !== undefined) edge.push(clock.front(ageText(bay.frontAge), leftText(limit)));
    }
    return {
      cells: [
        cell(words.bay(count(bay.number)), READING_MM, 700),
        { runs: edge.map((text) => ({ text, sizeMm: READING_MM })) },
        { runs: damTexts(job, bay, words).map((text) => ({ text, sizeMm: READING_MM })) },
      ],
    };
  });
  return table(
    clock.captionStops,
    [
      { heading: clock.stopColumns.bay, widthMm: Math.floor(width * 0.1), namesRow: true },
      { heading: clock.stopColumns.edge, widthMm: Math.floor(width * 0.4) },
      { heading: clock.stopColumns.dam, widthMm: Math.floor(width * 0.5) },
    ],
    rows,
    READING_MM,
  );
}

/** Where the dam goes if mixing stops after a bay, and who sets it in the time that is left. */
export function damTexts(
  job: ClockSubject["job"],
  { stop }: BayFigures["bay"],
  { clock, both, people }: Words,
): string[] {
  if (stop.length === 0) return [clock.stopNothing];
  const length = planLength(stop.length, job.units.plan);
  const high = height(stop.height, job.units.height);
  const said = [clock.stopDam(both(length.large.text, length.small.text), both(high.large.text, high.small.text))];
  if (stop.timeLeft !== undefined) {
    const [one, left] = [ageText(stop.settingTime), leftText(Math.max(0, stop.timeLeft))];
    const enough = stop.people !== undefined && stop.people <= job.crew.people;
    said.push(enough ? clock.stopPeople(one, left, people(count(stop.people as number))) : clock.stopReady(one, left));
  }
  return said;
}

const BATCH_ROW_MM = Math.round((KEY_VALUE_MM * HEADING_LEADING + 2 * CELL_PADDING_MM) * 100) / 100;

/** Batches down the left half of a page, then down the right, or in one list: the blocks of each page. */
function batchTables(subject: ClockSubject, bays: readonly BayFigures[], width: number, pageMm: number): Block[][] {
  const { job, plan, pour, words } = subject;
  const { columns, none } = words.clock;
  const fronts = batchFronts(subject, bays);
  // A unit that is always the same stands in the heading, once: with it in every row the row would break.
  const lineInMetres = job.units.plan === "m";
  const half = [
    { heading: columns.batch, share: 0.07, align: "end", namesRow: true },
    { heading: columns.at, share: 0.092, align: "end" },
    { heading: columns.bags, share: 0.085, align: "end" },
    { heading: columns.bay, share: 0.05, align: "end" },
    { heading: lineInMetres ? `${columns.line}, m` : columns.line, share: 0.129, align: "end" },
    { heading: columns.other, share: 0.074, align: "end" },
  ] as const;
  const front = (found: BatchFront | undefined): CellText[] => {
    const figures = found && bays[found.bayNumber - 1];
    if (!found || !figures) return [cell(none, KEY_VALUE_MM), cell(none, KEY_VALUE_MM), cell(none, KNEELING_MM)];
    const { large, bare, small } = lineText(job, plan, figures.bay, found.line, words);
    return [
      cell(count(found.bayNumber), KEY_VALUE_MM),
      cell(lineInMetres ? bare : large, KEY_VALUE_MM),
      cell(small, KNEELING_MM),
    ];
  };
  const cells = (k: number): CellText[] => {
    const batch = pour.batches[k];
    if (!batch) return half.map(() => ({ runs: [] }));
    return [
      cell(count(batch.number), KEY_VALUE_MM, 700),
      cell(elapsed(batch.powderMeetsWater), KEY_VALUE_MM),
      cell(count(batch.cumulativeBags), KEY_VALUE_MM),
      ...front(fronts[k]),
    ];
  };
  const all = pour.batches.map((_, k) => cells(k));
  const shares = half.map(({ share }) => share);
  const needs = needsOf(half, all, READING_MM);
  // Shares are of the whole width. Two lists side by side, or one over the whole width where long times or counts need the room.
  const sideBySide = widthsWithoutBreak(shares, needs, width / 2);
  const widths = sideBySide ?? widthsWithoutBreak(shares, needs, width) ?? shares.map((one) => 2 * one * width);
  const lists = sideBySide ? 2 : 1;
  const set = half.map((column, k) => ({ ...column, widthMm: down(widths[k] as number) }));
  const headings = lists === 2 ? [...set, ...set] : set;
  const head = table("", headings, [], READING_MM).headHeightMm;
  const above = [
    heading(words.clock.batches, width),
    paragraph(`${words.clock.batchesHowTo} ${words.clock.measured}`, width, READING),
  ];
  const used = above.reduce((sum, { heightMm }) => sum + heightMm, 0);
  const made: Block[][] = [];
  const fits = (room: number): number => Math.max(2, Math.floor((room - head) / BATCH_ROW_MM));
  const longest = Math.ceil(pour.batches.length / lists);
  const pages = 1 + Math.max(0, Math.ceil((longest - fits(pageMm - used)) / fits(pageMm)));
  for (let page = 0, first = 0; first < pour.batches.length; page++) {
    // Spread over the pages that it takes, so that the last is not left with a row or two.
    const left = Math.ceil((pour.batches.length - first) / lists);
    const rows = Math.min(fits(page === 0 ? pageMm - used : pageMm), Math.ceil(left / Math.max(1, pages - page)));
    const batches = table(
      words.clock.caption,
      headings,
      Array.from({ length: rows }, (_, k) => ({
        cells: Array.from({ length: lists }, (_, list) => cells(first + list * rows + k)).flat(),
      })),
      READING_MM,
    );
    made.push(page === 0 ? [...above, batches] : [batches]);
    first += lists * rows;
  }
  return made;
}

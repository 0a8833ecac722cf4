/** The daily record: planned against used and why, batches as poured, and the difference of quantity to be signed. */
import {
  type BothUnits,
  batchWater,
  clockTime,
  count,
  density,
  elapsed,
  height,
  MINUS,
  percent,
  difference as signed,
  temperature,
  volume,
} from "../../format.ts";
import type { Job } from "../../job/model.ts";
import type { PourResults } from "../../job/record-model.ts";
import type { MixingSchedule } from "../../pour/model.ts";
import type { PourAccount } from "../../record/model.ts";
import type { SheetContent } from "../model.ts";
import type { Block } from "../page/blocks.ts";
import { flowSheet } from "../page/flow-sheet.ts";
import { BLANK_CELL, blanks, type CellText, cell, DESK, heading, list, paragraph, table } from "../page/make-blocks.ts";
import { pageFrame, SMALL_PAPER } from "../page/paper.ts";
import { DESK_MM } from "../type/type-sizes.ts";
import type { Words } from "../words/en.ts";

export interface DailySubject {
  readonly job: Job;
  readonly words: Words;
  readonly planned: { readonly bags: number; readonly batches: number; readonly minutes: number };
  /** Absent until the pour is in the job file. */
  readonly account?: PourAccount;
}

/** From the first powder to the last batch out of its barrel. */
export const plannedMinutes = ({ batches }: Pick<MixingSchedule, "batches">): number =>
  batches.reduce((latest, { poured }) => Math.max(latest, poured), 0);

const text = (content: string): CellText => cell(content, DESK_MM);
const strong = (content: string): CellText => cell(content, DESK_MM, 700);
const EMPTY = text("");

export function composeDailyRecord(subject: DailySubject): SheetContent {
  const { job, words, account } = subject;
  const { daily: w } = words.record;
  const paper = SMALL_PAPER[job.paper];
  const width = pageFrame(paper, "portrait").widthMm;
  const { results } = job;
  const blocks: Block[] = [
    paragraph(w.intro, width, DESK),
    paragraph(results === undefined ? w.notPoured : w.of(results.poured, results.lead ?? w.notNamed), width, {
      ...DESK,
      weight: 700,
    }),
    heading(w.account, width),
    accountTable(subject, width),
    ...(account === undefined || account.otherMaterials.length === 0
      ? []
      : [paragraph(w.ofMaterial(job.material.id), width, DESK), otherMaterialsTable(subject, account, width)]),
    ...(account === undefined ? [] : whyBlocks(subject, account, width)),
    ...(results === undefined ? [] : resultBlocks(job, results, words, width)),
    heading(w.quantityTitle, width),
    blanks(w.quantityRows, 90, DESK, 11),
  ];
  return flowSheet("daily-record", words, ["closeout"], paper, blocks);
}

/** Minutes as h:min with a sign. */
const timeDifference = (minutes: number): string =>
  `${minutes < 0 ? MINUS : minutes > 0 ? "+" : ""}${elapsed(Math.abs(minutes))}`;

function accountTable({ job, words, planned, account }: DailySubject, width: number) {
  const { daily: w } = words.record;
  const both = ({ large, small }: BothUnits): string => words.both(large.text, small.text);
  const litres = (value: number): string => both(volume(value, job.units.plan));
  const row = (what: string, plan: string, used?: string, difference = "") => ({
    cells: [
      text(what),
      text(plan),
      used === undefined ? BLANK_CELL : text(used),
      used === undefined ? BLANK_CELL : strong(difference),
    ],
  });
  const { bags, time, volume: filled, yieldPerBag, loss, batches } = account ?? {};
  const rows = [
    row(
      w.batches,
      count(planned.batches),
      batches && count(batches.poured),
      batches && signed(batches.poured - batches.planned, 0),
    ),
    row(w.mixed, count(planned.bags), bags && count(bags.mixed), ""),
    row(w.thrown, "", bags && count(bags.thrown)),
    row(w.burst, "", bags && count(bags.burst)),
    row(w.bags, count(planned.bags), bags && count(bags.used), bags && signed(bags.difference, 0)),
    row(w.delivered, "", bags && count(bags.delivered)),
    row(w.returned, "", bags?.returned === undefined ? undefined : count(bags.returned)),
    row(
      w.time,
      elapsed(planned.minutes),
      time && elapsed(time.taken),
      time && timeDifference(time.taken - time.planned),
    ),
    ...(filled?.placed === undefined || yieldPerBag?.found === undefined || loss?.found === undefined
      ? []
      : [
          row(
            w.volume,
            litres(filled.planned),
            litres(filled.placed.volume),
            litresDifference(filled.placed.volume - filled.planned, job, words),
          ),
          row(w.yield, litres(yieldPerBag.planned), litres(yieldPerBag.found), ""),
          row(w.loss, percent(loss.planned, 1).text, percent(loss.found, 1).text, ""),
        ]),
    ...(yieldPerBag?.weighed === undefined
      ? []
      : [
          row(
            w.weighed(count(yieldPerBag.weighed.batches)),
            litres(yieldPerBag.planned),
            litres(yieldPerBag.weighed.litres),
          ),
        ]),
    ...(loss?.byWeighedYield === undefined
      ? []
      : [row(w.lossWeighed, percent(loss.planned, 1).text, percent(loss.byWeighedYield, 1).text)]),
  ];
  return table(
    w.captionAccount,
    [
      { heading: w.columns.what, widthMm: width * 0.4, namesRow: true },
      { heading: w.columns.planned, widthMm: width * 0.22, align: "end" },
      { heading: w.columns.used, widthMm: width * 0.22, align: "end" },
      { heading: w.columns.difference, widthMm: width * 0.16, align: "end" },
    ],
    rows,
    DESK_MM,
  );
}

/** Bags, volume, yield and loss of what fills zones and ramps in materials of their own. */
function otherMaterialsTable({ job, words }: DailySubject, { otherMaterials }: PourAccount, width: number) {
  const { daily: w } = words.record;
  const litres = (value: number): string => {
    const { large, small } = volume(value, job.units.plan);
    return words.both(large.text, small.text);
  };
  const row = (what: string, plan: string, used: string | undefined, difference = "") => ({
    cells: [text(what), text(plan), used === undefined ? BLANK_CELL : text(used), strong(difference)],
  });
  return table(
    w.captionOther,
    [
      { heading: w.columns.what, widthMm: width * 0.4, namesRow: true },
      { heading: w.columns.planned, widthMm: width * 0.22, align: "end" },
      { heading: w.columns.used, widthMm: width * 0.22, align: "end" },
      { heading: w.columns.difference, widthMm: width * 0.16, align: "end" },
    ],
    otherMaterials.flatMap(({ material: { id }, bags, volume: filled, yieldPerBag, loss }) => [
      row(
        w.bagsOf(id),
        count(bags.planned),
        bags.inFloor === 0 ? undefined : count(bags.inFloor),
        bags.inFloor === 0 ? "" : signed(bags.inFloor - bags.planned, 0),
      ),
      ...(filled.placed === undefined
        ? []
        : [row(`${id}: ${w.volume}`, litres(filled.planned), litres(filled.placed.volume))]),
      ...(yieldPerBag.found === undefined
        ? []
        : [row(`${id}: ${w.yield}`, litres(yieldPerBag.planned), litres(yieldPerBag.found))]),
      ...(loss.found === undefined
        ? []
        : [row(`${id}: ${w.loss}`, percent(loss.planned, 1).text, percent(loss.found, 1).text)]),
      ...(yieldPerBag.weighed === undefined
        ? []
        : [
            row(
              `${id}: ${w.weighed(count(yieldPerBag.weighed.batches))}`,
              litres(yieldPerBag.planned),
              litres(yieldPerBag.weighed.litres),
            ),
          ]),
      ...(loss.byWeighedYield === undefined
        ? []
        : [row(`${id}: ${w.lossWeighed}`, percent(loss.planned, 1).text, percent(loss.byWeighedYield, 1).text)]),
    ]),
    DESK_MM,
  );
}

function litresDifference(value: number, job: Job, words: Words): string {
  const sign = value > 0 ? "+" : "";
  const { large, small } = volume(value, job.units.plan);
  return words.both(`${sign}${large.text}`, `${sign}${small.text}`);
}

function whyBlocks({ job, words }: DailySubject, account: PourAccount, width: number): Block[] {
  const { daily: w } = words.record;
  const { placed } = account.volume;
  const said = job.results?.reasons ?? [];
  return [
    heading(w.why, width),
    table(
      w.captionWhy,
      [
        { heading: w.columnsWhy.reason, widthMm: width * 0.7, namesRow: true },
        { heading: w.columnsWhy.bags, widthMm: width * 0.3, align: "end" },
      ],
      [
        ...account.reasons.map(({ kind, bags }) => ({ cells: [text(w.reasons[kind]), text(signed(bags, 1))] })),
        { cells: [strong(w.sumWhy), strong(signed(account.bags.difference, 0))], sum: true },
      ],
      DESK_MM,
    ),
    paragraph(placed === undefined ? w.notRead : w.volumeNote(sdText(placed.sd, job, words)), width, DESK),
    ...(said.length === 0
      ? []
      : [
          heading(w.said, width, 3),
          list(
            said.map(({ bags, reason }) => w.saidRow(signed(bags, 0), reason)),
            width,
            DESK,
          ),
        ]),
  ];
}

const sdText = (value: number, job: Job, words: Words): string => {
  const { large, small } = volume(value, job.units.plan);
  return words.both(large.text, small.text);
};

const at = (date: string, minutes: number): string => clockTime(`${date} 00:00`, minutes).text;

function resultBlocks(job: Job, results: PourResults, words: Words, width: number): Block[] {
  return [
    ...batchBlocks(job, results, words, width),
    ...lotBlocks(results, words, width),
    ...conditionBlocks(job, results, words, width),
  ];
}

function batchBlocks(job: Job, { batches, poured }: PourResults, words: Words, width: number): Block[] {
  const { daily: w } = words.record;
  const { columnsBatches: columns } = w;
  const { plan, height: unit } = job.units;
  const large = ({ large: { text: content } }: BothUnits): CellText => text(content);
  const optional = <T>(value: T | undefined, print: (of: T) => CellText): CellText =>
    value === undefined ? EMPTY : print(value);
  return [
    heading(w.batchesTitle, width),
    table(
      w.captionBatches,
      [
        { heading: columns.batch, widthMm: width * 0.1, align: "end", namesRow: true },
        { heading: columns.mixed, widthMm: width * 0.21, align: "end" },
        { heading: columns.placed, widthMm: width * 0.12, align: "end" },
        { heading: columns.bags, widthMm: width * 0.09, align: "end" },
        { heading: columns.water, widthMm: width * 0.12, align: "end" },
        { heading: columns.spread, widthMm: width * 0.13, align: "end" },
        { heading: columns.temperature, widthMm: width * 0.1, align: "end" },
        { heading: columns.lot, widthMm: width * 0.13 },
      ],
      batches.map((batch) => ({
        cells: [
          strong(count(batch.number)),
          text(batch.date === poured ? at(batch.date, batch.mixed) : `${batch.date} ${at(batch.date, batch.mixed)}`),
          optional(batch.placed, (placed) => text(at(batch.date, placed))),
          text(count(batch.bags)),
          optional(batch.water, (water) => large(batchWater(water, plan))),
          optional(batch.spread, (spread) => large(height(spread, unit))),
          optional(batch.temperature, (value) => large(temperature(value, plan))),
          optional(batch.lot, text),
        ],
      })),
      DESK_MM,
    ),
    ...weighedBlocks(job, batches, words, width),
  ];
}

/** Densities of the fresh mix, and batches of another material: few, so that they need no columns. */
function weighedBlocks(job: Job, batches: PourResults["batches"], words: Words, width: number): Block[] {
  const { daily: w } = words.record;
  const said = batches.flatMap(({ number, density: weighed, materialId }) => {
    const { large, small } = weighed === undefined ? NOTHING_WEIGHED : density(weighed, job.units.plan);
    return [
      ...(weighed === undefined ? [] : [w.weighedRow(count(number), words.both(large.text, small.text))]),
      ...(materialId === job.material.id ? [] : [w.materialRow(count(number), materialId)]),
    ];
  });
  return said.length === 0 ? [] : [list(said, width, DESK)];
}

const NOTHING_WEIGHED = { large: { text: "" }, small: { text: "" } };

function lotBlocks({ lots, batches }: PourResults, words: Words, width: number): Block[] {
  const { daily: w } = words.record;
  const { columnsLots: columns } = w;
  const known = batches.some(({ lot }) => lot !== undefined);
  const usedOf = (lot: string): number =>
    batches.filter((batch) => batch.lot === lot).reduce((sum, { bags }) => sum + bags, 0);
  return [
    heading(w.lots, width),
    table(
      w.captionLots,
      [
        { heading: columns.lot, widthMm: width * 0.34, namesRow: true },
        { heading: columns.bags, widthMm: width * 0.2, align: "end" },
        { heading: columns.used, widthMm: width * 0.2, align: "end" },
        { heading: columns.useBy, widthMm: width * 0.26 },
      ],
      lots.map(({ lot, bags, useBy }) => ({
        cells: [
          text(lot),
          text(count(bags)),
          known ? text(count(usedOf(lot))) : BLANK_CELL,
          useBy === undefined ? BLANK_CELL : text(useBy),
        ],
      })),
      DESK_MM,
    ),
  ];
}

function conditionBlocks(job: Job, { conditions }: PourResults, words: Words, width: number): Block[] {
  if (conditions.length === 0) return [];
  const { daily: w } = words.record;
  const { columnsConditions: columns } = w;
  const degrees = (value: number | undefined): CellText => {
    if (value === undefined) return EMPTY;
    const { large, small } = temperature(value, job.units.plan);
    return text(words.both(large.text, small.text));
  };
  return [
    heading(w.conditions, width),
    table(
      w.captionConditions,
      [
        { heading: columns.at, widthMm: width * 0.24, namesRow: true },
        { heading: columns.air, widthMm: width * 0.2 },
        { heading: columns.slab, widthMm: width * 0.2 },
        { heading: columns.water, widthMm: width * 0.2 },
        { heading: columns.humidity, widthMm: width * 0.16 },
      ],
      conditions.map((one) => ({
        cells: [
          text(`${one.date} ${at(one.date, one.time)}`),
          degrees(one.air),
          degrees(one.slab),
          degrees(one.water),
          one.humidity === undefined ? EMPTY : text(percent(one.humidity, 0).text),
        ],
      })),
      DESK_MM,
    ),
  ];
}

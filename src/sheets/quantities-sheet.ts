/** Quantities for the GC: what is ordered, line by line, what it weighs, and how sure it is. */
import {
  area,
  type BothUnits,
  bulkLiquid,
  count,
  decimal,
  difference,
  fineHeight,
  floorLoad,
  height,
  percent,
  volume,
  weight,
} from "../format.ts";
import type { Job } from "../job/model.ts";
import type { BagCount, Quantities } from "../quantities/model.ts";
import type { BagDifference } from "../record/model.ts";
import type { Slab } from "../slab/model.ts";
import type { Levels } from "../survey/model.ts";
import { share } from "../units.ts";
import type { CutSubject } from "./cut-table.ts";
import { floorBlocks, highSpotBlocks } from "./floor-tables.ts";
import type { SheetContent, TargetFindings } from "./model.ts";
import { besideOrderBlocks } from "./order-risk.ts";
import type { Block } from "./page/blocks.ts";
import { flowSheet } from "./page/flow-sheet.ts";
import { type CellText, cell, DESK, heading, paragraph, table } from "./page/make-blocks.ts";
import { pageFrame, SMALL_PAPER } from "./page/paper.ts";
import { differenceBlocks } from "./record/bid-difference.ts";
import { DESK_MM } from "./type/type-sizes.ts";
import type { Words } from "./words/en.ts";

export interface QuantitiesSubject extends CutSubject {
  readonly quantities: Quantities;
  readonly slab: Slab;
  readonly study: TargetFindings;
  readonly levels: Levels;
  /** Absent where the contract allows no number of bags. */
  readonly difference?: BagDifference;
}

const text = (content: string): CellText => cell(content, DESK_MM);
const strong = (content: string): CellText => cell(content, DESK_MM, 700);
const pair = ({ large, small }: BothUnits): [CellText, CellText] => [text(large.text), text(small.text)];

/** Bags of a line are printed to a tenth; only the order is whole. */
const bagsText = (bags: number): string => decimal(bags, 1);

export function composeQuantities(subject: QuantitiesSubject): SheetContent {
  const { job, words } = subject;
  const paper = SMALL_PAPER[job.paper];
  const width = pageFrame(paper, "portrait").widthMm;
  const blocks: Block[] = [
    ...bagBlocks(subject, width),
    ...besideOrderBlocks(subject, width),
    ...allowedBlocks(subject, width),
    ...(subject.difference === undefined ? [] : differenceBlocks(subject, subject.difference, width)),
    ...orderBlocks(subject, width),
    ...primerBlocks(subject, width),
    ...liftBlocks(subject, width),
    ...floorBlocks(subject, width),
    ...highSpotBlocks(subject, width),
    ...surfaceBlocks(subject, width),
    paragraph(words.planningAid, width, DESK),
  ];
  return flowSheet("quantities", words, ["gc"], paper, blocks);
}

function bagBlocks({ job, depths, quantities, words }: QuantitiesSubject, width: number): Block[] {
  const { bags } = quantities;
  const plan = job.units.plan;
  const w = words.quantities;
  const profile = fineHeight(job.pour.profileAllowance, job.units.height);
  const yieldText = volume(bags.yieldPerBag, plan);
  const both = ({ large, small }: BothUnits): string => words.both(large.text, small.text);
  return [
    heading(w.bagsTitle, width),
    table(
      w.captionBags,
      [
        { heading: w.columns.line, widthMm: width * 0.5, namesRow: true },
        { heading: w.columns.volume, widthMm: width * 0.32, align: "end" },
        { heading: w.columns.bags, widthMm: width * 0.18, align: "end" },
      ],
      [
        { cells: [text(w.neat(both(yieldText))), text(both(volume(bags.volume, plan))), text(bagsText(bags.neat))] },
        {
          cells: [
            text(w.profile(both(profile))),
            text(both(volume(bags.profileVolume, plan))),
            text(bagsText(bags.profile)),
          ],
        },
        { cells: [text(w.loss(percent(job.pour.lossAllowance, 1).text)), text(""), text(bagsText(bags.loss))] },
        { cells: [text(w.sum), text(""), text(bagsText(bags.sum))], sum: true },
        { cells: [strong(w.order), text(""), strong(count(bags.toOrder))], sum: true },
      ],
      DESK_MM,
    ),
    ...learnedBlocks(job, bags, words, width),
    paragraph(w.groundNote, width, DESK),
    paragraph(`${w.asRead}: ${both(volume(depths.volumeAsRead, plan))}`, width, DESK),
  ];
}

/** Where the loss comes from the archive: how sure it is, and by how much it moves the order. */
function learnedBlocks({ pour, material }: Job, bags: BagCount, words: Words, width: number): Block[] {
  const { learnedLoss, lossAllowance } = pour;
  if (learnedLoss === undefined) return [];
  const { usual, sd, jobs, crewKnown } = learnedLoss;
  const w = words.quantities;
  const moved = learnedMove(pour, bags);
  return [
    paragraph(
      [
        w.learned(percent(lossAllowance, 1).text, percent(share(sd), 1).text, count(jobs), material.id),
        w.learnedMoved(percent(usual, 1).text, difference(moved, 1)),
        ...(crewKnown ? [] : [w.learnedNoCrew]),
      ].join(" "),
      width,
      DESK,
    ),
  ];
}

/** Bags (not rounded) that the learned loss adds to what the usual one would take; below zero for fewer. */
export const learnedMove = (
  { learnedLoss, lossAllowance }: Job["pour"],
  { neat, profile }: Pick<BagCount, "neat" | "profile">,
): number => (learnedLoss === undefined ? 0 : (lossAllowance - learnedLoss.usual) * (neat + profile));

function allowedBlocks({ job, depths, quantities, words }: QuantitiesSubject, width: number): Block[] {
  const w = words.quantities;
  const { contract } = job;
  const rows: { cells: CellText[] }[] = [];
  if (quantities.againstAllowed) {
    const { allowedBags, differenceBags } = quantities.againstAllowed;
    rows.push({
      cells: [
        text(w.allowedBags),
        text(count(quantities.bags.toOrder)),
        text(count(allowedBags)),
        strong(difference(differenceBags, 0)),
      ],
    });
  }
  if (contract.allowedDepth !== undefined) {
    const both = ({ large, small }: BothUnits): string => words.both(large.text, small.text);
    rows.push({
      cells: [
        text(w.allowedDepth),
        text(both(fineHeight(depths.mean, job.units.height))),
        text(both(fineHeight(contract.allowedDepth, job.units.height))),
        strong(both(fineHeight(depths.mean - contract.allowedDepth, job.units.height))),
      ],
    });
  }
  if (contract.allowedDeadLoad !== undefined) {
    const both = ({ large, small }: BothUnits): string => words.both(large.text, small.text);
    rows.push({
      cells: [
        text(w.allowedLoad),
        text(both(floorLoad(quantities.greatestDeadLoad, job.units.plan))),
        text(both(floorLoad(contract.allowedDeadLoad, job.units.plan))),
        strong(both(floorLoad(quantities.greatestDeadLoad - contract.allowedDeadLoad, job.units.plan))),
      ],
    });
  }
  return [
    heading(w.allowedTitle, width),
    rows.length === 0
      ? paragraph(w.nothingAllowed, width, DESK)
      : table(
          w.captionAllowed,
          [
            { heading: w.columnsAllowed.what, widthMm: width * 0.28, namesRow: true },
            { heading: w.columnsAllowed.planned, widthMm: width * 0.24, align: "end" },
            { heading: w.columnsAllowed.allowed, widthMm: width * 0.24, align: "end" },
            { heading: w.columnsAllowed.difference, widthMm: width * 0.24, align: "end" },
          ],
          rows,
          DESK_MM,
        ),
  ];
}

function orderBlocks({ job, quantities, words }: QuantitiesSubject, width: number): Block[] {
  const w = words.quantities;
  const plan = job.units.plan;
  const rows: CellText[][] = [
    [text(w.water), ...pair(bulkLiquid(quantities.water, plan))],
    [text(w.bagWeight), ...pair(weight(quantities.bagWeight, plan))],
    [text(w.pallets(count(job.pour.bagsPerPallet))), text(count(quantities.pallets)), text("")],
    [text(w.wetWeight), ...pair(weight(quantities.wetWeight, plan))],
    [text(w.meanLoad), ...pair(floorLoad(quantities.meanDeadLoad, plan))],
    [text(w.greatestLoad), ...pair(floorLoad(quantities.greatestDeadLoad, plan))],
    [text(w.palletLoad), ...pair(floorLoad(quantities.palletLoad, plan))],
  ];
  return [
    heading(w.orderTitle, width),
    table(
      w.captionOrder,
      [
        { heading: w.columnsOrder.what, widthMm: width * 0.5, namesRow: true },
        { heading: w.columnsOrder.amount, widthMm: width * 0.25, align: "end" },
        { heading: w.columnsOrder.other, widthMm: width * 0.25, align: "end" },
      ],
      rows.map((cells) => ({ cells })),
      DESK_MM,
    ),
  ];
}

function primerBlocks({ job, quantities, words }: QuantitiesSubject, width: number): Block[] {
  const w = words.quantities;
  const plan = job.units.plan;
  const both = ({ large, small }: BothUnits): CellText => text(words.both(large.text, small.text));
  const { primer } = quantities;
  const floor = area(primer.area, plan);
  const rows = primer.coats.map((coat) => ({
    cells: [
      text(count(coat.number)),
      both(bulkLiquid(coat.mixed, plan)),
      both(bulkLiquid(coat.concentrate, plan)),
      both(bulkLiquid(coat.water, plan)),
    ],
  }));
  return [
    heading(w.primerTitle, width),
    paragraph(
      w.primerArea(words.both(floor.large.text, floor.small.text), w.absorbency[job.floor.absorbency]),
      width,
      DESK,
    ),
    table(
      w.captionPrimer,
      [
        { heading: w.columnsPrimer.coat, widthMm: width * 0.16, namesRow: true },
        { heading: w.columnsPrimer.mixed, widthMm: width * 0.28, align: "end" },
        { heading: w.columnsPrimer.concentrate, widthMm: width * 0.28, align: "end" },
        { heading: w.columnsPrimer.water, widthMm: width * 0.28, align: "end" },
      ],
      [
        ...rows,
        { cells: [strong(w.primerTotal), text(""), both(bulkLiquid(primer.concentrate, plan)), text("")], sum: true },
      ],
      DESK_MM,
    ),
  ];
}

function liftBlocks({ job, quantities, words }: QuantitiesSubject, width: number): Block[] {
  const w = words.quantities;
  const both = ({ large, small }: BothUnits): CellText => text(words.both(large.text, small.text));
  if (quantities.lifts.length <= 1) return [heading(w.liftsTitle, width), paragraph(w.oneLift, width, DESK)];
  return [
    heading(w.liftsTitle, width),
    table(
      w.captionLifts,
      [
        { heading: w.columnsLifts.lift, widthMm: width * 0.12, namesRow: true },
        { heading: w.columnsLifts.thickness, widthMm: width * 0.28, align: "end" },
        { heading: w.columnsLifts.area, widthMm: width * 0.28, align: "end" },
        { heading: w.columnsLifts.volume, widthMm: width * 0.32, align: "end" },
      ],
      quantities.lifts.map((lift) => ({
        cells: [
          text(count(lift.number)),
          both(height(lift.thickness, job.units.height)),
          both(area(lift.area, job.units.plan)),
          both(volume(lift.volume, job.units.plan)),
        ],
      })),
      DESK_MM,
    ),
  ];
}

function surfaceBlocks({ job, depths, slab, levels, words }: QuantitiesSubject, width: number): Block[] {
  const w = words.quantities;
  const blocks: Block[] = [
    heading(w.surfaceTitle, width),
    paragraph(
      w.extrapolated(
        percent(slab.extrapolatedArea, 0).text,
        percent(depths.extrapolatedVolume, 0).text,
        w.methods[slab.method],
      ),
      width,
      DESK,
    ),
  ];
  if (slab.leaveOneOutSd !== undefined) {
    const sd = fineHeight(slab.leaveOneOutSd, job.units.height);
    blocks.push(paragraph(w.leaveOneOut(words.both(sd.large.text, sd.small.text)), width, DESK));
  }
  if (levels.unchecked) blocks.push(paragraph(w.unchecked, width, DESK));
  return blocks;
}

/** How sure the volume and the order are, and what is ordered of materials that are not the job's. */
import {
  type BothUnits,
  batchWater,
  bulkLiquid,
  count,
  decimal,
  fineHeight,
  percent,
  smallArea,
  volume,
  weight,
} from "../format.ts";
import type { Job } from "../job/model.ts";
import type { Plan } from "../layout/model.ts";
import type { BagsByTarget } from "../quantities/bags-by-target.ts";
import type { Quantities } from "../quantities/model.ts";
import type { VolumeUncertainty } from "../target/volume-uncertainty.ts";
import type { TargetFindings } from "./model.ts";
import type { Block } from "./page/blocks.ts";
import { type CellText, cell, DESK, heading, paragraph, table } from "./page/make-blocks.ts";
import { DESK_MM } from "./type/type-sizes.ts";
import { bagsOfVolume } from "./wish-text.ts";
import type { Words } from "./words/en.ts";

export interface RiskSubject {
  readonly job: Job;
  readonly plan: Plan;
  readonly quantities: Quantities;
  readonly study: TargetFindings;
  readonly words: Words;
}

const text = (content: string): CellText => cell(content, DESK_MM);
const strong = (content: string): CellText => cell(content, DESK_MM, 700);

/** Of the program's own study of made floors: on so many of 1000 of a kind the nine-in-ten volume was enough. */
export const MADE_FLOORS = { floors: 3000, ofEach: 1000, least: 893, most: 919 } as const;

/** A chance by a model of the slab is not known to the last per cent. */
function chanceText(chance: number, words: Words): string {
  if (chance > 0.99) return words.topOfPour.overNinetyNine;
  if (chance < 0.01) return words.topOfPour.underOne;
  return percent(chance, 0).text;
}

export function riskBlocks(subject: RiskSubject, width: number): Block[] {
  const { study, words } = subject;
  const w = words.topOfPour;
  const [own] = study.bags;
  const { sure } = study;
  if (!sure || !own) return [heading(w.sureTitle, width), paragraph(w.noRisk, width, DESK)];
  return [
    heading(w.sureTitle, width),
    ...(study.bags.length === 1 && own.risk
      ? orderTable(subject, own, own.risk, sure, width)
      : materialsTable(subject, width)),
    ...partsTable(subject, sure, width),
    ...study.bags.flatMap((one) => aggregateBlocks(subject, one, width)),
  ];
}

function orderTable(
  { job, words }: RiskSubject,
  { ordered }: BagsByTarget,
  { evenOdds, nineInTen, chance }: NonNullable<BagsByTarget["risk"]>,
  sure: VolumeUncertainty,
  width: number,
): Block[] {
  const w = words.topOfPour;
  const litres = (value: number): CellText => {
    const { large, small } = volume(value, job.units.plan);
    return text(words.both(large.text, small.text));
  };
  const more = nineInTen > ordered ? w.more(words.bags(count(nineInTen - ordered))) : w.noMore;
  return [
    table(
      w.captionRisk,
      [
        { heading: w.columnsRisk.what, widthMm: width * 0.5, namesRow: true },
        { heading: w.columnsRisk.volume, widthMm: width * 0.32, align: "end" },
        { heading: w.columnsRisk.bags, widthMm: width * 0.18, align: "end" },
      ],
      [
        { cells: [strong(w.ordered), litres(sure.volume), strong(count(ordered))] },
        { cells: [text(w.evenOdds), litres(sure.evenOdds), text(count(evenOdds))] },
        { cells: [text(w.nineInTen), litres(sure.nineInTen), text(count(nineInTen))] },
      ],
      DESK_MM,
    ),
    paragraph(`${w.chance(words.bags(count(ordered)), chanceText(chance, words))} ${more}`, width, DESK),
  ];
}

function materialsTable({ study, words }: RiskSubject, width: number): Block[] {
  const w = words.topOfPour;
  return [
    table(
      w.captionRisk,
      [
        { heading: w.columnsRiskOf.material, widthMm: width * 0.43, namesRow: true },
        { heading: w.columnsRiskOf.ordered, widthMm: width * 0.17, align: "end" },
        { heading: w.columnsRiskOf.evenOdds, widthMm: width * 0.2, align: "end" },
        { heading: w.columnsRiskOf.nineInTen, widthMm: width * 0.2, align: "end" },
      ],
      study.bags.map(({ material, ordered, risk }) => ({
        cells: [
          text(material.name),
          strong(count(ordered)),
          text(risk ? count(risk.evenOdds) : ""),
          text(risk ? count(risk.nineInTen) : ""),
        ],
      })),
      DESK_MM,
    ),
    paragraph(w.riskOf, width, DESK),
  ];
}

function partsTable({ job, study, words }: RiskSubject, sure: VolumeUncertainty, width: number): Block[] {
  const w = words.topOfPour;
  const severalMaterials = study.bags.length > 1;
  const row = (name: string, litres: number, isSum = false): { cells: CellText[]; sum: boolean } => {
    const { large, small } = volume(litres, job.units.plan);
    const bags = severalMaterials ? [] : [text(bagsOfVolume(job, job.material, litres))];
    return { cells: [text(name), text(words.both(large.text, small.text)), ...bags], sum: isSum };
  };
  const off = fineHeight(sure.leaveOneOut, job.units.height);
  return [
    table(
      w.captionParts,
      [
        { heading: w.columnsParts.part, widthMm: width * 0.5, namesRow: true },
        { heading: w.columnsParts.volume, widthMm: width * 0.32, align: "end" },
        ...(severalMaterials ? [] : [{ heading: w.columnsParts.bags, widthMm: width * 0.18, align: "end" as const }]),
      ],
      [
        row(w.parts.reading, sure.fromReading),
        row(w.parts.datum, sure.fromDatum),
        row(w.parts.between, sure.fromBetweenReadings),
        row(w.parts.yield, sure.fromYield),
        row(w.parts.sum, sure.sd, true),
      ],
      DESK_MM,
    ),
    paragraph(
      [
        w.leaveOneOut(words.both(off.large.text, off.small.text)),
        ...(study.yieldToleranceKnown ? [] : [w.yieldUnknown]),
        w.study(
          decimal(MADE_FLOORS.floors, 0),
          percent(MADE_FLOORS.least / MADE_FLOORS.ofEach, 0).text,
          percent(MADE_FLOORS.most / MADE_FLOORS.ofEach, 0).text,
        ),
      ].join(" "),
      width,
      DESK,
    ),
  ];
}

function aggregateBlocks(
  { job, words }: RiskSubject,
  { material, withAggregate }: BagsByTarget,
  width: number,
): Block[] {
  if (!withAggregate || material.aggregate === undefined) return [];
  const w = words.topOfPour;
  const both = ({ large, small }: BothUnits): string => words.both(large.text, small.text);
  const plan = job.units.plan;
  const { area, belowTop, aggregate, water, wholeBagsSaved } = withAggregate;
  return [
    heading(w.aggregateTitle, width),
    paragraph(
      [
        w.aggregate(
          material.aggregate.name,
          both(smallArea(area, plan)),
          both(volume(withAggregate.volume, plan)),
          both(fineHeight(belowTop, job.units.height)),
        ),
        w.aggregateMix(
          both(volume(material.aggregate.yieldPerBag, plan)),
          both(volume(material.yieldPerBag, plan)),
          both(batchWater(material.aggregate.waterPerBag, plan)),
          both(batchWater(material.waterPerBag, plan)),
        ),
        w.aggregateSaves(
          words.bags(count(wholeBagsSaved)),
          both(weight(aggregate, plan)),
          both(bulkLiquid(water, plan)),
        ),
      ].join(" "),
      width,
      DESK,
    ),
  ];
}

/** Beside the order on the quantities sheet: the same number's risk, wedges, and the other materials' own orders. */
export function besideOrderBlocks({ job, plan, quantities, study, words }: RiskSubject, width: number): Block[] {
  const w = words.topOfPour;
  const risk = study.bags[0]?.risk;
  const both = ({ large, small }: BothUnits): string => words.both(large.text, small.text);
  const { wedgeVolume } = quantities.bags;
  const others = quantities.otherMaterials ?? [];
  return [
    ...(risk ? [paragraph(w.besideOrder(count(risk.evenOdds), count(risk.nineInTen)), width, DESK)] : []),
    ...(wedgeVolume === undefined ? [] : [paragraph(w.wedges(both(volume(wedgeVolume, job.units.plan))), width, DESK)]),
    ...(others.length === 0
      ? []
      : [
          heading(w.othersTitle, width),
          table(
            w.captionOthers,
            [
              { heading: w.columnsOthers.material, widthMm: width * 0.27, namesRow: true },
              { heading: w.columnsOthers.where, widthMm: width * 0.23 },
              { heading: w.columnsOthers.volume, widthMm: width * 0.24, align: "end" },
              { heading: w.columnsOthers.sum, widthMm: width * 0.13, align: "end" },
              { heading: w.columnsOthers.order, widthMm: width * 0.13, align: "end" },
            ],
            others.map(({ material, roomIndices, doorIds, bags }) => ({
              cells: [
                text(material.name),
                text(
                  words.listOf([
                    ...roomIndices.map((index) => plan.floors[index]!.name),
                    ...(doorIds.length > 0 ? [w.doorsOf(words.listOf(doorIds))] : []),
                  ]),
                ),
                text(both(volume(bags.volume, job.units.plan))),
                text(decimal(bags.sum, 1)),
                strong(count(bags.toOrder)),
              ],
            })),
            DESK_MM,
          ),
          paragraph(w.othersClock, width, DESK),
        ]),
  ];
}

/** What a higher or lower top would cost, for the page: the plot of the sheet, and its table in both systems of units. */
import { area, count, decimal, fineHeight, floorLoad, heightDifference, interval, volume } from "../format.ts";
import type { Drawing } from "../sheets/drawing.ts";
import type { Findings } from "../sheets/model.ts";
import { tradeOffPlot } from "../sheets/trade-off-plot.ts";
import { en } from "../sheets/words/en.ts";
import { asValue, type Value } from "./value.ts";

export interface TopTradeOff {
  readonly drawing: Drawing;
  readonly notes: readonly string[];
  /** Headings of the columns of bags, one a material. */
  readonly bagHeadings: readonly string[];
  readonly rows: readonly TopTradeOffRow[];
}

export interface TopTradeOffRow {
  readonly isHere: boolean;
  readonly lift: Value;
  readonly bags: readonly string[];
  readonly bare: Value;
  readonly ground: Value;
  readonly deepest: Value;
  readonly load: Value;
}

/** Of paper; the page scales the drawing to its own width. */
const DRAWING_WIDTH_MM = 180;

/** Undefined until the floor is read. */
export function topTradeOff({ job, targetStudy }: Findings): TopTradeOff | undefined {
  if (targetStudy.kind !== "ready") return undefined;
  const study = targetStudy.value;
  const { plan, height: unit } = job.units;
  const [planMetric, heightMetric] = [plan === "m", unit === "mm"];
  const step = interval(study.step, unit);
  const stepText = `${step.large.text} (${step.small.text})`;
  const several = study.bags.length > 1;
  const ofMaterial = (id: string): string => (several ? ` of ${id}` : "");
  return {
    drawing: tradeOffPlot("page-trade-off", job, study, en, DRAWING_WIDTH_MM),
    notes: study.bags.flatMap(({ material, ordered, bagsPerMm, risk }) => [
      `Each ${stepText} of height is worth ${decimal(bagsPerMm * study.step, 1)} bags${ofMaterial(material.id)}.`,
      ...(risk
        ? [
            `Ordered: ${count(ordered)}${ofMaterial(material.id)}. Enough as often as not: ${count(risk.evenOdds)}; enough nine times in ten: ${count(risk.nineInTen)}.`,
          ]
        : []),
    ]),
    bagHeadings: study.bags.map(({ material }) => (several ? `Bags, ${material.id}` : "Bags")),
    rows: study.tradeOff.map((row, index) => ({
      isHere: row.lift === 0,
      lift: asValue(heightDifference(row.lift, unit), heightMetric),
      bags: study.bags.map(({ curve }) => count(curve[index]!.toOrder)),
      bare: asValue(area(row.bareArea, plan), planMetric),
      ground: asValue(volume(row.ground.volume, plan), planMetric),
      deepest: asValue(fineHeight(row.greatestDepth, unit), heightMetric),
      load: asValue(floorLoad(row.deadLoad, plan), planMetric),
    })),
  };
}

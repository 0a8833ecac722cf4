/** Bags and ground concrete against the height of the top, as a drawing. */
import { count, decimal, heightDifference, volume } from "../format.ts";
import type { Job } from "../job/model.ts";
import { L_PER_CUBIC_FOOT } from "../units.ts";
import { box, circle, type Drawing, type Layer, line, type Mark, onPaper, pathThrough, text } from "./drawing.ts";
import type { TargetFindings } from "./model.ts";
import { CAP_HEIGHT, textWidthMm } from "./type/text-metrics.ts";
import { DESK_MM } from "./type/type-sizes.ts";
import type { Words } from "./words/en.ts";

const BAGS_MM = 62;
const GROUND_MM = 26;
const HEAD_MM = 7;
const TICK_MM = 1.6;
/** Paper between a label and what it names. */
const AIR_MM = 1.4;
const CAP_MM = DESK_MM * CAP_HEIGHT;
const MOST_TICKS = 6;

interface Axis {
  readonly least: number;
  readonly greatest: number;
  readonly ticks: readonly number[];
}

/** Round ticks from under the least value to over the greatest: steps of 1, 2 or 5 times a power of ten. */
export function roundAxis(least: number, greatest: number): Axis {
  const span = Math.max(greatest - least, 1e-9 * Math.max(1, Math.abs(greatest)));
  const power = 10 ** Math.floor(Math.log10(span / MOST_TICKS));
  const step = [1, 2, 5, 10].map((factor) => factor * power).find((one) => span / one <= MOST_TICKS - 1) ?? 10 * power;
  const first = Math.floor(least / step);
  const last = Math.max(first + 1, Math.ceil(greatest / step));
  const ticks = Array.from({ length: last - first + 1 }, (_, k) => (first + k) * step);
  return { least: first * step, greatest: last * step, ticks };
}

/** Ticks of one axis have the same decimals. */
const tickText = ({ ticks }: Axis, value: number): string => decimal(value, ticks.every(Number.isInteger) ? 0 : 2);

/** One panel: its values over the rows of the trade-off. */
interface Panel {
  readonly title: string;
  readonly top: number;
  readonly heightMm: number;
  readonly axis: Axis;
  readonly curves: readonly { readonly values: readonly number[]; readonly name?: string }[];
}

/** @param id unique among the drawings of a page */
export function tradeOffPlot(id: string, job: Job, study: TargetFindings, words: Words, widthMm: number): Drawing {
  const w = words.topOfPour;
  const rows = study.tradeOff;
  // In the unit that leads, so that the ticks are round in it.
  const litresPerUnit = job.units.plan === "m" ? 1 : L_PER_CUBIC_FOOT;
  const grounds = rows.map(({ ground }) => ground.volume / litresPerUnit);
  const bagCurves = study.bags.map(({ curve, material }) => ({
    values: curve.map(({ bags }) => bags),
    ...(study.bags.length > 1 ? { name: material.id } : {}),
  }));
  const allBags = bagCurves.flatMap(({ values }) => values);
  const panels: Panel[] = [
    {
      title: w.plotBags,
      top: HEAD_MM,
      heightMm: BAGS_MM,
      axis: roundAxis(Math.min(...allBags), Math.max(...allBags)),
      curves: bagCurves,
    },
  ];
  if (grounds.some((value) => value > 0)) {
    panels.push({
      title: w.plotGround(volume(1, job.units.plan).large.unit),
      top: 2 * HEAD_MM + BAGS_MM + AIR_MM,
      heightMm: GROUND_MM,
      axis: roundAxis(0, Math.max(...grounds)),
      curves: [{ values: grounds }],
    });
  }
  const tickWidth = Math.max(
    ...panels.flatMap(({ axis }) => axis.ticks.map((tick) => textWidthMm(tickText(axis, tick), DESK_MM, 400))),
  );
  const left = onPaper(tickWidth + AIR_MM + TICK_MM);
  const nameWidth = Math.max(0, ...bagCurves.map(({ name }) => (name ? textWidthMm(name, DESK_MM, 400) + AIR_MM : 0)));
  const right = onPaper(widthMm - Math.max(AIR_MM * 4, nameWidth));
  const lifts = rows.map(({ lift }) => lift);
  const x = (index: number) => onPaper(left + ((right - left) * index) / (rows.length - 1));
  const here = rows.findIndex(({ lift }) => lift === 0);
  const bottom = panels.at(-1)!.top + panels.at(-1)!.heightMm;

  const marks = panels.flatMap((panel) => panelMarks(panel, left, right, x));
  const labels: Mark[] = [];
  for (const [index, lift] of lifts.entries()) {
    marks.push(line({ x: x(index), y: bottom }, { x: x(index), y: bottom + TICK_MM }, "fine"));
    // Every other label, so that they keep apart; the top itself always has one.
    if ((index - here) % 2 !== 0) continue;
    const label = heightDifference(lift, job.units.height).large.number;
    labels.push(text(x(index), bottom + TICK_MM + AIR_MM + CAP_MM, label, DESK_MM, "middle"));
  }
  const unit = heightDifference(study.step, job.units.height).large.unit;
  labels.push(
    text((left + right) / 2, bottom + TICK_MM + 2 * AIR_MM + 2.4 * CAP_MM, w.plotLift(unit), DESK_MM, "middle"),
  );
  return {
    id,
    widthMm,
    heightMm: onPaper(bottom + TICK_MM + 3 * AIR_MM + 3 * CAP_MM),
    title: w.plotTitle,
    description: w.plotDescription(
      heightDifference(lifts[0]!, job.units.height).large.text,
      heightDifference(lifts.at(-1)!, job.units.height).large.text,
      count(study.bags[0]!.curve[0]!.toOrder),
      count(study.bags[0]!.curve.at(-1)!.toOrder),
    ),
    layers: [
      { name: "axes and curves", marks },
      hereLayer(panels, study, x(here), words),
      { name: "labels", marks: labels },
    ],
  };
}

const yOf = ({ axis, top, heightMm }: Panel, value: number): number =>
  onPaper(top + heightMm * (1 - (value - axis.least) / (axis.greatest - axis.least)));

function panelMarks(panel: Panel, left: number, right: number, x: (index: number) => number): Mark[] {
  const { title, top, heightMm, axis, curves } = panel;
  const marks: Mark[] = [text(left, top - AIR_MM - 0.6, title, DESK_MM, "start", 700)];
  for (const tick of axis.ticks) {
    const y = yOf(panel, tick);
    marks.push(line({ x: left - TICK_MM, y }, { x: right, y }, "contour"));
    marks.push(text(left - TICK_MM - AIR_MM / 2, y + CAP_MM / 2, tickText(axis, tick), DESK_MM, "end"));
  }
  marks.push(box(left, top, right - left, heightMm, "frame"));
  for (const { values, name } of curves) {
    const points = values.map((value, index) => ({ x: x(index), y: yOf(panel, value) }));
    marks.push({ kind: "path", d: pathThrough(points, false), style: "outline" });
    const last = points.at(-1)!;
    if (name !== undefined) marks.push(text(last.x + AIR_MM, last.y + CAP_MM / 2, name, DESK_MM));
  }
  return marks;
}

/** The packet's own top: a line through all panels, a dot on each curve of bags, and the number that is ordered. */
function hereLayer(panels: readonly Panel[], study: TargetFindings, x: number, words: Words): Layer {
  const [bags] = panels as [Panel];
  const last = panels.at(-1)!;
  const marks: Mark[] = [line({ x, y: bags.top }, { x, y: last.top + last.heightMm }, "grid-line")];
  const needs = study.bags.map(({ curve }) => curve.find(({ lift }) => lift === 0)!.bags);
  for (const [k, { ordered }] of study.bags.entries()) {
    const y = yOf(bags, needs[k]!);
    const label = `${words.topOfPour.plotHere}: ${words.bags(count(ordered))}`;
    const width = textWidthMm(label, DESK_MM, 700) + 2 * AIR_MM;
    const height = CAP_MM + 2 * AIR_MM;
    // Curves rise to the right: there is room to the upper left of the highest, and to the lower right of the others.
    const isHighest = needs[k] === Math.max(...needs);
    const boxLeft = onPaper(isHighest ? x - 2 * AIR_MM - width : x + 2 * AIR_MM);
    const boxTop = onPaper(
      isHighest
        ? Math.max(y - AIR_MM - height, bags.top + 0.5)
        : Math.min(y + AIR_MM, bags.top + bags.heightMm - height - 0.5),
    );
    marks.push(circle(x, y, 1.2, "solid"));
    marks.push(box(boxLeft, boxTop, width, height, "label-box"));
    marks.push(text(boxLeft + AIR_MM, boxTop + AIR_MM + CAP_MM, label, DESK_MM, "start", 700));
  }
  return { name: "this top", marks };
}

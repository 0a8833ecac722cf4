/** What the past says, as a page and as lines of text: each finding with its spread and how many jobs are behind it. */
import { count, decimal, height, percent } from "../format.ts";
import type { EffectsFit, Estimate } from "../numeric/fit-effects.ts";
import type { Drawing } from "../sheets/drawing.ts";
import { share } from "../units.ts";
import { rangePlot, scatterPlot } from "./charts.ts";
import type { AskedTolerance, Fitted, InstrumentNoise, MaterialYield, Past } from "./past.ts";

export interface PastPage {
  readonly intro: readonly string[];
  readonly sections: readonly PastSection[];
}

export interface PastSection {
  readonly id: string;
  readonly heading: string;
  readonly notes: readonly string[];
  readonly drawings: readonly Drawing[];
  readonly table?: {
    readonly caption: string;
    readonly columns: readonly string[];
    /** The first cell names its row. */
    readonly rows: readonly (readonly string[])[];
  };
}

/** @param unread ids of packets that could not be learned from */
export function pastPage(past: Past, unread: readonly string[]): PastPage {
  return {
    intro: [
      `${jobsText(past.jobs)} in the archive, ${count(past.pouredJobs)} of them poured. The loss is known of ${floorsText(past.loss.seen.length)}, a job of two materials counting twice, from readings of the finished floor.`,
      ...(unread.length === 0
        ? []
        : [`Not read, for they were built by another version of the program: ${unread.join(", ")}.`]),
    ],
    sections: [
      lossSection(past.loss),
      yieldSection(past),
      noiseSection(past.noise),
      conformitySection(past.conformity),
    ],
  };
}

/** The same as lines, for a terminal. */
export const pastLines = ({ intro, sections }: PastPage): string[] => [
  ...intro,
  ...sections.flatMap(({ heading, notes, table }) => [
    "",
    `${heading}:`,
    ...notes.map((note) => `  ${note}`),
    ...(table?.rows ?? []).map(([first, ...cells]) => {
      const said = cells.flatMap((cell, k) => (cell === "" ? [] : [`${table?.columns[k + 1]?.toLowerCase()} ${cell}`]));
      return `  ${first}: ${said.join(", ")}`;
    }),
  ]),
];

/** A job with two materials has two. */
const floorsText = (floors: number): string => `${count(floors)} floor${floors === 1 ? "" : "s"}`;
const jobsText = (jobs: number): string => `${count(jobs)} job${jobs === 1 ? "" : "s"}`;
const shareText = (value: number): string => percent(share(value), 1).text;
const plusMinus = ({ value, sd }: Pick<Estimate, "value" | "sd">): string =>
  `${shareText(value)}\u00a0±\u00a0${shareText(sd)}`;
const depthText = (mm: number): string => {
  const { large, small } = height(mm, "mm");
  return `${large.text} (${small.text})`;
};
/** To a hundredth of a litre: bags are told apart by that. */
const litresText = (value: number): string => `${decimal(value, 2)}\u00a0L`;
const percentTick = (value: number): string =>
  percent(share(value), Math.abs(value * 100 - Math.round(value * 100)) < 1e-6 ? 0 : 1).text;

const TOO_FEW = "Too few poured jobs whose finished floor was read: half a dozen of one material are a beginning.";

function lossSection({ seen, fit }: Fitted): PastSection {
  const section = { id: "loss", heading: "Loss" };
  const meaning = "What was mixed for the floor over what lies in it, less one, with the yield of the data sheet.";
  if (fit === undefined) return { ...section, notes: [meaning, TOO_FEW], drawings: [] };
  return {
    ...section,
    notes: [
      meaning,
      `Losses hold for a mean depth of ${depthText(fit.meanX)}. ± is one standard deviation of the figure; one floor differs from it by ${shareText(fit.spread)} besides.`,
      ...(fit.teams.size === 0
        ? ["Crews cannot be told from each other, or from the materials that each poured."]
        : []),
    ],
    drawings: [lossOverDepth(seen, fit), ...(fit.teams.size === 0 ? [] : [crewPlot(fit)])],
    table: {
      caption: "Loss by material and crew",
      columns: ["What", "Loss", "Floors"],
      rows: [
        ...[...fit.groups].map(([group, estimate]) => [group, plusMinus(estimate), count(estimate.count)]),
        ...[...fit.teams].map(([team, estimate]) => [
          `${team}, against the mean of the crews`,
          plusMinus(estimate),
          count(estimate.count),
        ]),
        ...(fit.slope === undefined
          ? []
          : [
              [
                "for every 10 mm more of depth",
                plusMinus({ value: 10 * fit.slope.value, sd: 10 * fit.slope.sd }),
                count(fit.slope.count),
              ],
            ]),
        ["from floor to floor, besides", `± ${shareText(fit.spread)}`, count(fit.count)],
      ],
    },
  };
}

function lossOverDepth(seen: Fitted["seen"], fit: EffectsFit): Drawing {
  const groups = [...fit.groups.keys()];
  const seriesOf = (group: string) => groups.indexOf(group);
  const slope = fit.slope?.value ?? 0;
  return scatterPlot({
    id: "loss-over-depth",
    title: "Loss of each floor over its mean depth",
    description: `${floorsText(seen.length)}, each with a bar of one standard deviation of its own figure, and the fit of each material for the mean of the crews.`,
    points: seen.map(({ x, value, sd, group }) => ({ x, value, sd, series: seriesOf(group) })),
    lines: groups.map((group) => {
      const xs = seen.filter((one) => one.group === group).map(({ x }) => x);
      const at = (x: number): [number, number] => [x, (fit.groups.get(group)?.value ?? 0) + slope * (x - fit.meanX)];
      return { series: seriesOf(group), from: at(Math.min(...xs)), to: at(Math.max(...xs)) };
    }),
    seriesNames: groups,
    xTitle: "Mean depth, mm",
    yTitle: "Loss, with the yield of the data sheet",
    yTick: percentTick,
  });
}

const crewPlot = (fit: EffectsFit): Drawing =>
  rangePlot({
    id: "loss-by-crew",
    title: "Loss by crew, against the mean of the crews",
    description: [...fit.teams].map(([team, estimate]) => `${team}: ${plusMinus(estimate)}.`).join(" "),
    rows: [...fit.teams].map(([team, { value, sd, count: jobs }]) => ({
      label: team,
      text: `${plusMinus({ value, sd })}, ${floorsText(jobs)}`,
      value,
      from: value - sd,
      to: value + sd,
    })),
    reference: 0,
    tick: percentTick,
    axisTitle: "more or less than the mean of the crews",
  });

function yieldSection({ yields, weighed, lossApart }: Past): PastSection {
  const section = { id: "yield", heading: "Yield of a bag" };
  const apart =
    "Bags and readings give loss and yield together: “in the floor” is what a bag gives there, whatever is lost on the way. A yield of its own comes only from fresh mix that was weighed.";
  if (yields.length === 0) return { ...section, notes: [apart, TOO_FEW], drawings: [] };
  const ofApart = lossApart.fit;
  return {
    ...section,
    notes: [
      apart,
      weighed.fit === undefined
        ? `Weighed for ${floorsText(weighed.seen.length)}: too few to say anything of the yield alone.`
        : `Weighed for ${floorsText(weighed.seen.length)}; one differs by ${shareText(weighed.fit.spread)} of the yield besides.`,
      ...(ofApart === undefined
        ? []
        : [
            `Loss apart from the yield, where mix was weighed: ${[...ofApart.groups].map(([group, estimate]) => `${group} ${plusMinus(estimate)}`).join(", ")}; from floor to floor ± ${shareText(ofApart.spread)}.`,
          ]),
    ],
    drawings: [yieldPlot(yields)],
    table: {
      caption: "Yield of a bag by material",
      columns: ["Material", "Data sheet", "In the floor", "Weighed", "Floors"],
      rows: yields.map(({ materialId, dataSheetL, inFloorL, weighedL }) => [
        materialId,
        litresText(dataSheetL),
        `${litresText(inFloorL.value)} ± ${decimal(inFloorL.sd, 2)} L`,
        weighedL === undefined ? "" : `${litresText(weighedL.value)} ± ${decimal(weighedL.sd, 2)} L`,
        count(inFloorL.count),
      ]),
    },
  };
}

const yieldPlot = (yields: readonly MaterialYield[]): Drawing =>
  rangePlot({
    id: "yield-by-material",
    title: "Yield of a bag against its data sheet",
    description: `By material: in the floor as a dot with a bar of one standard deviation, as weighed as a hollow box. ${yields
      .map(({ materialId, dataSheetL, inFloorL }) => `${materialId}: ${shareText(inFloorL.value / dataSheetL - 1)}.`)
      .join(" ")}`,
    rows: yields.map(({ materialId, dataSheetL, inFloorL, weighedL }) => ({
      label: materialId,
      text: `${decimal(inFloorL.value, 2)} of ${decimal(dataSheetL, 2)} L`,
      value: inFloorL.value / dataSheetL - 1,
      from: (inFloorL.value - inFloorL.sd) / dataSheetL - 1,
      to: (inFloorL.value + inFloorL.sd) / dataSheetL - 1,
      ...(weighedL === undefined ? {} : { other: weighedL.value / dataSheetL - 1 }),
    })),
    reference: 0,
    tick: percentTick,
    axisTitle: "more or less than the data sheet; box: weighed",
  });

function noiseSection(noise: readonly InstrumentNoise[]): PastSection {
  const section = { id: "noise", heading: "Reading noise" };
  if (noise.length === 0) return { ...section, notes: ["No survey has readings that check each other."], drawings: [] };
  return {
    ...section,
    notes: [
      "From readings of one place that differ, over all surveys of slabs and finished floors. Where it is far from what the library states, change reading_sd of the instrument there.",
    ],
    drawings: [
      rangePlot({
        id: "noise-by-instrument",
        title: "Reading noise by instrument",
        description: noise
          .map(({ instrumentId, factor }) => `${instrumentId}: ${decimal(factor, 2)} times what the library states.`)
          .join(" "),
        rows: noise.map(({ instrumentId, factor, factorSd, checks }) => ({
          label: instrumentId,
          text: `${decimal(factor, 2)} ± ${decimal(factorSd, 2)}, ${decimal(checks, 0)} checks`,
          value: factor,
          from: factor - factorSd,
          to: factor + factorSd,
        })),
        reference: 1,
        tick: (value) => decimal(value, 1),
        axisTitle: "times the standard deviation in the library",
      }),
    ],
    table: {
      caption: "Reading noise by instrument",
      columns: ["Instrument", "In the library", "Found", "Times", "Checks", "Jobs"],
      rows: noise.map(({ instrumentId, statedSdMm, factor, factorSd, checks, jobs }) => [
        instrumentId,
        `${decimal(statedSdMm, 2)} mm`,
        `${decimal(factor * statedSdMm, 2)} ± ${decimal(factorSd * statedSdMm, 2)} mm`,
        `${decimal(factor, 2)} ± ${decimal(factorSd, 2)}`,
        decimal(checks, 0),
        count(jobs),
      ]),
    },
  };
}

function conformitySection(conformity: readonly AskedTolerance[]): PastSection {
  const section = { id: "conformity", heading: "Conformity of finished floors" };
  if (conformity.length === 0)
    return { ...section, notes: ["No finished floor has been judged by a rule in figures."], drawings: [] };
  const measured = conformity.flatMap((one, k) => (one.used.length === 0 ? [] : [{ ...one, number: k + 1 }]));
  return {
    ...section,
    notes: [
      "By the tolerance that was asked. “Took” is the share of the tolerance that the worst place of a floor took: up to 1 it was kept.",
    ],
    drawings: measured.length === 0 ? [] : [tolerancePlot(measured)],
    table: {
      caption: "Conformity by tolerance asked",
      columns: ["Asked", "Within", "95 % interval", "Not decidable", "Took, median"],
      rows: conformity.map(({ asked, within, floors, undecided, kept, used }, k) => [
        `${k + 1}. ${asked}`,
        `${count(within)} of ${count(floors - undecided)}`,
        kept === undefined ? "" : `${percent(share(kept.from), 0).text} to ${percent(share(kept.to), 0).text}`,
        count(undecided),
        used.length === 0 ? "" : decimal(medianOf(used), 2),
      ]),
    },
  };
}

const tolerancePlot = (asked: readonly (AskedTolerance & { readonly number: number })[]): Drawing =>
  rangePlot({
    id: "tolerance-taken",
    title: "Share of the tolerance that the worst place took",
    description: `By the numbers of the table: from the best floor to the worst, the dot at the median. ${asked
      .map(({ number, used }) => `${number}: ${decimal(medianOf(used), 2)}.`)
      .join(" ")}`,
    rows: asked.map(({ number, used }) => ({
      label: `${number}.`,
      text: `median ${decimal(medianOf(used), 2)}, ${floorsText(used.length)}`,
      value: medianOf(used),
      from: used[0] ?? 0,
      to: used.at(-1) ?? 0,
    })),
    reference: 1,
    tick: (value) => decimal(value, 1),
    axisTitle: "1: just kept",
  });

/** Of values in order. */
function medianOf(values: readonly number[]): number {
  const middle = (values.length - 1) / 2;
  return ((values[Math.floor(middle)] ?? Number.NaN) + (values[Math.ceil(middle)] ?? Number.NaN)) / 2;
}

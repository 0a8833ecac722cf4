/** The tables of the survey report: set-ups, closing errors, ties, bench marks, readings, and the ± of levels. */
import { count, decimal, difference, fineHeight } from "../../format.ts";
import { BENCH_MARKS } from "../../survey/closures.ts";
import type { AdjustedLevels, Closure, ReadingResult, SurveyReport } from "../../survey/model.ts";
import type { Block } from "../page/blocks.ts";
import { type CellText, cell, DESK, heading, paragraph, table } from "../page/make-blocks.ts";
import { DESK_MM } from "../type/type-sizes.ts";
import type { Words } from "../words/en.ts";
import type { PlaceSubject } from "./point-place.ts";
import { levelText, type UsedReading, usedReadings } from "./read-again-rows.ts";

const text = (content: string): CellText => cell(content, DESK_MM);
const strong = (content: string): CellText => cell(content, DESK_MM, 700);

/** A height in the unit that leads, for tables of many small numbers. */
const leading = (valueMm: number, { job }: PlaceSubject): string => fineHeight(valueMm, job.units.height).large.text;

/** The bench marks stand among the set-ups of a closure under a name of their own; `BENCH_MARKS` of `survey`. */
export const closureName = ({ kind, setUpIds }: Closure, { surveyReport }: Words): string =>
  surveyReport.closure[kind](
    setUpIds
      .filter((id) => kind !== "bench-marks" || id !== BENCH_MARKS)
      .map((id) => (id === BENCH_MARKS ? surveyReport.benchMarksName : id))
      .join("–"),
  );

export function setUpBlocks(subject: PlaceSubject, { setUps }: SurveyReport, width: number): Block[] {
  const w = subject.words.surveyReport;
  const { columnsSetUps: names } = w;
  return [
    heading(w.setUps, width),
    table(
      w.captionSetUps,
      [
        { heading: names.setUp, widthMm: width * 0.14, namesRow: true },
        { heading: names.used, widthMm: width * 0.09, align: "end" },
        { heading: names.struck, widthMm: width * 0.11, align: "end" },
        { heading: names.correction, widthMm: width * 0.25, align: "end" },
        { heading: names.sd, widthMm: width * 0.13, align: "end" },
        { heading: names.drift, widthMm: width * 0.28, align: "end" },
      ],
      setUps.map((one) => ({
        cells: [
          strong(one.setUpId),
          text(count(one.readingsUsed)),
          text(count(one.readingsStruck)),
          text(levelText(one.zeroCorrection, subject)),
          text(leading(one.zeroSd, subject)),
          text(
            one.drift
              ? w.drift(leading(one.drift.whole, subject), leading(one.drift.wholeSd, subject), one.drift.significant)
              : w.noDrift,
          ),
        ],
      })),
      DESK_MM,
    ),
  ];
}

export function closureBlocks(subject: PlaceSubject, report: SurveyReport, width: number): Block[] {
  const { words } = subject;
  const w = words.surveyReport;
  const { columnsClosures: names } = w;
  const rule = report.rules.closing;
  if (report.closures.length === 0) return [heading(w.closures, width), paragraph(w.noClosures, width, DESK)];
  return [
    heading(w.closures, width),
    table(
      w.captionClosures,
      [
        { heading: names.what, widthMm: width * 0.26, namesRow: true },
        { heading: names.error, widthMm: width * 0.22, align: "end" },
        { heading: names.sd, widthMm: width * 0.18, align: "end" },
        { heading: names.allowed, widthMm: width * 0.18, align: "end" },
        { heading: names.verdict, widthMm: width * 0.16, align: "end" },
      ],
      report.closures.map((one) => ({
        cells: [
          strong(closureName(one, words)),
          text(levelText(one.error, subject)),
          text(leading(one.sd, subject)),
          text(one.allowed === undefined ? w.noRule : leading(one.allowed, subject)),
          one.verdict === "beyond" ? strong(w.verdict.beyond) : text(w.verdict[one.verdict]),
        ],
      })),
      DESK_MM,
    ),
    paragraph(rule ? w.rule[rule.per](leading(rule.k, subject), rule.source) : w.noRuleStated, width, DESK),
  ];
}

export function tieBlocks(subject: PlaceSubject, { ties }: SurveyReport, width: number): Block[] {
  const { words } = subject;
  const w = words.surveyReport;
  const { columnsTies: names } = w;
  if (ties.length === 0) return [heading(w.ties, width), paragraph(w.oneSetUp, width, DESK)];
  return [
    heading(w.ties, width),
    table(
      w.captionTies,
      [
        { heading: names.setUps, widthMm: width * 0.22, namesRow: true },
        { heading: names.points, widthMm: width * 0.36 },
        { heading: names.spread, widthMm: width * 0.22, align: "end" },
        { heading: names.strength, widthMm: width * 0.2, align: "end" },
      ],
      ties.map((tie) => ({
        cells: [
          strong(tie.setUpIds.map((id) => (id === BENCH_MARKS ? w.benchMarksName : id)).join("–")),
          text(words.listOf(tie.pointIds)),
          text(levelText(tie.greatestSpread, subject)),
          text(w.strength[tie.strength]),
        ],
      })),
      DESK_MM,
    ),
  ];
}

export function markBlocks(subject: PlaceSubject, { benchMarks, critical }: SurveyReport, width: number): Block[] {
  const { words } = subject;
  const w = words.surveyReport;
  const suspect = benchMarks.filter((mark) => mark.suspect).map(({ benchMarkId }) => benchMarkId);
  const unchecked = benchMarks
    .filter(({ normalizedResidual }) => normalizedResidual === undefined)
    .map(({ benchMarkId }) => benchMarkId);
  const { columnsMarks: names } = w;
  if (benchMarks.length === 0) return [];
  return [
    heading(w.marks, width),
    table(
      w.captionMarks,
      [
        { heading: names.mark, widthMm: width * 0.16, namesRow: true },
        { heading: names.given, widthMm: width * 0.24, align: "end" },
        { heading: names.adjusted, widthMm: width * 0.24, align: "end" },
        { heading: names.times, widthMm: width * 0.12, align: "end" },
        { heading: names.residual, widthMm: width * 0.24, align: "end" },
      ],
      benchMarks.map((mark) => ({
        cells: [
          strong(mark.benchMarkId),
          text(levelText(mark.given, subject)),
          text(mark.held ? w.held : levelText(mark.level, subject)),
          text(count(mark.timesRead)),
          (mark.suspect ? strong : text)(
            mark.normalizedResidual === undefined ? w.uncheckedCell : difference(mark.normalizedResidual, 1),
          ),
        ],
      })),
      DESK_MM,
    ),
    ...(suspect.length === 0
      ? []
      : [paragraph(w.markSuspect(words.listOf(suspect), decimal(critical, 2)), width, { ...DESK, weight: 700 })]),
    ...(unchecked.length === 0 ? [] : [paragraph(w.markUnchecked(words.listOf(unchecked)), width, DESK)]),
  ];
}

export function struckBlocks(subject: PlaceSubject, { readings }: SurveyReport, width: number): Block[] {
  const { job, words } = subject;
  const w = words.surveyReport;
  const { columnsStruck: names } = w;
  const out = readings.filter((one) => one.kind !== "used");
  if (out.length === 0) return [heading(w.struck, width), paragraph(w.noneStruck, width, DESK)];
  const typed = ({ ref }: ReadingResult): string => {
    const reading = job.survey.setUps.find(({ id }) => id === ref.setUpId)?.readings[ref.index];
    return reading ? w.typed(reading.typed.text, reading.typed.unit, reading.typed.side) : "";
  };
  return [
    heading(w.struck, width),
    table(
      w.captionStruck,
      [
        { heading: names.setUp, widthMm: width * 0.14, namesRow: true },
        { heading: names.point, widthMm: width * 0.16 },
        { heading: names.typed, widthMm: width * 0.26 },
        { heading: names.reason, widthMm: width * 0.44 },
      ],
      out.map((one) => ({
        cells: [
          strong(one.ref.setUpId),
          text(one.ref.pointId),
          text(typed(one)),
          text(one.kind === "struck" ? one.reason : w.leftOut),
        ],
      })),
      DESK_MM,
    ),
  ];
}

/** So many readings are printed one by one; of more, those that stand out most. */
const MOST_READINGS = 300;
const WORST_READINGS = 100;

const size = ({ check }: UsedReading): number => (check.kind === "checked" ? Math.abs(check.normalizedResidual) : -1);

export function readingBlocks(subject: PlaceSubject, report: SurveyReport, width: number): Block[] {
  const { words } = subject;
  const w = words.surveyReport;
  const { columnsReadings: names } = w;
  const used = usedReadings(report);
  const shown =
    used.length <= MOST_READINGS ? used : used.toSorted((a, b) => size(b) - size(a)).slice(0, WORST_READINGS);
  return [
    heading(w.readings, width),
    ...(shown.length < used.length ? [paragraph(w.worstOf(count(shown.length), count(used.length)), width, DESK)] : []),
    table(
      w.captionReadings,
      [
        { heading: names.setUp, widthMm: width * 0.11, namesRow: true },
        { heading: names.point, widthMm: width * 0.16 },
        { heading: names.level, widthMm: width * 0.17, align: "end" },
        { heading: names.residual, widthMm: width * 0.14, align: "end" },
        { heading: names.redundancy, widthMm: width * 0.12, align: "end" },
        { heading: names.normalized, widthMm: width * 0.15, align: "end" },
        { heading: names.least, widthMm: width * 0.15, align: "end" },
      ],
      shown.map((one) => {
        const { check, ref } = one;
        const face = check.kind === "checked" && check.suspect ? strong : text;
        return {
          cells: [
            face(ref.setUpId),
            face(ref.kind === "zero-check" ? w.zeroMark : ref.pointId),
            face(leading(one.level, subject)),
            face(leading(one.residual, subject)),
            face(decimal(one.redundancy, 2)),
            face(check.kind === "checked" ? difference(check.normalizedResidual, 1) : w.uncheckedCell),
            face(check.kind === "checked" ? leading(check.leastDetectable, subject) : w.uncheckedCell),
          ],
        };
      }),
      DESK_MM,
    ),
  ];
}

/** Pins a row of the table of ±. */
const ABREAST = 4;

export function sureBlocks(
  subject: PlaceSubject,
  { points, report }: AdjustedLevels,
  volumeText: string,
  width: number,
): Block[] {
  const { plan, words } = subject;
  const w = words.surveyReport;
  const sdOf = new Map(points.map(({ id, sd }) => [id, sd]));
  const read = plan.pins.filter(({ id }) => sdOf.has(id));
  const notRead = plan.pins.filter(({ id }) => !sdOf.has(id)).map(({ id }) => id);
  const rows = Array.from({ length: Math.ceil(read.length / ABREAST) }, (_, k) =>
    Array.from({ length: ABREAST }, (__, j) => read[k * ABREAST + j]),
  );
  const columns = Array.from({ length: ABREAST }, (_, j) => [
    { heading: w.columnsSure.pin, widthMm: width * 0.11, namesRow: j === 0 },
    { heading: w.columnsSure.plusMinus, widthMm: width * 0.14 },
  ]).flat();
  return [
    heading(w.sure, width),
    paragraph(w.sureText(decimal(report.halfWidth95, 2)), width, DESK),
    paragraph(volumeText, width, DESK),
    table(
      w.captionSure,
      columns,
      rows.map((row) => ({
        cells: row.flatMap((pin) =>
          pin ? [strong(pin.id), text(leading(report.halfWidth95 * sdOf.get(pin.id)!, subject))] : [text(""), text("")],
        ),
      })),
      DESK_MM,
    ),
    ...(notRead.length === 0 ? [] : [paragraph(w.notRead(words.listOf(notRead)), width, DESK)]),
  ];
}

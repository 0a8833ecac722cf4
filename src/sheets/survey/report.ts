/** The survey report of the general contractor's set: how good the levels are, and what has to be read again. */
import { count, decimal, fineHeight, percent, volume } from "../../format.ts";
import type { AdjustedLevels, SurveyReport } from "../../survey/model.ts";
import { volumeSdFromReading } from "../../survey/volume-sd.ts";
import { litres } from "../../units.ts";
import type { SheetContent } from "../model.ts";
import type { Block } from "../page/blocks.ts";
import {
  CELL_PADDING_MM,
  type CellText,
  cell,
  DESK,
  heading,
  list,
  paragraph,
  signal,
  table,
} from "../page/make-blocks.ts";
import { flowOntoPages } from "../page/page-flow.ts";
import { pageFrame, SMALL_PAPER } from "../page/paper.ts";
import { textWidthMm } from "../type/text-metrics.ts";
import { DESK_MM } from "../type/type-sizes.ts";
import { bothText, type PlaceSubject, placeText } from "./point-place.ts";
import { levelText, usedReadings, whyLines } from "./read-again-rows.ts";
import {
  closureBlocks,
  markBlocks,
  readingBlocks,
  setUpBlocks,
  struckBlocks,
  sureBlocks,
  tieBlocks,
} from "./report-tables.ts";
import { residualPages } from "./residual-map.ts";
import { fitBlocks, scanBlocks } from "./scan-text.ts";
import { temperatureBlocks } from "./temperature-text.ts";

export function composeSurveyReport(subject: PlaceSubject, levels: AdjustedLevels): SheetContent {
  const { job, plan, words } = subject;
  const { report, scan: scanned } = levels;
  const paper = SMALL_PAPER[job.paper];
  const frame = pageFrame(paper, "portrait");
  const width = frame.widthMm;
  const sd = litres(report.halfWidth95 * volumeSdFromReading(plan, levels));
  const plusMinus = words.surveyReport.volume(
    bothText(volume(sd, job.units.plan), words),
    decimal(sd / job.material.yieldPerBag, 1),
  );
  const before = scanned
    ? [
        ...summaryBlocks(subject, levels, width),
        ...scanBlocks(subject, scanned, width),
        ...fitBlocks(subject, levels, width),
        ...sureBlocks(subject, levels, plusMinus, width),
      ]
    : [
        ...summaryBlocks(subject, levels, width),
        ...fitBlocks(subject, levels, width),
        ...readAgainBlocks(subject, report, width),
        ...struckBlocks(subject, report, width),
        ...setUpBlocks(subject, report, width),
        ...closureBlocks(subject, report, width),
        ...tieBlocks(subject, report, width),
        ...markBlocks(subject, report, width),
        ...temperatureBlocks(subject, report, width),
        ...uncheckedBlocks(subject, report, width),
        ...sureBlocks(subject, levels, plusMinus, width),
      ];
  const after = readingBlocks(subject, report, width);
  const flow = (blocks: readonly Block[]) =>
    flowOntoPages(blocks, frame.heightMm).map((content) => ({
      paper,
      orientation: "portrait" as const,
      blocks: content,
    }));
  return {
    id: "survey-report",
    title: words.titles["survey-report"],
    sets: ["gc"],
    pages: scanned ? flow(before) : [...flow(before), ...residualPages(subject, levels), ...flow(after)],
  };
}

function summaryBlocks(
  { job, words }: PlaceSubject,
  { report, points, unchecked, scan }: AdjustedLevels,
  width: number,
): Block[] {
  const w = words.surveyReport;
  const { datum, rules, global } = report;
  const used = usedReadings(report).filter(({ ref }) => ref.kind === "reading");
  const struck = report.readings.filter(({ kind }) => kind === "struck");
  const blocks: Block[] = [heading(w.summary, width)];
  if (unchecked) blocks.push(signal("caution", words.signal.caution, w.unchecked, width, DESK));
  if (scan !== undefined) {
    blocks.push(
      paragraph(w.scanText(count(scan.xM.length), scan.file), width, DESK),
      list([w.datumScan(scan.file), w.noRedundancy], width, DESK),
    );
    return blocks;
  }
  blocks.push(
    paragraph(
      w.summaryText(count(used.length), count(points.length), count(job.survey.setUps.length), count(struck.length)),
      width,
      DESK,
    ),
    list(
      [
        datum.kind === "bench-marks"
          ? w.datumBenchMarks(words.listOf(datum.benchMarkIds))
          : datum.kind === "scan"
            ? w.datumScan(datum.file)
            : w.datumFirst(datum.setUpId),
        w.method,
        global.kind === "tested" ? w.global[global.verdict](decimal(global.sigmaZero, 2)) : w.noRedundancy,
        Number.isFinite(report.critical)
          ? w.rules(decimal(report.critical, 2), percent(rules.alpha, 2).text, percent(rules.power, 0).text)
          : w.oneToSpare,
      ],
      width,
      DESK,
    ),
  );
  return blocks;
}

function readAgainBlocks(subject: PlaceSubject, report: SurveyReport, width: number): Block[] {
  const { job, words } = subject;
  const w = words.surveyReport;
  const { columnsReadAgain: names } = w;
  const blocks: Block[] = [heading(w.readAgain, width)];
  const lines = (texts: readonly string[]): CellText => ({ runs: texts.map((text) => ({ text, sizeMm: DESK_MM })) });
  // An id is never broken over two lines.
  const idWidths = report.readAgain.map(({ pointId }) => textWidthMm(pointId, DESK_MM, 700) + 2 * CELL_PADDING_MM);
  const idColumn = Math.max(width * 0.11, ...idWidths.map(Math.ceil));
  if (report.readAgain.length === 0) blocks.push(paragraph(w.nothingToReadAgain, width, DESK));
  else {
    blocks.push(
      table(
        w.captionReadAgain,
        [
          { heading: names.point, widthMm: idColumn, namesRow: true },
          { heading: names.where, widthMm: width * 0.36 - idColumn },
          { heading: names.read, widthMm: width * 0.14 },
          { heading: names.likely, widthMm: width * 0.17 },
          { heading: names.why, widthMm: width * 0.33 },
        ],
        report.readAgain.map((one) => ({
          cells: [
            cell(one.pointId, DESK_MM, 700),
            lines(placeText(subject, one.pointId, one.at, one.roomIndex)),
            lines([levelText(one.asRead, subject)]),
            lines([w.plusMinus(levelText(one.likely, subject), fineHeight(one.likelySd, job.units.height).large.text)]),
            lines(whyLines(one, subject)),
          ],
        })),
        DESK_MM,
      ),
    );
  }
  blocks.push(paragraph(w.officeDecides, width, DESK));
  if (report.searchCutShort) blocks.push(paragraph(w.searchCutShort, width, DESK));
  return blocks;
}

function uncheckedBlocks(subject: PlaceSubject, report: SurveyReport, width: number): Block[] {
  const { words } = subject;
  const w = words.surveyReport;
  const used = usedReadings(report).filter(({ ref }) => ref.kind === "reading");
  const alone = used.filter(({ check }) => check.kind === "unchecked");
  const slips = used.flatMap(({ check }) => (check.kind === "checked" ? [check.leastDetectable] : []));
  const points = [...new Set(alone.map(({ ref }) => ref.pointId))];
  return [
    heading(w.uncheckedTitle, width),
    ...(alone.length === 0
      ? [paragraph(w.allChecked, width, DESK)]
      : [
          paragraph(w.uncheckedText(count(alone.length), count(used.length)), width, DESK),
          paragraph(w.uncheckedPoints(words.listOf(points)), width, DESK),
        ]),
    ...(slips.length === 0
      ? []
      : [
          paragraph(
            w.leastSlips(levelText(Math.min(...slips), subject), levelText(Math.max(...slips), subject)),
            width,
            DESK,
          ),
        ]),
  ];
}

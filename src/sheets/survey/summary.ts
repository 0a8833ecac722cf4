/** The survey for the crew, on one page: what has to be read again, where it is, and how the zeros closed. */
import { count, fineHeight } from "../../format.ts";
import type { AdjustedLevels, Closure } from "../../survey/model.ts";
import type { SheetContent } from "../model.ts";
import type { Block } from "../page/blocks.ts";
import {
  BLANK_CELL,
  blanks,
  type CellText,
  cell,
  heading,
  list,
  paragraph,
  READING,
  signal,
  table,
} from "../page/make-blocks.ts";
import { flowOntoPages } from "../page/page-flow.ts";
import { pageFrame, SMALL_PAPER } from "../page/paper.ts";
import { KNEELING_MM, READING_MM } from "../type/type-sizes.ts";
import { bothText, type PlaceSubject, placeText } from "./point-place.ts";
import { asOnTheSheet, levelText, usedReadings } from "./read-again-rows.ts";
import { closureName } from "./report-tables.ts";
import { warmHoses } from "./temperature-text.ts";

/** What a page has room for, with all else that may stand on it; the report of the office has the rest. */
const MOST_PLACES = 5;
const MOST_CLOSURES = 4;
const MOST_POINTS_NAMED = 14;

export function composeSurveySummary(subject: PlaceSubject, { report, unchecked }: AdjustedLevels): SheetContent {
  const { job, words } = subject;
  const w = words.surveySummary;
  const paper = SMALL_PAPER[job.paper];
  const frame = pageFrame(paper, "portrait");
  const width = frame.widthMm;
  const { readAgain } = report;
  const marksOff = report.benchMarks.filter(({ suspect }) => suspect).map(({ benchMarkId }) => benchMarkId);
  const blocks: Block[] = [
    readAgain.length > 0
      ? signal("caution", words.signal.caution, w.verdictReadAgain(count(readAgain.length)), width)
      : marksOff.length > 0
        ? signal("caution", words.signal.caution, w.verdictMark(words.listOf(marksOff)), width)
        : unchecked
          ? signal("caution", words.signal.caution, w.verdictUnchecked, width)
          : signal("notice", words.signal.notice, w.verdictClean, width),
  ];
  if (readAgain.length > 0) {
    blocks.push(
      table(
        w.caption,
        [
          { heading: w.columns.point, widthMm: width * 0.14, namesRow: true },
          { heading: w.columns.where, widthMm: width * 0.36 },
          { heading: w.columns.was, widthMm: width * 0.16 },
          { heading: w.columns.likely, widthMm: width * 0.18 },
          { heading: w.columns.again, widthMm: width * 0.16 },
        ],
        readAgain.slice(0, MOST_PLACES).map((one) => {
          const typed = asOnTheSheet(one, subject);
          const where: CellText = {
            runs: placeText(subject, one.pointId, one.at, one.roomIndex).map((text) => ({ text, sizeMm: KNEELING_MM })),
          };
          return {
            cells: [
              cell(one.pointId, READING_MM, 700),
              where,
              cell(typed?.was ?? levelText(one.asRead, subject), KNEELING_MM),
              cell(typed?.likely ?? levelText(one.likely, subject), KNEELING_MM),
              BLANK_CELL,
            ],
          };
        }),
        KNEELING_MM,
      ),
    );
    if (readAgain.length > MOST_PLACES)
      blocks.push(paragraph(w.more(count(readAgain.length - MOST_PLACES)), width, READING));
  }
  blocks.push(...closingBlocks(report.closures, subject, width));
  const warm = warmHoses(report, job);
  if (warm.length > 0) blocks.push(paragraph(w.warmHose(words.listOf(warm)), width, READING));
  const all = usedReadings(report).filter(({ ref }) => ref.kind === "reading");
  const alone = [...new Set(all.filter(({ check }) => check.kind === "unchecked").map(({ ref }) => ref.pointId))];
  if (!unchecked && alone.length > 0) {
    const text =
      alone.length <= MOST_POINTS_NAMED
        ? w.uncheckedPoints(words.listOf(alone))
        : w.uncheckedMany(count(alone.length), count(all.length));
    blocks.push(paragraph(text, width, READING));
  }
  blocks.push(blanks(w.signed, 85, READING, 13));
  const pages = flowOntoPages(blocks, frame.heightMm);
  return {
    id: "survey-summary",
    title: words.titles["survey-summary"],
    sets: ["crew"],
    pages: pages.map((content) => ({ paper, orientation: "portrait", blocks: content })),
  };
}

/** The worst first: beyond the rule, then by how many of their standard deviations they are off. */
function closingBlocks(closures: readonly Closure[], { job, words }: PlaceSubject, width: number): Block[] {
  const w = words.surveySummary;
  if (closures.length === 0) return [];
  const size = ({ error, sd }: Closure): number => Math.abs(error) / sd;
  const sorted = closures.toSorted(
    (a, b) => Number(b.verdict === "beyond") - Number(a.verdict === "beyond") || size(b) - size(a),
  );
  const beyond = closures.filter(({ verdict }) => verdict === "beyond").map((one) => closureName(one, words));
  return [
    heading(w.zeroes, width),
    ...(beyond.length === 0
      ? []
      : [paragraph(w.closedBadly(words.listOf(beyond)), width, { ...READING, weight: 700 })]),
    list(
      sorted
        .slice(0, MOST_CLOSURES)
        .map((one) => w.zero(closureName(one, words), bothText(fineHeight(one.error, job.units.height), words))),
      width,
      READING,
    ),
  ];
}

/** Blocks of a flatness report: what was read, level against target point by point, the raw readings and lines. */

import { findPlace } from "../conformity/found-place.ts";
import type { Conformity, LevelAtPoint } from "../conformity/model.ts";
import { count, difference, fineHeight } from "../format.ts";
import type { SampleLine } from "../job/contract-model.ts";
import type { SetUp, SurveySpec } from "../job/model.ts";
import { MM_PER_INCH } from "../units.ts";
import { type FloorText, gapText, lengthText, placeText } from "./flatness-text.ts";
import type { Block } from "./page/blocks.ts";
import { type CellText, type ColumnText, cell, DESK, heading, paragraph, table } from "./page/make-blocks.ts";
import { DESK_MM } from "./type/type-sizes.ts";

const text = (content: string): CellText => cell(content, DESK_MM);
const strong = (content: string): CellText => cell(content, DESK_MM, 700);

/** More than these are no longer read off paper. */
const MOST_LISTED = 3000;

/** What was read, when, with what. */
export function factBlocks(floor: FloorText, conformity: Conformity, survey: SurveySpec, width: number): Block[] {
  const { flatness: words, notStated } = floor.words;
  const { facts } = words;
  const lines = survey.byHand?.lines ?? [];
  const readings = lines.reduce((sum, { levelsMm }) => sum + levelsMm.length, 0);
  const instruments = [...new Set(survey.setUps.map(({ instrument }) => instrument.name))];
  const rows: readonly (readonly [string, string])[] = [
    [facts.floor, words.ofFloor[conformity.floor]],
    [facts.date, conformity.date ?? notStated],
    ...(conformity.floor === "finished"
      ? ([
          [facts.poured, conformity.poured ?? notStated],
          [facts.days, conformity.daysSincePour === undefined ? notStated : count(conformity.daysSincePour)],
        ] as const)
      : []),
    [facts.points, count(conformity.readings)],
    [facts.lines, lines.length === 0 ? count(0) : facts.linesText(count(lines.length), count(readings))],
    [facts.gaps, count(survey.byHand?.gaps.length ?? 0)],
    [facts.instruments, floor.words.listOf(instruments)],
    [facts.surface, facts.surfaceText],
  ];
  return [
    heading(words.sections.read, width),
    table(
      words.captionFacts,
      [
        { heading: words.factColumns.what, widthMm: width * 0.42, namesRow: true },
        { heading: words.factColumns.value, widthMm: width * 0.58 },
      ],
      rows.map(([name, value]) => ({ cells: [text(name), text(value)] })),
      DESK_MM,
    ),
  ];
}

/** Paper between groups of columns. */
const BETWEEN_GROUPS_MM = 5;
const SPACER: ColumnText = { heading: "", widthMm: BETWEEN_GROUPS_MM };

/** Rows side by side: the first group of columns is read down before the next one. */
function inGroups(rows: readonly (readonly CellText[])[], groups: number): { readonly cells: readonly CellText[] }[] {
  const height = Math.ceil(rows.length / groups);
  const empty = (rows[0] ?? []).map(() => text(""));
  return Array.from({ length: height }, (_, k) => ({
    cells: Array.from({ length: groups }, (__, group) => [
      ...(group === 0 ? [] : [text("")]),
      ...(rows[group * height + k] ?? empty),
    ]).flat(),
  }));
}

const repeated = (columns: readonly ColumnText[], groups: number): ColumnText[] =>
  Array.from({ length: groups }, (_, group) => [...(group === 0 ? [] : [SPACER]), ...columns]).flat();

const groupWidth = (width: number, groups: number): number => (width - (groups - 1) * BETWEEN_GROUPS_MM) / groups;

/** A height in the unit that leads, without the unit: the table's note names it. */
const bare = ({ job }: FloorText, value: number): string => fineHeight(value, job.units.height).large.number;
const signed = ({ job }: FloorText, value: number): string =>
  job.units.height === "mm" ? difference(value, 1) : difference(value / MM_PER_INCH, 2);

/** Level, target, difference and uncertainty of every point. */
export function levelBlocks(floor: FloorText, { level, coverage }: Conformity, width: number): Block[] {
  if (level === undefined) return [];
  const { flatness: words } = floor.words;
  const columns = words.levelColumns;
  const both = (value: number): string => {
    const text = gapText(floor, value);
    return value > 0 && /[1-9]/.test(text) ? `+${text}` : text;
  };
  const { lowest, highest } = level;
  const head = [
    heading(words.sections.levels, width),
    paragraph(
      words.levelSummary(
        both(level.mean),
        gapText(floor, level.spread),
        both(lowest.difference),
        lowest.id,
        both(highest.difference),
        highest.id,
      ),
      width,
      DESK,
    ),
  ];
  if (level.points.length > MOST_LISTED)
    return [...head, paragraph(words.tooMany(count(level.points.length)), width, DESK)];
  const row = (point: LevelAtPoint): CellText[] => {
    const off = signed(floor, point.difference);
    return [
      strong(point.id),
      text(bare(floor, point.level)),
      text(bare(floor, point.target)),
      point.verdict?.result === "outside" ? strong(off) : text(off),
      text(bare(floor, coverage * point.sd)),
    ];
  };
  const each = groupWidth(width, 2) / 5;
  return [
    ...head,
    paragraph(words.levelUnit(floor.job.units.height), width, DESK),
    table(
      words.captionLevels,
      repeated(
        [
          { heading: columns.point, widthMm: each * 1.1, namesRow: true },
          { heading: columns.level, widthMm: each * 0.95, align: "end" },
          { heading: columns.target, widthMm: each * 1.05, align: "end" },
          { heading: columns.off, widthMm: each * 0.95, align: "end" },
          { heading: columns.plusMinus, widthMm: each * 0.95, align: "end" },
        ],
        2,
      ),
      inGroups(level.points.map(row), 2),
      DESK_MM,
    ),
  ];
}

const READING_GROUPS = 4;

/** Every reading as it was typed from the crew's sheet, set-up by set-up. */
export function rawReadingBlocks(floor: FloorText, { setUps }: SurveySpec, width: number): Block[] {
  const { flatness: words } = floor.words;
  const readings = setUps.reduce((sum, setUp) => sum + setUp.readings.length, 0);
  const title = heading(words.sections.readings, width);
  if (readings > MOST_LISTED) return [title, paragraph(words.tooMany(count(readings)), width, DESK)];
  return [
    title,
    ...setUps.filter((setUp) => setUp.readings.length > 0).flatMap((one) => setUpBlocks(floor, one, width)),
  ];
}

function setUpBlocks({ words: all }: FloorText, { id, instrument, date, readings }: SetUp, width: number): Block[] {
  const { flatness: words } = all;
  const each = groupWidth(width, READING_GROUPS);
  const { unit, side } = readings[0]!.typed;
  return [
    heading(words.setUp(id, instrument.name, date ?? ""), width, 3),
    paragraph(words.readingUnit(unit, words.side[side]), width, DESK),
    table(
      words.captionReadings(id),
      repeated(
        [
          { heading: words.readingColumns.point, widthMm: each * 0.48, namesRow: true },
          { heading: words.readingColumns.reading, widthMm: each * 0.52, align: "end" },
        ],
        READING_GROUPS,
      ),
      inGroups(
        readings.map(({ pointId, typed, struck }) => [
          strong(pointId),
          text(struck === undefined ? typed.text : `(${typed.text})`),
        ]),
        READING_GROUPS,
      ),
      DESK_MM,
    ),
  ];
}

/** The sample lines: where each lies, and its levels. */
export function lineBlocks(floor: FloorText, lines: readonly SampleLine[], width: number): Block[] {
  if (lines.length === 0) return [];
  const { flatness: words } = floor.words;
  const columns = words.lineColumns;
  const where = ({ ends, spacing }: SampleLine): string => {
    const every = words.everySpacing(lengthText(floor, spacing));
    if (ends === undefined) return `${words.whereUnknown}; ${every}`;
    const [from, to] = ends.map((at) => placeText(floor, findPlace(floor.job, floor.plan, at)));
    return `${words.fromTo(from!, to!)}; ${every}`;
  };
  return [
    heading(words.sections.lines, width),
    paragraph(words.lineUnit(floor.job.units.height), width, DESK),
    table(
      words.captionLines,
      [
        { heading: columns.line, widthMm: width * 0.1, namesRow: true },
        { heading: columns.where, widthMm: width * 0.42 },
        { heading: columns.levels, widthMm: width * 0.48 },
      ],
      lines.map((line) => ({
        cells: [strong(line.id), text(where(line)), text(line.levelsMm.map((level) => bare(floor, level)).join("  "))],
      })),
      DESK_MM,
    ),
  ];
}

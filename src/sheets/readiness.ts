/** Readiness of the substrate, and the safety and silica plan: filled in before work starts. */
import { count } from "../format.ts";
import { M2_PER_SQUARE_FOOT, type SquareMetres } from "../units.ts";
import type { Findings, SheetContent } from "./model.ts";
import type { Block } from "./page/blocks.ts";
import { flowSheet } from "./page/flow-sheet.ts";
import { BLANK_CELL, blanks, type CellText, cell, DESK, heading, paragraph, table } from "./page/make-blocks.ts";
import { pageFrame, SMALL_PAPER } from "./page/paper.ts";
import { hazardBlocks } from "./safety.ts";
import { DESK_MM } from "./type/type-sizes.ts";
import type { Words } from "./words/en.ts";

/** Tests for an area: `first` in the first `firstFt2`, one more for each further `eachFt2` or part of it. */
export function testCount(area: SquareMetres, first: number, firstFt2: number, eachFt2: number): number {
  const ft2 = area / M2_PER_SQUARE_FOOT;
  return first + Math.max(0, Math.ceil((ft2 - firstFt2) / eachFt2 - 1e-9));
}

export function composeReadiness(findings: Findings, words: Words, planArea: SquareMetres): SheetContent {
  const { job } = findings;
  const { readiness } = words;
  const width = pageFrame(SMALL_PAPER[job.paper], "portrait").widthMm;
  const text = (content: string): CellText => cell(content, DESK_MM);
  // Counts: ASTM F2170 and F1869 three in the first 1000 ft², one each further 1000; F3191 three in the first 2000, one each further 3000.
  const perThousand = text(count(testCount(planArea, 3, 1000, 1000)));
  const drops = text(count(testCount(planArea, 3, 2000, 3000)));
  const rows: (readonly [string, CellText])[] =
    job.floor.substrate === "wood"
      ? [
          [readiness.tests.wood, BLANK_CELL],
          [readiness.tests.deflection, BLANK_CELL],
        ]
      : [
          [readiness.tests.humidity, perThousand],
          ...(job.floor.substrate === "concrete" ? ([[readiness.tests.emission, perThousand]] as const) : []),
          [readiness.tests.drop, drops],
          [readiness.tests.pullOff, BLANK_CELL],
          [readiness.tests.profile, BLANK_CELL],
        ];
  const blocks: Block[] = [
    paragraph(readiness.intro, width, DESK),
    table(
      readiness.caption,
      [
        { heading: readiness.columns.test, widthMm: width * 0.36, namesRow: true },
        { heading: readiness.columns.count, widthMm: width * 0.12, align: "end" },
        { heading: readiness.columns.limit, widthMm: width * 0.17 },
        { heading: readiness.columns.result, widthMm: width * 0.17 },
        { heading: readiness.columns.by, widthMm: width * 0.18 },
      ],
      rows.map(([name, tests]) => ({ cells: [text(name), tests, BLANK_CELL, BLANK_CELL, BLANK_CELL] })),
      DESK_MM,
      11,
    ),
    ...(job.floor.substrate === "concrete" ? [paragraph(readiness.notOnGypsum, width, DESK)] : []),
    heading(readiness.conditions, width),
    table(
      readiness.captionConditions,
      [
        { heading: readiness.conditionsColumns.what, widthMm: width * 0.44, namesRow: true },
        { heading: readiness.conditionsColumns.found, widthMm: width * 0.34 },
        { heading: readiness.conditionsColumns.by, widthMm: width * 0.22 },
      ],
      readiness.conditionsRows.map((what) => ({ cells: [text(what), BLANK_CELL, BLANK_CELL] })),
      DESK_MM,
      11,
    ),
    blanks(readiness.signed, 60, DESK, 11),
  ];
  return flowSheet("readiness", words, ["survey", "gc"], SMALL_PAPER[job.paper], blocks);
}

export function composeSilicaPlan(findings: Findings, words: Words): SheetContent {
  const { job } = findings;
  const { silica } = words;
  const width = pageFrame(SMALL_PAPER[job.paper], "portrait").widthMm;
  const blocks: Block[] = [
    paragraph(silica.intro, width, DESK),
    table(
      silica.caption,
      [
        { heading: silica.columns.task, widthMm: width * 0.22, namesRow: true },
        { heading: silica.columns.control, widthMm: width * 0.52 },
        { heading: silica.columns.respirator, widthMm: width * 0.26 },
      ],
      silica.rows.map(([task, control]) => ({
        cells: [cell(task ?? "", DESK_MM), cell(control ?? "", DESK_MM), BLANK_CELL],
      })),
      DESK_MM,
    ),
    heading(silica.competent, width),
    blanks(silica.competentRows, 95, DESK, 11),
    heading(silica.other, width),
    ...hazardBlocks(job, words, width, DESK),
  ];
  return flowSheet("silica-plan", words, ["gc"], SMALL_PAPER[job.paper], blocks);
}

/** The submittal register, and the documents that the packet names with the checksum of each. */
import type { Job } from "../../job/model.ts";
import type { SheetContent } from "../model.ts";
import type { Block } from "../page/blocks.ts";
import { flowSheet } from "../page/flow-sheet.ts";
import { BLANK_CELL, type CellText, cell, DESK, heading, paragraph, table } from "../page/make-blocks.ts";
import { pageFrame, SMALL_PAPER } from "../page/paper.ts";
import { DESK_MM } from "../type/type-sizes.ts";
import type { Words } from "../words/en.ts";

const text = (content: string): CellText => cell(content, DESK_MM);
const orBlank = (content: string | undefined): CellText => (content === undefined ? BLANK_CELL : text(content));

/** What the job lists, else what such a job usually hands in, blank. */
export function composeSubmittals(job: Job, words: Words): SheetContent {
  const { submittals: w } = words.record;
  const paper = SMALL_PAPER[job.paper];
  const width = pageFrame(paper, "portrait").widthMm;
  const listed = job.submittals ?? [];
  const rows =
    listed.length > 0
      ? listed.map(({ number, item, submitted, returned, status }) => [
          text(number),
          text(item),
          orBlank(submitted),
          orBlank(returned),
          orBlank(status && w.states[status]),
        ])
      : w.usual.map((item) => [BLANK_CELL, text(item), BLANK_CELL, BLANK_CELL, BLANK_CELL]);
  const blocks: Block[] = [
    paragraph(w.section(job.contract.section ?? words.notStated, job.contractReference ?? words.notStated), width, {
      ...DESK,
      weight: 700,
    }),
    paragraph(w.intro, width, DESK),
    table(
      w.caption,
      [
        { heading: w.columns.number, widthMm: width * 0.18, namesRow: true },
        { heading: w.columns.item, widthMm: width * 0.34 },
        { heading: w.columns.submitted, widthMm: width * 0.15 },
        { heading: w.columns.returned, widthMm: width * 0.15 },
        { heading: w.columns.status, widthMm: width * 0.18 },
      ],
      rows.map((cells) => ({ cells })),
      DESK_MM,
      11,
    ),
  ];
  return flowSheet("submittals", words, ["gc"], paper, blocks);
}

/** Hex digits in groups, so that two people can compare them aloud and a line can break between groups. */
const GROUP_DIGITS = 8;

export function documentBlocks(job: Job, words: Words, width: number): Block[] {
  const { documents: w } = words.record;
  const listed = job.documents ?? [];
  if (listed.length === 0) return [];
  return [
    heading(w.title, width),
    paragraph(w.note, width, DESK),
    table(
      w.caption,
      [
        { heading: w.columns.what, widthMm: width * 0.2, namesRow: true },
        { heading: w.columns.title, widthMm: width * 0.26 },
        { heading: w.columns.date, widthMm: width * 0.14 },
        { heading: w.columns.file, widthMm: width * 0.4 },
      ],
      listed.map(({ what, kind, title, date, file, sha256 }) => ({
        cells: [
          text(what),
          text(w.kindTitle(w.kinds[kind], title)),
          orBlank(date),
          {
            runs: [
              ...(file === undefined ? [] : [{ text: file, sizeMm: DESK_MM }]),
              { text: sha256 === undefined ? w.noFile : inGroups(sha256), sizeMm: DESK_MM },
            ],
          },
        ],
      })),
      DESK_MM,
    ),
  ];
}

const inGroups = (hex: string): string => (hex.match(new RegExp(`.{1,${GROUP_DIGITS}}`, "g")) ?? []).join(" ");

/** How long the floor is kept free, by the material's data sheet. */
import { count, hours } from "../../format.ts";
import type { Job } from "../../job/model.ts";
import type { HoldOff } from "../../record/model.ts";
import type { Minutes } from "../../units.ts";
import type { Block } from "../page/blocks.ts";
import { BLANK_CELL, type CellText, cell, DESK, heading, paragraph, table } from "../page/make-blocks.ts";
import { DESK_MM } from "../type/type-sizes.ts";
import type { Words } from "../words/en.ts";

const text = (content: string): CellText => cell(content, DESK_MM);

const DAY_MIN = 24 * 60;
/** From so many days on nobody counts in hours. */
const LEAST_DAYS = 4;

/** A time such as `3 h` or `7 days`. */
export function holdOffText(after: Minutes, { record: { protection } }: Words): string {
  const days = after / DAY_MIN;
  return days >= LEAST_DAYS && Number.isInteger(days) ? protection.days(count(days)) : protection.hours(hours(after));
}

/** Times after the last batch; the clock time where the pour is in the job file, else a blank for it. */
export function protectionBlocks(job: Job, holdOffs: readonly HoldOff[], words: Words, width: number): Block[] {
  const { protection: w } = words.record;
  return [
    heading(w.title, width),
    ...(holdOffs.length === 0
      ? [paragraph(w.none, width, DESK)]
      : [
          table(
            w.caption,
            [
              { heading: w.columns.what, widthMm: width * 0.5, namesRow: true },
              { heading: w.columns.after, widthMm: width * 0.18, align: "end" },
              { heading: w.columns.until, widthMm: width * 0.32 },
            ],
            holdOffs.map(({ what, after, until }) => ({
              cells: [
                text(w.what[what]),
                text(holdOffText(after, words)),
                until === undefined ? BLANK_CELL : text(until),
              ],
            })),
            DESK_MM,
          ),
        ]),
    paragraph(w.by(job.material.dataSheet.title), width, DESK),
  ];
}

/** The change sheet: the pins that are no longer as they were issued, old and new length, and what is ordered otherwise. */

import { count } from "../format.ts";
import type { Job } from "../job/model.ts";
import type { Changes, FigureChange, PinLength } from "../revision/model.ts";
import type { SheetContent } from "./model.ts";
import type { Block } from "./page/blocks.ts";
import { flowSheet } from "./page/flow-sheet.ts";
import {
  BLANK_CELL,
  CELL_PADDING_MM,
  type CellText,
  cell,
  heading,
  KNEELING,
  paragraph,
  TICK_BOX_MM,
  table,
} from "./page/make-blocks.ts";
import { pageFrame, SMALL_PAPER } from "./page/paper.ts";
import { textWidthMm } from "./type/text-metrics.ts";
import { CUT_MM, DEPTH_MM, KNEELING_MM } from "./type/type-sizes.ts";
import type { Words } from "./words/en.ts";

export const CHANGE_SHEET = "changes";

/** Room by room, in the order of placing; a floor on which nothing changes is not on it. */
export function composeChangeSheet(job: Job, changes: Changes, words: Words): SheetContent {
  const paper = SMALL_PAPER[job.paper];
  const width = pageFrame(paper, "portrait").widthMm;
  const { revisions } = words;
  const { since, pins, figures } = changes;
  const blocks: Block[] = [
    paragraph(revisions.intro(count(since.number), since.date), width, KNEELING),
    ...figureBlocks(figures, words, width),
    heading(revisions.pinsTitle, width),
    ...(pins.length === 0 ? [paragraph(revisions.noPins, width, KNEELING)] : []),
    ...pinBlocks(changes, words, width),
  ];
  return flowSheet(CHANGE_SHEET, words, ["crew", "gc"], paper, blocks);
}

/** A figure that is none on one side, such as bags before the floor was read. */
export const figureTexts = ({ what, of, before, now }: FigureChange, words: Words) => {
  const { figures, figureOf, none } = words.revisions;
  return {
    name: of === undefined ? figures[what] : figureOf(figures[what], of),
    before: before ?? none,
    now: now ?? none,
  };
};

function figureBlocks(figures: readonly FigureChange[], words: Words, width: number): Block[] {
  if (figures.length === 0) return [];
  const { figuresTitle, captionFigures, columnsFigures } = words.revisions;
  return [
    heading(figuresTitle, width),
    table(
      captionFigures,
      [
        { heading: columnsFigures.what, widthMm: width * 0.4, namesRow: true },
        { heading: columnsFigures.was, widthMm: width * 0.3, align: "end" },
        { heading: columnsFigures.now, widthMm: width * 0.3, align: "end" },
      ],
      figures.map((figure) => {
        const { name, before, now } = figureTexts(figure, words);
        return { cells: [cell(name, KNEELING_MM), cell(before, DEPTH_MM), cell(now, DEPTH_MM, 700)] };
      }),
      KNEELING_MM,
    ),
  ];
}

function pinBlocks({ pins }: Changes, words: Words, width: number): Block[] {
  const { captionPins, columnsPins, todo } = words.revisions;
  const rooms = [...new Set(pins.map(({ room }) => room))];
  const printed = pins
    .flatMap(({ before, now }) => [before, now])
    .flatMap((one) => (one?.cut === "cut" ? [one.printed] : []));
  const widest = (least: number, texts: readonly string[], sizeMm: number): number =>
    Math.max(least, ...texts.map((text) => Math.ceil(textWidthMm(text, sizeMm, 700) + 2 * CELL_PADDING_MM)));
  const words1 = [words.revisions.grind, words.revisions.tooShort];
  const fixed = {
    pin: widest(
      14,
      pins.map(({ id }) => id),
      DEPTH_MM,
    ),
    was: widest(24, [...printed.map(([large]) => large), ...words1], DEPTH_MM),
    now: widest(24, [...printed.map(([large]) => large), ...words1], CUT_MM),
    other: widest(
      22,
      printed.map(([, small]) => small),
      DEPTH_MM,
    ),
    done: widest(TICK_BOX_MM + 4, [columnsPins.done], KNEELING_MM),
  };
  const rest = width - Object.values(fixed).reduce((sum, one) => sum + one, 0);
  return rooms.flatMap((room) => {
    const ofRoom = pins.filter((pin) => pin.room === room);
    return [
      heading(words.cut.route(room, words.pins(count(ofRoom.length))), width, 3),
      table(
        captionPins,
        [
          { heading: columnsPins.pin, widthMm: fixed.pin, namesRow: true },
          { heading: columnsPins.was, widthMm: fixed.was, align: "end" },
          { heading: columnsPins.now, widthMm: fixed.now, align: "end" },
          { heading: columnsPins.other, widthMm: fixed.other, align: "end" },
          { heading: columnsPins.todo, widthMm: rest },
          { heading: columnsPins.done, widthMm: fixed.done },
        ],
        ofRoom.map(({ id, kind, before, now }) => ({
          cells: [
            cell(id, DEPTH_MM, 700),
            cell(lengthText(before, words), DEPTH_MM),
            cell(lengthText(now, words), now?.cut === "cut" ? CUT_MM : DEPTH_MM, 700),
            cell(now?.cut === "cut" ? now.printed[1] : "", DEPTH_MM),
            cell(todoText(kind, now, words, todo), KNEELING_MM),
            BLANK_CELL,
          ] satisfies CellText[],
        })),
        KNEELING_MM,
        TICK_BOX_MM + 1.2,
      ),
    ];
  });
}

function lengthText(length: PinLength | undefined, { revisions }: Words): string {
  switch (length?.cut) {
    case undefined:
      return revisions.none;
    case "cut":
      return length.printed[0];
    case "after-grinding":
      return revisions.grind;
    case "too-short":
      return revisions.tooShort;
  }
}

/** Where there is no length any more, what has to be done is to grind. */
function todoText(
  kind: Changes["pins"][number]["kind"],
  now: PinLength | undefined,
  words: Words,
  todo: Words["revisions"]["todo"],
): string {
  if (kind === "gone" || now === undefined || now.cut === "cut") return todo[kind];
  return now.cut === "after-grinding" ? words.cut.afterGrindingNote : words.cut.tooShortNote;
}

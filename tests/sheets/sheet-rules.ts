/**
 * Reads the rules for sheets off the view models: type sizes by reading distance, leading, room on the
 * page, labels. Each function gives the breaches it finds, each naming its place.
 */
import type { Drawing, Mark, TextMark } from "../../src/sheets/drawing.ts";
import type { Sheet, SheetPage } from "../../src/sheets/model.ts";
import type { Block, TextRun, Type } from "../../src/sheets/page/blocks.ts";
import { CELL_PADDING_MM } from "../../src/sheets/page/make-blocks.ts";
import { pageFrame } from "../../src/sheets/page/paper.ts";
import { CAP_HEIGHT, textWidthMm, X_HEIGHT } from "../../src/sheets/type/text-metrics.ts";

interface SetText extends Type {
  readonly text: string;
  readonly where: string;
  /** Room for the line, where it is known. */
  readonly widthMm?: number;
}

const lines = (type: Type, texts: readonly string[], where: string, widthMm: number): SetText[] =>
  texts.map((text) => ({ sizeMm: type.sizeMm, weight: type.weight, leadingMm: type.leadingMm, text, where, widthMm }));

/** Every line of text of a block, as it is set. */
function textsOfBlock(block: Block, where: string, widthMm: number): SetText[] {
  switch (block.kind) {
    case "heading":
    case "text":
      return lines(block.type, block.lines, where, widthMm);
    case "list":
      return block.items.flatMap((item) => lines(block.type, item.lines, where, widthMm));
    case "signal":
      return lines(block.type, [block.word, ...block.lines], where, widthMm);
    case "figures":
      return block.figures.flatMap((figure) => [
        ...lines(block.labelType, figure.label, where, block.columnWidthMm),
        ...lines(block.valueType, [figure.value], where, block.columnWidthMm),
        ...(figure.second === undefined ? [] : lines(block.secondType, [figure.second], where, block.columnWidthMm)),
      ]);
    case "table":
      return [
        ...block.columns.flatMap((column) =>
          lines(block.headType, column.heading, `${where} head`, column.widthMm - 2 * CELL_PADDING_MM),
        ),
        ...block.rows.flatMap((row) =>
          row.cells.flatMap((cell, index) =>
            cell.lines.map((run: TextRun) => ({
              ...run,
              where,
              widthMm: (block.columns[index]?.widthMm ?? 0) - 2 * CELL_PADDING_MM,
            })),
          ),
        ),
      ];
    case "checks":
      return block.items.flatMap((item) => [
        ...lines(block.type, item.lines, where, widthMm - block.answerWidthMm),
        ...lines({ ...block.type, weight: 700 }, [item.wanted], where, block.answerWidthMm),
      ]);
    case "blanks":
      return lines(block.type, block.labels, where, block.labelWidthMm);
    case "code":
      return lines(block.type, block.caption, where, widthMm - block.sizeMm);
    case "drawing":
      return [];
  }
}

const place = (sheet: Sheet, page: SheetPage): string => `${sheet.id} (${sheet.language}) page ${page.number}`;
const marksOf = (drawing: Drawing): Mark[] => drawing.layers.flatMap(({ marks }) => marks);
const drawingsOf = (page: SheetPage): Drawing[] =>
  page.blocks.flatMap((block) => (block.kind === "drawing" ? [block.drawing] : []));
export const textMarksOf = (page: SheetPage): TextMark[] =>
  drawingsOf(page)
    .flatMap(marksOf)
    .filter((mark): mark is TextMark => mark.kind === "text");

export function textsOf(sheet: Sheet): SetText[] {
  return sheet.pages.flatMap((page) => {
    const { widthMm } = pageFrame(page.paper, page.orientation);
    return page.blocks.flatMap((block) => textsOfBlock(block, place(sheet, page), widthMm));
  });
}

/** Least height of capitals and digits, and of small letters, on each sheet. */
const READ_IN_ACTION = new Set(["cover", "pause-cards", "safety"]);
const KNEELING = new Set(["pin-map", "cut-table", "cut-order"]);

export function typeTooSmall(sheet: Sheet): string[] {
  const set = [
    ...textsOf(sheet),
    ...sheet.pages.flatMap((page) => textMarksOf(page).map((mark) => ({ ...mark, where: place(sheet, page) }))),
  ].filter(({ text }) => text.trim() !== "");
  const leastCap = KNEELING.has(sheet.id) ? 3.1 : 2.5;
  return set.flatMap(({ text, sizeMm, where }) => {
    if (sizeMm * CAP_HEIGHT < leastCap) return [`${where}: “${text}” has capitals of ${sizeMm * CAP_HEIGHT} mm`];
    if (READ_IN_ACTION.has(sheet.id) && sizeMm * X_HEIGHT < 2.54) {
      return [`${where}: “${text}” has an x-height of ${sizeMm * X_HEIGHT} mm`];
    }
    return [];
  });
}

/** Depths on the pin map and lengths in the cut table: digits of 4.1 mm at least. */
export function depthsTooSmall(sheet: Sheet): string[] {
  if (sheet.id === "pin-map") {
    return sheet.pages.flatMap((page) => {
      const marks = drawingsOf(page).flatMap(marksOf);
      return marks.flatMap((mark, index) => {
        if (mark.kind !== "text" || mark.role !== "pin-id") return [];
        return marks
          .slice(index, index + 3)
          .filter((one): one is TextMark => one.kind === "text" && /\d/.test(one.text))
          .filter(({ sizeMm }) => sizeMm * CAP_HEIGHT < 4.1)
          .map(({ text }) => `${place(sheet, page)}: ${text} at pin ${mark.text}`);
      });
    });
  }
  if (sheet.id !== "cut-table" && sheet.id !== "cut-order") return [];
  return sheet.pages.flatMap((page) =>
    page.blocks.flatMap((block) =>
      block.kind !== "table"
        ? []
        : block.rows.flatMap((row) =>
            row.cells
              .slice(0, 3)
              .flatMap((cell) => cell.lines)
              .filter(({ text, sizeMm }) => /\d/.test(text) && sizeMm * CAP_HEIGHT < 4.1)
              .map(({ text }) => `${place(sheet, page)}: ${text}`),
          ),
    ),
  );
}

/** A count, a time, a range of batches. */
const FIGURE = /^\d+([:–]\d+)*$/;
/** A length that stands beside the one in the unit that leads. */
const OTHER_UNIT = /^(\d+\.\d{2}\u00a0m|\d+'\u00a0[\d/\u00a0]+"|wall|pared)$/;

/** Values of the pour clock: digits of 9.3 mm at least, of every figure and of what stands first in a cell of its tables. */
export function keyValuesTooSmall(sheet: Sheet): string[] {
  if (sheet.id !== "mixing-schedule") return [];
  return sheet.pages.flatMap((page) =>
    page.blocks.flatMap((block) => {
      if (block.kind === "figures") {
        return block.valueType.sizeMm * CAP_HEIGHT < 9.3 ? [`${place(sheet, page)}: figures`] : [];
      }
      if (block.kind !== "table") return [];
      const isKey = block.rows.some((row) => row.cells[0]?.lines.some(({ text }) => FIGURE.test(text)));
      return block.rows
        .flatMap((row) => row.cells)
        .flatMap(({ lines: runs }) =>
          runs.filter(({ text }, k) => FIGURE.test(text) || (isKey && k === 0 && text !== "")),
        )
        .filter(({ text, sizeMm }) => sizeMm * CAP_HEIGHT < 9.3 && !OTHER_UNIT.test(text))
        .map(({ text }) => `${place(sheet, page)}: ${text}`);
    }),
  );
}

export const leadingTooTight = (sheet: Sheet): string[] =>
  textsOf(sheet)
    .filter(({ leadingMm, sizeMm }) => leadingMm / sizeMm < 1.25)
    .map(({ where, text }) => `${where}: “${text}”`);

export const linesTooLong = (sheet: Sheet): string[] =>
  textsOf(sheet).flatMap(({ where, text, sizeMm, weight, widthMm }) => [
    ...(text.length > 70 ? [`${where}: ${text.length} characters in “${text}”`] : []),
    ...(widthMm !== undefined && textWidthMm(text, sizeMm, weight) > widthMm + 0.01
      ? [`${where}: “${text}” is ${textWidthMm(text, sizeMm, weight)} mm wide, the room ${widthMm} mm`]
      : []),
  ]);

/** Blocks higher than the page between margins, head and foot; the gap below the last may hang over. */
export const pagesTooFull = (sheet: Sheet): string[] =>
  sheet.pages.flatMap((page) => {
    const { heightMm } = pageFrame(page.paper, page.orientation);
    const used = page.blocks.reduce((sum, block) => sum + block.heightMm, 0);
    const gap = page.blocks.at(-1)?.kind === "table" ? 3 : 0;
    return used - gap > heightMm + 0.01 ? [`${place(sheet, page)}: ${used} mm on ${heightMm} mm`] : [];
  });

/** A heading at the foot with nothing under it, a table head with fewer than two rows where the table goes on. */
export const headsAlone = (sheet: Sheet): string[] =>
  sheet.pages.flatMap((page, index) => {
    const breaches: string[] = [];
    if (page.blocks.at(-1)?.kind === "heading") breaches.push(`${place(sheet, page)}: heading at the foot`);
    const last = page.blocks.at(-1);
    const next = sheet.pages[index + 1]?.blocks[0];
    const goesOn = last?.kind === "table" && next?.kind === "table" && next.caption === last.caption;
    if (goesOn && (last.rows.length < 2 || next.rows.length < 2)) {
      breaches.push(`${place(sheet, page)}: ${last.rows.length} and ${next.rows.length} rows under heads`);
    }
    return breaches;
  });

/** Places to write in that are lower than a pen in a wet glove needs. */
export const blanksTooLow = (sheet: Sheet): string[] =>
  sheet.pages.flatMap((page) =>
    page.blocks.flatMap((block) =>
      block.kind === "table"
        ? block.rows
            .filter((row) => row.heightMm < 8 && row.cells.some((cell) => cell.blank))
            .map(() => place(sheet, page))
        : block.kind === "blanks" && block.rowHeightMm < 8
          ? [place(sheet, page)]
          : [],
    ),
  );

interface Rectangle {
  readonly minX: number;
  readonly minY: number;
  readonly maxX: number;
  readonly maxY: number;
}

const labelBoxes = (drawing: Drawing): Rectangle[] =>
  marksOf(drawing).flatMap((mark) => {
    if (mark.kind === "box" && mark.style === "label-box") {
      return [{ minX: mark.x, minY: mark.y, maxX: mark.x + mark.width, maxY: mark.y + mark.height }];
    }
    return [];
  });

/** Labels that cover each other, and marks off the paper. */
export function labelsInTheWay(sheet: Sheet): string[] {
  return sheet.pages.flatMap((page) =>
    drawingsOf(page).flatMap((drawing) => {
      const boxes = labelBoxes(drawing);
      const breaches: string[] = [];
      for (let i = 0; i < boxes.length; i++) {
        for (let j = i + 1; j < boxes.length; j++) {
          const [p, q] = [boxes[i]!, boxes[j]!];
          const width = Math.min(p.maxX, q.maxX) - Math.max(p.minX, q.minX);
          const height = Math.min(p.maxY, q.maxY) - Math.max(p.minY, q.minY);
          if (width > 0.02 && height > 0.02) {
            breaches.push(`${place(sheet, page)}: labels at ${p.minX},${p.minY} and ${q.minX},${q.minY}`);
          }
        }
      }
      return breaches;
    }),
  );
}

export function textOffThePaper(sheet: Sheet): string[] {
  return sheet.pages.flatMap((page) =>
    drawingsOf(page).flatMap((drawing) =>
      marksOf(drawing).flatMap((mark) => {
        if (mark.kind !== "text") return [];
        const width = textWidthMm(mark.text, mark.sizeMm, mark.weight);
        const cap = mark.sizeMm * CAP_HEIGHT;
        const back = mark.anchor === "start" ? 0 : mark.anchor === "middle" ? width / 2 : width;
        const [fromX, toX] = mark.turned === 0 ? [mark.x - back, mark.x - back + width] : [mark.x - cap, mark.x];
        const [fromY, toY] = mark.turned === 0 ? [mark.y - cap, mark.y] : [mark.y - width + back, mark.y + back];
        const off = fromX < -0.3 || fromY < -0.3 || toX > drawing.widthMm + 0.3 || toY > drawing.heightMm + 0.3;
        return off ? [`${place(sheet, page)}: “${mark.text}” at ${mark.x},${mark.y}`] : [];
      }),
    ),
  );
}

/** More than two pin labels whose middles lie in one square inch. */
export function labelsTooDense(sheet: Sheet): string[] {
  if (sheet.id !== "pin-map") return [];
  return sheet.pages.flatMap((page) => {
    const marks = drawingsOf(page).flatMap(marksOf);
    const at = marks.flatMap((mark, index) => {
      const box = marks[index - 1];
      if (mark.kind !== "text" || mark.role !== "pin-id" || box?.kind !== "box") return [];
      return [{ id: mark.text, x: box.x + box.width / 2, y: box.y + box.height / 2 }];
    });
    return at.flatMap((one) => {
      // Squares with this label at the left edge, each with another at its upper edge.
      const inStrip = at.filter(({ x }) => x >= one.x && x < one.x + 25.4);
      const most = Math.max(...inStrip.map(({ y }) => inStrip.filter((o) => o.y >= y && o.y < y + 25.4).length));
      return most > 2 ? [`${place(sheet, page)}: ${most} labels in the square inch at ${one.id}`] : [];
    });
  });
}

export const ALL_RULES: Readonly<Record<string, (sheet: Sheet) => string[]>> = {
  "type is as large as its distance asks": typeTooSmall,
  "depths and cut lengths have digits of 4.1 mm": depthsTooSmall,
  "values of the pour clock have digits of 9.3 mm": keyValuesTooSmall,
  "leading is 1.25 or more": leadingTooTight,
  "lines have at most 70 characters and fit their place": linesTooLong,
  "pages hold what stands on them": pagesTooFull,
  "no heading and no table head stands alone": headsAlone,
  "blanks are 8 mm high": blanksTooLow,
  "no label covers another": labelsInTheWay,
  "no text runs off the paper": textOffThePaper,
  "at most two pin labels stand in a square inch": labelsTooDense,
};

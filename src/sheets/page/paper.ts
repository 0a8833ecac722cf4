/** Paper sizes and the frame that a page leaves for its blocks, in mm. */
import type { PaperFamily } from "../../job/model.ts";
import type { Orientation, PaperSize } from "../model.ts";
import { FOOT_MM, HEADING_LEADING, LEADING, READING_MM, TITLE_MM } from "../type/type-sizes.ts";

/** Width × height upright: ISO 216 for A3 and A4, ANSI/ASME Y14.1 A and B for letter and tabloid. */
const UPRIGHT: Readonly<Record<PaperSize, readonly [number, number]>> = {
  letter: [215.9, 279.4],
  tabloid: [279.4, 431.8],
  a4: [210, 297],
  a3: [297, 420],
};

export const SMALL_PAPER: Readonly<Record<PaperFamily, PaperSize>> = { letter: "letter", a4: "a4" };
export const LARGE_PAPER: Readonly<Record<PaperFamily, PaperSize>> = { letter: "tabloid", a4: "a3" };

/** The sheets are punched or bound at the left; a laminating pouch wants its own edge all round. */
export const BINDING_EDGE_MM = 20;
export const MARGIN_MM = 10;
export const HEAD_MM = Math.ceil(TITLE_MM * HEADING_LEADING + READING_MM * LEADING) + 3;
export const FOOT_LINE_MM = FOOT_MM * LEADING + 1.3;

export function paperSize(paper: PaperSize, orientation: Orientation): { widthMm: number; heightMm: number } {
  const [short, long] = UPRIGHT[paper];
  return orientation === "portrait" ? { widthMm: short, heightMm: long } : { widthMm: long, heightMm: short };
}

/** What is left between margins, head and foot. */
export function pageFrame(paper: PaperSize, orientation: Orientation): { widthMm: number; heightMm: number } {
  const { widthMm, heightMm } = paperSize(paper, orientation);
  return {
    widthMm: widthMm - BINDING_EDGE_MM - MARGIN_MM,
    heightMm: heightMm - 2 * MARGIN_MM - HEAD_MM - FOOT_LINE_MM,
  };
}

/** Paper sizes and the frame that a page leaves for its blocks, in mm. */
import type { PaperFamily } from "../../job/model.ts";
import type { Orientation, PaperSize } from "../model.ts";

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
/** Title, job and owner, and the rule below them; the stylesheet's header and body padding add up to it. */
export const HEAD_MM = 22;
/** The identity line; the stylesheet's footer is as high. */
export const FOOT_LINE_MM = 5;

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

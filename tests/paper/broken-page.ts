/** Pages set by hand, right in everything that a test does not break: each test breaks one thing. */
import { readFileSync } from "node:fs";
import { join } from "node:path";
import { projectFolder } from "../../src/print/cache-folder.ts";
import { embedFonts, FONT_FACES_MARK } from "../../src/print/font-faces.ts";
import type { Printer } from "../../src/print/print-pages.ts";
import { checkPapers } from "./check-pdf.ts";
import type { Expected, Finding } from "./page-parts.ts";
import { type Paper, type PaperPage, readPaper } from "./read-paper.ts";

export const EXPECTED: Expected = {
  jobId: "small-job",
  family: "letter",
  language: "en",
  sheetIds: new Map([
    ["Pin map", "pin-map"],
    ["Cut table", "cut-table"],
    ["Pour clock", "mixing-schedule"],
    ["Method", "method"],
    ["Pause cards", "pause-cards"],
    ["Cover", "cover"],
  ]),
  pins: [
    { id: "A1", room: "store", at: { eastM: 1, northM: 1 }, printed: ["15\u00a0mm", "9/16\u00a0in"] },
    { id: "A2", room: "store", at: { eastM: 3, northM: 1 }, printed: ["12\u00a0mm", "1/2\u00a0in"] },
    { id: "B1", room: "store", at: { eastM: 1, northM: 3 }, printed: ["9\u00a0mm", "3/8\u00a0in"] },
  ],
  waterPerBag: "5.0 qt",
  plan: undefined,
  ownText: "small-job Small room Example Floors",
};

export interface HandPage {
  readonly title?: string;
  /** What stands between head and foot. */
  readonly body: string;
  readonly foot?: readonly string[];
  readonly paper?: string;
}

const STYLE = readFileSync(join(projectFolder, "templates", "styles", "sheet.css"), "utf8");

export const foot = (title: string, page = 1, of = 1, hash = "0123abcd"): string[] => [
  "small-job",
  title,
  "Revision 0",
  "2027-03-01",
  "DRAFT",
  hash,
  `Page ${page} of ${of}`,
];

export const line = (text: string, sizeMm = 4.9, style = ""): string =>
  `<p style="font-size:${sizeMm}mm;line-height:${1.32 * sizeMm}mm;${style}">${text}</p>`;

/** A drawing over the whole frame of a letter page, one unit a millimetre. */
export const drawing = (marks: string): string =>
  `<div><svg class="drawing" width="185mm" height="215mm" viewBox="0 0 185 215">${marks}</svg></div>`;

export const svgText = (x: number, y: number, text: string, sizeMm = 6, more = ""): string =>
  `<text x="${x}" y="${y}" font-size="${sizeMm}" ${more}>${text}</text>`;

export interface Change {
  readonly expected?: Partial<Expected>;
  readonly fileName?: string;
  /** Of the whole document, before it is printed. */
  readonly html?: (html: string) => string;
  /** Of what was read, for what a browser cannot be brought to print. */
  readonly paper?: (paper: Paper) => Paper;
}

/** Prints pages as one document. */
export async function printPages(printer: Printer, pages: readonly HandPage[], change: Change = {}): Promise<Paper> {
  const language = change.expected?.language ?? EXPECTED.language;
  const sections = pages.map(({ title = "Method", body, foot: parts, paper = "letter-portrait" }) => {
    const identity = (parts ?? foot(title)).map((part) => `<span>${part}</span>`).join("");
    return `<section class="page ${paper}"><header><h1 class="title">${title}</h1><p class="job"><span>Small room</span><span>Example Floors</span></p></header><div class="body">${body}</div><footer>${identity}</footer></section>`;
  });
  const html = `<!doctype html><html lang="${language}"><head><meta charset="utf-8"><title>Method, Small room</title><style>${FONT_FACES_MARK}</style><style>${STYLE}body{margin:0}</style></head><body>${sections.join("")}</body></html>`;
  const { pdf } = await printer.print("pages set by hand", embedFonts(change.html ? change.html(html) : html));
  const paper = await readPaper(change.fileName ?? `small-job-gc-set-${language}-draft.pdf`, pdf);
  return change.paper ? change.paper(paper) : paper;
}

/** What the rules find on some of a document's pages. */
export const findingsOn = (paper: Paper, pages: readonly PaperPage[], expected: Partial<Expected> = {}): Finding[] =>
  checkPapers([{ ...paper, pages }], { ...EXPECTED, ...expected });

/**
 * The rules for sheets, read off finished PDFs: each a function from pages as painted to what breaks the
 * rule, with page, place and text. Nothing here knows the view models or the stylesheet.
 */
import { en } from "../../src/sheets/words/en.ts";
import { es } from "../../src/sheets/words/es.ts";
import { type Expected, type Finding, type PageParts, partsOf, textOf, wordsOf } from "./page-parts.ts";
import { type Picture, paint } from "./raster.ts";
import type { Paper } from "./read-paper.ts";
import {
  bandsUnnumbered,
  checkLengthUntrue,
  contourLabelsWrong,
  contoursTooNear,
  entranceMissing,
  gridLettersBad,
  hueUsed,
  labelsOverlap,
  labelsTooDense,
  linesUnmeasured,
  pinsMisplaced,
  pinsNotFound,
  scaleUntrue,
  textTurned,
  tilesApart,
  tintsBad,
} from "./rules-map.ts";
import {
  boxesTooSmall,
  cardBad,
  fileBad,
  headingAlone,
  identityApart,
  identityBad,
  pageBad,
  rowsAlone,
  scrapsLeft,
  tablesTorn,
  tooMuchInk,
} from "./rules-page.ts";
import {
  decimalsAskew,
  digitsTooSmall,
  figuresNotTabular,
  foreignWords,
  languagesApart,
  settingBad,
  textHardToSee,
  typeTooSmall,
  unitsApart,
} from "./rules-type.ts";

/** Every word of a catalogue; what stands in for values is no word. */
function catalogueWords(of: unknown): string[] {
  if (typeof of === "string") return wordsOf(of);
  if (typeof of === "function") {
    try {
      return wordsOf(String((of as (...values: string[]) => unknown)("1", "2", "3", "4", "5")));
    } catch {
      // It takes values of another form: what it says is met with on the English sheets.
      return [];
    }
  }
  return of !== null && typeof of === "object" ? Object.values(of).flatMap(catalogueWords) : [];
}
const ENGLISH = new Set(catalogueWords(en));
const SPANISH = new Set(catalogueWords(es));

const WANTED_CONTRAST = 7;

/** Rules that look at one page. */
export const PAGE_RULES: readonly ((parts: PageParts, expected: Expected, picture: Picture) => Finding[])[] = [
  typeTooSmall,
  digitsTooSmall,
  settingBad,
  figuresNotTabular,
  unitsApart,
  decimalsAskew,
  (parts, _, picture) => textHardToSee(parts, picture),
  (parts, expected) => foreignWords(parts, expected, ENGLISH, SPANISH),
  labelsOverlap,
  labelsTooDense,
  tintsBad,
  hueUsed,
  bandsUnnumbered,
  textTurned,
  gridLettersBad,
  contourLabelsWrong,
  contoursTooNear,
  scaleUntrue,
  checkLengthUntrue,
  pinsMisplaced,
  linesUnmeasured,
  identityBad,
  pageBad,
  tablesTorn,
  headingAlone,
  boxesTooSmall,
  cardBad,
  (parts, _, picture) => tooMuchInk(parts, picture),
];

/** The pages of the PDFs of one language; a page that stands in several of them once. */
function pagesOf(papers: readonly Paper[], expected: Expected): PageParts[] {
  const seen = new Set<string>();
  const pages: PageParts[] = [];
  for (const paper of papers)
    for (const page of paper.pages) {
      const parts = partsOf(paper, page, expected);
      const identity = parts.foot.map(textOf).join("|");
      if (identity !== "" && seen.has(identity)) continue;
      seen.add(identity);
      pages.push(parts);
    }
  return pages;
}

/** Checks the PDFs of one language of one job. */
export function checkPapers(papers: readonly Paper[], expected: Expected): Finding[] {
  const pages = pagesOf(papers, expected);
  return [
    ...papers.flatMap((paper) => fileBad(paper, expected)),
    ...pages.flatMap((parts) => {
      const picture = paint(parts.page, WANTED_CONTRAST);
      return PAGE_RULES.flatMap((rule) => rule(parts, expected, picture));
    }),
    ...identityApart(pages),
    ...scrapsLeft(pages),
    ...rowsAlone(pages),
    ...tilesApart(pages),
    ...pinsNotFound(pages, expected),
    ...entranceMissing(pages, expected),
  ];
}

/** What the PDFs of two languages of one job say otherwise than each other. */
export const checkLanguages = (
  first: { readonly papers: readonly Paper[]; readonly expected: Expected },
  second: { readonly papers: readonly Paper[]; readonly expected: Expected },
): Finding[] =>
  languagesApart(pagesOf(first.papers, first.expected), pagesOf(second.papers, second.expected), first.expected);

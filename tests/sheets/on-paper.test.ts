/**
 * The sheets in a real browser and as a finished PDF: what the view model says of widths, heights and
 * glyphs is what comes out of the printer.
 */
import { fileURLToPath } from "node:url";
import nunjucks from "nunjucks";
import { getDocument, VerbosityLevel } from "pdfjs-dist/legacy/build/pdf.mjs";
import type { Browser } from "puppeteer";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { defaultCacheFolder } from "../../src/print/cache-folder.ts";
import { findBrowser } from "../../src/print/find-browser.ts";
import { embedFonts, FONT_FACES_MARK } from "../../src/print/font-faces.ts";
import { composeSheets } from "../../src/sheets/compose-sheets.ts";
import type { Sheet } from "../../src/sheets/model.ts";
import { paperSize } from "../../src/sheets/page/paper.ts";
import { CAP_HEIGHT, textWidthMm } from "../../src/sheets/type/text-metrics.ts";
import { findings } from "./fixtures/small-clinic.ts";

const environment = new nunjucks.Environment(
  new nunjucks.FileSystemLoader(fileURLToPath(new URL("../../templates/", import.meta.url))),
  { autoescape: true, throwOnUndefined: true, trimBlocks: true, lstripBlocks: true },
);

/** All sheets of one language in one document, as a set is printed. */
function documentOf(sheets: readonly Sheet[]): string {
  const style = environment.render("styles/sheet.css", {});
  const body = sheets.map((sheet) => environment.render(`sheets/${sheet.id}.njk`, { sheet })).join("");
  return embedFonts(
    `<!doctype html><html lang="${sheets[0]?.language}"><meta charset="utf-8"><title>Sheets</title><style>${FONT_FACES_MARK}</style><style>${style}</style><body>${body}`,
  );
}

interface PdfText {
  readonly text: string;
  readonly page: number;
  readonly sizeMm: number;
  readonly xMm: number;
  readonly yMm: number;
}

const MM_PER_POINT = 25.4 / 72;

async function textsOfPdf(
  bytes: Uint8Array,
): Promise<{ texts: PdfText[]; sizes: { widthMm: number; heightMm: number }[] }> {
  const document = await getDocument({ data: Uint8Array.from(bytes), verbosity: VerbosityLevel.ERRORS }).promise;
  const texts: PdfText[] = [];
  const sizes: { widthMm: number; heightMm: number }[] = [];
  for (let number = 1; number <= document.numPages; number++) {
    const page = await document.getPage(number);
    const [left = 0, bottom = 0, right = 0, top = 0] = page.view;
    sizes.push({ widthMm: (right - left) * MM_PER_POINT, heightMm: (top - bottom) * MM_PER_POINT });
    for (const item of (await page.getTextContent()).items) {
      if (!("str" in item) || item.str.trim() === "") continue;
      const [a, b, c, d, e, f] = item.transform as [number, number, number, number, number, number];
      texts.push({
        text: item.str,
        page: number,
        sizeMm: Math.max(Math.hypot(a, b), Math.hypot(c, d)) * MM_PER_POINT,
        xMm: e * MM_PER_POINT,
        yMm: (top - f) * MM_PER_POINT,
      });
    }
  }
  await document.loadingTask.destroy();
  return { texts, sizes };
}

describe.each(["en", "es"] as const)("printed in %s", (language) => {
  const sheets = composeSheets(findings, language);
  const pages = sheets.flatMap((sheet) => sheet.pages.map((page) => ({ sheet, page })));
  let browser: Browser;
  let lines: { text: string; widthMm: number; sizeMm: number; bold: boolean }[];
  let overflowing: string[];
  let pdf: Awaited<ReturnType<typeof textsOfPdf>>;

  beforeAll(async () => {
    ({ browser } = await findBrowser(defaultCacheFolder));
    const tab = await browser.newPage();
    await tab.setContent(documentOf(sheets));
    await tab.evaluate("document.fonts.ready");
    lines = (await tab.evaluate(`[...document.querySelectorAll(".line")].map((line) => {
      const range = document.createRange();
      range.selectNodeContents(line);
      const style = getComputedStyle(line);
      return { text: line.textContent, widthMm: range.getBoundingClientRect().width * 25.4 / 96, sizeMm: parseFloat(style.fontSize) * 25.4 / 96, bold: Number(style.fontWeight) >= 600 };
    })`)) as typeof lines;
    // A pixel is 0.26 mm; borders of tables may round to one.
    overflowing =
      (await tab.evaluate(`[...document.querySelectorAll(".block, tr, .checks li, .blanks li, .signal")].filter((block) => {
      const inner = block.matches("tr") ? block.getBoundingClientRect().height - parseFloat(block.style.height) * 96 / 25.4 : block.scrollHeight - block.clientHeight;
      return inner > 1.5 || block.scrollWidth > block.clientWidth + 1.5;
    }).map((block) => block.className + ": " + block.textContent.slice(0, 60))`)) as string[];
    pdf = await textsOfPdf(await tab.pdf({ preferCSSPageSize: true, printBackground: true, tagged: true }));
  }, 90_000);
  afterAll(() => browser.close());

  test("every line is as wide as its metrics say, but for kerning: seldom wider, by 0.2 mm at most", () => {
    expect(lines.length).toBeGreaterThan(500);
    for (const { text, widthMm, sizeMm, bold } of lines) {
      const predicted = textWidthMm(text, sizeMm, bold ? 700 : 400);
      expect(widthMm, text).toBeLessThanOrEqual(predicted + 0.2);
      expect(widthMm, text).toBeGreaterThan(predicted * 0.94 - 0.1);
    }
  });

  test("no block is higher or wider than the place it was given", () => {
    expect(overflowing).toEqual([]);
  });

  test("each page is one sheet of its own paper", () => {
    expect(pdf.sizes).toHaveLength(pages.length);
    pages.forEach(({ page }, index) => {
      const { widthMm, heightMm } = paperSize(page.paper, page.orientation);
      expect(pdf.sizes[index]?.widthMm).toBeCloseTo(widthMm, 0);
      expect(pdf.sizes[index]?.heightMm).toBeCloseTo(heightMm, 0);
    });
  });

  test("text keeps off the margins: 10 mm, and 20 mm at the binding edge", () => {
    for (const { text, page, xMm, yMm } of pdf.texts) {
      const size = pdf.sizes[page - 1];
      expect(xMm, text).toBeGreaterThan(19.5);
      expect(xMm, text).toBeLessThan((size?.widthMm ?? 0) - 9.5);
      expect(yMm, text).toBeGreaterThan(10);
      expect(yMm, text).toBeLessThan((size?.heightMm ?? 0) - 9.5);
    }
  });

  test("drawn glyphs have the heights that their sheets ask for, but for the identity line", () => {
    for (const { text, page, sizeMm, yMm } of pdf.texts) {
      const { sheet } = pages[page - 1] as (typeof pages)[number];
      const isFoot = yMm > (pdf.sizes[page - 1]?.heightMm ?? 0) - 15;
      if (isFoot) continue;
      const least = ["pin-map", "cut-table", "cut-order"].includes(sheet.id) ? 3.1 : 2.5;
      expect(sizeMm * CAP_HEIGHT, `${sheet.id}: ${text}`).toBeGreaterThanOrEqual(least);
    }
  });

  test("every pin stands on the printed map with its length in digits of 4.1 mm", () => {
    if (findings.depths.kind !== "ready") throw new Error("the fixture has depths");
    const onMap = pdf.texts.filter(({ page }) => pages[page - 1]?.sheet.id === "pin-map");
    for (const { pin } of findings.depths.value.pins) {
      const found = onMap.filter(({ text, sizeMm }) => text.trim() === pin.id && sizeMm * CAP_HEIGHT >= 4.1);
      expect(found.length, pin.id).toBeGreaterThanOrEqual(1);
    }
  });

  test("the foot of every page says job, sheet, revision, date, status, hash and page", () => {
    pages.forEach(({ sheet, page }, index) => {
      const foot = pdf.texts
        .filter((item) => item.page === index + 1 && item.yMm > (pdf.sizes[index]?.heightMm ?? 0) - 15)
        .map(({ text }) => text)
        .join(" ")
        .replace(/\s+/g, " ");
      for (const part of page.foot) expect(foot, sheet.id).toContain(part.replace(/\s+/g, " "));
    });
  });
});

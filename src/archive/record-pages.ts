/**
 * Pages of a record. They are stored in their final form but for two things that every page would
 * repeat: the embedded fonts stand once, in a file of the record's own, and a set holds marks where
 * its sheets stand. Both are put back, word for word, before anything is printed.
 */
import { textHash } from "../revision/canonical-json.ts";
import type { RecordFile } from "../revision/record-files.ts";

export interface RecordPage {
  /** Below the record's folder. */
  readonly path: string;
  readonly html: string;
}

const FONT_FACES = /(?<=<style>)@font-face\{[\s\S]*?(?=<\/style>)/;
const FONTS_MARK = /\/\*fonts ([\w.-]+)\*\//;
const ARTICLE = /<article class="sheet[\s\S]*?<\/article>/g;
const ARTICLE_ONCE = new RegExp(ARTICLE.source);
const SHEET_MARK = /<!--sheet ([\w./-]+)-->/g;

/** In each page of a sheet: where an issued revision that was superseded says so. */
export const ACROSS_MARK = "<!--across-->";

/** The files that hold these pages. A set holds the articles of `sheets`, which stand in it as marks. */
export function storePages(sheets: readonly RecordPage[], sets: readonly RecordPage[]): RecordFile[] {
  const fonts = new Map<string, string>();
  const withoutFonts = ({ path, html }: RecordPage): RecordFile => {
    const faces = FONT_FACES.exec(html)?.[0];
    if (faces === undefined) return { path, text: html };
    const file = `fonts-${textHash(faces).slice(0, 8)}.css`;
    fonts.set(file, faces);
    return { path, text: html.replace(faces, () => `/*fonts ${file}*/`) };
  };
  const owners = new Map(sheets.map(({ path, html }) => [ARTICLE_ONCE.exec(html)?.[0], path]));
  const withMarks = ({ path, html }: RecordPage): RecordPage => ({
    path,
    html: html.replace(ARTICLE, (article) => {
      const owner = owners.get(article);
      return owner === undefined ? article : `<!--sheet ${owner}-->`;
    }),
  });
  const stored = [...sheets, ...sets.map(withMarks)].map(withoutFonts);
  return [...stored, ...[...fonts].map(([path, text]) => ({ path, text }))];
}

/**
 * The pages as they were rendered when they were issued.
 * @throws Error naming what a mark leads to that is not in the record
 */
export function restorePages(files: readonly RecordFile[]): RecordPage[] {
  const texts = new Map(files.map(({ path, text }) => [path, text.replaceAll("\r\n", "\n")]));
  const textOf = (path: string): string => {
    const text = texts.get(path);
    if (text === undefined) throw new Error(`The record has no ${path}, to which one of its pages refers.`);
    return text;
  };
  return files
    .filter(({ path }) => path.endsWith(".html"))
    .map(({ path }) => ({
      path,
      html: textOf(path)
        .replace(SHEET_MARK, (_, sheet: string) => ARTICLE_ONCE.exec(textOf(sheet))?.[0] ?? "")
        .replace(FONTS_MARK, (_, file: string) => textOf(file)),
    }));
}

/** What stands across a superseded page, in the language of the sheet. */
export interface AcrossText {
  readonly word: string;
  readonly line: string;
}

const escaped = (text: string): string =>
  text.replaceAll("&", "&amp;").replaceAll("<", "&lt;").replaceAll(">", "&gt;").replaceAll('"', "&quot;");

/** Hollow letters over the whole page, so that what lies under them can still be read and nobody takes it for valid. */
const ACROSS_STYLE = `<style>
.across { position: absolute; inset: 0; pointer-events: none; }
.across svg { width: 100%; height: 100%; display: block; }
.across .word { font-family: "Noto Sans", sans-serif; font-weight: 700; fill: none; stroke: #000; stroke-width: 0.35px; }
.across .line { position: absolute; left: 20mm; right: 10mm; bottom: 17mm; background: #fff; border: 1mm solid #000; padding: 1.5mm 3mm; font-weight: 700; font-size: 4.85mm; line-height: 6.4mm; }
</style>`;

/**
 * The page with the text across each of its paper pages.
 * @param textOf by the language of the sheet
 * @throws Error where the page has no place for it: then it must not be printed as if it were valid
 */
export function acrossPages(page: RecordPage, textOf: (language: string) => AcrossText): RecordPage {
  if (!page.html.includes(ACROSS_MARK)) throw new Error(`${page.path} has no place to say that it was superseded.`);
  const language = /<html lang="([\w-]+)"/.exec(page.html)?.[1] ?? "en";
  const { word, line } = textOf(language);
  const over = `<div class="across"><svg viewBox="0 0 100 130" preserveAspectRatio="xMidYMid meet" aria-hidden="true"><text class="word" x="50" y="68" text-anchor="middle" font-size="14" textLength="112" transform="rotate(-50 50 65)">${escaped(word)}</text></svg><p class="line">${escaped(word)}. ${escaped(line)}</p></div>`;
  return {
    path: page.path,
    html: page.html.replace("</head>", () => `${ACROSS_STYLE}</head>`).replaceAll(ACROSS_MARK, () => over),
  };
}

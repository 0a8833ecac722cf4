/** Reads a finished PDF for tests: sizes, text with its place, what the file says of itself. */
import { getDocument, type PDFDocumentProxy, VerbosityLevel } from "pdfjs-dist/legacy/build/pdf.mjs";

export interface ReadPdf {
  readonly pages: readonly { readonly widthPt: number; readonly heightPt: number; readonly text: string }[];
  readonly title: string | undefined;
  readonly language: string | undefined;
  readonly tagged: boolean;
  readonly outline: readonly string[];
  /** PostScript names of the fonts, without their subset prefix; in order of the alphabet. */
  readonly fonts: readonly string[];
  /** True where every font has its outlines in the file. */
  readonly fontsEmbedded: boolean;
}

export async function readPdf(bytes: Uint8Array): Promise<ReadPdf> {
  // pdf.js takes the buffer over: hand it a copy.
  const document: PDFDocumentProxy = await getDocument({
    data: Uint8Array.from(bytes),
    verbosity: VerbosityLevel.ERRORS,
  }).promise;
  const pages = [];
  for (let number = 1; number <= document.numPages; number += 1) {
    const page = await document.getPage(number);
    const [left = 0, bottom = 0, right = 0, top = 0] = page.view;
    const content = await page.getTextContent();
    const text = content.items.map((item) => ("str" in item ? item.str : "")).join(" ");
    pages.push({ widthPt: right - left, heightPt: top - bottom, text: text.replace(/\s+/g, " ") });
  }
  const { info } = await document.getMetadata();
  const facts = info as { Title?: string; Language?: string | null };
  const outline = ((await document.getOutline()) ?? []).map((entry) => entry.title);
  const tagged = ((await document.getMarkInfo()) as { Marked?: boolean } | null)?.Marked === true;
  const raw = Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength).toString("latin1");
  const descriptors = raw.match(/\/Type \/FontDescriptor[\s\S]*?>>/g) ?? [];
  const names = descriptors.map((each) => /\/FontName \/(?:[A-Z]{6}\+)?([\w-]+)/.exec(each)?.[1] ?? "unnamed");
  await document.loadingTask.destroy();
  return {
    pages,
    title: facts.Title,
    language: facts.Language ?? undefined,
    tagged,
    outline,
    fonts: [...new Set(names)].sort(),
    fontsEmbedded: descriptors.length > 0 && descriptors.every((each) => /\/FontFile[23]? /.test(each)),
  };
}

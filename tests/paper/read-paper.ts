/**
 * Reads a finished PDF as what it is: marks on paper, in the order in which they are painted. Text comes
 * glyph by glyph with the outlines that the file itself embeds, so that heights are those of the drawn
 * glyph and not of any stylesheet. Coordinates in mm of paper, x to the right, y down.
 */
import { getDocument, OPS, type PDFPageProxy, VerbosityLevel } from "pdfjs-dist/legacy/build/pdf.mjs";

/** PDF 32000-1, 8.3.2.3: a default unit of user space is 1/72 in. */
const MM_PER_POINT = 25.4 / 72;

export interface At {
  readonly x: number;
  readonly y: number;
}

export interface Extent {
  readonly minX: number;
  readonly minY: number;
  readonly maxX: number;
  readonly maxY: number;
}

export interface Glyph {
  /** One character, or more where the font joins them. */
  readonly text: string;
  /** On the baseline. */
  readonly origin: At;
  /** As the font has it, one unit an em; empty for a space. */
  readonly outline: readonly (readonly At[])[];
  /** Brings the outline onto the paper. */
  readonly place: Matrix;
  /** Of the drawn outline; undefined for a space. */
  readonly extent: Extent | undefined;
}

/** The drawn outline of a glyph on the paper. */
export const ringsOf = ({ outline, place }: Glyph): At[][] =>
  outline.map((ring) => ring.map(({ x, y }) => apply(place, x, y)));

export interface TextMark {
  readonly kind: "text";
  readonly text: string;
  readonly glyphs: readonly Glyph[];
  /** Height of an em. */
  readonly emMm: number;
  readonly fontName: string;
  /** Degrees counter-clockwise. */
  readonly turned: number;
  /** 0 black, 1 white, linear light. */
  readonly luminance: number;
  /** In a colour that is no grey. */
  readonly coloured: boolean;
  readonly extent: Extent;
  readonly clip: Extent;
}

export interface FillMark {
  readonly kind: "fill";
  readonly rings: readonly (readonly At[])[];
  readonly evenOdd: boolean;
  readonly luminance: number;
  /** In a colour that is no grey. */
  readonly coloured: boolean;
  readonly extent: Extent;
  readonly clip: Extent;
}

export interface StrokeMark {
  readonly kind: "stroke";
  readonly lines: readonly (readonly At[])[];
  readonly widthMm: number;
  readonly dashed: boolean;
  readonly luminance: number;
  /** In a colour that is no grey. */
  readonly coloured: boolean;
  readonly extent: Extent;
  readonly clip: Extent;
}

export type PaperMark = TextMark | FillMark | StrokeMark;

export interface StructureNode {
  readonly role?: string;
  readonly children?: readonly StructureNode[];
}

export interface PaperPage {
  /** From 1 within the file. */
  readonly number: number;
  readonly widthMm: number;
  readonly heightMm: number;
  readonly marks: readonly PaperMark[];
  /** The page's structure elements: H1, Table, TR, TH, Figure … */
  readonly structure: StructureNode;
}

export interface Paper {
  readonly fileName: string;
  readonly title: string | undefined;
  readonly language: string | undefined;
  readonly tagged: boolean;
  readonly outline: readonly string[];
  readonly fonts: readonly { readonly name: string; readonly embedded: boolean }[];
  /** Header cells of tables, and how many of them say for what they are the head. */
  readonly headerCells: number;
  readonly scopedHeaderCells: number;
  readonly pageCount: number;
  /** Those that were read. */
  readonly pages: readonly PaperPage[];
}

/** As PDF 32000-1, 8.3.3 writes it. */
export type Matrix = readonly [number, number, number, number, number, number];
const IDENTITY: Matrix = [1, 0, 0, 1, 0, 0];

/** First `b`, then `a` (PDF 32000-1, 8.3.4). */
const times = (a: Matrix, b: Matrix): Matrix => [
  a[0] * b[0] + a[2] * b[1],
  a[1] * b[0] + a[3] * b[1],
  a[0] * b[2] + a[2] * b[3],
  a[1] * b[2] + a[3] * b[3],
  a[0] * b[4] + a[2] * b[5] + a[4],
  a[1] * b[4] + a[3] * b[5] + a[5],
];
const apply = (m: Matrix, x: number, y: number): At => ({
  x: m[0] * x + m[2] * y + m[4],
  y: m[1] * x + m[3] * y + m[5],
});

export function extentOf(points: Iterable<At>): Extent {
  let [minX, minY, maxX, maxY] = [Infinity, Infinity, -Infinity, -Infinity];
  for (const { x, y } of points) {
    minX = Math.min(minX, x);
    minY = Math.min(minY, y);
    maxX = Math.max(maxX, x);
    maxY = Math.max(maxY, y);
  }
  return { minX, minY, maxX, maxY };
}

const common = (a: Extent, b: Extent): Extent => ({
  minX: Math.max(a.minX, b.minX),
  minY: Math.max(a.minY, b.minY),
  maxX: Math.min(a.maxX, b.maxX),
  maxY: Math.min(a.maxY, b.maxY),
});

/** Relative luminance of an sRGB colour (IEC 61966-2-1; the weights of Rec. 709): what a grey printer or copier keeps. */
function luminanceOf(hex: string): number {
  const [r, g, b] = [1, 3, 5].map((at) => {
    const share = Number.parseInt(hex.slice(at, at + 2), 16) / 255;
    return share <= 0.04045 ? share / 12.92 : ((share + 0.055) / 1.055) ** 2.4;
  }) as [number, number, number];
  return 0.2126 * r + 0.7152 * g + 0.0722 * b;
}

const isGrey = (hex: string): boolean => hex.slice(1, 3) === hex.slice(3, 5) && hex.slice(3, 5) === hex.slice(5, 7);

const CURVE_STEPS = 4;

/** A path in the form of pdf.js (0 move, 1 line, 2 cubic, 3 quadratic, 4 close) as polylines. */
function flattened(path: ArrayLike<number>, to: Matrix): At[][] {
  const lines: At[][] = [];
  let current: At[] = [];
  let [x, y] = [0, 0];
  const put = (nx: number, ny: number): void => {
    current.push(apply(to, nx, ny));
    [x, y] = [nx, ny];
  };
  for (let k = 0; k < path.length; ) {
    const step = path[k++];
    const next = (): number => path[k++] as number;
    if (step === 0) {
      if (current.length > 0) lines.push(current);
      current = [];
      put(next(), next());
    } else if (step === 1) put(next(), next());
    else if (step === 2 || step === 3) {
      const [x0, y0] = [x, y];
      const c = Array.from({ length: step === 2 ? 6 : 4 }, next);
      for (let part = 1; part <= CURVE_STEPS; part++) {
        const t = part / CURVE_STEPS;
        const u = 1 - t;
        const at = (k0: number, a: number): number =>
          step === 2
            ? u ** 3 * k0 + 3 * u * u * t * c[a]! + 3 * u * t * t * c[a + 2]! + t ** 3 * c[a + 4]!
            : u * u * k0 + 2 * u * t * c[a]! + t * t * c[a + 2]!;
        put(at(x0, 0), at(y0, 1));
      }
    } else if (step === 4) {
      if (current.length > 0) current.push(current[0]!);
    } else throw new Error(`a path has the step ${step}, which this reader does not know`);
  }
  if (current.length > 0) lines.push(current);
  return lines;
}

interface PdfGlyph {
  readonly unicode: string;
  readonly fontChar: string;
  readonly width: number;
}
interface PdfFont {
  readonly name: string;
  readonly loadedName: string;
}

interface State {
  ctm: Matrix;
  clip: Extent;
  fill: number;
  stroke: number;
  fillIsGrey: boolean;
  strokeIsGrey: boolean;
  fillAlpha: number;
  strokeAlpha: number;
  lineWidth: number;
  dashed: boolean;
  font: PdfFont | undefined;
  fontSize: number;
  charSpacing: number;
  wordSpacing: number;
  rise: number;
  scale: number;
}

const FILLS: ReadonlySet<number> = new Set([
  OPS.fill,
  OPS.eoFill,
  OPS.fillStroke,
  OPS.eoFillStroke,
  OPS.closeFillStroke,
  OPS.closeEOFillStroke,
]);
const STROKES: ReadonlySet<number> = new Set([
  OPS.stroke,
  OPS.closeStroke,
  OPS.fillStroke,
  OPS.eoFillStroke,
  OPS.closeFillStroke,
  OPS.closeEOFillStroke,
]);
const EVEN_ODD: ReadonlySet<number> = new Set([OPS.eoFill, OPS.eoFillStroke, OPS.closeEOFillStroke]);

/** On white paper a see-through colour is a lighter one. */
const onWhite = (luminance: number, alpha: number): number => luminance * alpha + (1 - alpha);

interface Outline {
  readonly outline: readonly (readonly At[])[];
  readonly box: Extent | undefined;
}
const BLANK: Outline = { outline: [], box: undefined };

/** @param outlines of glyphs met with so far in this file. */
async function marksOf(
  page: PDFPageProxy,
  widthMm: number,
  heightMm: number,
  outlines: Map<string, Outline>,
): Promise<PaperMark[]> {
  const { fnArray, argsArray } = await page.getOperatorList();
  const [left = 0, , , top = 0] = page.view;
  const toPaper: Matrix = [MM_PER_POINT, 0, 0, -MM_PER_POINT, -left * MM_PER_POINT, top * MM_PER_POINT];
  const objects = page.commonObjs as unknown as { get(name: string): unknown; has(name: string): boolean };
  const outlineOf = ({ loadedName }: PdfFont, fontChar: string): Outline => {
    const name = `${loadedName}_path_${fontChar}`;
    const known = outlines.get(name);
    if (known) return known;
    const path = objects.has(name)
      ? (objects.get(name) as { path?: ArrayLike<number> } | ArrayLike<number> | null)
      : null;
    const data = path && "path" in path ? path.path : (path as ArrayLike<number> | null);
    const rings = data ? flattened(data, IDENTITY) : [];
    const made = rings.length > 0 ? { outline: rings, box: extentOf(rings.flat()) } : BLANK;
    outlines.set(name, made);
    return made;
  };
  const marks: PaperMark[] = [];
  let state: State = {
    ctm: IDENTITY,
    clip: { minX: 0, minY: 0, maxX: widthMm, maxY: heightMm },
    fill: 0,
    stroke: 0,
    fillIsGrey: true,
    strokeIsGrey: true,
    fillAlpha: 1,
    strokeAlpha: 1,
    lineWidth: 1,
    dashed: false,
    font: undefined,
    fontSize: 1,
    charSpacing: 0,
    wordSpacing: 0,
    rise: 0,
    scale: 1,
  };
  const stack: State[] = [];
  let clipNext = false;
  let [textMatrix, lineX, lineY, x] = [IDENTITY, 0, 0, 0];
  let run: { glyphs: Glyph[]; matrix: Matrix } | undefined;

  const endRun = (): void => {
    if (run?.glyphs.some(({ extent }) => extent !== undefined)) {
      const m = times(toPaper, times(state.ctm, run.matrix));
      const inked = run.glyphs.flatMap(({ extent }) => (extent ? [extent] : []));
      marks.push({
        kind: "text",
        text: run.glyphs.map(({ text }) => text).join(""),
        glyphs: run.glyphs,
        emMm: state.fontSize * Math.hypot(m[2], m[3]),
        fontName: (state.font?.name ?? "").replace(/^[A-Z]{6}\+/, ""),
        turned: Math.round((Math.atan2(-m[1], m[0]) * 180) / Math.PI),
        luminance: onWhite(state.fill, state.fillAlpha),
        coloured: !state.fillIsGrey,
        extent: extentOf(
          inked.flatMap((e) => [
            { x: e.minX, y: e.minY },
            { x: e.maxX, y: e.maxY },
          ]),
        ),
        clip: state.clip,
      });
    }
    run = undefined;
  };
  const show = (items: readonly (PdfGlyph | number)[]): void => {
    const { font, fontSize } = state;
    if (!font) return;
    run ??= { glyphs: [], matrix: textMatrix };
    for (const item of items) {
      if (typeof item === "number") {
        x -= (item / 1000) * fontSize * state.scale;
        continue;
      }
      const place = times(
        toPaper,
        times(state.ctm, times(textMatrix, [state.scale, 0, 0, 1, x + lineX, lineY + state.rise])),
      );
      const inEm = times(place, [fontSize, 0, 0, fontSize, 0, 0]);
      // A space has no outline of its own: pdf.js hands out the one for a missing glyph.
      const { outline, box } = item.unicode.trim() === "" ? BLANK : outlineOf(font, item.fontChar);
      run.glyphs.push({
        text: item.unicode,
        origin: apply(place, 0, 0),
        outline,
        place: inEm,
        // Text stands upright or on its side: corners of the box in the em are corners on the paper.
        extent: box && extentOf([apply(inEm, box.minX, box.minY), apply(inEm, box.maxX, box.maxY)]),
      });
      x +=
        ((item.width / 1000) * fontSize + state.charSpacing + (item.unicode === " " ? state.wordSpacing : 0)) *
        state.scale;
    }
  };

  for (let k = 0; k < fnArray.length; k++) {
    const args = argsArray[k] as unknown[];
    switch (fnArray[k]) {
      case OPS.save:
        stack.push({ ...state });
        break;
      case OPS.restore:
        state = stack.pop() ?? state;
        break;
      case OPS.transform:
        state.ctm = times(state.ctm, args as unknown as Matrix);
        break;
      case OPS.setFillRGBColor:
        state.fill = luminanceOf(args[0] as string);
        state.fillIsGrey = isGrey(args[0] as string);
        break;
      case OPS.setStrokeRGBColor:
        state.stroke = luminanceOf(args[0] as string);
        state.strokeIsGrey = isGrey(args[0] as string);
        break;
      case OPS.setLineWidth:
        state.lineWidth = args[0] as number;
        break;
      case OPS.setDash:
        state.dashed = (args[0] as number[]).length > 0;
        break;
      case OPS.setGState:
        for (const [key, value] of args[0] as [string, unknown][]) {
          if (key === "ca") state.fillAlpha = value as number;
          else if (key === "CA") state.strokeAlpha = value as number;
          else if (key === "LW") state.lineWidth = value as number;
          else if (key === "D") state.dashed = ((value as [number[], number])[0] ?? []).length > 0;
        }
        break;
      case OPS.clip:
      case OPS.eoClip:
        clipNext = true;
        break;
      case OPS.constructPath: {
        const paint = args[0] as number;
        const data = (args[1] as (ArrayLike<number> | null)[])[0];
        const lines = data ? flattened(data, times(toPaper, state.ctm)) : [];
        const box = extentOf(lines.flat());
        if (clipNext) state.clip = common(state.clip, box);
        clipNext = false;
        if (lines.length === 0) break;
        if (FILLS.has(paint)) {
          marks.push({
            kind: "fill",
            rings: lines,
            evenOdd: EVEN_ODD.has(paint),
            luminance: onWhite(state.fill, state.fillAlpha),
            coloured: !state.fillIsGrey,
            extent: box,
            clip: state.clip,
          });
        }
        if (STROKES.has(paint)) {
          const m = times(toPaper, state.ctm);
          marks.push({
            kind: "stroke",
            lines,
            widthMm: state.lineWidth * Math.sqrt(Math.abs(m[0] * m[3] - m[1] * m[2])),
            dashed: state.dashed,
            luminance: onWhite(state.stroke, state.strokeAlpha),
            coloured: !state.strokeIsGrey,
            extent: box,
            clip: state.clip,
          });
        }
        break;
      }
      case OPS.beginText:
        [textMatrix, lineX, lineY, x] = [IDENTITY, 0, 0, 0];
        break;
      case OPS.endText:
        endRun();
        break;
      case OPS.setFont: {
        endRun();
        const [name, size] = args as [string, number];
        state.font = objects.get(name) as PdfFont;
        state.fontSize = size;
        break;
      }
      case OPS.setTextMatrix:
        endRun();
        textMatrix = Array.from(
          { length: 6 },
          (_, index) => (args[0] as ArrayLike<number>)[index],
        ) as unknown as Matrix;
        [lineX, lineY, x] = [0, 0, 0];
        break;
      case OPS.moveText:
        // Chrome moves from glyph to glyph within a run; a run ends where its BT does.
        lineX += args[0] as number;
        lineY += args[1] as number;
        x = 0;
        break;
      case OPS.setCharSpacing:
        state.charSpacing = args[0] as number;
        break;
      case OPS.setWordSpacing:
        state.wordSpacing = args[0] as number;
        break;
      case OPS.setHScale:
        state.scale = (args[0] as number) / 100;
        break;
      case OPS.setTextRise:
        state.rise = args[0] as number;
        break;
      case OPS.showText:
      case OPS.showSpacedText:
        show(args[0] as (PdfGlyph | number)[]);
        break;
      default:
        if (
          fnArray[k] === OPS.paintImageXObject ||
          fnArray[k] === OPS.paintInlineImageXObject ||
          fnArray[k] === OPS.shadingFill
        )
          throw new Error(`page ${page.pageNumber} paints an image or a gradient, which no sheet has`);
    }
  }
  return marks;
}

interface OutlineEntry {
  readonly title: string;
  readonly items: readonly OutlineEntry[];
}
const titlesOf = (entries: readonly OutlineEntry[]): string[] =>
  entries.flatMap((entry) => [entry.title, ...titlesOf(entry.items)]);

/**
 * Reads pages glyph by glyph.
 * @param wanted whether to read a page, by its number from 1.
 * @throws Error where a page has an image or a gradient: no sheet has one.
 */
export async function readPaper(
  fileName: string,
  bytes: Uint8Array,
  wanted: (pageNumber: number, pageCount: number) => boolean = () => true,
): Promise<Paper> {
  const task = getDocument({
    // pdf.js takes the buffer over: hand it a copy.
    data: Uint8Array.from(bytes),
    verbosity: VerbosityLevel.ERRORS,
    // Glyphs as outlines rather than as fonts for a canvas.
    disableFontFace: true,
    fontExtraProperties: true,
  });
  const document = await task.promise;
  const pages: PaperPage[] = [];
  const outlines = new Map<string, Outline>();
  for (let number = 1; number <= document.numPages; number += 1) {
    if (!wanted(number, document.numPages)) continue;
    const page = await document.getPage(number);
    const [left = 0, bottom = 0, right = 0, top = 0] = page.view;
    const [widthMm, heightMm] = [(right - left) * MM_PER_POINT, (top - bottom) * MM_PER_POINT];
    const marks = await marksOf(page, widthMm, heightMm, outlines);
    pages.push({
      number,
      widthMm,
      heightMm,
      marks,
      structure: ((await page.getStructTree()) as StructureNode | null) ?? {},
    });
    page.cleanup();
  }
  const facts = (await document.getMetadata()).info as { Title?: string; Language?: string | null };
  const outline = titlesOf(((await document.getOutline()) ?? []) as unknown as OutlineEntry[]);
  const pageCount = document.numPages;
  const tagged = ((await document.getMarkInfo()) as { Marked?: boolean } | null)?.Marked === true;
  await task.destroy();
  const raw = Buffer.from(bytes.buffer, bytes.byteOffset, bytes.byteLength).toString("latin1");
  const fonts = (raw.match(/\/Type \/FontDescriptor[\s\S]*?>>/g) ?? []).map((each) => ({
    name: /\/FontName \/(?:[A-Z]{6}\+)?([\w-]+)/.exec(each)?.[1] ?? "unnamed",
    embedded: /\/FontFile[23]? /.test(each),
  }));
  const heads = raw.match(/\/S \/TH\b[\s\S]*?endobj/g) ?? [];
  return {
    fileName,
    title: facts.Title,
    language: facts.Language ?? undefined,
    tagged,
    outline,
    fonts,
    headerCells: heads.length,
    scopedHeaderCells: heads.filter((each) => /\/Scope \/(Column|Row|Both)/.test(each)).length,
    pageCount,
    pages,
  };
}

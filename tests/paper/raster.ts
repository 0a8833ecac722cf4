/**
 * A page as a grey image, painted from the marks of its PDF in their order: no browser and no system
 * tool, so that every machine sees the same picture. Each pixel is one sample at its centre, in linear
 * light: averages over an area come out right, single pixels have hard edges.
 */
import { type At, type Extent, type PaperMark, type PaperPage, ringsOf, type TextMark } from "./read-paper.ts";

/** 127 dots an inch: the stem of the smallest letter is two of them. */
export const PIXELS_A_MM = 5;

export interface GreyImage {
  readonly width: number;
  readonly height: number;
  /** 0 black to 255 white, row by row from the top, in linear light. */
  readonly luminance: Uint8Array;
}

export interface Legibility {
  readonly mark: TextMark;
  /** Of the paper in and next to the glyphs, just before they were painted: how much of it lacks the wanted contrast. */
  readonly shareWithoutContrast: number;
  /** The lowest contrast met there. */
  readonly leastContrast: number;
  /** How much of the glyphs was painted over afterwards. */
  readonly shareCovered: number;
}

export interface Picture extends GreyImage {
  /** Of every text, in the order of painting. */
  readonly texts: readonly Legibility[];
}

/** Where nothing was painted yet; no page has so many marks. */
const NOTHING = 65_535;

/** Contrast of two relative luminances (the formula of WCAG 2.2, 1.4.3). */
export const contrast = (a: number, b: number): number => (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05);

/** Contrast of each grey with a text's own luminance; a page's texts have two or three. */
const contrastsOf = new Map<number, Float64Array>();
function contrastsWith(luminance: number): Float64Array {
  const known = contrastsOf.get(luminance);
  if (known) return known;
  const made = Float64Array.from({ length: 256 }, (_, grey) => contrast(grey / 255, luminance));
  contrastsOf.set(luminance, made);
  return made;
}

interface Canvas {
  readonly width: number;
  readonly height: number;
  /** Pixels `from` up to, not with, `to`. */
  span(from: number, to: number): void;
}

/** Calls `span` for the pixels of each row whose centres lie in the shape. */
function fillShape(rings: readonly (readonly At[])[], evenOdd: boolean, clip: Extent, canvas: Canvas): void {
  const edges: {
    readonly x0: number;
    readonly y0: number;
    readonly x1: number;
    readonly y1: number;
    readonly up: number;
  }[] = [];
  let [top, bottom] = [Infinity, -Infinity];
  for (const ring of rings) {
    for (let k = 0; k < ring.length; k++) {
      const [p, q] = [ring[k]!, ring[(k + 1) % ring.length]!];
      if (p.y === q.y) continue;
      const [a, b, up] = p.y < q.y ? [p, q, 1] : [q, p, -1];
      edges.push({ x0: a.x * PIXELS_A_MM, y0: a.y * PIXELS_A_MM, x1: b.x * PIXELS_A_MM, y1: b.y * PIXELS_A_MM, up });
      top = Math.min(top, a.y * PIXELS_A_MM);
      bottom = Math.max(bottom, b.y * PIXELS_A_MM);
    }
  }
  const firstRow = Math.max(0, Math.ceil(Math.max(top, clip.minY * PIXELS_A_MM) - 0.5));
  const lastRow = Math.min(canvas.height - 1, Math.ceil(Math.min(bottom, clip.maxY * PIXELS_A_MM) - 0.5) - 1);
  const left = Math.max(0, Math.ceil(clip.minX * PIXELS_A_MM - 0.5));
  const right = Math.min(canvas.width, Math.ceil(clip.maxX * PIXELS_A_MM - 0.5));
  edges.sort((p, q) => p.y0 - q.y0);
  let next = 0;
  let active: typeof edges = [];
  for (let row = firstRow; row <= lastRow; row++) {
    const y = row + 0.5;
    while (next < edges.length && edges[next]!.y0 <= y) active.push(edges[next++]!);
    active = active.filter(({ y1 }) => y1 > y);
    const crossings = active
      .map(({ x0, y0, x1, y1, up }) => ({ x: x0 + ((y - y0) / (y1 - y0)) * (x1 - x0), up }))
      .sort((p, q) => p.x - q.x);
    let winding = 0;
    for (let k = 0; k + 1 < crossings.length; k++) {
      winding += evenOdd ? 1 : crossings[k]!.up;
      if (evenOdd ? winding % 2 === 0 : winding === 0) continue;
      const from = Math.max(left, Math.ceil(crossings[k]!.x - 0.5));
      const to = Math.min(right, Math.ceil(crossings[k + 1]!.x - 0.5));
      if (to > from) canvas.span(row * canvas.width + from, row * canvas.width + to);
    }
  }
}

function fillStroke(lines: readonly (readonly At[])[], widthMm: number, clip: Extent, canvas: Canvas): void {
  const half = Math.max(widthMm, 0.05) / 2;
  for (const line of lines) {
    for (let k = 0; k + 1 < line.length; k++) {
      const [a, b] = [line[k]!, line[k + 1]!];
      const length = Math.hypot(b.x - a.x, b.y - a.y);
      if (length === 0) continue;
      const [nx, ny] = [(-(b.y - a.y) / length) * half, ((b.x - a.x) / length) * half];
      const ring = [
        { x: a.x + nx, y: a.y + ny },
        { x: b.x + nx, y: b.y + ny },
        { x: b.x - nx, y: b.y - ny },
        { x: a.x - nx, y: a.y - ny },
      ];
      fillShape([ring], false, clip, canvas);
    }
  }
}

function paintMark(mark: Exclude<PaperMark, TextMark>, canvas: Canvas): void {
  if (mark.kind === "fill") fillShape(mark.rings, mark.evenOdd, mark.clip, canvas);
  else fillStroke(mark.lines, mark.widthMm, mark.clip, canvas);
}

/** The pixels of a text, row by row of each glyph: from, to, from, to, … */
function spansOf({ glyphs, clip }: TextMark, width: number, height: number): Uint32Array {
  const spans: number[] = [];
  const canvas = { width, height, span: (from: number, to: number) => void spans.push(from, to) };
  for (const glyph of glyphs) fillShape(ringsOf(glyph), false, clip, canvas);
  return Uint32Array.from(spans);
}

/** Paints the page and says of every text how well it stands out; `wanted` is the contrast asked for. */
export function paint(page: Pick<PaperPage, "widthMm" | "heightMm" | "marks">, wanted: number): Picture {
  const width = Math.round(page.widthMm * PIXELS_A_MM);
  const height = Math.round(page.heightMm * PIXELS_A_MM);
  const luminance = new Uint8Array(width * height).fill(255);
  const paintedBy = new Uint16Array(width * height).fill(NOTHING);
  const texts: {
    readonly order: number;
    readonly spans: Uint32Array;
    readonly seen: Omit<Legibility, "shareCovered">;
  }[] = [];
  // The paper under a stroke of a letter and beside it, a stem's width away.
  const beside = [0, -2, 2, -2 * width, 2 * width];
  if (page.marks.length >= NOTHING) throw new Error(`a page has ${page.marks.length} marks`);
  for (const [order, mark] of page.marks.entries()) {
    const level = Math.round(mark.luminance * 255);
    const span = (from: number, to: number): void => {
      luminance.fill(level, from, to);
      paintedBy.fill(order, from, to);
    };
    if (mark.kind !== "text") {
      paintMark(mark, { width, height, span });
      continue;
    }
    const spans = spansOf(mark, width, height);
    let [low, all, darkest] = [0, 0, 255];
    let lightest = 0;
    const contrasts = contrastsWith(mark.luminance);
    for (let k = 0; k < spans.length; k += 2)
      for (let index = spans[k]!; index < spans[k + 1]!; index++)
        for (const step of beside) {
          const grey = luminance[index + step] ?? 255;
          all += 1;
          if (contrasts[grey]! < wanted) low += 1;
          if (grey < darkest) darkest = grey;
          if (grey > lightest) lightest = grey;
        }
    texts.push({
      order,
      spans,
      seen: {
        mark,
        shareWithoutContrast: all === 0 ? 0 : low / all,
        leastContrast: Math.min(contrasts[darkest]!, contrasts[lightest]!),
      },
    });
    for (let k = 0; k < spans.length; k += 2) span(spans[k]!, spans[k + 1]!);
  }
  const legibilities = texts.map(({ order, spans, seen }): Legibility => {
    let [whole, covered] = [0, 0];
    for (let k = 0; k < spans.length; k += 2) {
      whole += spans[k + 1]! - spans[k]!;
      for (let index = spans[k]!; index < spans[k + 1]!; index++) if (paintedBy[index] !== order) covered += 1;
    }
    return { ...seen, shareCovered: whole === 0 ? 0 : covered / whole };
  });
  return { width, height, luminance, texts: legibilities };
}

/** Share of the paper that ink covers, a grey counting by what it takes of the light (Murray and Davies 1936). */
export function inkCoverage({ luminance }: GreyImage): number {
  let light = 0;
  for (let index = 0; index < luminance.length; index++) light += luminance[index]!;
  return 1 - light / 255 / luminance.length;
}

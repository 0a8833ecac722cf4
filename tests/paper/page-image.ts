/** Small grey images of pages, written and read as PNG, and what tells two of them apart. */
import { deflateSync, inflateSync } from "node:zlib";
import { type GreyImage, PIXELS_A_MM, paint } from "./raster.ts";
import type { PaperPage } from "./read-paper.ts";

/** 8 bits of grey a pixel, row by row from the top. */
export interface PageImage {
  readonly width: number;
  readonly height: number;
  readonly grey: Uint8Array;
}

/** So many pixels of the painted page are one of the image: 1.67 a millimetre, 42 dots an inch. */
const SHRINK = 3;

/** The page from afar: mean of the light of 3 × 3 pixels, as a grey (gamma 2.2). */
export function imageOf(page: PaperPage): PageImage {
  const { width: fullWidth, height: fullHeight, luminance }: GreyImage = paint(page, 7);
  const [width, height] = [Math.floor(fullWidth / SHRINK), Math.floor(fullHeight / SHRINK)];
  const grey = new Uint8Array(width * height);
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++) {
      let light = 0;
      for (let j = 0; j < SHRINK; j++)
        for (let i = 0; i < SHRINK; i++) light += luminance[(y * SHRINK + j) * fullWidth + x * SHRINK + i] as number;
      grey[y * width + x] = Math.round(255 * (light / SHRINK ** 2 / 255) ** (1 / 2.2));
    }
  return { width, height, grey };
}
export const IMAGE_PIXELS_A_MM = PIXELS_A_MM / SHRINK;

const SIGNATURE = Buffer.from([137, 80, 78, 71, 13, 10, 26, 10]);

/** CRC-32 of a chunk (PNG 3rd edition, annex D). */
function crc(bytes: Uint8Array): number {
  let value = 0xffffffff;
  for (const byte of bytes) {
    value ^= byte;
    for (let bit = 0; bit < 8; bit++) value = value & 1 ? (value >>> 1) ^ 0xedb88320 : value >>> 1;
  }
  return (value ^ 0xffffffff) >>> 0;
}

function chunk(type: string, data: Uint8Array): Buffer {
  const body = Buffer.concat([Buffer.from(type, "latin1"), data]);
  const made = Buffer.alloc(body.length + 8);
  made.writeUInt32BE(data.length, 0);
  body.copy(made, 4);
  made.writeUInt32BE(crc(body), made.length - 4);
  return made;
}

/** A PNG of grey pixels, each row without a filter (PNG 3rd edition, 9.2: type 0). */
export function toPng({ width, height, grey }: PageImage): Buffer {
  const head = Buffer.alloc(13);
  head.writeUInt32BE(width, 0);
  head.writeUInt32BE(height, 4);
  // 8 bits, grey.
  head[8] = 8;
  const rows = Buffer.alloc((width + 1) * height);
  for (let y = 0; y < height; y++)
    Buffer.from(grey.subarray(y * width, (y + 1) * width)).copy(rows, y * (width + 1) + 1);
  return Buffer.concat([
    SIGNATURE,
    chunk("IHDR", head),
    chunk("IDAT", deflateSync(rows, { level: 9 })),
    chunk("IEND", new Uint8Array()),
  ]);
}

/** Reads what `toPng` wrote. @throws Error on any other PNG. */
export function fromPng(bytes: Buffer): PageImage {
  const [width, height] = [bytes.readUInt32BE(16), bytes.readUInt32BE(20)];
  const length = bytes.readUInt32BE(33);
  const rows = inflateSync(bytes.subarray(41, 41 + length));
  if (bytes.toString("latin1", 37, 41) !== "IDAT" || rows.length !== (width + 1) * height)
    throw new Error("not a grey PNG as this program writes it");
  const grey = new Uint8Array(width * height);
  for (let y = 0; y < height; y++) grey.set(rows.subarray(y * (width + 1) + 1, (y + 1) * (width + 1)), y * width);
  return { width, height, grey };
}

/** A pixel is another where its grey is off by more than this: the edge of a letter that moved by a tenth of a millimetre. */
const OTHER_GREY = 48;
/** Share of other pixels from which a page is another page: a word of ten letters is about 0.05 % of a letter page. */
const OTHER_SHARE = 0.0002;

/** What tells two images of a page apart, in words; undefined where nothing does. */
export function differenceOf(seen: PageImage, reviewed: PageImage): string | undefined {
  if (seen.width !== reviewed.width || seen.height !== reviewed.height)
    return `is ${seen.width} × ${seen.height} pixels, reviewed were ${reviewed.width} × ${reviewed.height}`;
  const places: number[] = [];
  seen.grey.forEach((grey, k) => {
    if (Math.abs(grey - (reviewed.grey[k] as number)) > OTHER_GREY) places.push(k);
  });
  if (places.length <= OTHER_SHARE * seen.grey.length) return undefined;
  const mm = (pixels: number): string => (pixels / IMAGE_PIXELS_A_MM).toFixed(0);
  const xs = places.map((k) => k % seen.width);
  const ys = places.map((k) => Math.floor(k / seen.width));
  const least = (values: readonly number[]): number => values.reduce((p, q) => Math.min(p, q));
  const most = (values: readonly number[]): number => values.reduce((p, q) => Math.max(p, q));
  return `${places.length} pixels differ, from ${mm(least(xs))}, ${mm(least(ys))} mm to ${mm(most(xs))}, ${mm(most(ys))} mm`;
}

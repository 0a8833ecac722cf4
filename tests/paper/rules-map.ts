/** Rules of maps: labels, tints, contours, scale; and the floor redrawn from what is printed. */

import { DEPTH_MM } from "../../src/sheets/type/type-sizes.ts";
import { en } from "../../src/sheets/words/en.ts";
import { es } from "../../src/sheets/words/es.ts";
import {
  type Expected,
  type Finding,
  found,
  type PageParts,
  plain,
  readQuantity,
  textOf,
  VALUE,
} from "./page-parts.ts";
import {
  type At,
  type Extent,
  extentOf,
  type FillMark,
  type PaperMark,
  type StrokeMark,
  type TextMark,
} from "./read-paper.ts";

export const MAPS: ReadonlySet<string> = new Set(["pin-map", "bay-map", "survey-plan", "finished-floor"]);
/** A plan has walls, drawn in the heaviest line, or a scale: a tile in the middle of a hall has no wall. */
export const isMap = (parts: PageParts): boolean =>
  MAPS.has(parts.sheetId) &&
  (ratioOf(parts) !== undefined ||
    parts.page.marks.some(
      (mark) => mark.kind === "stroke" && Math.abs(mark.widthMm - 0.9) < 0.02 && height(mark.extent) > 2,
    ));

const width = ({ minX, maxX }: Extent): number => maxX - minX;
const height = ({ minY, maxY }: Extent): number => maxY - minY;

/** Rule 6: no text over another. */
export function labelsOverlap(parts: PageParts): Finding[] {
  const texts = [...parts.head, ...parts.body, ...parts.foot].sort((p, q) => p.extent.minX - q.extent.minX);
  const breaches: Finding[] = [];
  for (const [index, mark] of texts.entries()) {
    for (let k = index + 1; k < texts.length && texts[k]!.extent.minX < mark.extent.maxX; k++) {
      const other = texts[k]!;
      const x = Math.min(mark.extent.maxX, other.extent.maxX) - Math.max(mark.extent.minX, other.extent.minX);
      const y = Math.min(mark.extent.maxY, other.extent.maxY) - Math.max(mark.extent.minY, other.extent.minY);
      if (x > 0.1 && y > 0.1)
        breaches.push(found("label overlap", parts, mark.extent, textOf(mark), `overlaps “${textOf(other)}”`));
    }
  }
  return breaches;
}

/** The side of the square, less the hundredth of a millimetre to which places are printed, at both ends. */
const SQUARE_INCH_MM = 25.4 - 0.02;

/** Rule 6: at most two two-line labels in a square inch of the pin map. */
export function labelsTooDense(parts: PageParts, { pins }: Expected): Finding[] {
  if (parts.sheetId !== "pin-map" || !isMap(parts)) return [];
  const ids = new Set(pins.map(({ id }) => id));
  const boxes = parts.page.marks.filter((one) => one.kind === "fill" && one.luminance > 0.98);
  /** The label's own place, the least white one that holds its id; a page set by hand may have none. */
  const boxAround = ({ extent }: TextMark): Extent[] | undefined => {
    const around = boxes
      .map((one) => one.extent)
      .filter(
        ({ minX, maxX, minY, maxY }) =>
          minX <= extent.minX && maxX >= extent.maxX && minY <= extent.minY && maxY >= extent.maxY && maxX - minX < 60,
      )
      .sort((p, q) => width(p) * height(p) - width(q) * height(q));
    return around[0] && [around[0]];
  };
  const at = parts.body.flatMap((mark, index) => {
    const [value, below] = parts.body.slice(index + 1, index + 3);
    if (!ids.has(textOf(mark)) || !value || !/^\d/.test(textOf(value))) return [];
    // The middle of the label: of its id, its length, and the other unit under them.
    const all =
      boxAround(mark) ??
      [mark, value, ...(below && below.extent.minY > mark.extent.maxY ? [below] : [])].map((one) => one.extent);
    const [left, right] = [Math.min(...all.map(({ minX }) => minX)), Math.max(...all.map(({ maxX }) => maxX))];
    const [top, foot] = [Math.min(...all.map(({ minY }) => minY)), Math.max(...all.map(({ maxY }) => maxY))];
    return [{ mark, x: (left + right) / 2, y: (top + foot) / 2 }];
  });
  return at.flatMap(({ mark, x }) => {
    // Squares with this label at their left edge, each with another at its upper edge.
    const strip = at.filter((other) => other.x >= x && other.x < x + SQUARE_INCH_MM);
    const most = Math.max(
      ...strip.map(({ y }) => strip.filter((one) => one.y >= y && one.y < y + SQUARE_INCH_MM).length),
    );
    return most > 2
      ? [found("label density", parts, mark.extent, textOf(mark), `${most} labels in a square inch`)]
      : [];
  });
}

/** Lightness L* of a luminance (CIE 15). */
export const lightness = (luminance: number): number =>
  luminance > (6 / 29) ** 3 ? 116 * Math.cbrt(luminance) - 16 : luminance * (29 / 3) ** 3;

/** Rule 5: at most three tints, each light enough, each to be told from the next and from white. */
export function tintsBad(parts: PageParts): Finding[] {
  const tints = new Map<number, FillMark>();
  for (const mark of parts.page.marks)
    if (mark.kind === "fill" && mark.luminance > 0.12 && mark.luminance < 0.98)
      tints.set(Math.round(lightness(mark.luminance) * 10) / 10, mark);
  const levels = [...tints.keys()].sort((p, q) => p - q);
  const breaches = levels.flatMap((level, index) => {
    const { extent } = tints.get(level)!;
    const next = levels[index + 1];
    return [
      ...(level < 62 ? [found("tints", parts, extent, "fill", `L* ${level}, 62 wanted`)] : []),
      ...(next !== undefined && next - level < 12
        ? [found("tints", parts, extent, "fill", `L* ${level} and ${next} are nearer than 12`)]
        : []),
    ];
  });
  if (levels.length > 3)
    breaches.push(
      found("tints", parts, tints.get(levels[0]!)!.extent, "fill", `${levels.length} tints, three allowed`),
    );
  return breaches;
}

/** Rule 5: nothing is told by hue: every mark is a grey. */
export function hueUsed(parts: PageParts): Finding[] {
  return parts.page.marks
    .filter(({ coloured }) => coloured)
    .map((mark) =>
      found("hue", parts, mark.extent, mark.kind === "text" ? textOf(mark) : mark.kind, "is in a colour, grey wanted"),
    );
}

/** Even-odd. */
const isInside = (rings: readonly (readonly At[])[], { x, y }: At): boolean =>
  rings.reduce(
    (inside, ring) =>
      ring.reduce((within, a, k) => {
        const b = ring[(k + 1) % ring.length]!;
        return a.y > y !== b.y > y && x < a.x + ((y - a.y) / (b.y - a.y)) * (b.x - a.x) ? !within : within;
      }, inside),
    false,
  );

const middleOf = ({ minX, minY, maxX, maxY }: Extent): At => ({ x: (minX + maxX) / 2, y: (minY + maxY) / 2 });

/** A part of a band that is as large as this both ways has room for a number of 5.2 mm. */
const ROOM_FOR_NUMBER_MM = 40;
const isDisc = (mark: PaperMark): boolean =>
  mark.kind === "fill" &&
  mark.luminance > 0.98 &&
  Math.abs(width(mark.extent) - 5.2) < 0.1 &&
  Math.abs(height(mark.extent) - 5.2) < 0.1;

/** Rule 5: every band of depth carries its number, in a disc, in one of its parts at least. */
export function bandsUnnumbered(parts: PageParts): Finding[] {
  if (parts.sheetId !== "pin-map" || !isMap(parts)) return [];
  const discs = parts.page.marks.filter(isDisc).map(({ extent }) => extent);
  const numbers = parts.body
    .filter((mark) => /^\d+$/.test(textOf(mark)))
    .map(({ extent }) => middleOf(extent))
    .filter((at) => discs.some((disc) => Math.hypot(middleOf(disc).x - at.x, middleOf(disc).y - at.y) < 1));
  const bands = new Map<number, FillMark[]>();
  for (const mark of parts.page.marks)
    if (mark.kind === "fill" && mark.luminance > 0.12 && mark.luminance < 0.98) {
      const level = Math.round(lightness(mark.luminance));
      bands.set(level, [...(bands.get(level) ?? []), mark]);
    }
  return [...bands.values()].flatMap((shapes) => {
    const large = shapes.filter(({ extent }) => Math.min(width(extent), height(extent)) >= ROOM_FOR_NUMBER_MM);
    if (large.length === 0 || shapes.some(({ rings }) => numbers.some((at) => isInside(rings, at)))) return [];
    return [found("band number", parts, large[0]!.extent, "band", "carries no number")];
  });
}

/** Text on drawings stands upright or runs uphill. */
export function textTurned(parts: PageParts): Finding[] {
  return parts.body
    .filter(({ turned }) => turned !== 0 && turned !== 90)
    .map((mark) =>
      found("text upright", parts, mark.extent, textOf(mark), `is turned by ${mark.turned}°, 0 or 90 wanted`),
    );
}

/** Grid letters skip I and O (ISO 5457): the name of a line stands before its offset. */
export function gridLettersBad(parts: PageParts, { pins }: Expected): Finding[] {
  if (!MAPS.has(parts.sheetId)) return [];
  const ids = new Set(pins.map(({ id }) => id));
  return parts.body.flatMap((mark) => {
    const text = textOf(mark);
    const name = /^([A-Z]+) {2}\d/.exec(text)?.[1] ?? (ids.has(text) ? /^([A-Z]{1,2})\d+$/.exec(text)?.[1] : undefined);
    return name !== undefined && /[IO]/.test(name)
      ? [found("grid letters", parts, mark.extent, text, "has an I or an O")]
      : [];
  });
}

/**
 * Rule 9: a floor on several maps has them of one size and orientation, each with its name and match lines, and where
 * one says that it goes on at another, that one says so of it.
 */
export function tilesApart(pages: readonly PageParts[]): Finding[] {
  const nameOf = (parts: PageParts): string | undefined =>
    parts.body.flatMap((mark) => /^(?:Tile|Sección) ([a-z]+\d+)$/.exec(textOf(mark))?.[1] ?? [])[0];
  const tiles = pages.filter(isMap).flatMap((parts) => {
    const name = nameOf(parts);
    const goesOnAt = parts.body.flatMap(
      (mark) => /(?:goes on at Tile|sigue en Sección) ([a-z]+\d+)/i.exec(textOf(mark))?.[1] ?? [],
    );
    return name === undefined && goesOnAt.length === 0 ? [] : [{ parts, name, goesOnAt }];
  });
  return tiles.flatMap(({ parts, name, goesOnAt }) => {
    const sheet = tiles.filter((other) => other.parts.sheetId === parts.sheetId);
    const why = [
      ...(name === undefined ? ["does not say which tile it is"] : []),
      ...(goesOnAt.length === 0 ? ["says of no edge where the floor goes on"] : []),
      ...goesOnAt
        .filter((beyond) => !sheet.some((other) => other.name === beyond && other.goesOnAt.includes(name ?? "")))
        .map((beyond) => `goes on at ${beyond}, which does not go on here`),
      ...(sheet.some(({ parts: { page } }) => Math.abs(page.widthMm - parts.page.widthMm) > 1)
        ? ["is of another size or orientation than the other tiles"]
        : []),
    ];
    const at = { minX: 0, minY: 0, maxX: 0, maxY: 0 };
    return why.length > 0 ? [found("tiles", parts, at, name ?? "tile", why.join("; "))] : [];
  });
}

/** Contours are the finest unbroken lines of a map and, every fifth, the ones of 0.4 mm. */
const isContour = (mark: PaperMark): mark is StrokeMark =>
  mark.kind === "stroke" &&
  !mark.dashed &&
  (Math.abs(mark.widthMm - 0.15) < 0.006 || Math.abs(mark.widthMm - 0.4) < 0.01);

/** Near here one line bends sharply: its two parts meet end to end. */
function isTip(contours: readonly StrokeMark[], of: number, other: number, at: At): boolean {
  const ends = (k: number): At[] => contours[k]!.lines.flatMap((line) => [line[0]!, line.at(-1)!]);
  return ends(of).some(
    (end) =>
      Math.hypot(end.x - at.x, end.y - at.y) < 3 &&
      ends(other).some(({ x, y }) => Math.hypot(x - end.x, y - end.y) < 0.05),
  );
}

/** Rule 7: contours 1 mm apart. A line is measured against those of another mark which run beside it. */
export function contoursTooNear(parts: PageParts): Finding[] {
  if (parts.sheetId !== "pin-map") return [];
  const contours = parts.page.marks.filter(isContour);
  const cells = new Map<string, { readonly at: At; readonly of: number; readonly along: At }[]>();
  const breaches: Finding[] = [];
  const samples = contours.flatMap((mark, of) =>
    mark.lines.flatMap((line) => {
      const made: { at: At; of: number; along: At }[] = [];
      for (let k = 0; k + 1 < line.length; k++) {
        const [a, b] = [line[k]!, line[k + 1]!];
        const length = Math.hypot(b.x - a.x, b.y - a.y);
        const along = { x: (b.x - a.x) / length, y: (b.y - a.y) / length };
        for (let s = 0.25; s < length; s += 0.5)
          made.push({ at: { x: a.x + along.x * s, y: a.y + along.y * s }, of, along });
      }
      return made;
    }),
  );
  for (const sample of samples) {
    const key = `${Math.floor(sample.at.x)} ${Math.floor(sample.at.y)}`;
    const there = cells.get(key);
    if (there) there.push(sample);
    else cells.set(key, [sample]);
  }
  const near = new Map<number, number>();
  for (const { at, of, along } of samples) {
    const [cx, cy] = [Math.floor(at.x), Math.floor(at.y)];
    for (let i = cx - 1; i <= cx + 1; i++)
      for (let j = cy - 1; j <= cy + 1; j++)
        for (const other of cells.get(`${i} ${j}`) ?? []) {
          if (other.of === of || isTip(contours, of, other.of, at)) continue;
          const beside = Math.abs((other.at.x - at.x) * along.y - (other.at.y - at.y) * along.x);
          const ahead = Math.abs((other.at.x - at.x) * along.x + (other.at.y - at.y) * along.y);
          // Beside, not one behind the other as the parts of one broken line are.
          if (
            ahead < 0.3 &&
            beside > 0.2 &&
            beside < 0.9 &&
            Math.abs(along.x * other.along.x + along.y * other.along.y) > 0.8
          )
            near.set(of, Math.min(near.get(of) ?? Infinity, beside));
        }
  }
  for (const [of, distance] of near)
    breaches.push(
      found(
        "contour spacing",
        parts,
        contours[of]!.extent,
        "contour",
        `runs ${distance.toFixed(2)} mm beside another, 1 mm wanted`,
      ),
    );
  return breaches;
}

/** Labels of contours are the only upright numbers of the size of an id that are neither bold nor have a unit. */
const isContourLabel = (mark: TextMark): boolean =>
  mark.turned === 0 &&
  Math.abs(mark.emMm - DEPTH_MM) < 0.05 &&
  !mark.fontName.includes("Bold") &&
  /^[−-]?(\d+([.]\d+)?|\d+\/\d+|\d+ \d+\/\d+)$/.test(textOf(mark));

/** How far a line ends from the number that it is broken for. */
const GAP_OF_LABEL_MM = 5;

/** Rule 7: every fifth contour is the heavier one, and carries its depth where it is broken. */
export function contourLabelsWrong(parts: PageParts): Finding[] {
  if (parts.sheetId !== "pin-map") return [];
  const legend = parts.body.flatMap((mark) => /^(?:Contour every|Curva cada) ([^(]+)/.exec(textOf(mark))?.[1] ?? [])[0];
  const intervalMm = legend === undefined ? undefined : readQuantity(legend.trim())?.value;
  const unit = / (\S+)$/.exec(legend?.trim() ?? "")?.[1] ?? "";
  const contours = parts.page.marks.filter(isContour);
  const heavyEnds = contours
    .filter(({ widthMm }) => widthMm > 0.3)
    .flatMap(({ lines }) => lines.flatMap((line) => [line[0]!, line.at(-1)!]));
  return parts.body.filter(isContourLabel).flatMap((mark) => {
    const { minX, maxX, minY, maxY } = mark.extent;
    const why: string[] = [];
    const awayMm = ({ x, y }: At): number =>
      Math.hypot(Math.max(minX - x, 0, x - maxX), Math.max(minY - y, 0, y - maxY));
    if (!heavyEnds.some((end) => awayMm(end) < GAP_OF_LABEL_MM)) why.push("stands in the gap of no heavier line");
    const isOver = contours.some(({ lines }) =>
      lines.some((line) => line.some((a, k) => k > 0 && crossesBox(line[k - 1]!, a, mark.extent))),
    );
    if (isOver) why.push("has a line running through it");
    const depthMm = readQuantity(`${textOf(mark)} ${unit}`)?.value;
    const fifths = depthMm === undefined || !intervalMm ? undefined : depthMm / (5 * intervalMm);
    if (fifths !== undefined && Math.abs(fifths - Math.round(fifths)) > 1e-6)
      why.push(`is no fifth contour of one every ${legend}`);
    return why.map((one) => found("contour label", parts, mark.extent, textOf(mark), one));
  });
}

/** Whether a stretch comes into a box, looked at every tenth of a millimetre. */
function crossesBox(a: At, b: At, { minX, maxX, minY, maxY }: Extent): boolean {
  const steps = Math.max(1, Math.ceil(Math.hypot(b.x - a.x, b.y - a.y) / 0.1));
  for (let k = 0; k <= steps; k++) {
    const [x, y] = [a.x + ((b.x - a.x) * k) / steps, a.y + ((b.y - a.y) * k) / steps];
    if (x > minX && x < maxX && y > minY && y < maxY) return true;
  }
  return false;
}

const ratioOf = (parts: PageParts): number | undefined => {
  const scaleWord = parts.body.findIndex((mark) => [en.map.scale, es.map.scale].includes(textOf(mark)));
  const text = scaleWord < 0 ? undefined : parts.body[scaleWord + 1];
  const ratio = text === undefined ? undefined : /^1:(\d+)/.exec(textOf(text))?.[1];
  return ratio === undefined ? undefined : Number(ratio);
};

/** Rule 9: a ratio scale, bars drawn to it in both systems, the check length true, north on every plan. */
export function scaleUntrue(parts: PageParts): Finding[] {
  if (!isMap(parts)) return [];
  const breaches: Finding[] = [];
  const whole = { minX: 0, minY: 0, maxX: parts.page.widthMm, maxY: parts.page.heightMm };
  if (!parts.body.some((mark) => textOf(mark) === "N"))
    breaches.push(found("north", parts, whole, "plan", "has no north"));
  const ratio = ratioOf(parts);
  const checks = parts.body.filter((mark) => /^(Check|Control): /.test(textOf(mark)));
  if (ratio === undefined) return breaches;
  const parts24 = parts.page.marks.filter(
    (mark) => mark.kind !== "text" && Math.abs(height(mark.extent) - 2.4) < 0.05 && width(mark.extent) > 3,
  );
  const rows = new Map<number, Extent[]>();
  for (const { extent } of parts24) {
    const row = Math.round(extent.minY);
    rows.set(row, [...(rows.get(row) ?? []), extent]);
  }
  const systems = new Set<string>();
  for (const extents of rows.values()) {
    if (extents.length < 4) continue;
    const [from, to] = [Math.min(...extents.map(({ minX }) => minX)), Math.max(...extents.map(({ maxX }) => maxX))];
    const top = Math.min(...extents.map(({ minY }) => minY));
    const label = parts.body.find(
      (mark) =>
        /^[\d.]+ (m|ft)$/.test(textOf(mark)) &&
        Math.abs(mark.extent.maxX - to) < 1.5 &&
        top - mark.extent.maxY > 0 &&
        top - mark.extent.maxY < 3,
    );
    const stated = label && readQuantity(textOf(label));
    if (!label || !stated) continue;
    systems.add(textOf(label).replace(/^[\d.]+ /, ""));
    const drawnMm = (to - from) * ratio;
    if (Math.abs(drawnMm / stated.value - 1) > 0.005)
      breaches.push(
        found(
          "scale bar",
          parts,
          label.extent,
          textOf(label),
          `is drawn ${(drawnMm / 1000).toFixed(3)} m long at 1:${ratio}`,
        ),
      );
  }
  for (const system of ["m", "ft"])
    if (!systems.has(system)) breaches.push(found("scale bar", parts, whole, "plan", `has no bar in ${system}`));
  if (checks.length === 0) breaches.push(found("check length", parts, whole, "plan", "has no check length"));
  return breaches;
}

/** Rule 9: the bar that exposes a print made "to fit". */
export function checkLengthUntrue(parts: PageParts): Finding[] {
  return parts.body.flatMap((mark) => {
    const match =
      /^(?:Check: this bar is|Control: esta barra mide|Check length|Largo de control) (.+?)(?: \(.*\))?\.?$/.exec(
        textOf(mark),
      );
    const stated = match && readQuantity(match[1]!);
    if (!stated) return [];
    const bars = parts.page.marks.filter(
      ({ kind, extent }) =>
        kind === "stroke" &&
        height(extent) < 0.05 &&
        width(extent) > 30 &&
        Math.abs(extent.minY - mark.extent.minY) < 8 &&
        extent.minX < mark.extent.minX + 1,
    );
    const closest = Math.min(...bars.map(({ extent }) => Math.abs(width(extent) / stated.value - 1)));
    return closest <= 0.005
      ? []
      : [found("check length", parts, mark.extent, textOf(mark), "no bar of this length stands beside it")];
  });
}

/** How the floor lies on a page: a place of the floor at 1:ratio, y down, and so far from there. */
interface Registration {
  readonly ratio: number;
  readonly dx: number;
  readonly dy: number;
  /** Symbols of pins that lie where no pin of the floor does. */
  readonly astray: readonly Extent[];
}

/** Two rules ask where the floor lies on a page: found once for the same page and pins. */
const registrations = new WeakMap<
  PageParts,
  { readonly pins: Expected["pins"]; readonly lies: Registration | undefined }
>();

/** Finds the floor on a page of the pin map by its pins; undefined where the page has no one scale. */
function registered(parts: PageParts, expected: Expected): Registration | undefined {
  const known = registrations.get(parts);
  if (known && known.pins === expected.pins) return known.lies;
  const lies = register(parts, expected);
  registrations.set(parts, { pins: expected.pins, lies });
  return lies;
}

/** A symbol lies where its pin does, or nearer than this. */
const REACH_OF_PIN_MM = 0.25;

/** Whether a place is nearer than `REACH_OF_PIN_MM` to one of many: those in its cell and the cells next to it are asked. */
function anyAt(places: readonly At[]): (x: number, y: number) => boolean {
  const cells = new Map<string, At[]>();
  const cellOf = (mm: number): number => Math.floor(mm / REACH_OF_PIN_MM);
  for (const at of places) {
    const key = `${cellOf(at.x)} ${cellOf(at.y)}`;
    cells.set(key, [...(cells.get(key) ?? []), at]);
  }
  return (x, y) => {
    for (let i = cellOf(x) - 1; i <= cellOf(x) + 1; i++)
      for (let j = cellOf(y) - 1; j <= cellOf(y) + 1; j++)
        if (cells.get(`${i} ${j}`)?.some((at) => Math.hypot(at.x - x, at.y - y) < REACH_OF_PIN_MM)) return true;
    return false;
  };
}

function register(parts: PageParts, { pins }: Expected): Registration | undefined {
  const ratio = ratioOf(parts);
  if (parts.sheetId !== "pin-map" || ratio === undefined) return undefined;
  const symbols = parts.page.marks.flatMap((mark) =>
    mark.kind === "fill" &&
    mark.luminance > 0.98 &&
    Math.abs(width(mark.extent) - 3) < 0.06 &&
    Math.abs(height(mark.extent) - 3) < 0.06
      ? [
          {
            extent: mark.extent,
            x: (mark.extent.minX + mark.extent.maxX) / 2,
            y: (mark.extent.minY + mark.extent.maxY) / 2,
          },
        ]
      : [],
  );
  const onPaper = pins.map(({ at }) => ({ x: (at.eastM * 1000) / ratio, y: (-at.northM * 1000) / ratio }));
  const liesAtPin = anyAt(onPaper);
  const ids = new Map(parts.body.map((mark) => [textOf(mark), mark.extent]));
  const named = pins.flatMap(({ id }, k) => {
    const extent = ids.get(id);
    return extent ? [{ extent, at: onPaper[k]! }] : [];
  });
  let best: Registration = { ratio, dx: 0, dy: 0, astray: symbols.map(({ extent }) => extent) };
  let leastOffMm = Number.POSITIVE_INFINITY;
  // The page names most of its pins: only where none of those fits are all of them tried.
  const tried = [named.map(({ at }) => at), onPaper];
  for (const { symbol, pins: some } of tried.flatMap((pins) => symbols.slice(0, 3).map((symbol) => ({ symbol, pins }))))
    for (const pin of best.astray.length === 0 && some === onPaper ? [] : some) {
      const [dx, dy] = [symbol.x - pin.x, symbol.y - pin.y];
      const astray = symbols.filter(({ x, y }) => !liesAtPin(x - dx, y - dy));
      if (astray.length > best.astray.length) continue;
      // On an even grid the symbols fit at many places: the names beside them tell which it is.
      const offMm = named.reduce(
        (sum, { extent, at }) =>
          sum + Math.min(NAME_REACH_MM, Math.hypot(extent.minX - at.x - dx, extent.minY - at.y - dy)),
        0,
      );
      if (astray.length === best.astray.length && offMm >= leastOffMm) continue;
      leastOffMm = offMm;
      best = { ratio, dx, dy, astray: astray.map(({ extent }) => extent) };
    }
  return best;
}

/** A pin's name stands no farther from it, as a rule. */
const NAME_REACH_MM = 20;

/** Rule 9: the plan is drawn to its scale: symbols of pins lie as the pins do on the floor. */
export function pinsMisplaced(parts: PageParts, expected: Expected): Finding[] {
  const lies = registered(parts, expected);
  if (lies === undefined || lies.astray.length <= 2) return [];
  return lies.astray.map((extent) =>
    found("drawn to scale", parts, extent, "pin", `lies at no pin of the floor at 1:${lies.ratio}`),
  );
}

/** An offset printed so far from the end of its line, or on a leader from there, stands at that end. */
const AT_END_MM = 45;
/** A leader from the line starts so near to its end. */
const LEADER_START_MM = 17;
/** So many offsets of a page may stand beside its map. */
const MOST_NOTED = 8;
/** A shorter piece of a line at the edge of a tile is none to measure. */
const LEAST_LINE_MM = 12;

/** Dash-dotted and 0.18 mm wide; a browser may print each dash as a bar of its own. */
const isGridLine = ({ kind, extent, luminance }: PaperMark): boolean =>
  kind !== "text" && luminance < 0.05 && Math.abs(Math.min(width(extent), height(extent)) - 0.18) < 0.01;

/** Rule 8: the running offset of every grid line stands at both its ends, on every map that shows it. */
export function linesUnmeasured(parts: PageParts, expected: Expected): Finding[] {
  const lies = registered(parts, expected);
  const { plan } = expected;
  if (lies === undefined || lies.astray.length > 2 || !plan) return [];
  // The legend has a piece of a grid line too, left of its words.
  const legend = parts.body.filter((mark) =>
    [en, es].some(({ map }) => map.gridLine.startsWith(textOf(mark)) && textOf(mark).length > 8),
  );
  const inLegend = ({ maxX, minY }: Extent): boolean =>
    legend.some(({ extent }) => extent.minX - maxX < 14 && maxX < extent.minX && Math.abs(extent.minY - minY) < 8);
  const drawn = extentOf(
    parts.page.marks
      .filter((mark) => isGridLine(mark) && !inLegend(mark.extent))
      .flatMap(({ extent: e }) => [
        { x: e.minX, y: e.minY },
        { x: e.maxX, y: e.maxY },
      ]),
  );
  const onPaper = ({ x, y }: At): At => ({
    x: (x * 1000) / lies.ratio + lies.dx,
    y: (-y * 1000) / lies.ratio + lies.dy,
  });
  const leaders = parts.page.marks.flatMap((mark) =>
    mark.kind === "stroke" && !mark.dashed && Math.abs(mark.widthMm - 0.25) < 0.006 ? mark.lines : [],
  );
  const labels = parts.body.flatMap((mark, k) => {
    const [, name, rest] = /^([A-Z]+|\d+) {2}(.+)$/.exec(textOf(mark)) ?? [];
    const quantity = rest === undefined ? undefined : readQuantity(rest);
    const below = parts.body[k + 1] ?? mark;
    if (!name || !quantity || !readQuantity(textOf(below))) return [];
    const [p, q] = [mark.extent, below.extent];
    const extent: Extent = {
      minX: Math.min(p.minX, q.minX),
      minY: Math.min(p.minY, q.minY),
      maxX: Math.max(p.maxX, q.maxX),
      maxY: Math.max(p.maxY, q.maxY),
    };
    return [{ name, mm: quantity.value, step: quantity.step, extent }];
  });
  // What has no room on the map may stand beside it: with its room, and few of them.
  const noted = parts.body.flatMap((mark) => {
    const [, name, value] = new RegExp(`^([A-Z]+|\\d+): (${VALUE}) \\(${VALUE}\\),`).exec(textOf(mark)) ?? [];
    const quantity = value === undefined ? undefined : readQuantity(value);
    return name && quantity ? [{ name, mm: quantity.value, step: quantity.step }] : [];
  });
  return plan.gridLines.flatMap((line) =>
    line.offsets.flatMap((offset) => {
      if (
        noted.length <= MOST_NOTED &&
        noted.some(({ name, mm, step }) => name === line.name && Math.abs(mm - offset.distance * 1000) <= step)
      )
        return [];
      const [a, b] = offset.ends.map(onPaper) as [At, At];
      const inside = (at: At): At => ({
        x: Math.min(Math.max(at.x, drawn.minX), drawn.maxX),
        y: Math.min(Math.max(at.y, drawn.minY), drawn.maxY),
      });
      const [from, to] = [inside(a), inside(b)];
      const across = line.axis === "lettered" ? from.y - a.y : from.x - a.x;
      if (Math.abs(across) > 0.2 || Math.hypot(to.x - from.x, to.y - from.y) < LEAST_LINE_MM) return [];
      const length = Math.hypot(to.x - from.x, to.y - from.y);
      // One label speaks for both ends of a short line.
      const startMm = length <= AT_END_MM ? length : LEADER_START_MM;
      const own = labels.filter(
        ({ name, mm, step }) => name === line.name && Math.abs(mm - offset.distance * 1000) <= step,
      );
      return [from, to]
        .filter(
          (end) =>
            !own.some(({ extent }) => {
              const away = (at: At): number =>
                Math.hypot(
                  Math.max(extent.minX - at.x, 0, at.x - extent.maxX),
                  Math.max(extent.minY - at.y, 0, at.y - extent.maxY),
                );
              if (away(end) <= AT_END_MM) return true;
              // A leader starts on the line near its end and ends at the label.
              return leaders.some((points) => {
                const [p, q] = [points[0]!, points.at(-1)!];
                return [
                  [p, q],
                  [q, p],
                ].some(([start, tip]) => {
                  const [off, along] = [Math.abs(start!.x - end.x), Math.abs(start!.y - end.y)].sort((m, n) => m - n);
                  return off! < 0.3 && along! < startMm && away(tip!) < 3;
                });
              });
            }),
        )
        .map((end) =>
          found(
            "running offset",
            parts,
            { minX: end.x, minY: end.y, maxX: end.x, maxY: end.y },
            line.name,
            `has no offset of ${(offset.distance as number).toFixed(3)} m at this end in ${plan.floors[offset.roomIndex]?.name}`,
          ),
        );
    }),
  );
}

interface Line {
  readonly from: At;
  readonly direction: At;
}
interface WallLine {
  readonly name: string;
  readonly roomId: string;
  readonly line: Line;
}

function wallLines({ plan, language }: Expected): WallLine[] {
  const words = language === "es" ? es : en;
  return (plan?.floors ?? []).flatMap((floor) =>
    floor.walls.map((wall) => {
      const length = Math.hypot(wall.to.x - wall.from.x, wall.to.y - wall.from.y);
      const direction = { x: (wall.to.x - wall.from.x) / length, y: (wall.to.y - wall.from.y) / length };
      return {
        name: words.wall(wall.side, wall.ordinal, wall.onlyOne),
        roomId: floor.roomId,
        line: { from: wall.from, direction },
      };
    }),
  );
}

/** The line beside a wall, into the room: outlines run counter-clockwise. */
const beside = ({ from, direction }: Line, metres: number): Line => ({
  from: { x: from.x - direction.y * metres, y: from.y + direction.x * metres },
  direction,
});

function crossing(a: Line, b: Line): At | undefined {
  const cross = a.direction.x * b.direction.y - a.direction.y * b.direction.x;
  if (Math.abs(cross) < 0.05) return undefined;
  const t = ((b.from.x - a.from.x) * b.direction.y - (b.from.y - a.from.y) * b.direction.x) / cross;
  return { x: a.from.x + a.direction.x * t, y: a.from.y + a.direction.y * t };
}

const LENGTH_PAIR = new RegExp(`^(${VALUE})$`, "u");

/**
 * Rule 8, over all pages of the cut table: every pin is set out again from the words and numbers printed there,
 * and must land within 10 mm of where it is planned.
 */
export function pinsNotFound(pages: readonly PageParts[], expected: Expected): Finding[] {
  const table = pages.filter(({ sheetId }) => sheetId === "cut-table");
  if (table.length === 0 || !expected.plan) return [];
  const walls = wallLines(expected);
  const rooms = new Map(expected.plan.floors.map((floor) => [floor.name, floor.roomId]));
  const byId = new Map(expected.pins.map((pin) => [pin.id, pin]));
  const texts = table.flatMap((parts) => parts.body.map((mark) => ({ parts, mark, text: textOf(mark) })));
  const snapped = new Map<string, Line[]>();
  const where = new Map<string, { readonly parts: PageParts; readonly mark: TextMark; readonly words: string[] }>();
  // One room needs no heading to be known.
  let room = expected.plan.floors.length === 1 ? expected.plan.floors[0]!.roomId : "";
  let open: { words: string[] } | undefined;
  for (const [k, { parts, mark, text }] of texts.entries()) {
    const heading = rooms.get(text) ?? rooms.get(text.replace(/: [^:]*$/, ""));
    if (heading !== undefined) {
      room = heading;
      open = undefined;
      continue;
    }
    const [large, small, wall] = [texts[k + 1]?.text ?? "", texts[k + 2]?.text ?? "", texts[k + 3]?.text ?? ""];
    const lineWall = walls.find(({ name, roomId }) => name === wall && roomId === room);
    if (/^([A-Z]+|\d+)$/.test(text) && LENGTH_PAIR.test(large) && LENGTH_PAIR.test(small) && lineWall) {
      const key = `${room} ${text}`;
      snapped.set(key, [...(snapped.get(key) ?? []), beside(lineWall.line, readQuantity(large)!.value / 1000)]);
      open = undefined;
    } else if (byId.has(text)) {
      const entry = { parts, mark, words: [] as string[] };
      where.set(text, entry);
      open = entry;
    } else open?.words.push(text);
  }
  return expected.pins.flatMap((pin) => {
    const entry = where.get(pin.id);
    if (!entry) {
      const [first] = table;
      return [
        found("pin found", first!, { minX: 0, minY: 0, maxX: 0, maxY: 0 }, pin.id, "has no row in the cut table"),
      ];
    }
    const near = (at: At | undefined): boolean =>
      at !== undefined && Math.hypot(at.x - pin.at.eastM, at.y - pin.at.northM) <= 0.01;
    const words = plain(entry.words.join(" "));
    const offsets = [...words.matchAll(new RegExp(`([\\p{L}-]+(?: \\p{L}+)*(?: \\d+)?) (${VALUE}) \\(`, "gu"))];
    const candidates: Line[][] =
      offsets.length >= 2
        ? offsets
            .slice(0, 2)
            .map(([, name, value]) =>
              walls
                .filter((one) => name!.endsWith(one.name))
                .map(({ line }) => beside(line, readQuantity(value!)!.value / 1000)),
            )
        : (/^([A-Z]+)(\d+)$/.exec(pin.id)?.slice(1) ?? []).map((line) => snapped.get(`${pin.room} ${line}`) ?? []);
    const [first = [], second = []] = candidates;
    const lands = first.some((a) => second.some((b) => near(crossing(a, b))));
    return lands
      ? []
      : [
          found(
            "pin found",
            entry.parts,
            entry.mark.extent,
            pin.id,
            `redrawn from “${words}” it does not land within 10 mm`,
          ),
        ];
  });
}

/** Rule 9: the way in is marked on a plan. Looked for over all pages of the sheet: a tile may not have it. */
export function entranceMissing(pages: readonly PageParts[], expected: Expected): Finding[] {
  const hasEntrance = expected.plan?.floors.some(({ doors }) => doors.some(({ entrance }) => entrance)) ?? false;
  const maps = pages.filter(isMap);
  if (!hasEntrance || maps.length === 0) return [];
  return [...new Set(maps.map(({ sheetId }) => sheetId))].flatMap((sheetId) => {
    const those = maps.filter((parts) => parts.sheetId === sheetId);
    const arrow = (mark: PaperMark): boolean =>
      mark.kind === "fill" &&
      mark.luminance < 0.05 &&
      mark.rings.length === 1 &&
      Math.abs(areaOf(mark.rings[0]!) - 19.2) < 0.6;
    return those.some(({ page }) => page.marks.some(arrow))
      ? []
      : [found("entrance", those[0]!, those[0]!.body[0]!.extent, "plan", "does not mark the way in")];
  });
}

const areaOf = (ring: readonly At[]): number =>
  Math.abs(
    ring.reduce((sum, p, k) => sum + p.x * ring[(k + 1) % ring.length]!.y - ring[(k + 1) % ring.length]!.x * p.y, 0) /
      2,
  );

/** Rules of type, of contrast and of values: what stands on the paper, and how large. */
import { X_HEIGHT } from "../../src/sheets/type/text-metrics.ts";
import {
  CAPITALS,
  DIGITS,
  type Expected,
  type Finding,
  found,
  lowestGlyph,
  type PageParts,
  plain,
  type Quantity,
  readQuantity,
  SMALL_LETTERS,
  textOf,
  VALUE,
  wordsOf,
} from "./page-parts.ts";
import type { Picture } from "./raster.ts";
import type { TextMark } from "./read-paper.ts";

/** A hundredth of a millimetre: what a browser loses when it lays text on its own grid. */
const PRINT_MM = 0.01;
const KNEELING = new Set(["pin-map", "cut-table", "cut-order"]);
const READ_IN_ACTION = new Set(["cover", "pause-cards", "safety"]);

/** Rule 2, and the lesser size of rule 1: capitals and digits as drawn; small letters where a sheet is read in action. */
export function typeTooSmall(parts: PageParts): Finding[] {
  const least = KNEELING.has(parts.sheetId) ? 3.1 : 2.5;
  return [...parts.head, ...parts.body].flatMap((mark) => {
    const cap = lowestGlyph(mark, CAPITALS);
    const small = lowestGlyph(mark, SMALL_LETTERS);
    const breaches: Finding[] = [];
    if (cap !== undefined && cap < least - PRINT_MM)
      breaches.push(
        found("type size", parts, mark.extent, textOf(mark), `capitals of ${cap.toFixed(2)} mm, ${least} wanted`),
      );
    // Without a capital to measure, the small letters tell the size by the font's proportion.
    else if (cap === undefined && small !== undefined && (small / X_HEIGHT) * 0.714 < least - PRINT_MM)
      breaches.push(found("type size", parts, mark.extent, textOf(mark), `small letters of ${small.toFixed(2)} mm`));
    if (READ_IN_ACTION.has(parts.sheetId) && small !== undefined && small < 2.54 - PRINT_MM)
      breaches.push(
        found("type size", parts, mark.extent, textOf(mark), `x-height of ${small.toFixed(2)} mm, 2.54 wanted`),
      );
    return breaches;
  });
}

interface PinLabel {
  readonly id: TextMark;
  readonly values: readonly { readonly mark: TextMark; readonly text: string }[];
}

/** Texts that follow a pin's id in the order of painting: its cut length and the other unit. */
function labelsOf({ body }: PageParts, { pins }: Expected): PinLabel[] {
  const ids = new Set(pins.map(({ id }) => id));
  // On a map the governing unit stands in the legend and not at every pin.
  const unit = / (\S+)$/.exec(plain(pins.find(({ printed }) => printed)?.printed?.[0] ?? ""))?.[1] ?? "";
  return body.flatMap((id, index) => {
    if (!ids.has(textOf(id))) return [];
    const values = body.slice(index + 1, index + 3).map((mark) => {
      const text = textOf(mark);
      return { mark, text: /^[\d /.]+$/.test(text) && !ids.has(text) ? `${text} ${unit}` : text };
    });
    return [{ id, values: values.filter(({ text }) => readQuantity(text) !== undefined) }];
  });
}

const RIGHT_TO_LEFT = /\p{Script=Hebrew}|\p{Script=Arabic}/u;

/** A number of a name that runs from right to left is painted on its own, within a space of the name's letters. */
const isWithinName = (number: TextMark, body: readonly TextMark[]): boolean =>
  body.some(
    ({ text, extent, emMm }) =>
      RIGHT_TO_LEFT.test(text) &&
      extent.minY < number.extent.maxY &&
      extent.maxY > number.extent.minY &&
      extent.minX < number.extent.maxX + emMm &&
      extent.maxX > number.extent.minX - emMm,
  );

/** Rule 1: depths on the pin map and in the cut table have digits of 4.1 mm, values of the pour clock of 9.3 mm. */
export function digitsTooSmall(parts: PageParts, expected: Expected): Finding[] {
  const measured = (marks: readonly TextMark[], least: number): Finding[] =>
    marks.flatMap((mark) => {
      const height = lowestGlyph(mark, DIGITS);
      return height !== undefined && height < least - PRINT_MM
        ? [
            found(
              "digit height",
              parts,
              mark.extent,
              textOf(mark),
              `digits of ${height.toFixed(2)} mm, ${least} wanted`,
            ),
          ]
        : [];
    });
  if (parts.sheetId === "pin-map" || parts.sheetId === "cut-table")
    return measured(
      labelsOf(parts, expected).flatMap(({ id, values }) =>
        values.length > 0 ? [id, ...values.map(({ mark }) => mark)] : [],
      ),
      4.1,
    );
  if (parts.sheetId === "mixing-schedule")
    return measured(
      parts.body.filter(
        (mark) =>
          (/^\d+(:\d\d)?$/.test(textOf(mark)) && !isWithinName(mark, parts.body)) ||
          textOf(mark) === expected.waterPerBag,
      ),
      9.3,
    );
  return [];
}

/** Rule 3: leading, length of lines, mixed case. */
export function settingBad(parts: PageParts, expected: Expected): Finding[] {
  const breaches: Finding[] = [];
  // Numbers on a map stand where their places are, not in lines.
  const lines = parts.body
    .filter((mark) => mark.turned === 0 && wordsOf(textOf(mark)).length > 0)
    .map((mark) => ({ mark, origin: mark.glyphs[0]!.origin }));
  lines.sort((p, q) => p.origin.y - q.origin.y);
  for (const [index, { mark, origin }] of lines.entries()) {
    for (let k = index + 1; k < lines.length; k++) {
      const below = lines[k]!;
      const distance = below.origin.y - origin.y;
      if (distance > 1.25 * mark.emMm) break;
      // Lines of one paragraph: the same size from the same left edge.
      const together = Math.abs(below.origin.x - origin.x) < 0.3 && Math.abs(below.mark.emMm - mark.emMm) < 0.05;
      if (together && distance > 0.1 && distance < 1.25 * mark.emMm - 0.05)
        breaches.push(
          found(
            "leading",
            parts,
            below.mark.extent,
            textOf(below.mark),
            `${(distance / mark.emMm).toFixed(2)} of the type size, 1.25 wanted`,
          ),
        );
    }
  }
  const signals = /^(DANGER|WARNING|CAUTION|NOTICE|HOLD|DRAFT|PELIGRO|ADVERTENCIA|PRECAUCIÓN|AVISO|ALTO|BORRADOR)$/;
  for (const mark of parts.body) {
    const text = textOf(mark);
    if (text.length > 70)
      breaches.push(found("line length", parts, mark.extent, text, `${text.length} characters, 70 allowed`));
    const shouted = text
      .split(/[^\p{L}\p{N}-]+/u)
      .filter((word) => /^\p{Lu}{5,}$/u.test(word) && !signals.test(word) && !expected.ownText.includes(word));
    if (shouted.length > 0)
      breaches.push(found("mixed case", parts, mark.extent, text, `capitals throughout: ${shouted.join(", ")}`));
  }
  return breaches;
}

/** Rule 4, first part: every digit takes the same room. */
export function figuresNotTabular(parts: PageParts): Finding[] {
  return parts.body.flatMap((mark) => {
    const steps = mark.glyphs.flatMap((glyph, index) => {
      const next = mark.glyphs[index + 1];
      if (!next || !DIGITS.test(glyph.text) || !DIGITS.test(next.text)) return [];
      return [Math.hypot(next.origin.x - glyph.origin.x, next.origin.y - glyph.origin.y) / mark.emMm];
    });
    const uneven = steps.length > 1 && Math.max(...steps) - Math.min(...steps) > 0.01;
    return uneven
      ? [
          found(
            "tabular figures",
            parts,
            mark.extent,
            textOf(mark),
            `digits are ${Math.min(...steps).toFixed(3)} to ${Math.max(...steps).toFixed(3)} em apart`,
          ),
        ]
      : [];
  });
}

/** Whether two printed values can be roundings of one. */
export function agree(a: Quantity, b: Quantity): boolean {
  return a.kind === b.kind && Math.abs(a.value - b.value) <= ((a.step + b.step) / 2) * (1 + 1e-9) + 1e-9;
}

const PAIR = new RegExp(`(${VALUE}) \\((${VALUE})\\)`, "gu");

/** Rule 4: the two units say the same; every cut length has both, as in packet.json. */
export function unitsApart(parts: PageParts, expected: Expected): Finding[] {
  const breaches: Finding[] = [];
  const compare = (mark: TextMark, large: string, small: string): void => {
    const [a, b] = [readQuantity(large), readQuantity(small)];
    if (!a || !b) return;
    if (!agree(a, b))
      breaches.push(
        found(
          "both units",
          parts,
          mark.extent,
          `${large} (${small})`,
          "the two units differ by more than their rounding",
        ),
      );
  };
  for (const mark of parts.body)
    for (const [, large, small] of textOf(mark).matchAll(PAIR)) compare(mark, large!, small!);
  if (parts.sheetId !== "pin-map" && parts.sheetId !== "cut-table") return breaches;
  const byId = new Map(expected.pins.map((pin) => [pin.id, pin]));
  for (const { id, values } of labelsOf(parts, expected)) {
    const printed = byId.get(textOf(id))?.printed?.map(plain);
    const shown = values.map(({ text }) => text);
    if (shown.length === 0) continue;
    if (shown.length < 2)
      breaches.push(found("both units", parts, id.extent, textOf(id), `has ${shown.join()} in one unit only`));
    else compare(id, shown[0]!, shown[1]!);
    if (printed === undefined || printed.join("|") !== shown.join("|"))
      breaches.push(
        found(
          "both units",
          parts,
          id.extent,
          textOf(id),
          `prints ${shown.join(", ")}, packet.json has ${printed?.join(", ") ?? "no length"}`,
        ),
      );
  }
  return breaches;
}

/** Rule 4: lengths in a column end at one edge, so that their decimals stand below each other. */
export function decimalsAskew(parts: PageParts, expected: Expected): Finding[] {
  if (parts.sheetId !== "cut-table") return [];
  return [0, 1].flatMap((column) => {
    const values = labelsOf(parts, expected).flatMap(({ values: both }) =>
      both.length === 2 ? [both[column]!.mark] : [],
    );
    const edge = (mark: TextMark): number => {
      const last = mark.glyphs.findLastIndex(({ extent }) => extent !== undefined);
      return mark.glyphs[last]!.extent!.maxX;
    };
    const edges = values.map(edge);
    const usual = [...edges].sort((p, q) => p - q)[Math.floor(edges.length / 2)];
    return values.flatMap((mark, k) =>
      usual !== undefined && Math.abs(edges[k]! - usual) > 0.3
        ? [
            found(
              "decimals aligned",
              parts,
              mark.extent,
              textOf(mark),
              `ends ${(edges[k]! - usual).toFixed(1)} mm off its column`,
            ),
          ]
        : [],
    );
  });
}

/** So much of a glyph may be lost to the edges of pixels. */
const STRAY = 0.03;

/** Rule 5: text stands out 7:1 in grey; rule 6: no line runs through it and nothing is painted over it. */
export function textHardToSee(parts: PageParts, picture: Picture): Finding[] {
  return picture.texts.flatMap(({ mark, shareWithoutContrast, leastContrast, shareCovered }) => {
    const breaches: Finding[] = [];
    if (shareWithoutContrast > STRAY)
      breaches.push(
        found(
          "contrast",
          parts,
          mark.extent,
          textOf(mark),
          `${(100 * shareWithoutContrast).toFixed(0)} % of it stands out less than 7:1, at worst ${leastContrast.toFixed(1)}:1`,
        ),
      );
    if (shareCovered > STRAY)
      breaches.push(
        found(
          "covered",
          parts,
          mark.extent,
          textOf(mark),
          `${(100 * shareCovered).toFixed(0)} % of it is painted over`,
        ),
      );
    return breaches;
  });
}

/** Values and ids of a sheet's pages, each once; what stands in a table of contents or at the foot is not looked at. */
function saidOn(pages: readonly PageParts[], { pins }: Expected): Map<string, Map<string, PageParts>> {
  const ids = new Set(pins.map(({ id }) => id));
  const sheets = new Map<string, Map<string, PageParts>>();
  for (const parts of pages) {
    const said = sheets.get(parts.sheetId) ?? new Map<string, PageParts>();
    sheets.set(parts.sheetId, said);
    for (const mark of parts.body) {
      const text = textOf(mark);
      for (const value of ids.has(text) ? [text] : (text.match(new RegExp(VALUE, "gu")) ?? []))
        if (!said.has(value)) said.set(value, parts);
    }
  }
  return sheets;
}

/** Sheets that a crew works by. */
const CREW_SHEETS = new Set(["pin-map", "cut-table", "cut-order", "bay-map", "mixing-schedule", "batch-log", "safety"]);

/** Two languages: ids, and values with their units, are the same on both sheets. */
export function languagesApart(
  first: readonly PageParts[],
  second: readonly PageParts[],
  expected: Expected,
): Finding[] {
  const [one, other] = [saidOn(first, expected), saidOn(second, expected)];
  const lacking = (here: typeof one, there: typeof one): Finding[] =>
    [...here].flatMap(([id, said]) =>
      CREW_SHEETS.has(id)
        ? [...said].flatMap(([value, parts]) =>
            there.has(id) && !there.get(id)!.has(value)
              ? [
                  found(
                    "two languages",
                    parts,
                    { minX: 0, minY: 0, maxX: 0, maxY: 0 },
                    value,
                    "does not stand on this sheet in the other language",
                  ),
                ]
              : [],
          )
        : [],
    );
  return [...lacking(one, other), ...lacking(other, one)];
}

/** Spanish sheets: words of the English catalogue that are neither Spanish nor the job's own. */
export function foreignWords(
  parts: PageParts,
  expected: Expected,
  english: ReadonlySet<string>,
  own: ReadonlySet<string>,
): Finding[] {
  if (expected.language === "en") return [];
  const jobWords = new Set(wordsOf(expected.ownText));
  return [...parts.head, ...parts.body, ...parts.foot].flatMap((mark) => {
    // Letters among the digits of a sheet's hash make no word.
    const said = textOf(mark).replaceAll(/\b(?=[0-9a-f]*[0-9])[0-9a-f]{8}\b/g, "");
    const foreign = wordsOf(said).filter((word) => english.has(word) && !own.has(word) && !jobWords.has(word));
    return foreign.length > 0
      ? [found("language", parts, mark.extent, textOf(mark), `English: ${foreign.join(", ")}`)]
      : [];
  });
}

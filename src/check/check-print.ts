/**
 * What is printed: each value's two units are read back and held against the number behind them, and
 * the tables that a crew works from against the packet.
 */
import type { Mark } from "../sheets/drawing.ts";
import { agrees, type Disagree, type Evidence } from "./evidence.ts";

/** What one of a printed unit is, in the unit of the packet's numbers (mm, m, m², L, L/min, kg, kg/m²). */
const UNIT_OF: Readonly<Record<string, Readonly<Record<string, number>>>> = {
  Mm: { mm: 1, in: 25.4 },
  M: { m: 1 },
  M2: { "m²": 1, "ft²": 0.09290304 },
  L: { L: 1, "ft³": 28.316846592, qt: 0.946352946, gal: 3.785411784 },
  LMin: { "L/h": 1 / 60, "gal/min": 3.785411784 },
  Kg: { kg: 1, lb: 0.45359237 },
  KgM2: { kPa: 1000 / 9.80665, psf: 0.45359237 / 0.09290304 },
};

/** Longest first, so that a load is not taken for an area. */
const KINDS = ["KgM2", "Kg", "M2", "LMin", "Mm", "M", "L"] as const;

interface ReadBack {
  readonly value: number;
  /** Half of the last printed step. */
  readonly halfStep: number;
}

/** A printed number with its unit, in the unit of `kind`; undefined where it cannot be read. */
export function readBack(text: string, kind: string): ReadBack | undefined {
  const plain = text.replaceAll("\u00a0", " ").replaceAll("−", "-").replace(/^\+/, "");
  // A fraction of an inch right behind the feet would be read as one of a foot: it is not taken for a length.
  const feet = /^(-?)([\d ]+)' (\d+)(?: (\d+)\/(\d+))?"$/.exec(plain);
  if (feet) {
    if (kind !== "M") return undefined;
    const [, sign, whole, inch, upper, lower] = feet;
    const inches = Number(inch) + Number(upper ?? 0) / Number(lower ?? 1);
    const size = Number((whole as string).replaceAll(" ", "")) * 0.3048 + inches * 0.0254;
    return { value: sign ? -size : size, halfStep: 0.0254 / 16 };
  }
  const fraction = /^(-?)(?:([\d]+) )?(\d+)\/(\d+) in$/.exec(plain);
  if (fraction) {
    if (kind !== "Mm") return undefined;
    const [, sign, whole, upper, lower] = fraction;
    const size = (Number(whole ?? 0) + Number(upper) / Number(lower)) * 25.4;
    return { value: sign ? -size : size, halfStep: 25.4 / 32 };
  }
  const decimal = /^(-?[\d ]*\d(?:\.(\d+))?) (\S+)$/.exec(plain);
  if (!decimal) return undefined;
  const [, digits, places, unit] = decimal;
  const size = UNIT_OF[kind]?.[unit as string];
  if (size === undefined) return undefined;
  // Whole inches are whole because the sixteenths cancelled.
  const step = unit === "in" && places === undefined ? 1 / 16 : 10 ** -(places?.length ?? 0);
  return { value: Number((digits as string).replaceAll(" ", "")) * size, halfStep: (step * size) / 2 };
}

/** Keys of limits: who keeps the printed limit must keep the limit, so a print is never on the wrong side of it. */
const LIMIT_KEY = /^(least|greatest)Allowed/;

function printsTruly({ value: back, halfStep }: ReadBack, value: number, limit: string | undefined): boolean {
  const within = halfStep * 1.000001 + 1e-9;
  if (limit === undefined) return agrees(back, value, within);
  const tooMuch = limit === "least" ? back - value : value - back;
  return tooMuch >= -1e-5 && tooMuch <= 2 * within;
}

/** Both prints of every value in the packet. */
export function checkBothUnits({ packet }: Evidence, disagree: Disagree): void {
  const visit = (at: unknown, path: string, key: string): void => {
    if (Array.isArray(at)) {
      for (const [k, item] of at.entries()) visit(item, `${path}[${k}]`, key);
      return;
    }
    if (typeof at !== "object" || at === null) {
      if (typeof at === "number" && !Number.isFinite(at)) disagree("number-not-finite", `${path} is ${at}`);
      return;
    }
    const { value, printed } = at as { value?: unknown; printed?: unknown };
    if (typeof value === "number" && Array.isArray(printed)) {
      const kind = KINDS.find((ending) => key.endsWith(ending)) ?? "";
      for (const text of printed as string[]) {
        const back = readBack(text, kind);
        if (back === undefined || !printsTruly(back, value, LIMIT_KEY.exec(key)?.[1])) {
          disagree("print-differs", `${path} is ${value}, and is printed as ${text}`);
        }
      }
      return;
    }
    for (const [name, inner] of Object.entries(at)) visit(inner, path === "" ? name : `${path}.${name}`, name);
  };
  visit(packet, "", "");
}

/** Cut lengths and batches on the sheets, in every language, are those of the packet. */
export function checkSheets({ packet, sheets }: Evidence, disagree: Disagree): void {
  if (packet.depths.kind !== "ready") return;
  const lengths = new Map(
    packet.depths.result.pins.map(({ id, cut, cutMm }) => [id, cut === "cut" ? (cutMm?.printed ?? []) : []]),
  );
  for (const { id: sheetId, language, pages } of sheets) {
    const rows = pages.flatMap(({ blocks }) =>
      blocks.flatMap((block) => (block.kind === "table" ? block.rows.map(({ cells }) => cells) : [])),
    );
    const texts = rows.map((cells) => cells.map((cell) => cell.lines.map(({ text }) => text).join(" ")));
    const where = `sheet ${sheetId} (${language})`;
    if (sheetId === "cut-table") checkCutTable(texts, lengths, where, disagree);
    if (sheetId === "cut-order") checkCutOrder(texts, lengths, where, disagree);
    if (sheetId === "pin-map") {
      const printed = pages.flatMap(({ blocks }) =>
        blocks.flatMap((block) => (block.kind === "drawing" ? block.drawing.layers.flatMap(({ marks }) => marks) : [])),
      );
      checkPinMap(printed, lengths, where, disagree);
    }
    if (
      sheetId === "mixing-schedule" &&
      packet.schedule.kind === "ready" &&
      packet.schedule.result.kind === "can-be-poured"
    ) {
      const last = packet.schedule.result.batches.at(-1);
      // Where a table has two halves, a batch may begin in the middle of a row.
      const onSheet = texts.flatMap((cells) =>
        cells.flatMap((number, k) => (number === String(last?.number) ? [cells.slice(k + 1, k + 4)] : [])),
      );
      if (last && !onSheet.some((cells) => cells.includes(String(last.cumulativeBags)))) {
        disagree("sheet-differs", `${where} does not end with batch ${last.number} at ${last.cumulativeBags} bags`);
      }
    }
  }
}

type Lengths = ReadonlyMap<string, readonly string[]>;

function checkCutTable(texts: readonly string[][], lengths: Lengths, where: string, disagree: Disagree): void {
  const seen = new Set<string>();
  for (const [id, large, small] of texts) {
    const wanted = lengths.get(id ?? "");
    // A lettered line can be called as no pin is, so other tables of the sheet pass by.
    if (id === undefined || wanted === undefined) continue;
    seen.add(id);
    if (wanted.length === 2 && (wanted[0] !== large || wanted[1] !== small)) {
      disagree(
        "sheet-differs",
        `${where} prints ${large} and ${small} for pin ${id}, the packet has ${wanted.join(" and ")}`,
      );
    }
    if (wanted.length === 0 && /\d/.test(large ?? "")) {
      disagree("sheet-differs", `${where} prints the length ${large} for pin ${id}, which is not cut`);
    }
  }
  for (const id of lengths.keys()) if (!seen.has(id)) disagree("sheet-differs", `${where} lacks pin ${id}`);
}

function checkCutOrder(texts: readonly string[][], lengths: Lengths, where: string, disagree: Disagree): void {
  const listed = new Map<string, string>();
  for (const cells of texts) {
    for (const id of (cells.at(-1) ?? "").split(/[,\s]+/)) if (lengths.has(id)) listed.set(id, cells[0] ?? "");
  }
  for (const [id, wanted] of lengths) {
    if (wanted.length === 2 && listed.get(id) !== wanted[0]) {
      disagree(
        "sheet-differs",
        `${where} has pin ${id} under ${listed.get(id) ?? "no length"}, the packet under ${wanted[0]}`,
      );
    }
  }
}

/** On the map a pin's id is followed by its length: the number in the unit that leads, then the other unit. */
function checkPinMap(marks: readonly Mark[], lengths: Lengths, where: string, disagree: Disagree): void {
  const seen = new Set<string>();
  for (const [k, mark] of marks.entries()) {
    // A door or a column may be called as a pin is.
    if (mark.kind !== "text" || mark.role !== "pin-id") continue;
    const wanted = lengths.get(mark.text);
    if (wanted === undefined) {
      disagree("sheet-differs", `${where} has a pin ${mark.text} that the packet does not have`);
      continue;
    }
    seen.add(mark.text);
    const [large, small] = [marks[k + 1], marks[k + 2]];
    const first = large?.kind === "text" ? large.text : "";
    const second = small?.kind === "text" ? small.text : "";
    if (wanted.length === 2 && (!wanted[0]?.startsWith(`${first}\u00a0`) || second !== wanted[1])) {
      disagree(
        "sheet-differs",
        `${where} prints ${first} and ${second} at pin ${mark.text}, the packet has ${wanted.join(" and ")}`,
      );
    }
    if (wanted.length === 0 && first !== "") {
      disagree("sheet-differs", `${where} prints ${first} at pin ${mark.text}, which is not cut`);
    }
  }
  for (const id of lengths.keys()) if (!seen.has(id)) disagree("sheet-differs", `${where} lacks pin ${id}`);
}

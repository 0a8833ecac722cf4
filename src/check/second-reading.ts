/**
 * The written sheet read a second time, straight from the job file's text: which level the crew
 * wrote for which point, and where the point lies. Shares no code with the rooms that computed the packet.
 */
const MM_IN_AN_INCH = 25.4;

const UNITS_MM: readonly (readonly [RegExp, number])[] = [
  [/^('|ft\.?|foot|feet)$/, 304.8],
  [/^("|in\.?|inch|inches)$/, MM_IN_AN_INCH],
  [/^(mm|millimet(re|er)s?)$/, 1],
  [/^(cm|centimet(re|er)s?)$/, 10],
  [/^(m|met(re|er)s?)$/, 1000],
];

const FRACTION_SIGNS = "½1/2 ¼1/4 ¾3/4 ⅛1/8 ⅜3/8 ⅝5/8 ⅞7/8 ⅓1/3 ⅔2/3";

/** "24' 6 1/2\"", "7.47 m", "18 mm", "2 ft" or a bare number in `bareUnitMm`, as millimetres; NaN where it cannot be read. */
export function lengthMm(written: unknown, bareUnitMm: number): number {
  if (typeof written === "number") return written * bareUnitMm;
  if (typeof written !== "string") return Number.NaN;
  const plain = written
    .replace(/[½¼¾⅛⅜⅝⅞⅓⅔]/g, (sign) => ` ${FRACTION_SIGNS.slice(FRACTION_SIGNS.indexOf(sign) + 1).slice(0, 3)}`)
    .replace(/⁄/g, "/")
    .replace(/[−–—‑]/g, "-")
    .replace(/[‘’′ʹ´]/g, "'")
    .replace(/[“”″ʺ]|''/g, '"')
    .replace(/[\s\u00a0\u2000-\u200a\u202f]+/g, " ")
    .trim()
    .toLowerCase();
  let sum = 0;
  let found = false;
  const part = /(-?) *(?:(\d+)\/(\d+)|(\d+(?:\.\d*)?|\.\d+)(?:[ -]+(\d+)\/(\d+))?) *([a-z]+\.?|'|"|)(?![\w.])/y;
  let at = 0;
  let sign = 1;
  while (at < plain.length) {
    part.lastIndex = at;
    const hit = part.exec(plain);
    if (!hit) return Number.NaN;
    const [all, minus, top, bottom, whole, over, under, unit = ""] = hit;
    const unitMm = unit === "" ? bareUnitMm : UNITS_MM.find(([spelling]) => spelling.test(unit))?.[1];
    if (unitMm === undefined) return Number.NaN;
    if (minus && !found) sign = -1;
    const value =
      whole !== undefined ? Number(whole) + (over ? Number(over) / Number(under) : 0) : Number(top) / Number(bottom);
    sum += value * unitMm;
    found = true;
    at += all.length;
    while (plain[at] === " " || (plain[at] === "-" && at > 0)) at += 1;
  }
  return found ? sign * sum : Number.NaN;
}

/** Lettered lines skip I and O: A … H, J … N, P … Z, AA, AB … Position from 0, or −1 for what is no letter line. */
export function letterIndex(letters: string): number {
  const alphabet = "ABCDEFGHJKLMNPQRSTUVWXYZ";
  let index = 0;
  for (const letter of letters) {
    const digit = alphabet.indexOf(letter);
    if (digit < 0) return -1;
    index = index * alphabet.length + digit + 1;
  }
  return index - 1;
}

export interface WrittenReading {
  readonly pointId: string;
  /** Height above the set-up's zero. */
  readonly levelMm: number;
}

/** One block of the written sheet. `unitMm` is the length of the unit that the numbers are in. */
export function readWrittenSheet(block: string, unitMm: number, below: boolean): WrittenReading[] {
  const found: WrittenReading[] = [];
  for (const line of block.split(/\r\n|\r|\n/)) {
    const [label, ...cells] = line
      .replace(/#.*$/, "")
      .split(/[\s,:]+/)
      .filter((cell) => cell !== "");
    if (label === undefined) continue;
    const isRow = /^[A-Z]+$/.test(label);
    cells.forEach((cell, column) => {
      if (/^[-–—]$/.test(cell)) return;
      // In a row a mixed fraction is written with a hyphen, 1-1/2, since blanks part the readings.
      const hit = /^([-−+]?)(?:(\d*\.?\d+)|(\d+)-(\d+)\/(\d+)|(\d+)\/(\d+)|(\d+)\.)$/.exec(cell);
      if (!hit) {
        found.push({ pointId: isRow ? label + String(column + 1) : label, levelMm: Number.NaN });
        return;
      }
      const [, sign, plain, whole, over, under, top, bottom, dotted] = hit;
      let size = Number(plain ?? dotted);
      if (whole !== undefined) size = Number(whole) + Number(over) / Number(under);
      if (top !== undefined) size = Number(top) / Number(bottom);
      const reading = (sign === "-" || sign === "−" ? -size : size) * unitMm;
      found.push({ pointId: isRow ? label + String(column + 1) : label, levelMm: below ? 0 - reading : reading });
    });
  }
  return found;
}

const LEVELLED_BY =
  /^(height|level|reduced level|elevation|elev|h|z|rod|rod reading|staff|staff reading|reading|hose|hose reading)$/;
const POINT_NAMES = /^(point|point number|point no|point id|number|no|nr|id|name)$/;
const SET_UP_NAMES = /^(set-up|setup|set up|station)$/;
const UNIT_MM: Readonly<Record<string, number>> = { mm: 1, in: MM_IN_AN_INCH, m: 1000, ft: 304.8 };

interface Heading {
  readonly name: string;
  readonly unit: string | undefined;
}

/** The lines of a CSV list with their numbers, cut into cells, and what its first line calls them. */
function tableOf(text: string): {
  readonly headings: readonly Heading[];
  readonly rows: readonly { readonly line: string; readonly number: number }[];
  readonly cells: (line: string) => string[];
} {
  const all = text.replace(/^\ufeff/, "").split(/\r\n|\r|\n/);
  const rows = all.flatMap((line, k) =>
    line.trim() === "" || line.trim().startsWith("#") ? [] : [{ line, number: k + 1 }],
  );
  const header = rows.shift()?.line ?? "";
  const parting = header.includes("\t") ? "\t" : header.includes(";") ? ";" : ",";
  // Only a cell that is quoted as a whole may hold what parts cells.
  const pattern = new RegExp(`(?:^|${parting})\\s*(?:"((?:[^"]|"")*)"|([^${parting}]*))`, "g");
  const cells = (line: string): string[] =>
    line.includes('"')
      ? [...line.matchAll(pattern)].map(([, quoted, plain]) => (quoted ?? plain ?? "").trim())
      : line.split(parting).map((cell) => cell.trim());
  const headings = cells(header).map((heading) => {
    const hit = /^(.*?)[ _/]*[([]?(?<![a-z])(mm|in|m|ft)[)\]]?$/i.exec(heading);
    const bare = hit?.[1] ? hit[1] : heading;
    return {
      name: bare.toLowerCase().replaceAll("_", " ").replaceAll(".", "").trim(),
      unit: hit?.[1] ? hit[2]?.toLowerCase() : undefined,
    };
  });
  return { headings, rows, cells };
}

/** The rows of a CSV list that belong to a set-up. `unitMm` holds where the heading of the heights names no unit. */
export function readWrittenList(
  text: string,
  setUpId: string,
  unitMm: number,
  zeroMm: number,
  below: boolean,
): WrittenReading[] {
  const { headings, rows, cells } = tableOf(text);
  const column = (names: RegExp) => headings.findIndex(({ name }) => names.test(name));
  const [point, value, of] = [column(POINT_NAMES), column(LEVELLED_BY), column(SET_UP_NAMES)];
  const ofValue = headings[value]?.unit;
  return rows.flatMap(({ line }) => {
    const found = cells(line);
    const typed = found[value] ?? "";
    if ((of >= 0 && found[of] !== setUpId) || typed === "" || /^[-–—−]$/.test(typed)) return [];
    const number = Number(typed.replace(/[−–]/g, "-").replace(/\s*(mm|in|")$/, ""));
    const reading = number * (ofValue === undefined ? unitMm : (UNIT_MM[ofValue] as number)) - zeroMm;
    return [{ pointId: found[point] ?? "", levelMm: below ? 0 - reading : reading }];
  });
}

export interface WrittenPoint {
  /** In the file's own coordinates, metres. */
  readonly x: number;
  readonly y: number;
  readonly levelMm: number;
  /** From 1. */
  readonly line: number;
}

/** The rows of a scan that hold a height; units where headings name none: of heights, and of the plan. */
export function writtenPoints(text: string, heightMm: number, planMm: number, zeroMm: number): WrittenPoint[] {
  const { headings, rows, cells } = tableOf(text);
  const of = (names: RegExp, bareMm: number) => {
    const index = headings.findIndex(({ name }) => names.test(name));
    const unit = headings[index]?.unit;
    return { index, mm: unit === undefined ? bareMm : (UNIT_MM[unit] as number) };
  };
  const east = of(/^(east|easting|e|x)$/, planMm);
  const north = of(/^(north|northing|n|y)$/, planMm);
  const height = of(/^(height|level|reduced level|elevation|elev|h|z)$/, heightMm);
  const points: WrittenPoint[] = [];
  for (const { line, number } of rows) {
    const found = cells(line);
    const value = ({ index, mm }: typeof east) => Number((found[index] ?? "").replace(/[−–]/g, "-")) * mm;
    if ((found[height.index] ?? "") === "") continue;
    points.push({ x: value(east) / 1000, y: value(north) / 1000, levelMm: value(height) - zeroMm, line: number });
  }
  return points;
}

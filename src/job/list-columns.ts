/** Which column of a list of points is which: they are recognised by their names, units in brackets or behind them. */
import { M_PER_FOOT, MM_PER_INCH } from "../units.ts";
import type { Finding } from "./job-reader.ts";
import type { ReadingUnit } from "./model.ts";

export type Column = "point" | "north" | "east" | "height" | "rod" | "reading" | "description" | "time" | "set-up";

/** Names under which a column is recognised, in small letters, the unit taken off. */
const COLUMN_NAMES: Readonly<Record<Column, readonly string[]>> = {
  point: ["point", "point number", "point no", "point id", "number", "no", "nr", "id", "name"],
  north: ["north", "northing", "n", "y"],
  east: ["east", "easting", "e", "x"],
  height: ["height", "level", "reduced level", "elevation", "elev", "h", "z"],
  rod: ["rod", "rod reading", "staff", "staff reading"],
  reading: ["reading", "hose", "hose reading"],
  description: ["description", "desc", "note", "remark", "remarks"],
  time: ["time", "clock"],
  "set-up": ["set-up", "setup", "set up", "station"],
};

export const MM_IN: Readonly<Record<ReadingUnit, number>> = { mm: 1, in: MM_PER_INCH, m: 1000, ft: M_PER_FOOT * 1000 };

/** A column as the file has it: the unit that its heading names, where it names one. */
export interface KnownColumn {
  readonly index: number;
  readonly unit?: ReadingUnit;
  readonly name: string;
}

export const LIST_HEADER =
  "a first line that names the columns, such as: point, north (m), east (m), height (m), description";

/** A run of the file's text. */
interface Run {
  readonly offset: number;
  readonly length: number;
}

/**
 * The columns that the first line names; undefined after objecting to what it does not say.
 * @param needs the column without which no row can be read
 */
export function columnsOf(
  cells: readonly { readonly text: string; readonly offset: number }[],
  file: string,
  header: Run,
  object: (at: Run, finding: Finding) => void,
  needs: "point" | "height" = "point",
): ReadonlyMap<Column, KnownColumn> | undefined {
  const known = new Map<Column, KnownColumn>();
  for (const [index, { text, offset }] of cells.entries()) {
    const { name, unit } = nameAndUnit(text);
    const column = (Object.keys(COLUMN_NAMES) as Column[]).find((one) => COLUMN_NAMES[one].includes(name));
    if (column === undefined) continue;
    const earlier = known.get(column);
    if (earlier !== undefined) {
      object(
        { offset, length: text.length },
        {
          code: "column-twice",
          message: `The columns "${earlier.name}" and "${text}" both give the ${column}.`,
          expected: "one column for each",
        },
      );
      return undefined;
    }
    known.set(column, { index, name: text, ...(unit === undefined ? {} : { unit }) });
  }
  if (!known.has(needs)) {
    object(header, {
      code: "column-missing",
      message: `No column of ${file} is named as one of ${needs}s.`,
      expected: LIST_HEADER,
    });
    return undefined;
  }
  if (known.has("north") !== known.has("east")) {
    object(header, {
      code: "column-missing",
      message: `${file} has a column ${known.has("north") ? "north" : "east"}, and none ${known.has("north") ? "east" : "north"}.`,
      expected: "both, or neither",
    });
    return undefined;
  }
  return known;
}

/** `Height (m)`, `height_m`, `height [ft]` → height and its unit. */
function nameAndUnit(text: string): { readonly name: string; readonly unit?: ReadingUnit } {
  const plain = text.trim().toLowerCase().replace(/\.$/, "");
  const found = /^(.+?)\s*(?:[([]\s*(mm|in|m|ft)\s*[)\]]|[_/ ]\s*(mm|in|m|ft))$/.exec(plain);
  const unit = (found?.[2] ?? found?.[3]) as ReadingUnit | undefined;
  const name = (found?.[1] ?? plain).replaceAll("_", " ").replace(/\.$/, "").trim();
  return unit === undefined ? { name } : { name, unit };
}

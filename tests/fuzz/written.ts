/** A job as a tree of plain values, made wrong here and there, and written out as YAML the way offices type it. */
import fc, { type GeneratorValue } from "fast-check";

export type Value = string | number | boolean | null | readonly Value[] | { readonly [key: string]: Value };
export type Tree = { [key: string]: Value };
/** Draws values; fast-check makes them smaller where something fails. */
export type Draw = GeneratorValue;

export const pick = <T>(g: Draw, values: readonly T[]): T => values[g(fc.nat, values.length - 1)]!;
/** True once in so many draws; the smallest case is false. */
export const once = (g: Draw, inSoMany: number): boolean => g(fc.nat, inSoMany - 1) === inSoMany - 1;
/** A number with so many decimals. */
export const number = (g: Draw, least: number, greatest: number, decimals: number): number => {
  const step = 10 ** decimals;
  return g(fc.integer, { min: Math.round(least * step), max: Math.round(greatest * step) }) / step;
};

const PLAIN = /^[A-Za-z0-9][A-Za-z0-9 .'_\-/°%²³½¼×]*$/;

/** A value on one line. */
function inline(value: Value): string {
  if (value === null) return "~";
  if (typeof value === "string") return PLAIN.test(value) && !/\s$/.test(value) ? value : JSON.stringify(value);
  if (typeof value !== "object") return String(value);
  if (Array.isArray(value)) return `[${value.map(inline).join(", ")}]`;
  return `{ ${Object.entries(value)
    .map(([key, of]) => `${keyText(key)}: ${inline(of)}`)
    .join(", ")} }`;
}

const keyText = (key: string): string => (/^[\w-]+$/.test(key) ? key : JSON.stringify(key));

/** The tree as YAML: maps of maps in blocks, short ones in braces, sheets of readings as blocks of text. */
export function yamlOf(tree: { readonly [key: string]: Value }, indent = ""): string {
  return Object.entries(tree)
    .map(([key, value]) => {
      const lead = `${indent}${keyText(key)}:`;
      if (typeof value === "string" && value.includes("\n")) {
        const lines = value.split("\n").map((line) => `${indent}  ${line}`);
        return `${lead} |\n${lines.join("\n")}\n`;
      }
      const isLong = inline(value).length > 70 || inline(value).includes("\\n");
      if (Array.isArray(value) && isLong && value.every((one) => typeof one === "object" && !Array.isArray(one))) {
        const items = value.map((one) => {
          const item = yamlOf(one as Tree, `${indent}    `);
          return `${indent}  - ${item.slice(indent.length + 4)}`;
        });
        return `${lead}\n${items.join("")}`;
      }
      if (value !== null && typeof value === "object" && !Array.isArray(value) && isLong)
        return `${lead}\n${yamlOf(value as Tree, `${indent}  `)}`;
      return `${lead} ${inline(value)}\n`;
    })
    .join("");
}

type Container = { [key: string | number]: Value };

/** Every place of the tree: what holds it, and under which key. */
function places(value: Value): { holder: Container; key: string | number }[] {
  if (value === null || typeof value !== "object") return [];
  const keys: (string | number)[] = Array.isArray(value) ? value.map((_, k) => k) : Object.keys(value);
  return keys.flatMap((key) => [{ holder: value as Container, key }, ...places((value as Container)[key]!)]);
}

/** What an office's slip leaves in the place of a value. */
const SLIPS = [
  "",
  "0",
  "-0",
  "0 mm",
  "-3",
  "1e9",
  "NaN",
  ".inf",
  "1/0",
  "12",
  "12 m",
  "12'",
  "5' 6",
  "0.0001 mm",
  "yes",
  "tern",
  "2027-02-29",
  "7:60",
  "A1",
  "DR1",
  "hall",
  "S1",
  "99999",
  "-",
  "[0, 0]",
  "__proto__",
  "constructor",
  "½",
  "4,5 m",
] as const;

/** Takes out, misspells, doubles, swaps or replaces a few values of the tree. */
export function slipped(g: Draw, tree: Tree): void {
  const count = pick(g, [0, 0, 0, 0, 1, 1, 2, 4]);
  for (let slip = 0; slip < count; slip++) {
    const all = places(tree);
    const { holder, key } = all[g(fc.nat, all.length - 1)]!;
    const value = holder[key]!;
    switch (g(fc.nat, 6)) {
      case 0:
        if (Array.isArray(holder)) holder.splice(key as number, 1);
        else delete holder[key];
        break;
      case 1:
        holder[key] = pick(g, SLIPS);
        break;
      case 2:
        if (typeof value === "number") holder[key] = -value;
        else if (typeof value === "string") holder[key] = /^-/.test(value) ? value.slice(1) : `-${value}`;
        break;
      case 3:
        if (Array.isArray(holder)) holder.push(value);
        else {
          delete holder[key];
          holder[`${key}s`] = value;
        }
        break;
      case 4: {
        const other = all[g(fc.nat, all.length - 1)]!;
        if (typeof value !== "object" && typeof other.holder[other.key] !== "object")
          holder[key] = other.holder[other.key]!;
        break;
      }
      case 5:
        if (typeof value === "number") holder[key] = value * pick(g, [10, 0.1, 1000, 0.001]);
        else if (typeof value === "string") holder[key] = value.replace(/\d+/, (digits) => `${digits}0`);
        break;
      default:
        if (typeof value === "string" && value.includes("\n")) {
          const lines = value.split("\n");
          lines.splice(g(fc.nat, lines.length - 1), 1, pick(g, lines), pick(g, ["Z 1 2", "A", "B 3 - x", "", "A1 5"]));
          holder[key] = lines.join("\n");
        } else if (typeof value === "string") holder[key] = value.slice(0, -1);
    }
  }
}

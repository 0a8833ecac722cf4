/**
 * How benchmarks say what they found: a line a figure, with its ratio to a floor of the same run and what is aimed at.
 * `run.ts` gathers them for the table of the docs.
 */
import { appendFileSync } from "node:fs";

export const middle = (times: readonly number[]): number =>
  times.toSorted((a, b) => a - b)[times.length >> 1] as number;

export interface Against {
  readonly ratio?: number;
  /** What the ratio is to: measured in this run. Such as "× bare delaunator". */
  readonly floor?: string;
  readonly aim?: string;
}

/** A figure as it is printed: the texts of one row. */
export interface Told {
  readonly what: string;
  readonly found: string;
  readonly against: string;
  readonly aim: string;
}

/** Where `run.ts` wants the rows as well, one JSON text a line. */
export const ROWS_FILE = "BENCH_ROWS";

const digits = (figure: number): string => {
  if (figure >= 1000) return Math.round(figure).toLocaleString("en-US");
  return figure >= 100 ? figure.toFixed(0) : figure >= 10 ? figure.toFixed(1) : figure.toFixed(2);
};

export function tell(what: string, figure: number, unit: string, { ratio, floor = "×", aim = "" }: Against = {}): void {
  const against = ratio === undefined ? "" : `${digits(ratio)} ${floor}`;
  const told: Told = { what, found: `${digits(figure)} ${unit}`.trim(), against, aim };
  const rest = [against, aim === "" ? "" : `aim: ${aim}`].filter((part) => part !== "").join("; ");
  console.log(`${what.padEnd(62)} ${told.found.padStart(12)}  ${rest}`);
  const rows = process.env[ROWS_FILE];
  if (rows !== undefined) appendFileSync(rows, `${JSON.stringify(told)}\n`);
}

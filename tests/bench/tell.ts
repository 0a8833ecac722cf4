/** How benchmarks say what they found: one line a figure, with the ratio to its floor and what is aimed at. */

export const middle = (times: readonly number[]): number =>
  times.toSorted((a, b) => a - b)[times.length >> 1] as number;

export interface Against {
  /** What the figure is divided by, measured in this run. */
  readonly floor?: string;
  readonly ratio?: number;
  readonly aim?: string;
}

export function tell(what: string, figure: number, unit: string, { floor, ratio, aim }: Against = {}): void {
  const shown = figure >= 100 ? figure.toFixed(0) : figure >= 10 ? figure.toFixed(1) : figure.toFixed(2);
  const against = ratio === undefined ? "" : `${ratio.toFixed(2)} ${floor ?? "×"}`;
  const aimed = aim === undefined ? "" : `aim ${aim}`;
  console.log(
    `${what.padEnd(58)} ${`${shown} ${unit}`.padStart(10)}  ${[against, aimed].filter((part) => part !== "").join("; ")}`,
  );
}

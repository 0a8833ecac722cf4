/** Columns whose values must not break over two lines. */
import { textWidthMm } from "../type/text-metrics.ts";
import { CELL_PADDING_MM, type CellText, type ColumnText } from "./make-blocks.ts";

const STEP_MM = 0.01;
/** To the hundredth below: columns together are never wider than the sheet. */
export const down = (widthMm: number): number => Math.floor(widthMm / STEP_MM) * STEP_MM;

/** What each column needs: its widest run of each cell's first line, or the longest word of its heading, mm. */
export function needsOf(
  columns: readonly Pick<ColumnText, "heading">[],
  rows: readonly (readonly CellText[])[],
  headMm: number,
): number[] {
  return columns.map(({ heading }, k) => {
    const values = rows
      .map((cells) => cells[k]?.runs[0])
      .map((run) => run && textWidthMm(run.text, run.sizeMm, run.weight));
    const words = heading.split(/\s+/).map((word) => textWidthMm(word, headMm, 700));
    // A hundredth to spare: widths are rounded down to it.
    return Math.max(...values.map((width) => width ?? 0), ...words) + 2 * CELL_PADDING_MM + STEP_MM;
  });
}

/**
 * Widths, mm: each its share of `widthMm`, or what it needs where that is more; what is lacking is taken from columns
 * with room to spare, in proportion to their room. Nothing where all needs together do not fit.
 */
export function widthsWithoutBreak(
  shares: readonly number[],
  needsMm: readonly number[],
  widthMm: number,
): number[] | undefined {
  const whole = shares.reduce((sum, one) => sum + one, 0);
  const wanted = shares.map((one) => (one / whole) * widthMm);
  const lacking = wanted.reduce((sum, one, k) => sum + Math.max(0, (needsMm[k] as number) - one), 0);
  const spare = wanted.reduce((sum, one, k) => sum + Math.max(0, one - (needsMm[k] as number)), 0);
  if (lacking > spare) return undefined;
  const kept = spare === 0 ? 1 : 1 - lacking / spare;
  return wanted.map((one, k) => {
    const need = needsMm[k] as number;
    return need + Math.max(0, one - need) * kept;
  });
}

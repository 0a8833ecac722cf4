/** Names of grid lines and points as they are typed: rows by letter, I and O skipped, columns by number. */
const LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZ";

/** A … H, J … N, P … Z, AA, AB … for 0, 1, 2 … (I and O are skipped, as in ISO 5457). */
export function rowLetters(index: number): string {
  const rest = Math.floor(index / LETTERS.length);
  return (rest > 0 ? rowLetters(rest - 1) : "") + LETTERS[index % LETTERS.length]!;
}

/** Position of a lettered line, from 0; undefined for what is not the name of one. */
export function rowIndex(letters: string): number | undefined {
  let index = 0;
  for (const letter of letters) {
    const digit = LETTERS.indexOf(letter);
    if (digit < 0) return undefined;
    index = index * LETTERS.length + digit + 1;
  }
  return letters === "" ? undefined : index - 1;
}

/** A label of capitals that can name a lettered line. */
export const isRowLabel = (label: string): boolean => /^[A-HJ-NP-Z]{1,2}$/.test(label);

/**
 * True for what reads like a grid point, such as B7 or AA12. Rows past AZ (the 48th) are let alone:
 * BM1 is a bench mark to anyone.
 */
export const isGridPointId = (id: string): boolean => /^(?:[A-HJ-NP-Z]|A[A-HJ-NP-Z])[1-9]\d*$/.test(id);

/** Row and column of what reads like a grid point, both from 0. */
export function gridPosition(id: string): { readonly row: number; readonly column: number } | undefined {
  const match = /^([A-HJ-NP-Z]{1,2})([1-9]\d*)$/.exec(id);
  const row = match ? rowIndex(match[1]!) : undefined;
  return row === undefined ? undefined : { row, column: Number(match![2]) - 1 };
}

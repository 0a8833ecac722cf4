/** What a run of mutation testing found, as it is kept for the documentation. */

export const SCORE_FILE = new URL("./score.json", import.meta.url);
/** Faults of the last run that no test noticed, less those that change nothing. */
export const UNNOTICED_FILE = new URL("./unnoticed.json", import.meta.url);
export const EQUIVALENT_FILE = new URL("./equivalent.json", import.meta.url);

/** Faults drawn, noticed by a test, and of the others those with which the program does the same. */
export interface Counts {
  readonly drawn: number;
  readonly noticed: number;
  /** Of those, noticed by kept numbers and by nothing else; none in runs from before there were any. */
  readonly byKeptNumbers?: number;
  readonly equivalent: number;
}

/** One run; the file of scores has a list of them, by seed. */
export interface Score extends Counts {
  readonly date: string;
  readonly seed: number;
  /** All faults that could have been drawn. */
  readonly possible: number;
  /** The 95 % interval of the share noticed, of those that change anything. */
  readonly low: number;
  readonly high: number;
  readonly byRoom: Readonly<Record<string, Counts>>;
}

/** A fault that changes nothing that can be seen, found again by its words: lines move. */
export interface Equivalent {
  readonly file: string;
  /** The line of the source, without the blanks at its ends. */
  readonly line: string;
  readonly replacement: string;
  readonly why: string;
}

export type Fault = Omit<Equivalent, "why">;

export const sameFault = (a: Fault, b: Fault): boolean =>
  a.file === b.file && a.line === b.line && a.replacement === b.replacement;

/**
 * The 95 % interval of a share found in a sample. Wilson, "Probable inference, the law of succession, and statistical
 * inference", Journal of the American Statistical Association 22 (1927).
 */
export function interval(hits: number, of: number): [number, number] {
  const z = 1.959964;
  const share = hits / of;
  const middle = (share + z ** 2 / (2 * of)) / (1 + z ** 2 / of);
  const half = (z / (1 + z ** 2 / of)) * Math.sqrt((share * (1 - share)) / of + z ** 2 / (4 * of ** 2));
  return [middle - half, middle + half];
}

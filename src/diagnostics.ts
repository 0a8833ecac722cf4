/**
 * What went wrong, for the person in the office: what, where, what was expected, what to do.
 * Rooms return diagnostics as values; only the command line prints them.
 */
export type Severity = "error" | "warning";

/** A place in a file. Line and column count from 1; `length` is the run to underline, in characters. */
export interface SourcePlace {
  readonly file: string;
  readonly line: number;
  readonly column: number;
  readonly length: number;
  /** The whole line as it stands in the file, without its line end. */
  readonly lineText: string;
}

export interface Diagnostic {
  /** A stable name in kebab case, such as `walls-do-not-close`. */
  readonly code: string;
  readonly severity: Severity;
  /** What is wrong, one sentence, with the values concerned. */
  readonly message: string;
  /** What was expected instead. */
  readonly expected?: string;
  /** What to do about it. "Did you mean …?" goes here. */
  readonly hint?: string;
  readonly place?: SourcePlace;
}

/**
 * What a stage gives: its result, or "not yet" with the reason in office words (a job that is
 * not surveyed has no depths, and that is no fault), or a refusal.
 * Warnings ride along with a ready result.
 */
export type Outcome<T> =
  | { readonly kind: "ready"; readonly value: T; readonly warnings: readonly Diagnostic[] }
  | { readonly kind: "not-yet"; readonly why: string }
  | { readonly kind: "refused"; readonly problems: readonly Diagnostic[] };

export const ready = <T>(value: T, warnings: readonly Diagnostic[] = []): Outcome<T> => ({
  kind: "ready",
  value,
  warnings,
});
export const notYet = (why: string): Outcome<never> => ({ kind: "not-yet", why });
export const refused = (problems: readonly Diagnostic[]): Outcome<never> => ({ kind: "refused", problems });

/** Problems of a stage that knows no file, at the place that its input comes from; those that have a place keep it. */
export const placedAt = <T>(outcome: Outcome<T>, place: SourcePlace): Outcome<T> =>
  outcome.kind === "refused"
    ? refused(outcome.problems.map((problem) => (problem.place === undefined ? { ...problem, place } : problem)))
    : outcome;

/** The diagnostic as the office reads it: message, place, the line with a caret under it, what to do. */
export function formatDiagnostic(diagnostic: Diagnostic): string {
  const { place } = diagnostic;
  const lines = [`${diagnostic.severity}: ${diagnostic.message}  [${diagnostic.code}]`];
  if (place) {
    const gutter = String(place.line);
    const pad = " ".repeat(gutter.length);
    // A tab before the caret keeps its width, so that the caret stands under the right letter.
    const shown = shownRun(place);
    const lead = shown.text.slice(0, shown.caret).replace(/[^\t]/g, " ");
    lines.push(
      `${pad}--> ${place.file}:${place.line}:${place.column}`,
      `${pad} |`,
      `${gutter} | ${shown.text}`,
      `${pad} | ${lead}${"^".repeat(Math.max(1, Math.min(place.length, shown.text.length - shown.caret)))}`,
    );
  }
  if (diagnostic.expected) lines.push(`  expected: ${diagnostic.expected}`);
  if (diagnostic.hint) lines.push(`  to do: ${diagnostic.hint}`);
  return lines.join("\n");
}

/** No line is shown wider than this. */
const WIDEST_SHOWN = 160;
/** How much of a wide line is shown before the caret. */
const SHOWN_BEFORE = 60;

/** The line as it is shown, and where in it the caret begins; of a wide line the part round the caret. */
function shownRun({ lineText, column }: SourcePlace): { readonly text: string; readonly caret: number } {
  if (lineText.length <= WIDEST_SHOWN) return { text: lineText, caret: column - 1 };
  const start = Math.max(0, Math.min(column - 1 - SHOWN_BEFORE, lineText.length - WIDEST_SHOWN));
  const before = start > 0 ? "… " : "";
  const after = start + WIDEST_SHOWN < lineText.length ? " …" : "";
  return {
    text: `${before}${lineText.slice(start, start + WIDEST_SHOWN)}${after}`,
    caret: before.length + column - 1 - start,
  };
}

/** How a problem is shown: the line with the caret under the run, and of a wide line the part round it. */
import { expect, test } from "vitest";
import { formatDiagnostic } from "../../src/diagnostics.ts";

const shown = (lineText: string, column: number, length: number): string[] =>
  formatDiagnostic({
    code: "some-code",
    severity: "error",
    message: "Wrong.",
    expected: "right",
    hint: "Mend it.",
    place: { file: "jobs/a.yaml", line: 7, column, length, lineText },
  }).split("\n");

test("message, place, line, caret, what was expected, what to do", () => {
  expect(shown("title: x y", 8, 3)).toEqual([
    "error: Wrong.  [some-code]",
    " --> jobs/a.yaml:7:8",
    "  |",
    "7 | title: x y",
    "  |        ^^^",
    "  expected: right",
    "  to do: Mend it.",
  ]);
});

test("a tab before the caret keeps its width", () => {
  expect(shown("\ta: b", 5, 1).slice(3, 5)).toEqual(["7 | \ta: b", "  | \t   ^"]);
});

test.each([1, 3, 100, 161, 5000, 9998])(
  "of a line of 10,000 characters the run at column %d is shown with the caret under it",
  (column) => {
    const lineText = `${"x".repeat(column - 1)}YYY${"z".repeat(10_000 - column - 2)}`;
    const [, , , line, caret] = shown(lineText, column, 3) as [string, string, string, string, string];
    expect(line.length).toBeLessThan(180);
    expect(line.slice(caret.indexOf("^"), caret.lastIndexOf("^") + 1)).toBe("YYY");
  },
);

test("a run longer than what is shown is underlined to the end of it", () => {
  const [, , , line, caret] = shown("x".repeat(10_000), 1, 10_000) as [string, string, string, string, string];
  expect(caret.length).toBeLessThanOrEqual(line.length);
});

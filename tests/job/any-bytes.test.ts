/** No text makes the reader throw, hang, or give a job with a number that is none. */
import fc from "fast-check";
import { describe, expect, test } from "vitest";
import type { Diagnostic } from "../../src/diagnostics.ts";
import { readJob } from "../../src/job/read-job.ts";
import { parseYaml } from "../../src/job/yaml-text.ts";
import { FILE, GOOD, library, read } from "./job-text.ts";

/** Every place lies in the text that it is said to be of. */
function checkPlaces(text: string, diagnostics: readonly Diagnostic[]): void {
  const lines = text.replace(/^\ufeff/, "").split("\n");
  for (const { place, code } of diagnostics) {
    if (place === undefined || place.file !== FILE) continue;
    const line = lines[place.line - 1];
    if (line === undefined) throw new Error(`${code} at line ${place.line} of ${lines.length}`);
    expect(place.lineText).toBe(line.replace(/\r$/, ""));
    expect(place.column).toBeGreaterThanOrEqual(1);
    expect(place.column).toBeLessThanOrEqual(line.length + 1);
    expect(place.length).toBeGreaterThanOrEqual(1);
  }
}

function checkNumbers(value: unknown): void {
  if (typeof value === "number") expect(Number.isFinite(value)).toBe(true);
  if (Array.isArray(value)) value.forEach(checkNumbers);
  else if (value !== null && typeof value === "object") Object.values(value).forEach(checkNumbers);
}

function check(text: string): void {
  const { job, diagnostics } = readJob(text, FILE, library);
  checkPlaces(text, diagnostics);
  const isWrong = diagnostics.some(({ severity }) => severity === "error");
  expect(job === undefined).toBe(isWrong);
  if (job !== undefined) checkNumbers(job);
}

const fragment = fc.oneof(
  fc.constantFrom(
    "'",
    '"',
    ":",
    ": ",
    "- ",
    "#",
    "&a ",
    "*a",
    "!!x ",
    "<<: ",
    "|",
    ">",
    "{",
    "}",
    "[",
    "]",
    ",",
    "\n",
    "\t",
    "\r\n",
    "\u0000",
    "\ufeff",
    "0",
    "-",
    ".",
    "/",
    "e9",
    "NaN",
    "\u2028",
    "½",
    "’",
  ),
  fc.constantFrom("null", "true", "~", "__proto__: 1\n", "9".repeat(400), "0 mm", "1/0", "-0", "A", "E 1', "),
  fc.string({ maxLength: 4, unit: "binary" }),
);

const slip = fc.record({ at: fc.nat(GOOD.length), take: fc.nat(12), put: fragment });

test("a job with some characters taken out, put in or changed", () => {
  fc.assert(
    fc.property(fc.array(slip, { minLength: 1, maxLength: 4 }), (slips) => {
      const text = slips.reduce((was, { at, take, put }) => was.slice(0, at) + put + was.slice(at + take), GOOD);
      check(text);
    }),
    { seed: 31, numRuns: 200 },
  );
});

test("a job with lines taken out, doubled or swapped", () => {
  const lines = GOOD.trimEnd().split("\n");
  fc.assert(
    fc.property(
      fc.array(fc.tuple(fc.nat(lines.length - 1), fc.nat(lines.length - 1)), { minLength: 1, maxLength: 4 }),
      (moves) => {
        const text = [...lines];
        for (const [from, to] of moves) {
          const [line] = text.splice(from % text.length, 1);
          if (to % 2 === 0) text.splice(to % (text.length + 1), 0, line!);
        }
        check(`${text.join("\n")}\n`);
      },
    ),
    { seed: 32, numRuns: 100 },
  );
});

test("text that is no job at all", () => {
  fc.assert(
    fc.property(fc.string({ maxLength: 200, unit: "binary" }), (text) => check(text)),
    { seed: 33, numRuns: 200 },
  );
});

test("any value in the place of any other", () => {
  const value = fc.oneof(
    fc.constantFrom(
      "",
      "~",
      "true",
      "[]",
      "{}",
      "[[]]",
      "{ a: { b: [1] } }",
      "|\n  x",
      "'x'",
      "1e400",
      "-1",
      "0",
      ".nan",
      "2027-02-30",
      "[1, 2]",
      "[1', 2']",
    ),
    fc.string({ maxLength: 12 }),
  );
  const keys = [...GOOD.matchAll(/([a-z_]+): ([^,{}[\]|\n]+)/g)];
  fc.assert(
    fc.property(fc.integer({ min: 0, max: keys.length - 1 }), value, (k, put) => {
      const [whole, key] = keys[k]!;
      const at = keys[k]!.index;
      check(`${GOOD.slice(0, at)}${key}: ${put}${GOOD.slice(at + whole.length)}`);
    }),
    { seed: 34, numRuns: 250 },
  );
});

describe("what only a machine would write", () => {
  test.each([
    ["half a million walls", GOOD.replace("E 20', N 12', W 20', S 12'", "E1,".repeat(500_000)), "too-many"],
    ["a hundred thousand corners", GOOD.replace("vertices: [", `vertices: [${"[0, 0],".repeat(100_000)}`), "too-many"],
    [
      "a hundred thousand keys",
      `${GOOD}${Array.from({ length: 100_000 }, (_, k) => `k${k}: 1\n`).join("")}`,
      "unknown-key",
    ],
    ["a hundred thousand readings", GOOD.replace("A  14", `A  ${"1 ".repeat(100_000)}`), "too-many"],
    ["ten thousand brackets", `a: ${"[".repeat(10_000)}`, "yaml-syntax"],
    ["an alias bomb", `a: &a [x, x]\nb: &b [*a, *a]\nc: [*b, *b]\n${GOOD}`, "yaml-alias"],
  ])("%s is refused, with a hundred and one lines at most", (_, text, code) => {
    const { job, diagnostics } = read(text);
    expect(job).toBeUndefined();
    expect(diagnostics.map((problem) => problem.code)).toContain(code);
    expect(diagnostics.length).toBeLessThanOrEqual(101);
  });

  test("when there are more problems than are shown, the last line says how many", () => {
    const { diagnostics } = read(`${GOOD}${Array.from({ length: 150 }, (_, k) => `k${k}: 1\n`).join("")}`);
    expect(diagnostics).toHaveLength(101);
    expect(diagnostics.at(-1)).toMatchObject({
      code: "more-problems",
      message: "There are 50 more problems like these.",
    });
  });
});

test("a key cannot reach a prototype", () => {
  const { document } = parseYaml("__proto__: { polluted: 1 }\nconstructor: 2\n", FILE);
  expect(Object.getPrototypeOf(document!.value)).toBeNull();
  expect(({} as Record<string, unknown>).polluted).toBeUndefined();
});

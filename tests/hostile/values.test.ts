/** Job files that a stranger could send: each gives a message at a line or a right packet, and soon. */
import { expect, test } from "vitest";
import { textOf } from "../../src/job/files.ts";
import { readJob } from "../../src/job/read-job.ts";
import { csvCell } from "../../src/sheets/pins-csv.ts";
import { smallJobText } from "../build/small-job.ts";
import { FILE, JOB_ID, judgeRead, judgeStages, library } from "../fuzz/judge.ts";

const good = smallJobText(JOB_ID);
const bytes = (text: string) => new TextEncoder().encode(text);
const WALLS = "E 14', N 12', W 14', S 12'";
const TWICE = "vertices: [[0, 0], [14, 0], [14, 12], [0, 12], [0, 0], [14, 0], [14, 12], [0, 12]]";
const ENDS = ["\n", "\r\n", "\r"];

test.each([
  ["a job id that climbs", good.replace(`job: ${JOB_ID}`, "job: ../../near-job"), "bad-id"],
  ["a room id that climbs", good.replace("id: store", "id: ..%2f..%2fetc"), "bad-id"],
  [
    "ids that clash after case-folding",
    good.replace("rooms:\n", 'rooms:\n  - { id: Store, start: [90, 0], walls: "E 3, N 3, W 3, S 3" }\n'),
    "ids-differ-in-case-only",
  ],
  ["an id with a letter that Unicode folds to another", good.replace("id: store", "id: \u017ftore"), "bad-id"],
  ["an id with a combining mark", good.replace("id: store", "id: sto\u0301re"), "bad-id"],
  ["a prototype's name as an id", good.replace("id: store", "id: constructor"), "reserved-id"],
  ["a prototype's name as a key", good.replace("title:", "__proto__: { x: 1 }\ntitle:"), "unknown-key"],
  ["an alias bomb", `a: &a [x, x]\nb: &b [*a, *a]\nc: [*b, *b]\n${good}`, "yaml-alias"],
  ["ten thousand brackets", `a: ${"[".repeat(10_000)}\n${good}`, "yaml-syntax"],
  ["a length that is no number", good.replace("N 12'", "N .nan"), "unreadable-length"],
  ["an infinite level", good.replace("top: 0 mm", "top: .inf"), "unreadable-length"],
  ["a number of four hundred digits", good.replace("top: 0 mm", `top: ${"9".repeat(400)} mm`), "number-too-large"],
  ["half a million walls", good.replace(WALLS, "E1,".repeat(500_000)), "too-many"],
  [
    "an outline that touches itself",
    good.replace(`walls: ${WALLS}`, "vertices: [[0, 0], [14, 0], [14, 12], [7, 0], [0, 12]]"),
    "walls-cross",
  ],
  ["a NUL byte", good.replace("Small room", "Small\0 room"), "nul-byte"],
  ["a line end that only some editors show", good.replace("Small room", "Small\u2028room"), "control-character"],
  ["letters that run backwards", good.replace("Small room", "Small\u202emoor"), "control-character"],
  ["a prototype's name as a set-up", good.replace("id: S1", "id: __proto__"), "bad-id"],
  ["a prototype's name as a material", good.replace("cement-50lb", "toString"), "reserved-id"],
  ["a prototype's name as an instrument", good.replace("hose-level", "constructor"), "reserved-id"],
  ["an outline that goes round twice", good.replace(`walls: ${WALLS}`, TWICE), "walls-cross"],
  ["a file of twelve megabytes", `${good}# ${"x".repeat(12_000_000)}\n`, "file-too-large"],
])("%s", (_, text, code) => {
  const began = performance.now();
  const { job, diagnostics } = readJob(text, FILE, library);
  expect(job).toBeUndefined();
  expect(diagnostics.map((problem) => problem.code)).toContain(code);
  for (const { place, code: said } of diagnostics)
    if (said !== "file-too-large" && said !== "more-problems") expect(place?.line).toBeGreaterThan(0);
  // No measure of speed: only that it ends, on a machine however busy.
  expect(performance.now() - began).toBeLessThan(60_000);
});

test.each([
  ["UTF-16, little end first", Buffer.from(`\ufeff${good}`, "utf16le")],
  ["UTF-16, big end first", Buffer.from(`\ufeff${good}`, "utf16le").swap16()],
  ["UTF-16 without a mark", Buffer.from(good, "utf16le")],
  ["Latin-1", Buffer.from(good.replace("Small room", "Kleiner S\u00e4al"), "latin1")],
  ["UTF-8 with one byte of Latin-1 in a remark", Buffer.concat([Buffer.from(`${good}# `), Buffer.from([0xe4, 0x0a])])],
  ["half of a surrogate pair", Buffer.concat([Buffer.from(`${good}# `), Buffer.from([0xed, 0xa0, 0x80, 0x0a])])],
  ["a slash written longer than it is", Buffer.concat([Buffer.from(`${good}# `), Buffer.from([0xc0, 0xaf, 0x0a])])],
])("%s is refused as an encoding", (_, file) => {
  expect(judgeRead(file).codes).toEqual(["not-utf-8"]);
});

test.each([
  ["a mark of UTF-8", `\ufeff${good}`],
  ["lines of another system", good.replaceAll("\n", "\r\n")],
  ["lines of an old system", good.replaceAll("\n", "\r")],
  [
    "lines that each end in another way",
    [...good.split("\n").entries()].map(([k, line]) => line + ENDS[k % 3]).join(""),
  ],
])("%s is read like any other file", (_, text) => {
  const decoded = textOf(bytes(text), FILE);
  expect(readJob(decoded.text ?? "", FILE, library).diagnostics).toEqual([]);
});

test("minus zero is zero", () => {
  expect(judgeStages(good.replace("top: 0 mm", "top: -0 mm").replace("A  9", "A  -0")).kind).toBe("made");
});

test.each([
  [
    "walls nearly in line",
    good.replace(`walls: ${WALLS}`, "vertices: [[0, 0], [7, 0.000001], [14, 0], [14, 12], [0, 12]]"),
  ],
  [
    "a floor at map scale, 9 km off its zero",
    good.replace("start: [0, 0]", "start: [29000', 29000']").replace("origin: [2', 2']", "origin: [29002', 29002']"),
  ],
  ...[0, 1e-9, 1e-6, 4e-6, 9e-6, 2e-5, 1e-4].flatMap((off): [string, string][] => [
    [
      `a column ${off} m off the wall`,
      good.replace(
        WALLS,
        `${WALLS}\n    columns: [{ id: COL1, center: [2 m, ${(0.2 + off).toFixed(9)} m], size: 400 mm }]`,
      ),
    ],
    [
      `a door ${off} m off the corner`,
      good.replace(
        WALLS,
        `${WALLS}\n    doors: [{ id: DR9, wall: 1, from: ${off.toFixed(9)} m, width: 1 m, joins: street }]`,
      ),
    ],
  ]),
])("%s", (_, text) => {
  expect(judgeStages(text)).toMatchObject({ kind: "made" });
});

test("a floor five hundred kilometres off is more than any floor measures", () => {
  expect(judgeStages(good.replace("start: [0, 0]", "start: [500000 m, 0]")).codes).toContain("number-too-large");
});

test.each(["=1+1", "+1", "-1+cmd", "@sum", "\t=1", "\r=1"])("a cell %j of a CSV file is no formula", (cell) => {
  expect(csvCell(cell)).toMatch(/^"?'/);
});

/** The job with its readings in a file beside it, and what that file says of A1 to C3. */
const listed = good
  .replace(/readings: \|\n(?: {8}.*\n)+/, "readings_file: points.csv\n")
  .replace("numbers_are: below zero", "numbers_are: above zero, minus is below");
const list = ["point,height (mm)", ...[..."ABC"].flatMap((row) => [1, 2, 3].map((n) => `${row}${n},-${9 + n}`))].join(
  "\n",
);
const beside = (text: string) => [{ name: "points.csv", file: `jobs/${JOB_ID}/points.csv`, text }];

test.each([
  ["as it should be", list, []],
  ["with lines of an old system", list.replaceAll("\n", "\r"), []],
  ["with a NUL byte in a name", list.replace("A2", "A\x002"), ["bad-id"]],
  ["with a formula for a name", list.replace("A2,", "=A2,"), ["bad-id"]],
  ["with a line end in a name", list.replace("A2,", '"A\n2",'), ["bad-id"]],
  ["with a quote that never ends", list.replace("A2,", '"A2,'), ["unreadable-table"]],
  ["with a prototype's name", list.replace("A2,", "__proto__,"), ["bad-id"]],
  ["with five thousand empty columns", `${list}\n`.replaceAll("\n", `${",".repeat(5000)}\n`), []],
] as const)("a file of readings %s", (_, text, codes) => {
  const decoded = textOf(bytes(text), "points.csv");
  const ending = judgeStages(listed, beside(decoded.text ?? ""));
  expect(ending).toEqual({ kind: codes.length === 0 ? "made" : "refused", codes });
});

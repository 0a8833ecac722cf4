/** Bad readings of a finished floor: each is refused, or warned of, at its own line of the job file. */
import { readFileSync } from "node:fs";
import { describe, expect, test } from "vitest";
import { loadSolver } from "../../src/build/load-solver.ts";
import { makePacket } from "../../src/build.ts";
import { loadLibrary } from "../../src/job/files.ts";
import { projectFolder } from "./small-job.ts";

const { library } = loadLibrary(`${projectFolder}jobs`);
const file = "jobs/larch-yard-studio.yaml";
const text = readFileSync(`${projectFolder}${file}`, "utf8");
const solve = await loadSolver();

/** The job with one line of its text changed, and the number of that line. */
function changed(from: RegExp, to: string): { readonly text: string; readonly line: number } {
  const at = from.exec(text)?.index;
  if (at === undefined) throw new Error(`the studio has no ${from.source}`);
  return { text: text.replace(from, to), line: text.slice(0, at).split("\n").length };
}

const lineOf = (what: RegExp): number => text.slice(0, what.exec(text)!.index).split("\n").length;

const problemsOf = (jobText: string) => {
  const made = makePacket({ jobId: "larch-yard-studio", file, text: jobText, library }, solve);
  return made.kind === "refused" ? made.problems : made.warnings;
};

// `id:` stands one line above `from:`, two above `to:`; the place told is the line's name.
/** Lines from `joints:` down to the name of the first sample line, once a joint stands there. */
const L1_BELOW = lineOf(/- id: L1\n/) - lineOf(/ {2}joints: \[\]/) + 1;
const BAD: readonly (readonly [string, string, RegExp, string, number])[] = [
  ["read before the pour", "read-before-the-pour", /date: 2027-06-16\n {2}grid/, "date: 2027-06-10\n  grid", 0],
  [
    "a line off the plan",
    "line-off-the-plan",
    /from: \[0\.8, 0\.9\]\n {6}to: \[6\.8, 0\.9\]/,
    "from: [8.8, 0.9]\n      to: [14.8, 0.9]",
    -1,
  ],
  [
    "a line too near a wall",
    "line-near-an-edge",
    /from: \[0\.8, 0\.9\]\n {6}to: \[6\.8, 0\.9\]/,
    "from: [0.8, 0.3]\n      to: [6.8, 0.3]",
    -1,
  ],
  [
    "a gap off the plan",
    "gap-off-the-plan",
    /id: E3, edge: 3 m, gap: 5 mm, at: \[5\.6, 4\.2\]/,
    "id: E3, edge: 3 m, gap: 5 mm, at: [9.6, 4.2]",
    0,
  ],
  [
    "a spacing that is neither 12 in nor 300 mm",
    "line-spacing",
    /to: \[6\.8, 0\.9\]\n {6}spacing: 300 mm/,
    "to: [5.8, 0.9]\n      spacing: 250 mm",
    -2,
  ],
  [
    "a row that the plan does not have",
    "row-beyond-grid",
    /\n {8}A( +-?\d\.\d){19}\n/,
    "\n        ZZ 1.0\n        A 0.1\n",
    1,
  ],
  // On a grid twice as wide half of each row, and half of the rows, lie outside: the first of them is in row A.
  [
    "readings of another plan",
    "readings-of-another-plan",
    /grid: \{ origin: \[0\.2, 0\.2\], spacing: 400 mm \}/,
    "grid: { origin: [0.2, 0.2], spacing: 800 mm }",
    10,
  ],
  [
    "a line across a construction joint",
    "line-across-a-joint",
    / {2}joints: \[\]\n/,
    "  joints:\n    - { id: CJ1, from: [3, 0], to: [3, 6] }\n",
    L1_BELOW,
  ],
];

test("a floor that was read again is poured, and its closeout set comes first", () => {
  const made = makePacket({ jobId: "larch-yard-studio", file, text, library }, solve);
  if (made.kind !== "made") throw new Error(made.kind);
  expect(made.packet.page.phase).toBe("poured");
  expect(made.packet.page.sets.find(({ first }) => first)!.href).toContain("closeout");
});

describe("readings of the finished floor that cannot be right", () => {
  test.each(BAD)("%s: %s", (_, code, from, to, below) => {
    const { text: jobText, line } = changed(from, to);
    const found = problemsOf(jobText).filter((problem) => problem.code === code);
    expect(found.map(({ place }) => place?.line)).toContain(line + below);
  });
});

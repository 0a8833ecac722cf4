/** A new job file from a room: what comes out is read back, blank, with its grid inside the room. */
import { describe, expect, test } from "vitest";
import { newJob } from "../../src/job/new-job.ts";
import { readJob } from "../../src/job/read-job.ts";
import { layOut } from "../../src/layout/lay-out.ts";
import { library, printed } from "./job-text.ts";

const made = (room: string, more: { spacing?: string; material?: string } = {}) =>
  newJob({ id: "new-hall", title: "New: a hall", room, heightUnit: "mm", ...more }, library);

const jobOf = (room: string, more = {}) => {
  const { text, diagnostics } = made(room, more);
  if (text === undefined) throw new Error(printed(diagnostics));
  const read = readJob(text, "jobs/new-hall.yaml", library);
  expect(printed(read.diagnostics)).toBe("");
  return { text, job: read.job! };
};

test.each([
  ["24' x 18'", "ft-in"],
  [`24' 6" × 18'`, "ft-in"],
  ["24 ft x 18 ft", "ft-in"],
  ["7.5 m x 5.2 m", "m"],
  ["E 24', N 9', W 12', N 9', W 12', S 18'", "ft-in"],
  ["E 8 m, N 4 m, W 8 m, S 4 m", "m"],
])("%s", (room, plan) => {
  const { job } = jobOf(room);
  expect(job.title).toBe("New: a hall");
  expect(job.units.plan).toBe(plan);
  expect(job.survey.setUps[0]!.readings).toEqual([]);
  // Enough to be read: points in three rows or columns at least, none nearer than a foot to its wall on the rectangle.
  const plan_ = layOut(job);
  if (plan_.kind !== "ready") throw new Error(plan_.kind);
  expect(plan_.value.points.length).toBeGreaterThanOrEqual(4);
});

test("the sheet has a place for every grid point of the room, and says which are outside", () => {
  const { text } = jobOf("E 24', N 16', W 12', S 8', W 12', S 8'", { spacing: "4'" });
  const block = text.slice(text.indexOf("readings: |")).split("\n").slice(1, 5);
  // Points at 2, 6 … 22 ft east and 2, 6, 10, 14 ft north; west of 12 ft the two northern rows are outside.
  expect(block.map((line) => line.trim())).toEqual([
    "A    -   -   -   -   -   -",
    "B    -   -   -   -   -   -",
    "C    -   -   -   -   -   -   # outside the room: C1, C2, C3",
    "D    -   -   -   -   -   -   # outside the room: D1, D2, D3",
  ]);
});

test("lines are the material's pin spacing apart, and not against the walls", () => {
  // 8 ft between pins: 24 ft leaves lines at 4, 12 and 20 ft.
  const { job } = jobOf("24' x 24'");
  expect(job.survey.grid).toMatchObject({
    origin: { x: expect.closeTo(1.2192, 9), y: expect.closeTo(1.2192, 9) },
    spacingEast: expect.closeTo(2.4384, 9),
  });
});

describe("refused", () => {
  test.each([
    ["a room of nothing", "24' x", "unreadable-room"],
    ["words", "a big one", "unreadable-room"],
    ["walls that do not close", "E 24', N 18', W 20', S 18'", "walls-do-not-close"],
    ["a room without area", "0' x 18'", "length-not-positive"],
  ])("%s", (_, room, code) => {
    const { text, diagnostics } = made(room);
    expect(text).toBeUndefined();
    expect(diagnostics.map((problem) => problem.code)).toContain(code);
    // There is no file yet that a line number could be of.
    expect(diagnostics.every(({ place }) => place === undefined)).toBe(true);
  });

  test("an id that is none, a material that is not there, a spacing that is no length", () => {
    expect(newJob({ id: "../x", title: "X", room: "24' x 18'", heightUnit: "mm" }, library).diagnostics[0]!.code).toBe(
      "bad-id",
    );
    expect(made("24' x 18'", { material: "cement-50kg" }).diagnostics[0]).toMatchObject({
      code: "not-in-library",
      hint: 'Did you mean "cement-50lb"?',
    });
    expect(made("24' x 18'", { spacing: "wide" }).diagnostics[0]!.code).toBe("unreadable-length");
    expect(newJob({ id: "x", title: "X", room: "24' x 18'", heightUnit: "mm" }, { files: [] }).text).toBeUndefined();
  });
});

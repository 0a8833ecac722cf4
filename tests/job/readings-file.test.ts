/** Readings in a CSV file beside the job: which column is which, which row is wrong, and what becomes of them. */
import { describe, expect, test } from "vitest";
import type { Job } from "../../src/job/model.ts";
import { readJob } from "../../src/job/read-job.ts";
import { changed, FILE, GOOD, library, summary } from "./job-text.ts";

const SHEET = `      readings: |
        A  14  12  11.5   9
        B  15  13   -     8
        drain  16
`;

const withFile = (keys: string, side = "below zero") =>
  changed("      numbers_are: below zero\n", `      numbers_are: ${side}\n`, changed(SHEET, keys));

const beside = (name: string, text: string) => ({ name, file: `jobs/small-hall/${name}`, text });

const readWith = (csv: string, keys = "      readings_file: list.csv\n", side = "below zero") =>
  readJob(withFile(keys, side), FILE, library, [beside("list.csv", csv)]);

const readings = (job: Job | undefined) =>
  job?.survey.setUps[0]?.readings.map(({ pointId, level }) => `${pointId} ${Number(level.toFixed(6))}`);

const ROD = `point,reading,time
A1,14,8:05
A2,12,
A3,11.5,
A4,9,
B1,15,
B2,13,
B3,-,
B4,8,
drain,16,8:20
`;

describe("a list of readings", () => {
  test("is what the same sheet typed in the job would be, with its times", () => {
    const { job, diagnostics } = readWith(ROD);
    expect(diagnostics).toEqual([]);
    const typed = readJob(GOOD, FILE, library).job;
    expect(readings(job)).toEqual(readings(typed));
    expect(job!.survey.setUps[0]!.readings.map(({ time }) => time)).toEqual([485, ...Array(6).fill(undefined), 500]);
    expect(job!.survey.setUps[0]!.readings[2]!.place).toMatchObject({ file: "jobs/small-hall/list.csv", line: 4 });
  });

  test.each([
    ["semicolons, blanks and quotes", 'Point ; Rod (mm)\n"A1" ; 14\n B2;13 \n', ["A1 -14", "B2 -13"]],
    ["tabs and a mark of the order of bytes", "\ufeffNo.\tReading_mm\nA1\t14\nB2\t13", ["A1 -14", "B2 -13"]],
    ["inches by the heading, with a fraction", "id,hose [in]\nA1,1/2\nB2,1-1/4\n", ["A1 -12.7", "B2 -31.75"]],
    [
      "remarks, empty lines and columns of no use",
      "# out of the box\nid,colour,rod\n\nA1,red,14\n# B1,red,1\nB2,,13\n",
      ["A1 -14", "B2 -13"],
    ],
    ["a second row of a point as its repeat", "id,rod\nA1,14\nB2,13\nA1,14.5\n", ["A1 -14", "B2 -13", "A1 -14.5"]],
    ["a column of set-ups: only its own rows", "setup,id,rod\nS1,A1,14\nS2,B2,13\n", ["A1 -14"]],
  ])("may have %s", (_, csv, expected) => {
    const { job, diagnostics } = readWith(csv);
    expect(diagnostics).toEqual([]);
    expect(readings(job)).toEqual(expected);
  });

  test.each([
    ["a word in place of a reading", "id,rod\nA1,14\nB2,thirteen\n", "unreadable-reading 3:4+8"],
    ["a decimal comma", "id;rod\nA1;14,5\n", "decimal-comma 2:4+4"],
    ["a cell too many", "id,rod\nA1,14\nB2,13,5\n", "row-with-other-cells 3:1+7"],
    ["a cell too few", "id,rod,note\nA1,14,\nB2\n", "row-with-other-cells 3:1+2"],
    ["a label that can be none", "id,rod\nA 1,14\n", "bad-id 2:1+3"],
    ["a third reading of a point", "id,rod\nA1,14\nA1,14\nA1,14\n", "point-read-twice 4:4+2"],
    ["a time that is none", "id,rod,time\nA1,14,8.05\n", "bad-time 2:7+4"],
    ["no column of points", "room,rod\nA1,14\n", "column-missing 1:1+8"],
    ["no column of readings", "id,rods\nA1,14\n", "column-missing 1:1+1"],
    ["two columns of readings", "id,rod,reading\nA1,14,14\n", "column-twice 1:1+1"],
    ["the same column twice", "id,point,rod\nA1,A1,14\n", "column-twice 1:4+5"],
    ["north without east", "id,north,rod\nA1,1,14\n", "column-missing 1:1+12"],
    ["a quote that does not end", 'id,rod\nA1,"14\nB2,13\n', "unreadable-table 2:4+1"],
    ["nothing at all", "", "empty-file 1:1+1"],
  ])("with %s is refused at its line", (_, csv, expected) => {
    const { job, diagnostics } = readWith(csv);
    expect(job).toBeUndefined();
    expect(summary(diagnostics)).toContain(expected);
    expect(diagnostics.find((one) => summary([one])[0] === expected)!.place!.file).toBe("jobs/small-hall/list.csv");
  });

  test("without a row of the set-up is refused where the job names it", () => {
    const { diagnostics } = readWith("setup,id,rod\nS2,A1,14\n");
    expect(diagnostics).toMatchObject([{ code: "file-without-readings", place: { file: FILE } }]);
  });

  test("that is not there is refused, with the one that was meant", () => {
    const { diagnostics } = readJob(withFile("      readings_file: lists.csv\n"), FILE, library, [
      beside("list.csv", ROD),
    ]);
    expect(diagnostics).toMatchObject([
      {
        code: "no-such-file",
        expected: "jobs/small-hall/lists.csv, beside the job file",
        hint: 'Did you mean "list.csv"?',
      },
    ]);
  });

  test.each(["../other/list.csv", "/etc/list.csv", "list.txt", "a/b.csv"])(
    "does not reach out of its folder: %s",
    (name) => {
      const { job, diagnostics } = readJob(withFile(`      readings_file: ${name}\n`), FILE, library, [
        beside("list.csv", ROD),
      ]);
      expect(job).toBeUndefined();
      expect(diagnostics[0]!.place).toMatchObject({ file: FILE });
    },
  );

  test("beside readings of the job's own is refused", () => {
    const both = changed("      readings: |", "      readings_file: list.csv\n      readings: |");
    const { diagnostics } = readJob(both, FILE, library, [beside("list.csv", ROD)]);
    expect(diagnostics.map(({ code }) => code)).toEqual(["readings-in-two-places"]);
  });
});

/** 100.25 m is the job's zero; north and east in metres, though the job's plan is in feet. */
const LIST = `Number,North (m),East (m),Height (m),Description
A1,0.61,0.61,100.2360,
B2,1.83,1.83,100.2370,
drain,1.524,1.524,100.2340,
101,1.0,5.0,100.2410,"edge of the mat, ""new"""
BM1,1.83,0.0,100.2625,
`;
const HEIGHTS = "      readings_file: list.csv\n      file_zero: 100.25 m\n";

describe("a total station's point list", () => {
  test("gives levels above the job's zero, and points of the plan where only it knows them", () => {
    const { job, diagnostics } = readWith(LIST, HEIGHTS, "above zero, minus is below");
    expect(diagnostics).toEqual([]);
    expect(readings(job)).toEqual(["A1 -14", "B2 -13", "drain -16", "101 -9", "BM1 12.5"]);
    expect(job!.survey.extraPoints.map(({ id, note }) => [id, note])).toEqual([
      ["drain", undefined],
      ["101", 'edge of the mat, "new"'],
    ]);
    expect(job!.survey.extraPoints[1]!.at).toEqual({ x: 5, y: 1 });
    expect(job!.survey.setUps[0]!.readings[0]!.typed).toEqual({
      text: "100.2360",
      unit: "m",
      side: "above",
      zeroMm: 100250,
    });
  });

  test("in the job's own feet where its headings name no unit", () => {
    const csv = "no,n,e,z (ft)\nA1,2,2,328.9\n7,3.5,15,328.91\n";
    const { job } = readWith(
      csv,
      "      readings_file: list.csv\n      file_zero: 329\n",
      "above zero, minus is below",
    );
    expect(readings(job)).toEqual(["A1 -30.48", "7 -27.432"]);
    expect(job!.survey.extraPoints[1]!.at.x).toBeCloseTo(15 * 0.3048, 12);
  });

  test.each([
    ["a known point somewhere else", LIST.replace("1.83,1.83", "1.93,1.98"), HEIGHTS, "point-elsewhere 3:14+8"],
    ["heights far from the zero", LIST, "      readings_file: list.csv\n", "height-far-from-zero 2:14+8"],
    ["a place that is no number", LIST.replace("1.0,5.0", "1.0,x"), HEIGHTS, "unreadable-length 5:9+1"],
  ])("with %s is refused at its line", (_, csv, keys, expected) => {
    const { job, diagnostics } = readWith(csv, keys, "above zero, minus is below");
    expect(job).toBeUndefined();
    expect(summary(diagnostics)).toContain(expected);
  });

  test("may have names of its own that read like grid points: by where they lie they are not the grid's", () => {
    const own = "no,n (m),e (m),z (m)\nP1,1,3,100.2\nP2,1.5,4,100.21\nA1,2.9,2,100.22\n7,1,5,100.2\n";
    const { job, diagnostics } = readWith(own, HEIGHTS, "above zero, minus is below");
    expect(summary(diagnostics)).toEqual(["warning names-of-its-own 26:22+8"]);
    expect(diagnostics[0]!.message).toContain("P1 as S1-P1");
    expect(readings(job)).toEqual(["S1-P1 -50", "S1-P2 -40", "S1-A1 -30", "7 -50"]);
    expect(job!.survey.extraPoints.slice(1).map(({ id, at }) => [id, at.x, at.y])).toEqual([
      ["S1-P1", 3, 1],
      ["S1-P2", 4, 1.5],
      ["S1-A1", 2, 2.9],
      ["7", 5, 1],
    ]);
    // Without places names can only be the grid's.
    const named = readWith("no,z (m)\nA1,100.2\nB2,100.21\n", HEIGHTS, "above zero, minus is below");
    expect(readings(named.job)).toEqual(["A1 -50", "B2 -40"]);
  });

  test("names most of which lie on the grid are the grid's: one elsewhere is a slip, told with what to do", () => {
    const { diagnostics } = readWith(LIST.replace("1.83,1.83", "1.93,1.98"), HEIGHTS, "above zero, minus is below");
    expect(diagnostics.find(({ code }) => code === "point-elsewhere")?.hint).toContain("names of its own");
  });

  test("whose heights would count downward is refused at the job's line", () => {
    const { diagnostics } = readWith(LIST, HEIGHTS, "below zero");
    expect(summary(diagnostics)).toEqual(["side-against-column 25:20+10"]);
  });
});

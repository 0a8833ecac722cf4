/** A scan beside the job: its rows as numbers, what is wrong with a row, and files in coordinates of their own. */
import { determinant, Matrix, SVD } from "ml-matrix";
import { describe, expect, test } from "vitest";
import { textOf } from "../../src/job/files.ts";
import { fitToPlan, placedBy } from "../../src/job/plan-fit.ts";
import { readJob } from "../../src/job/read-job.ts";
import { LIMITS } from "../../src/job/schema-limits.ts";
import { randomFrom } from "../../src/numeric/random.ts";
import { besideScan, SCAN_FILE, scanJob } from "../survey/made-scan.ts";
import { changed, library, summary } from "./job-text.ts";

const readWith = (csv: string, keys = "") => readJob(scanJob(keys), SCAN_FILE, library, besideScan(csv));

const rowsOf = (csv: string, keys = "") => {
  const { job, diagnostics } = readWith(csv, keys);
  expect(diagnostics).toEqual([]);
  const { xM, yM, levelMm, line } = job!.survey.scan!;
  return Array.from(xM, (x, k) => [x, yM[k], Number(levelMm[k]!.toFixed(9)), line[k]]);
};

const TWO = [
  [1, 2, -10, 2],
  [3.5, 4, -12.5, 3],
];

describe("rows of a scan", () => {
  test.each([
    ["north, east and height in any order", "height (m),E,N\n99.99,1,2\n99.9875,3.5,4\n"],
    ["other columns, quotes and blanks", 'no;"n";e ; Height [mm];what\n1; 2;1;"99990";"a;b"\n2;4;3.5;99987.5;\n'],
    ["tabs", "y\tx\tz_m\n2\t1\t99.99\n4\t3.5\t99.9875"],
  ])("may have %s", (_, csv) => {
    expect(rowsOf(csv)).toEqual(TWO);
  });

  test("a row without a height is no point; remarks and empty lines are let alone, and lines count on", () => {
    expect(rowsOf("e,n,h (m)\n\n# station\n0,0,\n  1,2,99.99\n3.5,4,99.9875\n").map((row) => row[3])).toEqual([5, 6]);
  });

  test.each([
    ["a line feed", "\n"],
    ["a carriage return and a line feed", "\r\n"],
    ["a carriage return alone", "\r"],
  ])("lines may end in %s, behind a mark of the order of bytes or without one", (_, end) => {
    for (const mark of ["", "\ufeff"]) {
      const typed = `${mark}e,n,h (m)${end}1,2,99.99${end}3.5,4,99.9875${end}`;
      expect(rowsOf(textOf(new TextEncoder().encode(typed), "scan.csv").text!)).toEqual(TWO);
    }
  });

  test("ends of lines may be mixed in one file, a job file too", () => {
    const csv = textOf(new TextEncoder().encode("e,n,h (m)\r1,2,99.99\r\n3.5,4,99.9875\n"), "scan.csv").text!;
    expect(rowsOf(csv)).toEqual(TWO);
    let line = 0;
    const mixed = scanJob().replace(/\n/g, () => ["\n", "\r\n", "\r"][line++ % 3]!);
    const text = textOf(new TextEncoder().encode(mixed), SCAN_FILE).text!;
    expect(readJob(text, SCAN_FILE, library, besideScan(csv)).diagnostics).toEqual([]);
  });

  test("UTF-16 is told, with what to do", () => {
    const bytes = new Uint8Array([0xff, 0xfe, ...[..."e,n,h"].flatMap((c) => [c.charCodeAt(0), 0])]);
    expect(textOf(bytes, "scan.csv").problem).toMatchObject({
      code: "not-utf-8",
      message: expect.stringContaining("UTF-16"),
    });
  });

  test("numbers are those that the language's own reading of them gives", () => {
    const random = randomFrom(4);
    const typed = Array.from({ length: 2000 }, (_, k) => {
      const size = random.uniform() * 10 ** (k % 4);
      return `${k % 3 === 0 ? "-" : ""}${size.toFixed(k % 17)}`;
    });
    const csv = `e (m),n (m),h (mm)\n${typed.map((number) => `${number},${number},100000`).join("\n")}\n`;
    expect(rowsOf(csv).map(([x]) => x)).toEqual(typed.map((number) => (Number(number) * 1000) / 1000 + 0));
  });

  test.each([
    ["a word for a height", "e,n,h (m)\n1,2,99.99\n1,2,floor\n", "unreadable-length 3:5+5"],
    ["a decimal comma", "e;n;h (m)\n1;2;99,99\n", "unreadable-length 2:5+5"],
    ["a cell too many", "e,n,h (m)\n1,2,99.99,3\n", "row-with-other-cells 2:1+11"],
    ["an empty coordinate", "e,n,h (m)\n,2,99.99\n", "unreadable-length 2:1+1"],
    ["a height far from the zero", "e,n,h (m)\n1,2,12\n", "height-far-from-zero 2:5+2"],
    ["a place off the earth", "e,n,h (m)\n1e9,2,100\n", "unreadable-length 2:1+3"],
    ["coordinates of a map", "e,n,h (m)\n512345.6,2,100\n", "unreadable-length 2:1+8"],
    ["no column of heights", "e,n,what\n1,2,3\n", "column-missing 1:1+8"],
    ["no places", "id,h (m)\n1,100\n", "column-missing 1:1+8"],
    ["two columns east", "e,x,n,h\n1,1,2,100\n", "column-twice 1:3+1"],
    ["a first line without end", `e,n,h (m)${",x".repeat(6000)}\n`, "column-missing 1:1+1"],
    ["a NUL byte", "e,n,h (m)\n1,2\u0000,99.99\n", "unreadable-length 2:3+2"],
    ["a quote that does not end", 'e,n,h (m)\n1,2,"99.99\n', "unreadable-length 2:5+6"],
    ["no rows", "e,n,h (m)\n", "file-without-readings 1:1+9"],
    ["nothing at all", "", "empty-file 1:1+1"],
  ])("with %s are refused at their line", (_, csv, expected) => {
    const { job, diagnostics } = readWith(csv);
    expect(job).toBeUndefined();
    expect(summary(diagnostics)).toEqual([expected]);
  });

  test("more points than the limit are refused", () => {
    const csv = `e,n,h (m)\n${"1,2,100\n".repeat(LIMITS.scanPoints + 1)}`;
    expect(summary(readWith(csv).diagnostics)).toEqual([`too-many ${LIMITS.scanPoints + 2}:1+7`]);
  });

  test("a scan and set-ups together, a file that is not there, and a scan without error are refused", () => {
    const withSetUp = changed(
      "  scan:\n",
      "  set_ups: [{ id: S1, instrument: hose-level, numbers_are: below zero, readings: A 1 2 3 }]\n  scan:\n",
      scanJob(),
    );
    const at = (text: string, csv = "e,n,h (m)\n1,2,100\n") =>
      readJob(text, SCAN_FILE, library, besideScan(csv)).diagnostics.map(({ code }) => code);
    expect(at(withSetUp)).toEqual(["scan-and-set-ups"]);
    expect(at(changed("file: scan.csv", "file: scam.csv", scanJob()))).toEqual(["no-such-file"]);
    expect(at(changed("sd: 0.5 mm", "sd: 0 mm", scanJob()))).toEqual(["instrument-without-error"]);
  });
});

/** Kabsch's rotation from the singular values of the cross-covariance (Acta Cryst. A32 (1976)), by a general library. */
function turnBySvd(from: readonly (readonly [number, number])[], to: readonly (readonly [number, number])[]): number {
  const mean = (points: typeof from, k: 0 | 1) => points.reduce((sum, p) => sum + p[k], 0) / points.length;
  const centred = (points: typeof from) =>
    new Matrix(points.map((p) => [p[0] - mean(points, 0), p[1] - mean(points, 1)]));
  const svd = new SVD(centred(from).transpose().mmul(centred(to)));
  const [u, v] = [svd.leftSingularVectors, svd.rightSingularVectors];
  const flip = Matrix.diag([1, Math.sign(determinant(v.mmul(u.transpose())))]);
  const rotation = v.mmul(flip).mmul(u.transpose());
  return Math.atan2(rotation.get(1, 0), rotation.get(0, 0));
}

describe("a file in coordinates of its own", () => {
  const known = (points: readonly (readonly [number, number, number, number])[]) =>
    points.map(([e, n, x, y], k) => ({ name: `K${k}`, inFile: { x: e, y: n }, onPlan: { x, y } }));

  test("by hand: a quarter turn and a shift, with a third corner 9 mm off, which all three share", () => {
    // The plan's corner (0, 0) is at (1000, 2000); the plan's east is the file's north.
    const exact = fitToPlan(
      known([
        [1000, 2000, 0, 0],
        [1000, 2012, 12, 0],
      ]),
    );
    expect(exact.turn).toBeCloseTo(-Math.PI / 2, 12);
    expect(exact.greatestResidual).toBeLessThan(1e-9);
    const corner = placedBy(exact, 992, 2012);
    expect([corner.x, corner.y]).toEqual([expect.closeTo(12, 9), expect.closeTo(8, 9)]);
    // Without a turn: the mean of the misses is the shift, and each keeps its difference from it.
    const shifted = fitToPlan(
      known([
        [0, 0, 0, 0],
        [10, 0, 10, 0],
        [5, 8, 5, 8.009],
      ]),
    );
    expect(shifted.turn).toBeCloseTo(0, 12);
    expect(shifted.points.map(({ residual }) => Number(residual.toFixed(9)))).toEqual([0.003, 0.003, 0.006]);
  });

  test("turns as the singular values of a general library turn it", () => {
    const random = randomFrom(12);
    for (let run = 0; run < 50; run++) {
      const turn = (random.uniform() - 0.5) * 2 * Math.PI;
      const points = Array.from({ length: 2 + (run % 5) }, (): readonly [number, number, number, number] => {
        const [e, n] = [5e5 + 30 * random.uniform(), 4e6 + 30 * random.uniform()];
        const [dx, dy] = [e - 5e5, n - 4e6];
        return [
          e,
          n,
          dx * Math.cos(turn) - dy * Math.sin(turn) + 0.005 * random.normal(),
          dx * Math.sin(turn) + dy * Math.cos(turn) + 0.005 * random.normal(),
        ];
      });
      const fit = fitToPlan(known(points));
      const bySvd = turnBySvd(
        points.map(([e, n]) => [e, n] as const),
        points.map(([, , x, y]) => [x, y] as const),
      );
      expect(Math.abs(Math.sin(fit.turn - bySvd))).toBeLessThan(1e-9);
    }
  });

  const KNOWN = `    known_points:
      - { point: south-west corner, in_file: [512000, 4100000], on_plan: [0, 0] }
      - { point: south-east corner, in_file: [512000, 4100018.1], on_plan: [18.1, 0] }
      - { point: north-west corner, in_file: [511992, 4100000], on_plan: [0, 8] }
`;

  test("stands on the plan, and a list of readings does too", () => {
    const [[x, y] = []] = rowsOf("n,e,h (m)\n4100006,511998,99.99\n", KNOWN);
    expect([x, y]).toEqual([expect.closeTo(6, 6), expect.closeTo(2, 6)]);
    const list = `  set_ups:
    - id: TS
      instrument: reference-level
      numbers_are: above zero
      readings_file: scan.csv
      file_zero: 100 m
${KNOWN.replaceAll("    known", "      known").replaceAll("      - {", "        - {")}`;
    const text = scanJob().replace(/ {2}scan:\n[\s\S]*?sd: 0.5 mm\n/, list);
    const { job, diagnostics } = readJob(
      text,
      SCAN_FILE,
      library,
      besideScan("no,n,e,h (m)\ndrain,4100006,511998,99.99\n"),
    );
    expect(diagnostics).toEqual([]);
    const { at } = job!.survey.extraPoints[0]!;
    expect([at.x, at.y]).toEqual([expect.closeTo(6, 6), expect.closeTo(2, 6)]);
    expect(job!.survey.setUps[0]!.fit?.points).toHaveLength(3);
  });

  test("known points without a file are refused", () => {
    const list = `  set_ups:
    - id: TS
      instrument: reference-level
      numbers_are: below zero
      readings: A 1 2 3
${KNOWN.replaceAll("    known", "      known").replaceAll("      - {", "        - {")}`;
    const text = scanJob().replace(/ {2}scan:\n[\s\S]*?sd: 0.5 mm\n/, list);
    expect(readJob(text, SCAN_FILE, library).diagnostics.map(({ code }) => code)).toEqual([
      "known-points-without-file",
    ]);
  });

  test.each([
    ["a corner 50 mm off", KNOWN.replace("[0, 8]", "[0, 8.05]"), "known-points-do-not-fit"],
    [
      "east and north changed about",
      KNOWN.replace(/in_file: \[(\d+), ([\d.]+)\]/g, "in_file: [$2, $1]"),
      "known-points-do-not-fit",
    ],
    ["one point only", KNOWN.split("\n").slice(0, 2).join("\n").concat("\n"), "known-points-too-near"],
    [
      "two at one place",
      KNOWN.split("\n").slice(0, 3).join("\n").concat("\n").replace("[512000, 4100018.1]", "[512000, 4100000]"),
      "known-points-too-near",
    ],
  ])("is refused with %s", (_, keys, code) => {
    const { diagnostics } = readWith("n,e,h (m)\n4100006,511998,99.99\n", keys);
    expect(diagnostics.map((one) => one.code)).toEqual([code]);
  });
});

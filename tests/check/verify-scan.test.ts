/** A scan of 20,000 points from its file to the packet; a fault planted in what was made of it is found. */
import { beforeAll, describe, expect, test } from "vitest";
import { loadSolver } from "../../src/build/load-solver.ts";
import { findingsOf, makePacket } from "../../src/build.ts";
import { checkScan } from "../../src/check/check-scan.ts";
import { checkVolume } from "../../src/check/check-surface.ts";
import { type Evidence, gatherDisagreements } from "../../src/check/evidence.ts";
import { readJob } from "../../src/job/read-job.ts";
import type { Findings } from "../../src/sheets/model.ts";
import { library } from "../job/job-text.ts";
import { besideScan, SCAN_FILE, scanCsv, scanJob } from "../survey/made-scan.ts";

const wave = (x: number, y: number): number => 9 + 4 * Math.sin(x / 2) * Math.cos(y / 1.5);
const csv = scanCsv(20_000, wave, 4);
const text = scanJob();

let findings: Findings;

beforeAll(async () => {
  const { job } = readJob(text, SCAN_FILE, library, besideScan(csv));
  const found = findingsOf(job!, await loadSolver());
  if (found.kind !== "ready") throw new Error(JSON.stringify(found));
  findings = { ...found.value, earlierWarnings: [] };
}, 120_000);

const codesOf = (of: Findings, list = csv, check = checkScan): string[] => {
  const evidence = { file: SCAN_FILE, jobText: text, beside: besideScan(list), findings: of } as unknown as Evidence;
  return gatherDisagreements((disagree) => check(evidence, disagree)).map(({ code }) => code);
};

test("its packet is made, carries no row of the scan, and its report says what was thinned", async () => {
  const answer = makePacket(
    { jobId: "scanned-hall", file: SCAN_FILE, text, beside: besideScan(csv), library },
    await loadSolver(),
  );
  if (answer.kind !== "made") throw new Error(JSON.stringify(answer.problems));
  expect(answer.packet.packetJson.length).toBeLessThan(1_500_000);
  const packet = JSON.parse(answer.packet.packetJson);
  expect(packet.levels.result.scan).toMatchObject({ file: "scan.csv", rows: 20_000 });
  expect(packet.levels.result.points.length).toBeLessThanOrEqual(packet.plan.points.length);
  expect(packet.slab.result.vertices).toBeGreaterThan(19_000);
  const report = answer.packet.sheets.find(({ id }) => id === "survey-report")!;
  const words = JSON.stringify(report.pages).replaceAll(/"[^"]*?":|[{}[\]]/g, " ");
  for (const said of [
    /of the 20.000 points of scan\.csv/,
    /thinned: they show/,
    /the point of middle height as it stands/,
  ])
    expect(words.replaceAll('","', " ")).toMatch(said);
  const ids = answer.packet.sheets.map(({ id }) => id);
  expect(ids).toContain("pin-map");
  expect(ids).not.toContain("survey-plan");
}, 120_000);

describe("the second reading of the file", () => {
  test("agrees", () => {
    expect(codesOf(findings)).toEqual([]);
  });

  const row = 4321;
  const lines = csv.split("\n");
  const withRow = (change: (cells: string[]) => string | undefined): string =>
    lines
      .flatMap((line, k) => {
        if (k !== row) return [line];
        const changed = change(line.split(","));
        return changed === undefined ? [] : [changed];
      })
      .join("\n");

  test.each([
    [
      "a height with a digit changed",
      withRow(([no, n, e, h, d]) => [no, n, e, String(Number(h) + 0.001), d].join(",")),
      "reading-differs",
    ],
    [
      "a place with a digit changed",
      withRow(([no, n, e, h, d]) => [no, String(Number(n) + 0.002), e, h, d].join(",")),
      "reading-differs",
    ],
    ["a row left out", withRow(() => undefined), "scan-lost"],
    ["a heading in another unit", csv.replace("height (m)", "height (ft)"), "reading-differs"],
  ])("does not agree with %s", (_, list, code) => {
    expect(codesOf(findings, list)).toContain(code);
  });

  const levels = () => (findings.levels.kind === "ready" ? findings.levels.value : undefined)!;
  const slab = () => (findings.slab.kind === "ready" ? findings.slab.value : undefined)!;
  const withLevels = (change: object): Findings => ({
    ...findings,
    levels: { kind: "ready", value: { ...levels(), ...change }, warnings: [] },
  });
  const withScan = (change: object): Findings => withLevels({ scan: { ...levels().scan!, ...change } });

  test("finds a vertex off its row, and a volume that is not that of all points", () => {
    const levelMm = slab().levelMm.slice();
    levelMm[slab().vertexOfScan![777]!]! += 0.01;
    const bent: Findings = { ...findings, slab: { kind: "ready", value: { ...slab(), levelMm }, warnings: [] } };
    expect(codesOf(bent)).toEqual(["surface-misses-reading"]);
    const thinned: Findings = { ...findings, slab: { kind: "ready", value: slab().thinned!, warnings: [] } };
    expect(codesOf(thinned, csv, checkVolume)).toContain("volume-differs");
  });

  test("finds a pin off the plane through the scan round it", () => {
    const points = levels().points.map((point) =>
      point.id === "B2" ? { ...point, level: point.level + 0.01 } : point,
    );
    expect(codesOf(withLevels({ points }))).toEqual(["surface-misses-reading", "level-off-readings"]);
  });

  test("finds a square that shows another point than its middle one, two, or none", () => {
    const scan = levels().scan!;
    const low = scan.levelMm.slice();
    low[scan.shown[5]!] = -500;
    expect(codesOf(withScan({ levelMm: low }))).toContain("square-not-middle");
    const other = scan.shown.slice(1);
    expect(codesOf(withScan({ shown: other }))).toContain("square-not-shown");
    expect(codesOf(withScan({ squareSide: 2 * scan.squareSide! }))).toContain("square-shown-twice");
  });

  test("finds a point that counts and lies on no floor, and one that is lost", () => {
    const scan = levels().scan!;
    const without = (columns: readonly ("xM" | "yM" | "levelMm" | "roomOf" | "line")[]) =>
      Object.fromEntries(columns.map((name) => [name, scan[name].slice(1)]));
    expect(codesOf(withScan(without(["xM", "yM", "levelMm", "roomOf", "line"])))).toContain("scan-lost");
    const moved = { ...findings, plan: { ...findings.plan, floors: findings.plan.floors.slice(0, 1) } };
    expect(codesOf(moved)).toContain("scan-off-floor");
  });

  test("finds a shift and turn that are not the least squares of the known points", () => {
    const points = [
      { name: "K1", inFile: { x: 0, y: 0 }, onPlan: { x: 0, y: 0 }, residual: 0.004 },
      { name: "K2", inFile: { x: 10, y: 0 }, onPlan: { x: 10, y: 0 }, residual: 0.004 },
    ];
    const fit = { points, turn: 0, origin: { x: 0.004, y: 0 }, greatestResidual: 0.004 };
    expect(codesOf(withScan({ fit }))).toContain("fit-differs");
  });
});

/** Planted wrong verdicts: the check before printing refuses each of them, and passes the report as it is. */
import { readFileSync } from "node:fs";
import { beforeAll, describe, expect, it } from "vitest";
import { loadSolver } from "../../src/build/load-solver.ts";
import { findingsOf } from "../../src/build.ts";
import type { Evidence } from "../../src/check/evidence.ts";
import { gapBySlowEdge } from "../../src/check/second-edge.ts";
import { verifyPacket } from "../../src/check/verify-packet.ts";
import { loadLibrary } from "../../src/job/files.ts";
import { readJob } from "../../src/job/read-job.ts";
import { composeSheets } from "../../src/sheets/compose-sheets.ts";
import { toPacket } from "../../src/sheets/packet.ts";
import { packetSchema } from "../../src/sheets/packet-schema.ts";

const FILE = "jobs/larch-yard-studio.yaml";

let sound: Evidence;
/** The same floor with a joint across its lines. */
let jointed: Evidence;

async function evidenceOf(jobText: string): Promise<Evidence> {
  const { job } = readJob(jobText, FILE, loadLibrary("jobs").library);
  const found = job ? findingsOf(job, await loadSolver()) : undefined;
  if (job === undefined || found?.kind !== "ready") throw new Error("the studio does not compute");
  const sheets = job.languages.flatMap((language) => composeSheets(found.value, language));
  return { file: FILE, jobText, findings: found.value, packet: toPacket(found.value, sheets), sheets };
}

beforeAll(async () => {
  const jobText = readFileSync(FILE, "utf8");
  sound = await evidenceOf(jobText);
  const joint = "  joints:\n    - { id: CJ1, from: [2.5, 0], to: [2.5, 6] }\n";
  jointed = await evidenceOf(jobText.replace("  joints: []\n", joint));
}, 120_000);

// biome-ignore-start lint/suspicious/noExplicitAny: faults are planted where the types say read-only
/** A copy that can be written into; functions and typed arrays included. */
function writable(value: any): any {
  if (ArrayBuffer.isView(value)) return (value as Float64Array).slice();
  if (Array.isArray(value)) return value.map(writable);
  if (typeof value !== "object" || value === null) return value;
  return Object.fromEntries(Object.entries(value).map(([key, inner]) => [key, writable(inner)]));
}

const judged = (e: any) => e.findings.finished.value.conformity;
const findingBy = (e: any, method: string) =>
  judged(e)
    .rules.flatMap((rule: any) => rule.parts.flatMap((part: any) => part.findings))
    .find((finding: any) => finding.method.kind === method && finding.worst !== undefined);
const edge = (e: any) => findingBy(e, "edge-on-surface").worst;

/** The row of a place to mend on the first sheet that lists it. */
function placeRow(e: any): any {
  const sheet = e.sheets.find(({ id }: any) => id === "flatness");
  const id = judged(e).places[0].id;
  return sheet.pages
    .flatMap((page: any) => page.blocks)
    .filter((block: any) => block.kind === "table")
    .flatMap((block: any) => block.rows)
    .find((row: any) => row.cells[0]?.lines[0]?.text === id);
}

const FAULTS: readonly (readonly [string, string, (e: any) => void])[] = [
  ["a worst gap that is not there", "gap-differs", (e) => (edge(e).value -= 0.5)],
  ["a worst gap at another place", "gap-differs", (e) => shift(edge(e).where.ends, 0.4)],
  ["an edge of another length", "edge-differs", (e) => (edge(e).where.ends[1] = edge(e).where.ends[0])],
  ["a grid's middle that is not so high", "worst-differs", (e) => (findingBy(e, "grid").worst.value -= 0.4)],
  ["another limit of the table", "worst-differs", (e) => (findingBy(e, "grid").worst.limit += 1)],
  ["a gap between other high points", "worst-differs", (e) => (findingBy(e, "between-high-points").worst.value += 0.3)],
  ["a gap on a line that is not there", "worst-differs", (e) => (findingBy(e, "edge-on-line").worst.value -= 0.5)],
  ["a hand-read gap that is not the worst", "worst-differs", (e) => (findingBy(e, "gap-by-hand").worst.value = 1)],
  ["a margin with its sign turned", "margin-differs", (e) => (edge(e).margin *= -1)],
  ["an outside edge called within", "verdict-differs", (e) => (findingBy(e, "edge-on-surface").result = "within")],
  ["a rule called within with a part outside", "verdict-differs", (e) => (judged(e).rules[0].result = "within")],
  ["a part called not decidable", "verdict-differs", (e) => (judged(e).rules[1].parts[0].result = "not-decidable")],
  ["a doubtful verdict called sure", "survival-differs", (e) => (edge(e).survives = "survives")],
  ["a reading lost from the count", "verdict-differs", (e) => (judged(e).readings -= 1)],
  [
    "a flatness number of one line",
    "flatness-number-differs",
    (e) => (judged(e).fNumbers.lines[2].flatness.number.value *= 1.01),
  ],
  [
    "the levelness of all lines",
    "flatness-number-differs",
    (e) => (judged(e).fNumbers.composite.levelness.number.value += 0.5),
  ],
  ["lines joined by the other form's constant", "flatness-number-differs", (e) => otherForm(judged(e).fNumbers)],
  ["a point higher than read", "level-off-target-differs", (e) => (judged(e).level.points[7].difference += 1)],
  ["a mean with its sign turned", "level-off-target-differs", (e) => (judged(e).level.mean *= -1)],
  ["another depth to grind on the sheet", "sheet-differs", (e) => (placeRow(e).cells[2].lines[0].text = "9.9\u00a0mm")],
  ["a place missing from the sheet", "sheet-differs", (e) => (placeRow(e).cells[0].lines[0].text = "X1")],
  ["a gap printed in the wrong unit", "print-differs", (e) => misprint(e.packet)],
];

/** Planted where a joint cuts the lines that run east. */
const CUT_FAULTS: readonly (readonly [string, string, (e: any) => void])[] = [
  ["a line judged across the joint", "line-cut-differs", (e) => judged(e).lineCuts.shift()],
  ["a reading too near to the joint", "line-cut-differs", (e) => (keptPart(e).first -= 1)],
  ["a part that is left out", "line-cut-differs", (e) => delete keptPart(e).becomes],
  ["numbers of the whole line under the name of its part", "flatness-number-differs", (e) => wholeNumbers(e)],
  ["sections run together over the joint", "section-across-a-joint", (e) => oneSection(judged(e).fNumbers)],
];

const keptPart = (e: any): any => judged(e).lineCuts[0].parts.find((part: any) => part.becomes !== undefined);

function wholeNumbers(e: any): void {
  const { line } = judged(e).lineCuts[0];
  const [part, whole] = [e, writable(sound)].map((from) =>
    judged(from).fNumbers.lines.find((one: any) => one.line.id === line),
  );
  part.flatness = whole.flatness;
}

/** A line on either side of the joint, in one section. */
function oneSection({ lines }: any): void {
  lines[0].line.section = "all";
  const west = lines.find(({ line }: any) => line.ends[0].x < 1.9 && line.ends[1].x < 1.9);
  west.line.section = "all";
}

function shift(ends: any, by: number): void {
  for (const end of ends) end.x -= by;
}

function otherForm(fNumbers: any): void {
  for (const line of fNumbers.lines) line.flatness.number.value *= (4.57 * 25.4) / 115.8;
}

function misprint(packet: any): void {
  packet.finished.result.rules[0].parts[0].findings[0].worst.valueMm.printed[0] = "4.7\u00a0in";
}
// biome-ignore-end lint/suspicious/noExplicitAny: see above

describe("the report of a floor read again", () => {
  it("passes, and fits its schema", () => {
    expect(verifyPacket(sound)).toEqual([]);
    expect(packetSchema.safeParse(JSON.parse(JSON.stringify(sound.packet))).error).toBeUndefined();
  });

  it("has verdicts of all three kinds, and of those within the noise", () => {
    if (sound.packet.finished.kind !== "ready") throw new Error("the studio's floor was not judged");
    const { rules, places } = sound.packet.finished.result;
    expect(new Set(rules.map(({ result }) => result))).toEqual(new Set(["within", "outside", "not-decidable"]));
    expect(new Set(rules.map(({ survives }) => survives))).toEqual(new Set(["survives", "does-not-survive", null]));
    expect(new Set(places.map(({ work }) => work))).toEqual(new Set(["grind", "fill"]));
  });

  it.each(FAULTS)("%s is refused as %s", (_, code, plant) => {
    const wrong = writable(sound);
    plant(wrong);
    expect(verifyPacket(wrong).map((diagnostic) => diagnostic.code)).toContain(code);
  });
});

describe("the report of a floor with a joint across its lines", () => {
  it("passes, and has lines of which only parts count", () => {
    expect(verifyPacket(jointed)).toEqual([]);
    const { lineCuts } = judged(jointed);
    expect(lineCuts.length).toBeGreaterThan(1);
    // Joint at 2.5 m, the first reading at 0.8 m: that at 3.2 m is the first past 3.1 m.
    expect(lineCuts[0].parts).toContainEqual({ first: 9, last: 21, becomes: lineCuts[0].line });
  });

  it.each(CUT_FAULTS)("%s is refused as %s", (_, code, plant) => {
    const wrong = writable(jointed);
    plant(wrong);
    expect(verifyPacket(wrong).map((diagnostic) => diagnostic.code)).toContain(code);
  });
});

describe("the slow edge", () => {
  // A floor of 4 m × 1 m, two triangles to a metre; its levels along x are given.
  const strip = (levels: readonly number[]) => {
    const corners = levels.slice(1).flatMap((_, k) => {
      const [a, b, c, d] = [2 * k, 2 * k + 2, 2 * k + 3, 2 * k + 1] as const;
      return [a, b, c, a, c, d];
    });
    return {
      xM: levels.flatMap((_, k) => [k, k]),
      yM: levels.flatMap(() => [0, 1]),
      corners,
      levelMm: levels.flatMap((level) => [level, level]),
    };
  };
  const across = [
    { x: 0, y: 0.5 },
    { x: 4, y: 0.5 },
  ] as const;

  it("lies in a dip on its two shoulders", () => {
    expect(gapBySlowEdge(strip([0, 0, -5, 0, 0]), ...across, false)).toBeCloseTo(5, 9);
  });

  it("rocks on a bump under its middle", () => {
    // It tips on the bump to one end; past the bump it overhangs: 0 between contacts, 12 mm at the far end.
    expect(gapBySlowEdge(strip([0, 3, 6, 3, 0]), ...across, false)).toBeCloseTo(0, 9);
    expect(gapBySlowEdge(strip([0, 3, 6, 3, 0]), ...across, true)).toBeCloseTo(12, 9);
  });

  it("lies true on a slope", () => {
    expect(gapBySlowEdge(strip([0, 2, 4, 6, 8]), ...across, true)).toBeCloseTo(0, 9);
  });
});

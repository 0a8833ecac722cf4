/** Planted faults in the account and the plan of a survey from two set-ups: the check before printing refuses each. */
import { readFileSync } from "node:fs";
import { beforeAll, describe, expect, it } from "vitest";
import { loadSolver } from "../../src/build/load-solver.ts";
import { findingsOf } from "../../src/build.ts";
import { checkSurvey, checkSurveyPlan } from "../../src/check/check-survey.ts";
import { type Evidence, gatherDisagreements } from "../../src/check/evidence.ts";
import { loadLibrary } from "../../src/job/files.ts";
import { readJob } from "../../src/job/read-job.ts";
import { composeSheets } from "../../src/sheets/compose-sheets.ts";
import { toPacket } from "../../src/sheets/packet.ts";
import type { packetSchema } from "../../src/sheets/packet-schema.ts";

const FILE = "jobs/larkspur-offices.yaml";

let surveyed: Evidence;
let planned: Evidence;

beforeAll(async () => {
  const solve = await loadSolver();
  const text = readFileSync(FILE, "utf8");
  const evidenceOf = (jobText: string): Evidence => {
    const { job } = readJob(jobText, FILE, loadLibrary("jobs").library);
    const found = job ? findingsOf(job, solve) : undefined;
    if (job === undefined || found?.kind !== "ready") throw new Error("the offices do not compute");
    const sheets = job.languages.flatMap((language) => composeSheets(found.value, language));
    return { file: FILE, jobText, findings: found.value, packet: toPacket(found.value, sheets), sheets };
  };
  surveyed = evidenceOf(text);
  planned = evidenceOf(text.replace(/^ {2}set_ups:\n[\s\S]*?(?=^ {2}adjustment:)/m, ""));
}, 60_000);

const codesOf = (evidence: Evidence): string[] =>
  gatherDisagreements((disagree) => {
    checkSurvey(evidence, disagree);
    checkSurveyPlan(evidence, disagree);
  }).map(({ code }) => code);

type Ready<T> = Extract<T, { kind: "ready" }>;
type Packet = (typeof packetSchema)["_output"];
type Report = Ready<Packet["levels"]>["result"]["report"];
type Planned = Ready<Packet["surveyPlan"]>["result"];

/** The evidence with a fault planted into a copy of its packet. */
function withFault(evidence: Evidence, plant: (packet: Packet) => void): Evidence {
  const packet = structuredClone(evidence.packet);
  plant(packet);
  return { ...evidence, packet };
}
const inReport = (plant: (report: Report) => void) =>
  withFault(surveyed, ({ levels }) => {
    if (levels.kind !== "ready") throw new Error("the offices are not read");
    plant(levels.result.report);
  });
const inPlan = (plant: (plan: Planned) => void) =>
  withFault(planned, ({ surveyPlan }) => {
    if (surveyPlan.kind !== "ready") throw new Error("the survey is not planned");
    plant(surveyPlan.result);
  });

describe("the account of a survey", () => {
  it("passes as it is, with a struck reading, two places to read again and three closing errors", () => {
    expect(codesOf(surveyed)).toEqual([]);
    const { levels } = surveyed.packet;
    const report = levels.kind === "ready" ? levels.result.report : undefined;
    expect(report?.readings.filter(({ kind }) => kind === "struck")).toHaveLength(1);
    expect(report?.readAgain.map(({ point }) => point)).toEqual(["C10", "A11"]);
    expect(report?.readAgain[1]?.typicalSlip).toBe("digits-swapped");
    expect(report?.closures.map(({ kind }) => kind)).toEqual(["set-up", "set-up", "bench-marks"]);
  });

  const used = (report: Report, point: string) => {
    const found = report.readings.find((one) => one.kind === "used" && one.of.point === point);
    if (found?.kind !== "used") throw new Error(`no reading of ${point} is used`);
    return found;
  };
  const FAULTS: readonly (readonly [string, string, (report: Report) => void])[] = [
    ["a residual", "residual-differs", (report) => (used(report, "A8").residualMm.value += 0.2)],
    ["a residual with its sign turned", "residuals-not-least", (report) => (used(report, "A7").residualMm.value *= -1)],
    ["a correction left off", "residual-differs", (report) => (report.setUps[1]!.zeroCorrectionMm.value = 0)],
    ["a level between two readings", "residual-differs", (report) => (used(report, "A9").levelMm.value += 3)],
    ["a test of other squares", "global-test-differs", (report) => dropSquares(report)],
    ["a lost reading", "reading-unaccounted", (report) => report.readings.splice(4, 1)],
    ["a reading struck by nobody", "reading-unaccounted", (report) => strike(report)],
    ["another reason", "reading-unaccounted", (report) => otherReason(report)],
    ["a bench mark called suspect", "bench-mark-verdict", (report) => (report.benchMarks[1]!.suspect = true)],
    ["a closing error", "closure-differs", (report) => (report.closures[0]!.errorMm.value = 0)],
    ["a rule made wider", "closure-differs", (report) => (report.closures[0]!.permittedMm!.value *= 2)],
    ["a verdict", "closure-differs", (report) => (report.closures[2]!.verdict = "beyond")],
    ["a suspect that nobody is told of", "suspect-not-listed", (report) => (report.readAgain = [])],
    ["a place that the sheet does not list", "sheet-differs", (report) => (report.readAgain[0]!.point = "C9")],
    [
      "another level as read",
      "sheet-differs",
      (report) => (report.readAgain[1]!.asReadMm.printed = ["\u22128.6\u00a0mm", "\u22120.34\u00a0in"]),
    ],
  ];
  it.each(FAULTS)("with %s is refused as %s", (_, code, plant) => {
    expect(codesOf(inReport(plant))).toContain(code);
  });

  function dropSquares({ global }: Report): void {
    if (global.kind === "tested") global.sumOfSquares *= 0.9;
  }
  function strike(report: Report): void {
    report.readings[3] = { kind: "struck", of: report.readings[3]!.of, reason: "looked odd" };
  }
  function otherReason(report: Report): void {
    const struck = report.readings.find((one) => one.kind === "struck");
    if (struck?.kind === "struck") struck.reason = "";
  }
});

describe("the plan of a survey", () => {
  it("passes as it is, two positions sharing three points", () => {
    expect(codesOf(planned)).toEqual([]);
    const { surveyPlan } = planned.packet;
    const plan = surveyPlan.kind === "ready" ? surveyPlan.result : undefined;
    expect(plan?.positions).toHaveLength(2);
    expect(plan?.shared[0]?.points).toHaveLength(3);
    expect(plan?.provedFewest).toBe(true);
  });

  const FAULTS: readonly (readonly [string, string, (plan: Planned) => void])[] = [
    ["a point that nobody reads", "plan-misses-point", (plan) => dropPoint(plan, "B3")],
    ["a hose through the walls", "planned-hose-differs", (plan) => (plan.positions[0]!.order[0]!.hoseM.value = 1)],
    ["a hose that is too short", "planned-hose-differs", (plan) => (plan.positions[0]!.order[0]!.hoseM.value = 20)],
    ["no check at the end", "plan-unchecked", (plan) => plan.positions[0]!.zeroChecksAfter.pop()],
    ["thirty readings without a check", "plan-unchecked", (plan) => plan.positions[0]!.zeroChecksAfter.splice(1, 1)],
    ["nothing read twice", "plan-unchecked", (plan) => readOnce(plan)],
  ];
  it.each(FAULTS)("with %s is refused as %s", (_, code, plant) => {
    expect(codesOf(inPlan(plant))).toContain(code);
  });

  function dropPoint({ positions }: Planned, id: string): void {
    for (const one of positions) one.order = one.order.filter(({ point }) => point !== id);
  }
  function readOnce({ positions }: Planned): void {
    const [first] = positions;
    first!.order = first!.order.filter(({ why }) => why !== "second-time");
  }
});

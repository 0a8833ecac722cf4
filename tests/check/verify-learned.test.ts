/** Faults planted in a loss that the archive taught: the check before printing refuses each of them. */
import { beforeAll, expect, it } from "vitest";
import { loadSolver } from "../../src/build/load-solver.ts";
import { findingsOf } from "../../src/build.ts";
import { checkOrder } from "../../src/check/check-order.ts";
import { type Evidence, gatherDisagreements } from "../../src/check/evidence.ts";
import { loadLibrary } from "../../src/job/files.ts";
import { readJob } from "../../src/job/read-job.ts";
import { composeSheets } from "../../src/sheets/compose-sheets.ts";
import { toPacket } from "../../src/sheets/packet.ts";
import { comingJobText } from "../archive/poured-archive.ts";

// biome-ignore lint/suspicious/noExplicitAny: faults are planted where the types say read-only
type Any = any;

const FILE = "jobs/coming.yaml";
const jobText = comingJobText("coming", "pour: { learned_loss: true }\n");
const LEARNED = `learned:
  loss:
    depth: 20 mm
    per_10_mm: -0.5 %
    spread: 1 %
    materials: [{ material: ${/^material: (\S+)/m.exec(jobText)?.[1]}, loss: 9 %, sd: 1 %, jobs: 9 }]
`;

let evidence: Evidence;
beforeAll(async () => {
  const { library } = loadLibrary("jobs");
  const files = [...library.files, { file: "jobs/_library/learned.yaml", text: LEARNED }];
  const { job, diagnostics } = readJob(jobText, FILE, { files });
  if (job === undefined) throw new Error(JSON.stringify(diagnostics));
  const found = findingsOf(job, await loadSolver());
  if (found.kind !== "ready") throw new Error(found.kind);
  const sheets = composeSheets(found.value, "en");
  evidence = { file: FILE, jobText, findings: found.value, packet: toPacket(found.value, sheets), sheets };
}, 120_000);

const told = (of: Evidence): string[] =>
  gatherDisagreements((disagree) => checkOrder(of, disagree)).map(({ code }) => code);

it("a sound packet passes, and its loss is not that of the reference depth", () => {
  expect(told(evidence)).toEqual([]);
  expect(Math.abs(evidence.findings.job.pour.lossAllowance - 0.09)).toBeGreaterThan(0.0001);
});

it.each([
  ["another share", "loss-differs", (e: Any) => (e.findings.job.pour.lossAllowance += 0.001)],
  ["the loss of the reference depth", "loss-differs", (e: Any) => (e.findings.job.pour.lossAllowance = 0.09)],
  ["another move of the order", "loss-differs", (e: Any) => (e.packet.quantities.result.learnedLoss.movedBags *= -1)],
  ["no word of it in packet.json", "loss-differs", (e: Any) => (e.packet.quantities.result.learnedLoss = null)],
])("%s is refused as %s", (_, code, plant) => {
  const { job } = evidence.findings;
  const wrong: Any = {
    ...evidence,
    findings: { ...evidence.findings, job: { ...job, pour: { ...job.pour } } },
    packet: structuredClone(evidence.packet),
  };
  plant(wrong);
  expect(told(wrong)).toContain(code);
});

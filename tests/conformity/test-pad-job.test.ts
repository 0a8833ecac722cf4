/**
 * The shipped job of the published test pad through every stage before this one: its grid rows are
 * sample lines, 300 mm apart. The data sheet does not say where the lines lie; the job lays them 0.6 m apart.
 */
import { readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { describe, expect, it } from "vitest";
import { judgeFloor } from "../../src/conformity/judge.ts";
import type { Outcome } from "../../src/diagnostics.ts";
import { loadLibrary } from "../../src/job/files.ts";
import { readJob } from "../../src/job/read-job.ts";
import { layOut } from "../../src/layout/lay-out.ts";
import { surfaceOf } from "../../src/slab/surface-of.ts";
import { adjustLevels } from "../../src/survey/adjust-levels.ts";
import { asked } from "./made-evidence.ts";

const jobs = fileURLToPath(new URL("../../jobs", import.meta.url));
const readyOf = <T>(outcome: Outcome<T>): T => {
  if (outcome.kind !== "ready") throw new Error(JSON.stringify(outcome));
  return outcome.value;
};

describe("the test pad as a job", () => {
  const { library } = loadLibrary(jobs);
  const { job: read } = readJob(readFileSync(`${jobs}/test-pad.yaml`, "utf8"), "jobs/test-pad.yaml", library);
  const rules = [asked({ kind: "f-numbers", flatness: 20, levelness: 15 })];
  const job = { ...read!, contract: { ...read!.contract, rules } };
  const plan = readyOf(layOut(job));
  const levels = readyOf(adjustLevels(job, plan));
  const slab = readyOf(surfaceOf(plan, levels));
  const { fNumbers, rules: verdicts } = readyOf(judgeFloor({ job, floor: "raw-slab", plan, levels, slab }));

  it("has the numbers of the table, from readings below the zero of the job", () => {
    const found = fNumbers!.lines.map(({ line, flatness, levelness }) => {
      const values = [flatness, levelness].map(({ number }) =>
        number.kind === "value" ? number.value.toFixed(3) : "-",
      );
      return [line.id, ...values];
    });
    expect(found).toEqual([
      ["A1–A14", "28.772", "20.210"],
      ["B1–B15", "20.395", "45.980"],
      ["C1–C14", "34.547", "39.545"],
      ["D1–D14", "18.458", "46.653"],
      ["E1–E15", "32.412", "37.224"],
    ]);
    expect(fNumbers!.composite.readings).toBe(72);
  });

  it("is not to the method, and says why: too near the edge, too near to each other", () => {
    const failing = fNumbers!.conditions.filter(({ standing }) => standing === "fails");
    expect(failing.map(({ condition }) => condition)).toEqual(["edge-distance", "lines-apart"]);
    expect(fNumbers!.toTheMethod).toBe(false);
    expect(verdicts[0]!.result).toBe("not-decidable");
    expect(verdicts[0]!.parts[0]!.findings[0]!.worst!.value).toBeCloseTo(24.487, 3);
  });
});

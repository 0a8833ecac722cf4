/** The check's own way to critical values, against published tables; wrong statistics planted in a report. */
import { describe, expect, test } from "vitest";
import { chanceBeyond, checkStatistics } from "../../src/check/check-statistics.ts";
import { type Evidence, gatherDisagreements } from "../../src/check/evidence.ts";
import { evidenceOf } from "./altered-numbers.ts";

describe("the chance beyond a value", () => {
  // NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.1 and 1.3.6.7.2: normal and Student's t tables.
  test.each([
    [1.96, Number.POSITIVE_INFINITY, 0.05, 4],
    [3.0902, Number.POSITIVE_INFINITY, 0.002, 6],
    [12.706, 1, 0.05, 5],
    [4.303, 2, 0.05, 4],
    [2.228, 10, 0.05, 4],
    [3.169, 10, 0.01, 5],
    [2.042, 30, 0.05, 4],
  ])("beyond ±%f with %f degrees of freedom is %f", (x, freedom, share, digits) => {
    expect(chanceBeyond(x, freedom)).toBeCloseTo(share, digits);
  });
});

describe("a report of two set-ups, adjusted", async () => {
  const sound = await evidenceOf("larkspur-offices");
  type Report = Extract<Evidence["packet"]["levels"], { kind: "ready" }>["result"]["report"];
  const foundWith = (plant: (report: Report) => void): readonly string[] => {
    const levels = structuredClone(sound.packet.levels);
    if (levels.kind !== "ready") throw new Error("the survey is not there");
    plant(levels.result.report);
    const evidence = { ...sound, packet: { ...sound.packet, levels } };
    return gatherDisagreements((disagree) => checkStatistics(evidence, disagree)).map(({ code }) => code);
  };
  const used = (report: Report) =>
    report.readings.flatMap((one) => (one.kind === "used" && one.normalizedResidual !== null ? [one] : []));

  test("passes as it is", () => {
    expect(foundWith(() => undefined)).toEqual([]);
  });

  test.each<[string, (report: Report) => void]>([
    ["a critical value", (report) => Object.assign(report, { critical: (report.critical ?? 0) * 1.001 })],
    ["the bounds of 95 %", (report) => Object.assign(report, { halfWidth95: 2 })],
    ["a chance that nobody stated", (report) => Object.assign(report, { alpha: 0.01 })],
    ["σ₀", ({ global }) => Object.assign(global, { sigmaZero: 1.1 })],
    ["a global test", ({ global }) => Object.assign(global, { verdict: "better-than-stated" })],
    ["a redundancy", (report) => Object.assign(used(report)[0] ?? {}, { redundancy: 0.9 })],
    ["a normalized residual", (report) => Object.assign(used(report)[0] ?? {}, { normalizedResidual: 0.123 })],
    ["a suspect", (report) => Object.assign(used(report)[0] ?? {}, { suspect: !used(report)[0]?.suspect })],
    [
      "a least slip",
      (report) => {
        const quantity = used(report)[1]?.leastDetectableMm;
        if (quantity) Object.assign(quantity, { value: quantity.value * 1.01 });
      },
    ],
    ["a count of readings", (report) => Object.assign(report.setUps[0] ?? {}, { readingsUsed: 1 })],
  ])("a wrong number for %s is refused", (_, plant) => {
    expect(foundWith(plant)).toContain("statistics-differ");
  });
});

/** Unequal temperature of a hose is told where it is no longer small beside the tolerance. */
import { expect, it } from "vitest";
import type { ContractRule } from "../../src/job/contract-model.ts";
import type { Job } from "../../src/job/model.ts";
import { temperatureMatters, tightestToleranceMm } from "../../src/sheets/survey/temperature-text.ts";
import { legError } from "../../src/survey/temperature.ts";
import type { Celsius } from "../../src/units.ts";
import { metres, millimetres } from "../../src/units.ts";

const place = { file: "made.yaml", line: 1, column: 1, length: 1, lineText: "" };
const own = { source: "clause 1", place };
const jobWith = (rules: readonly ContractRule[]): Job =>
  ({ contract: { rules }, survey: { setUps: [{ id: "S1", instrument: { readingSd: 0.5 } }] } }) as unknown as Job;
const edge = (lengthM: number, gapMm: number): ContractRule => ({
  ...own,
  kind: "straightedge",
  edge: metres(lengthM),
  gap: millimetres(gapMm),
  contact: "between-contacts",
});
// One metre of water at 15 and 25 °C: 2.061 mm, from handbook densities.
const bound = legError({ kind: "water" }, metres(1), 15 as Celsius, 25 as Celsius);
const told = { setUpId: "S1", perMetreOfLeg: bound, bound };

it("the tightest figure over more than an arm's length counts", () => {
  expect(bound).toBeCloseTo(2.061, 2);
  expect(tightestToleranceMm(jobWith([edge(3, 5), edge(0.3, 0.8)]))).toBe(5);
  expect(tightestToleranceMm(jobWith([edge(3, 5), { ...own, kind: "level", plusMinus: millimetres(3) }]))).toBe(3);
  // 3/16 in under 10 ft.
  expect(tightestToleranceMm(jobWith([{ ...own, kind: "trade-rule", name: "resilient-covering" }]))).toBeCloseTo(
    4.7625,
  );
  expect(tightestToleranceMm(jobWith([]))).toBeUndefined();
});

it.each([
  ["a quarter of 8 mm", [edge(3, 8)], true],
  ["not a quarter of 9 mm", [edge(3, 9)], false],
  ["no rule in figures: more than one reading's error", [], true],
])("%s", (_, rules, matters) => {
  expect(temperatureMatters(told, jobWith(rules as ContractRule[]))).toBe(matters);
});

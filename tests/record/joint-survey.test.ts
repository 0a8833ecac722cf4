/** The joint survey as a stop: who still has to sign, and for how many bags it was signed. */
import { expect, test } from "vitest";
import type { JointSurvey } from "../../src/job/record-model.ts";
import { jointSurveyHold } from "../../src/record/joint-survey.ts";
import type { BagStop } from "../../src/record/model.ts";
import { recordHoldText } from "../../src/sheets/record/test-text.ts";
import { en } from "../../src/sheets/words/en.ts";
import { es } from "../../src/sheets/words/es.ts";
import { findings } from "../sheets/fixtures/small-clinic.ts";

const gc = { party: "general-contractor", by: "R. Amsel", date: "2027-03-02" } as const;
const us = { party: "contractor", by: "T. Okafor", date: "2027-03-02" } as const;
const survey = (of: Partial<JointSurvey>): { jointSurvey: JointSurvey } => ({
  jointSurvey: { date: "2027-02-26", measuredBy: "T. Okafor", present: [], signatures: [], ...of },
});
const stop: BagStop = { bags: 120, from: "allowance", planned: 118 };
const missing = (...parties: string[]) => ({ kind: "joint-survey-unsigned", missing: parties });

test.each([
  ["none on record", {}, stop, missing("general-contractor", "contractor")],
  ["not signed", survey({}), stop, missing("general-contractor", "contractor")],
  ["one of two", survey({ signatures: [us] }), stop, missing("general-contractor")],
  ["both", survey({ signatures: [gc, us] }), stop, undefined],
  ["both, for as many bags", survey({ signatures: [gc, us], bags: 118 }), stop, undefined],
  [
    "both, for a bag fewer",
    survey({ signatures: [gc, us], bags: 117 }),
    stop,
    { kind: "joint-survey-outdated", signedFor: 117, planned: 118 },
  ],
  [
    "for fewer, approved since",
    survey({ signatures: [gc, us], bags: 100 }),
    { ...stop, from: "approval" } as BagStop,
    undefined,
  ],
  [
    "for fewer, approved for fewer still",
    survey({ signatures: [gc, us], bags: 100 }),
    { bags: 110, from: "approval", planned: 118 } as BagStop,
    { kind: "joint-survey-outdated", signedFor: 100, planned: 118 },
  ],
  [
    "settled that none is made",
    survey({ notRequired: { by: "owner", date: "2027-02-01", reason: "own floor" } }),
    stop,
    undefined,
  ],
] as const)("%s", (_, job, at, wanted) => {
  expect(jointSurveyHold(job, at)).toEqual(wanted);
});

test("the cover names who must sign; without a general contractor it is whoever ordered the floor", () => {
  const hold = jointSurveyHold({}, stop)!;
  const { generalContractor: _, ...rest } = findings.job;
  const alone = { ...rest, client: "P. Dunmarrow" };
  for (const words of [en, es]) {
    expect(recordHoldText(hold, { ...findings.job, generalContractor: "Marrow Lane Builders" }, words)).toContain(
      "Marrow Lane Builders",
    );
    expect(recordHoldText(hold, alone, words)).toContain("P. Dunmarrow");
    expect(recordHoldText(hold, alone, words)).toContain(alone.company.name);
  }
});

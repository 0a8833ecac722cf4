/** Values, limits and holds of substrate tests in words. */
import { count, decimal, emission, percent, seconds, strength, temperature } from "../../format.ts";
import type { Job } from "../../job/model.ts";
import type { JointParty, TestDimension, TestLimit } from "../../job/record-model.ts";
import type { RecordHold, TestState } from "../../record/model.ts";
import type { Words } from "../words/en.ts";

/** A value in the unit of its test; in both units where there are two. */
export function testValueText(
  value: number,
  dimension: TestDimension,
  { units }: Pick<Job, "units">,
  words: Words,
): string {
  const both = ({ large, small }: { large: { text: string }; small: { text: string } }) =>
    words.both(large.text, small.text);
  switch (dimension) {
    case "share":
      return percent(value, isWhole(value * 100) ? 0 : 1).text;
    case "emission":
      return both(emission(value, units.plan));
    case "time":
      return seconds(value).text;
    case "pressure":
      return both(strength(value, units.plan));
    case "profile":
      return decimal(value, isWhole(value) ? 0 : 1);
    case "temperature":
      return both(temperature(value, units.plan));
  }
}

/** Of numbers up to a hundred: a millionth is the rounding of a share turned to per cent. */
const isWhole = (value: number): boolean => Math.abs(value - Math.round(value)) < 1e-6;

export function limitText(
  { least, greatest }: Pick<TestLimit, "least" | "greatest">,
  dimension: TestDimension,
  job: Pick<Job, "units">,
  words: Words,
): string {
  const value = (of: number) => testValueText(of, dimension, job, words);
  if (least !== undefined && greatest !== undefined) return words.record.within(value(least), value(greatest));
  if (least !== undefined) return words.record.atLeast(value(least));
  return greatest === undefined ? words.record.noLimit : words.record.atMost(value(greatest));
}

/** What the cover says of a hold. */
export function recordHoldText(
  hold: RecordHold,
  job: Pick<Job, "units" | "company" | "generalContractor" | "client">,
  words: Words,
): string {
  const { holds, tests } = words.record;
  const owed = ({ owedBy }: TestState) => owedBy ?? words.notStated;
  switch (hold.kind) {
    case "tests-not-named":
      return holds.noTests;
    case "test-refused":
      return holds.refused(
        tests[hold.test.test],
        words.listOf(hold.places),
        limitText(hold.test, hold.test.dimension, job, words),
        owed(hold.test),
      );
    case "test-missing":
      return holds.missing(
        tests[hold.test.test],
        count(hold.test.placesTested),
        count(hold.test.required),
        owed(hold.test),
      );
    case "test-without-limit":
      return holds.withoutLimit(tests[hold.test.test], owed(hold.test));
    case "joint-survey-unsigned":
      return holds.unsigned(words.listOf(hold.missing.map((party) => partyText(party, job, words))));
    case "joint-survey-outdated":
      return holds.signedFor(words.bags(count(hold.signedFor)), words.bags(count(hold.planned)));
    case "bags-past-approved":
      return holds.bags(words.bags(count(hold.stop.planned)), words.bags(count(hold.stop.bags)));
  }
}

/** A party to the joint survey with its name; without a general contractor whoever ordered the floor stands in. */
export function partyText(
  party: JointParty,
  { company, generalContractor, client }: Pick<Job, "company" | "generalContractor" | "client">,
  words: Words,
): string {
  const { parties } = words.record.joint;
  if (party === "contractor") return words.record.joint.person(parties.contractor, company.name);
  if (generalContractor !== undefined)
    return words.record.joint.person(parties["general-contractor"], generalContractor);
  return client === undefined ? parties["general-contractor"] : words.record.joint.person(parties.client, client);
}

/** The floors judged by the contract's rules, as the job's page shows them: verdicts and places to mend. */
import type { Conformity, Measured, RuleVerdict } from "../conformity/model.ts";
import { survivalOfRule } from "../conformity/rule-survival.ts";
import { count, decimal, difference, fineHeight } from "../format.ts";
import type { Job } from "../job/model.ts";
import type { Plan } from "../layout/model.ts";
import { type FloorText, partText, placeText } from "../sheets/flatness-text.ts";
import type { Findings } from "../sheets/model.ts";
import { en } from "../sheets/words/en.ts";
import { asValue, type Value } from "./value.ts";

export interface FloorVerdicts {
  readonly title: string;
  /** When it was read, and at how many points. */
  readonly read: string;
  readonly rules: readonly RuleRow[];
  readonly places: readonly PlaceRow[];
}

export interface RuleRow {
  readonly title: string;
  readonly asks: readonly string[];
  readonly verdict: string;
  /** Whether it is found outside: told by weight too. */
  readonly fails: boolean;
  readonly survives?: string;
  readonly worst?: Value | string;
  readonly margin?: Value | string;
}

export interface PlaceRow {
  readonly id: string;
  readonly work: string;
  readonly least?: Value;
  readonly whole: Value;
  readonly where: string;
}

const { flatness: words } = en;

/** One for each floor that was judged: the slab as handed over, the finished floor. */
export function floorVerdicts({ job, plan, rawSlab, finished }: Findings): FloorVerdicts[] {
  return [
    ...(finished.kind === "ready" ? [verdictsOf(job, finished.value.plan, finished.value.conformity)] : []),
    ...(rawSlab.kind === "ready" ? [verdictsOf(job, plan, rawSlab.value)] : []),
  ];
}

function verdictsOf(job: Job, plan: Plan, conformity: Conformity): FloorVerdicts {
  const floor: FloorText = { job, plan, words: en };
  const depth = (mm: number): Value => asValue(fineHeight(mm, job.units.height), job.units.height === "mm");
  return {
    title: words.page.floors[conformity.floor],
    read: [conformity.date ?? "not dated", words.readings(count(conformity.readings))].join(", "),
    rules: conformity.rules.map((verdict) => ruleRow(floor, verdict)),
    places: conformity.places.map(({ id, work, least, whole, found }) => ({
      id,
      work: words.work[work],
      ...(least === undefined ? {} : { least: depth(least) }),
      whole: depth(whole),
      where: placeText(floor, found),
    })),
  };
}

function ruleRow(floor: FloorText, verdict: RuleVerdict): RuleRow {
  const survives = survivalOfRule(verdict);
  const deciding = decidingOf(verdict);
  return {
    title: words.rules[verdict.rule.name],
    asks: verdict.parts.map(({ part }) => partText(floor, part)),
    verdict: words.results[verdict.result],
    fails: verdict.result === "outside",
    ...(survives === undefined ? {} : { survives: words.survivals[survives] }),
    ...(deciding?.value === undefined ? {} : { worst: amount(floor.job, deciding, deciding.value, false) }),
    ...(deciding?.margin === undefined ? {} : { margin: amount(floor.job, deciding, deciding.margin, true) }),
  };
}

/** Of the findings that say what the rule's verdict says, the one with the least margin as a share of its limit. */
function decidingOf({ result, parts }: RuleVerdict): Measured | undefined {
  return parts
    .flatMap(({ findings }) => findings)
    .flatMap((finding) => (finding.result === result && finding.worst?.margin !== undefined ? [finding.worst] : []))
    .toSorted((a, b) => a.margin! / a.limit - b.margin! / b.limit)[0];
}

function amount(job: Job, { quantity }: Measured, value: number, signed: boolean): Value | string {
  if (quantity === "f-number") return signed ? difference(value, 1) : decimal(value, 1);
  return asValue(fineHeight(value, job.units.height), job.units.height === "mm");
}

/** The readings blocks of a planned survey, as text of a job file: what the forms of the survey set ask for, in their order. */
import { spellPlanLength } from "../job/lengths.ts";
import type { Job, PlanUnit } from "../job/model.ts";
import type { PlannedSetUp, SurveyPlan } from "../survey/model.ts";
import { MM_PER_INCH } from "../units.ts";

/** `set_ups:` below `survey:`, each with a blank for every reading in the order of walking. `instrument` as YAML. */
export function plannedSetUpsText({ units }: Job, plan: SurveyPlan, instrument: string): string {
  const setUps = plan.positions.map((one) => setUpText(one, units.plan, instrument));
  return `  set_ups:\n${setUps.join("")}`;
}

/** A reservoir is set down to the inch, or to the centimetre. */
function roughly(lengthM: number, unit: PlanUnit): string {
  const step = unit === "ft-in" ? MM_PER_INCH / 1000 : 0.01;
  return spellPlanLength(Math.round(lengthM / step) * step, unit);
}

function setUpText({ id, at, order, zeroChecksAfter }: PlannedSetUp, unit: PlanUnit, instrument: string): string {
  const lines = (twice: boolean): string[] =>
    order.filter(({ why }) => (why === "second-time") === twice).map(({ pointId }) => `        ${pointId.padEnd(8)} -`);
  const [first, again] = [lines(false), lines(true)];
  return [
    `    - id: ${id}`,
    `      instrument: ${instrument}`,
    `      reservoir: [${roughly(at.x, unit)}, ${roughly(at.y, unit)}]`,
    "      numbers_are: below zero",
    "      # In the order of walking; - where nothing was read.",
    "      readings: |",
    ...first,
    ...(again.length === 0 ? [] : ["      # Read a second time at the end.", "      repeats: |", ...again]),
    "      # Take the # away and put in what was read at the zero mark.",
    "      # zero_checks:",
    ...zeroChecksAfter.map((after) => `      #   - { after: ${after}, reading: , at: }`),
    "      # temperature: { coolest: , warmest: , vertical_leg: }",
    "",
  ].join("\n");
}

/**
 * The text of a job file under another id, with these set-ups in place of its own.
 * @returns undefined where `survey:` is not a block of its own with a key to a line
 */
export function withSetUps(text: string, id: string, setUps: string): string | undefined {
  const lines = text.replace(/^job:.*$/m, `job: ${id}`).split("\n");
  const survey = lines.findIndex((line) => /^survey:\s*(#.*)?$/.test(line));
  if (survey < 0 || !lines.some((line) => line === `job: ${id}`)) return undefined;
  const isBelow = (line: string, indent: number): boolean =>
    line.trim() === "" || line.length - line.trimStart().length > indent;
  const endOf = (from: number, indent: number): number => {
    const end = lines.findIndex((line, k) => k > from && !isBelow(line, indent));
    return end < 0 ? lines.length : end;
  };
  const end = endOf(survey, 0);
  const old = lines.findIndex((line, k) => k > survey && k < end && /^ {2}(?:set_ups|scan):/.test(line));
  const from = old < 0 ? lastFilled(lines, survey, end) + 1 : old;
  const to = old < 0 ? from : lastFilled(lines, old, endOf(old, 2)) + 1;
  return [...lines.slice(0, from), setUps.trimEnd(), ...lines.slice(to)].join("\n");
}

/** The last line before `end` that is not blank. */
function lastFilled(lines: readonly string[], from: number, end: number): number {
  for (let k = end - 1; k > from; k--) if (lines[k]!.trim() !== "") return k;
  return from;
}

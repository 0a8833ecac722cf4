/** The floor against the contract: every rule by its own method, what the readings decide, and what they cannot. */
import { notYet, type Outcome, ready, refused } from "../diagnostics.ts";
import type { Job } from "../job/model.ts";
import type { Plan } from "../layout/model.ts";
import type { Slab } from "../slab/model.ts";
import type { Target } from "../target/model.ts";
import { checkEvidence } from "./check-evidence.ts";
import { correctionPlaces } from "./correction-places.ts";
import { cutLines } from "./cut-lines.ts";
import { daysBetween } from "./dates.ts";
import { dinFindings } from "./din-findings.ts";
import { edgeFindings } from "./edge-findings.ts";
import type { Correction, Evidence } from "./evidence.ts";
import { fFindings, fNumberReport } from "./f-findings.ts";
import { floorSurface } from "./floor-profiles.ts";
import { jointsOf } from "./joints.ts";
import { levelFindings, levelReport } from "./level-findings.ts";
import { COVERAGE, type NoisyLevels } from "./level-noise.ts";
import type { Conformity, Finding, FNumberReport, LevelReport, PartVerdict, Result, RulePart } from "./model.ts";
import { readingPlans } from "./reading-plan.ts";
import { linesAmongRows } from "./reading-rows.ts";
import { rulesOf } from "./rules.ts";

export interface FloorToJudge {
  readonly job: Job;
  /** The slab as it was handed over, from the job's survey, or the floor after the pour, from its `finished`. */
  readonly floor: "raw-slab" | "finished";
  /** Plan, levels and surface of that survey. */
  readonly plan: Plan;
  readonly levels: NoisyLevels;
  readonly slab: Slab;
  /** Absent where the top of the pour is not placed yet. */
  readonly target?: Target;
}

/**
 * Judges a floor by the contract's rules. Not yet, where the contract gives no rule in figures or the
 * finished floor was not read; refused, where readings cannot belong to this floor, each at its line.
 */
export function judgeFloor({ job, floor, plan, levels, slab, target }: FloorToJudge): Outcome<Conformity> {
  const contractRules = job.contract.rules ?? [];
  if (contractRules.length === 0) return notYet("the contract's tolerance is not given in figures");
  if (floor === "finished" && !job.finished) return notYet("the finished floor was not read");
  const survey = floor === "finished" ? job.finished!.survey : job.survey;
  const date = floor === "finished" ? job.finished!.date : survey.setUps.find((setUp) => setUp.date)?.date;
  const poured = floor === "finished" ? (job.finished!.poured ?? job.pour.start) : undefined;
  const evidence: Evidence = {
    job,
    plan,
    levels,
    slab,
    surface: floorSurface(slab.mesh, levelsAsRead(slab, levels), slab.wasRead),
    lines: survey.byHand?.lines ?? [],
    gaps: survey.byHand?.gaps ?? [],
    planUnit: job.units.plan,
    joints: jointsOf(survey, job.pour, floor),
    ...(date !== undefined && { date }),
    ...(poured !== undefined && { poured }),
  };
  // Lines typed for the purpose come first; without any, rows of the grid read at the method's spacing serve.
  const sampleLines =
    evidence.lines.length > 0
      ? evidence.lines
      : linesAmongRows(levels, plan, job.source.place(floor === "finished" ? ["finished"] : ["survey"]));
  const counted = cutLines(sampleLines, plan.floors, evidence.joints);
  const problems = checkEvidence(evidence, floor, counted.cuts);
  if (problems.some(({ severity }) => severity === "error")) return refused(problems);

  const rules = rulesOf(contractRules);
  const fNumbers = fNumberReport(evidence, counted.lines, contractRules);
  const levelPart = rules.flatMap(({ parts }) => parts).find((part) => part.kind === "level");
  const level = target && levelReport(evidence, target, levelPart);
  const corrections: { ruleId: string; correction: Correction }[] = [];
  const verdicts = rules.map((rule) => {
    const judged = rule.parts.map((part) => {
      const { findings, corrections: asked } = findingsOf(evidence, part, fNumbers, level);
      return { verdict: { part, result: resultOf(findings), findings } satisfies PartVerdict, asked };
    });
    const parts = judged.map(({ verdict }) => verdict);
    const result = rule.needs === "all" ? allOf(parts) : anyOf(parts);
    if (result === "outside") {
      for (const { verdict, asked } of judged) {
        // Before the pour the slab lies below the target everywhere: that is what the pour is for.
        if (floor === "raw-slab" && verdict.part.kind === "level") continue;
        corrections.push(...asked.map((correction) => ({ ruleId: rule.id, correction })));
      }
    }
    return { rule, result, parts };
  });
  const days = poured === undefined || date === undefined ? undefined : daysBetween(poured, date);
  const contractF = contractRules.find((rule) => rule.kind === "f-numbers");
  return ready(
    {
      floor,
      ...(date !== undefined && { date }),
      ...(poured !== undefined && { poured }),
      ...(days !== undefined && { daysSincePour: days }),
      readings: levels.points.length,
      rules: verdicts,
      ...(fNumbers && { fNumbers }),
      joints: evidence.joints.known,
      lineCuts: counted.cuts,
      ...(level && { level }),
      places: correctionPlaces(evidence, corrections),
      readingPlans: readingPlans(plan, verdicts, contractF?.leastReadings, job.units.plan, evidence.joints.known),
      coverage: COVERAGE,
    },
    problems,
  );
}

/** A surface may be smoothed between readings; a straightedge is laid on what was read. */
function levelsAsRead(slab: Slab, levels: NoisyLevels): Float64Array {
  const levelMm = slab.levelMm.slice();
  for (const [index, { level }] of levels.points.entries()) levelMm[slab.vertexOfPoint[index]!] = level;
  return levelMm;
}

function findingsOf(
  evidence: Evidence,
  part: RulePart,
  fNumbers: FNumberReport | undefined,
  level: LevelReport | undefined,
): { readonly findings: readonly Finding[]; readonly corrections: readonly Correction[] } {
  switch (part.kind) {
    case "straightedge":
      return edgeFindings(evidence, part);
    case "f-number":
      return fFindings(evidence, part, fNumbers);
    case "din-18202":
      return dinFindings(evidence, part);
    case "level":
      return levelFindings(evidence, part, level);
  }
}

/**
 * Of several ways of measuring one that finds the floor outside settles it. Within it is found by
 * those that look at the floor; an edge on single lines can only find it outside.
 */
function resultOf(findings: readonly Finding[]): Result {
  if (findings.some(({ result }) => result === "outside")) return "outside";
  const seen = findings.filter(({ method }) => method.kind !== "edge-on-line");
  return seen.some(({ result }) => result === "within") ? "within" : "not-decidable";
}

function allOf(parts: readonly PartVerdict[]): Result {
  if (parts.some(({ result }) => result === "outside")) return "outside";
  return parts.every(({ result }) => result === "within") ? "within" : "not-decidable";
}

/** Any one part within is enough. */
function anyOf(parts: readonly PartVerdict[]): Result {
  if (parts.some(({ result }) => result === "within")) return "within";
  return parts.every(({ result }) => result === "outside") ? "outside" : "not-decidable";
}

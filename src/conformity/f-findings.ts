/** Flatness and levelness numbers against the contract: the composite, and every section. */
import type { ContractRule, SampleLine } from "../job/contract-model.ts";
import { onLine } from "./edge-findings.ts";
import type { Correction, Evidence } from "./evidence.ts";
import { FEWEST_ON_LINE, formulasUsed, lineNumbers, methodFor, sectionsOf, together } from "./f-numbers.ts";
import { findPlace } from "./found-place.ts";
import { COVERAGE } from "./level-noise.ts";
import { lineConditions } from "./line-conditions.ts";
import type {
  CombinedNumber,
  Finding,
  FNumber,
  FNumberReport,
  FoundPlace,
  LineReport,
  Measured,
  Remark,
  RulePart,
  Survival,
} from "./model.ts";

export type FPart = Extract<RulePart, { kind: "f-number" }>;

/** How many of its sharpest places are listed for a line of a section that fails. */
const SHARPEST_OF_LINE = 3;

/**
 * Numbers of all lines that the method can take, cut where it takes no reading; undefined where there is none. The others (too few
 * readings, another spacing) still serve a straightedge; `checkEvidence` names them.
 */
export function fNumberReport(
  evidence: Evidence,
  counted: readonly SampleLine[],
  rules: readonly ContractRule[],
): FNumberReport | undefined {
  const usable = counted.filter(
    (line) => methodFor(line.spacing) !== undefined && line.levelsMm.length >= FEWEST_ON_LINE,
  );
  if (usable.length === 0) return undefined;
  const lines = usable.map(lineNumbers);
  const rule = rules.find((one) => one.kind === "f-numbers");
  const conditions = lineConditions(usable, {
    floors: evidence.plan.floors,
    joints: evidence.joints,
    ...(evidence.poured !== undefined && { poured: evidence.poured }),
    ...(evidence.date !== undefined && { read: evidence.date }),
    ...(rule?.leastReadings !== undefined && { leastReadings: rule.leastReadings }),
    ...(rule?.withinDays !== undefined && { withinDays: rule.withinDays }),
    ...(rule && { contract: rule.source }),
  });
  return {
    lines,
    sections: sectionsOf(lines),
    composite: together(lines),
    conditions,
    toTheMethod: conditions.every(({ standing }) => standing === "holds"),
    formulas: formulasUsed(lines.map(({ method }) => method)),
  };
}

/**
 * A number outside its limit or within it is only what was measured; where a condition of the method
 * is known to fail it decides nothing, and the finding says which.
 */
export function fFindings(
  evidence: Evidence,
  part: FPart,
  report: FNumberReport | undefined,
): { readonly findings: readonly Finding[]; readonly corrections: readonly Correction[] } {
  if (!report) {
    const remarks = [{ kind: "no-sample-line" }] as const;
    const method = { kind: "f-number-composite" } as const;
    return { findings: [{ method, result: "not-decidable", readings: 0, remarks }], corrections: [] };
  }
  const failing = report.conditions.filter(({ standing }) => standing === "fails");
  const open = report.conditions.filter(({ standing }) => standing === "not-known");
  const remarks = [
    ...failing.map((condition): Remark => ({ kind: "not-to-the-method", condition })),
    ...open.map((condition): Remark => ({ kind: "condition-not-known", condition })),
  ];
  const date = evidence.date;
  const finding = (
    method: Finding["method"],
    { readings, lines, ...numbers }: FNumberReport["composite"],
    limit: number,
  ): Finding => {
    const where = worstOfLines(
      evidence,
      part,
      report.lines.filter(({ line }) => lines.includes(line.id)),
    );
    const worst = { ...measure(numbers[part.number], limit), ...(where && { where }) };
    return {
      method,
      ...(date !== undefined && { date }),
      readings,
      result:
        failing.length > 0 ? "not-decidable" : isWithin(numbers[part.number].number, limit) ? "within" : "outside",
      worst,
      remarks: [...remarks, ...noiseRemarks(report, part, worst)],
    };
  };
  const { composite, sections } = report;
  const findings = [
    finding({ kind: "f-number-composite" }, composite, part.overall),
    ...sections.map((section) =>
      finding({ kind: "f-number-section", section: section.section }, section, part.section),
    ),
  ];
  const low = sections.filter((section) => !isWithin(section[part.number].number, part.section));
  const overallLow = !isWithin(composite[part.number].number, part.overall);
  const concerned = report.lines.filter(
    ({ line }) => overallLow || low.some((section) => section.section === line.section),
  );
  return { findings, corrections: part.number === "flatness" ? concerned.flatMap(sharpestPlaces) : [] };
}

/** Where the lines bend most, or differ most over ten steps; undefined where nobody recorded where they lie. */
function worstOfLines(evidence: Evidence, part: FPart, lines: readonly LineReport[]): FoundPlace | undefined {
  const [values, before, reach] =
    part.number === "flatness" ? (["curvatures", 1, 2] as const) : (["differences", 5, 10] as const);
  const worst = lines
    .flatMap((report) =>
      report[values].map((value, k) => ({ line: report.line, k, size: Math.abs(value * report.method.mmPerUnit) })),
    )
    .reduce((most, one) => (one.size > most.size ? one : most));
  const { line, k } = worst;
  const at = onLine(line, (k + before) * line.spacing);
  if (!at) return undefined;
  const ends = [onLine(line, k * line.spacing)!, onLine(line, (k + reach) * line.spacing)!] as const;
  return findPlace(evidence.job, evidence.plan, at, { name: line.id, ends });
}

const isWithin = (number: FNumber, limit: number): boolean => number.kind === "unbounded" || number.value >= limit;

/**
 * Noise only makes a number worse. So one within its limit survives where it holds less its
 * uncertainty, one outside where even the number with the noise taken out, and the uncertainty added, stays outside.
 */
function measure({ number, sd, lessNoise }: CombinedNumber, limit: number): Measured {
  if (number.kind === "unbounded") return { quantity: "f-number", limit, survives: "survives" };
  const margin = number.value - limit;
  return {
    quantity: "f-number",
    value: number.value,
    limit,
    margin,
    ...(sd !== undefined && { sd }),
    survives: survival(margin, sd, lessNoise, limit),
  };
}

function survival(margin: number, sd: number | undefined, lessNoise: FNumber | undefined, limit: number): Survival {
  if (sd === undefined || lessNoise === undefined) return "uncertainty-not-known";
  if (margin >= 0) return margin > COVERAGE * sd ? "survives" : "does-not-survive";
  const atBest = lessNoise.kind === "unbounded" ? Number.POSITIVE_INFINITY : lessNoise.value + COVERAGE * sd;
  return atBest < limit ? "survives" : "does-not-survive";
}

function noiseRemarks(report: FNumberReport, part: FPart, worst: Measured): Remark[] {
  const ceilings = report.lines.map((line) => line[part.number].noiseAlone).filter((one) => one !== undefined);
  const least = Math.min(...ceilings);
  return worst.margin !== undefined && worst.margin < 0 && ceilings.length > 0 && least < 2 * part.overall
    ? [{ kind: "noise-keeps-number-low" }]
    : [];
}

/**
 * Where a line is bent most: a hump is ground, a dip filled, by half its curvature, which makes three
 * readings straight. A hump bends its neighbours the other way; they are not listed beside it.
 */
function sharpestPlaces({ line, curvatures, method }: LineReport): Correction[] {
  const sharpest: number[] = [];
  const bySize = curvatures.map((_, k) => k).sort((a, b) => Math.abs(curvatures[b]!) - Math.abs(curvatures[a]!));
  for (const k of bySize) {
    if (sharpest.length === SHARPEST_OF_LINE || curvatures[k] === 0) break;
    if (!sharpest.some((other) => Math.abs(other - k) <= 1)) sharpest.push(k);
  }
  return sharpest.flatMap((k): Correction[] => {
    const at = onLine(line, (k + 1) * line.spacing);
    const bend = curvatures[k]! * method.mmPerUnit;
    return at ? [{ work: bend < 0 ? "grind" : "fill", at, whole: Math.abs(bend) / 2, name: line.id }] : [];
  });
}

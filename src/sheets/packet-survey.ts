/** The survey in the packet: what was planned to be read from where, and the account of the adjustment. */
import { z } from "zod";
import { type BothUnits, fineHeight, planLength, smallArea, volume } from "../format.ts";
import type { Point } from "../geometry/point.ts";
import type { HeightUnit, Job } from "../job/model.ts";
import type { PlanFit } from "../job/plan-fit.ts";
import type { Plan } from "../layout/model.ts";
import type { AdjustedLevels, ReadingRef, ScanLevels, SurveyPlan } from "../survey/model.ts";
import { volumeSdFromReading } from "../survey/volume-sd.ts";
import { place, quantity } from "./packet-parts.ts";
import { temperatureMatters } from "./survey/temperature-text.ts";

const reading = z.object({
  setUp: z.string(),
  point: z.string(),
  kind: z.enum(["reading", "zero-check"]),
  /** Index among the readings of the set-up, or among its zero checks; −1 where the zero was set. */
  index: z.int(),
});

export const surveyPlanSchema = z.object({
  positions: z.array(
    z.object({
      id: z.string(),
      room: z.string(),
      at: place,
      reach: z.array(z.object({ point: z.string(), hoseM: quantity })),
      order: z.array(
        z.object({ point: z.string(), hoseM: quantity, why: z.enum(["bench-mark", "own", "tie", "second-time"]) }),
      ),
      zeroChecksAfter: z.array(z.int()),
    }),
  ),
  shared: z.array(z.object({ positions: z.tuple([z.string(), z.string()]), points: z.array(z.string()) })),
  outOfReach: z.array(z.string()),
  leastPositions: z.int(),
  provedFewest: z.boolean(),
});

const fitSchema = z.object({
  turnDegrees: z.number(),
  origin: place,
  greatestResidualM: quantity,
  points: z.array(z.object({ name: z.string(), inFile: place, onPlan: place, residualMm: z.number() })),
});

/** What a scan is and what maps show of it: one point of each square. */
export const scanSchema = z.object({
  file: z.string(),
  rows: z.int(),
  onFloor: z.int(),
  sdMm: quantity,
  pinReachM: quantity,
  pinsRead: z.int(),
  shown: z.int(),
  squareSideM: quantity.nullable(),
  emptyAreaM2: quantity.nullable(),
  farthestOff: z.object({ line: z.int(), at: place, byMm: quantity }).nullable(),
  fit: fitSchema.nullable(),
});

export const surveyReportSchema = z.object({
  datum: z.discriminatedUnion("kind", [
    z.object({ kind: z.literal("bench-marks"), benchMarks: z.array(z.string()) }),
    z.object({ kind: z.literal("first-set-up"), setUp: z.string() }),
    z.object({ kind: z.literal("scan"), file: z.string() }),
  ]),
  alpha: z.number(),
  power: z.number(),
  /** Null where too few readings check each other for any to be called suspect. */
  critical: z.number().nullable(),
  halfWidth95: z.number(),
  global: z.discriminatedUnion("kind", [
    z.object({ kind: z.literal("no-redundancy") }),
    z.object({
      kind: z.literal("tested"),
      redundancy: z.number(),
      sumOfSquares: z.number(),
      lower: z.number(),
      upper: z.number(),
      sigmaZero: z.number(),
      verdict: z.enum(["as-expected", "worse-than-stated", "better-than-stated"]),
    }),
  ]),
  setUps: z.array(
    z.object({
      id: z.string(),
      readingsUsed: z.int(),
      readingsStruck: z.int(),
      zeroCorrectionMm: quantity,
      zeroSdMm: quantity,
      /** How the coordinates of its file were brought onto the plan; null where that was not needed. */
      fit: fitSchema.nullable(),
      drift: z.object({ wholeMm: quantity, wholeSdMm: quantity, significant: z.boolean() }).nullable(),
    }),
  ),
  benchMarks: z.array(
    z.object({
      id: z.string(),
      givenMm: quantity,
      held: z.boolean(),
      levelMm: quantity,
      normalizedResidual: z.number().nullable(),
      suspect: z.boolean(),
    }),
  ),
  closures: z.array(
    z.object({
      kind: z.enum(["set-up", "loop", "bench-marks"]),
      setUps: z.array(z.string()),
      errorMm: quantity,
      sdMm: quantity,
      permittedMm: quantity.nullable(),
      verdict: z.enum(["within", "beyond", "not-judged"]),
    }),
  ),
  ties: z.array(
    z.object({
      setUps: z.tuple([z.string(), z.string()]),
      points: z.array(z.string()),
      greatestSpreadMm: quantity,
      strength: z.enum(["not-checked", "felt-not-found", "found"]),
    }),
  ),
  readings: z.array(
    z.discriminatedUnion("kind", [
      z.object({
        kind: z.literal("used"),
        of: reading,
        levelMm: quantity,
        residualMm: quantity,
        redundancy: z.number(),
        /** Absent where nothing checks the reading. */
        normalizedResidual: z.number().nullable(),
        suspect: z.boolean(),
        leastDetectableMm: quantity.nullable(),
      }),
      z.object({ kind: z.literal("struck"), of: reading, reason: z.string() }),
      z.object({ kind: z.literal("left-out"), of: reading }),
    ]),
  ),
  readAgain: z.array(
    z.object({
      point: z.string(),
      readings: z.array(reading),
      which: z.enum(["only-one", "one-by-the-slab", "any-of-them", "whole-row"]),
      found: z.enum(["by-other-readings", "by-the-slab-around", "by-the-shift-of-a-row"]),
      statistic: z.number(),
      critical: z.number(),
      asReadMm: quantity,
      likelyMm: quantity,
      likelySdMm: quantity,
      typicalSlip: z.string().nullable(),
      effectL: quantity.nullable(),
      effectBags: z.number().nullable(),
    }),
  ),
  temperatures: z.array(
    z.object({ setUp: z.string(), perMetreOfLegMm: quantity, boundMm: quantity, matters: z.boolean() }),
  ),
  /** From reading and datum alone, 95 %. */
  volumePlusMinusL: quantity,
});

type Quantity = z.infer<typeof quantity>;

const of = (value: number, { large, small }: BothUnits): Quantity => ({ value, printed: [large.text, small.text] });
const fine = (unit: HeightUnit) => (value: number) => of(value, fineHeight(value, unit));

const readingOf = ({ setUpId, pointId, kind, index }: ReadingRef): z.infer<typeof reading> => ({
  setUp: setUpId,
  point: pointId,
  kind,
  index,
});

export function surveyPlanOf({ units }: Job, { floors }: Plan, plan: SurveyPlan): z.infer<typeof surveyPlanSchema> {
  const hoseM = (value: number) => of(value, planLength(value, units.plan));
  const { positions } = plan;
  return {
    positions: positions.map((one) => ({
      id: one.id,
      room: floors[one.roomIndex]?.roomId ?? "",
      at: { eastM: one.at.x, northM: one.at.y },
      reach: one.reach.map(({ pointId, hose }) => ({ point: pointId, hoseM: hoseM(hose) })),
      order: one.order.map(({ pointId, hose, why }) => ({ point: pointId, hoseM: hoseM(hose), why })),
      zeroChecksAfter: [...one.zeroChecksAfter],
    })),
    shared: plan.neighbours.map(({ positions: [a, b], pointIds }) => ({
      positions: [positions[a]!.id, positions[b]!.id],
      points: [...pointIds],
    })),
    outOfReach: [...plan.outOfReach],
    leastPositions: plan.leastPositions,
    provedFewest: plan.provedFewest,
  };
}

export function scanOf({ units }: Job, scan: ScanLevels): z.infer<typeof scanSchema> {
  const mm = fine(units.height);
  const inPlan = (value: number) => of(value, planLength(value, units.plan));
  const { squareSide, emptyArea, farthestOff, fit } = scan;
  return {
    file: scan.file,
    rows: scan.rows,
    onFloor: scan.xM.length,
    sdMm: mm(scan.sd),
    pinReachM: inPlan(scan.pinReach),
    pinsRead: scan.pinsRead,
    shown: scan.shown.length,
    squareSideM: squareSide === undefined ? null : inPlan(squareSide),
    emptyAreaM2: emptyArea === undefined ? null : of(emptyArea, smallArea(emptyArea, units.plan)),
    farthestOff:
      farthestOff === undefined
        ? null
        : { line: farthestOff.line, at: placeOf(farthestOff.at), byMm: mm(farthestOff.by) },
    fit: fit === undefined ? null : fitOf(fit, inPlan),
  };
}

function fitOfSetUp({ survey, units }: Job, setUpId: string): z.infer<typeof fitSchema> | null {
  const fit = survey.setUps.find(({ id }) => id === setUpId)?.fit;
  return fit === undefined ? null : fitOf(fit, (value) => of(value, planLength(value, units.plan)));
}

const placeOf = ({ x, y }: Point): z.infer<typeof place> => ({ eastM: x, northM: y });

const fitOf = (fit: PlanFit, inPlan: (value: number) => Quantity): z.infer<typeof fitSchema> => ({
  turnDegrees: (fit.turn * 180) / Math.PI,
  origin: placeOf(fit.origin),
  greatestResidualM: inPlan(fit.greatestResidual),
  points: fit.points.map(({ name, inFile, onPlan, residual }) => ({
    name,
    inFile: placeOf(inFile),
    onPlan: placeOf(onPlan),
    residualMm: 1000 * residual,
  })),
});

export function surveyReportOf(job: Job, plan: Plan, levels: AdjustedLevels): z.infer<typeof surveyReportSchema> {
  const { report } = levels;
  const { datum, rules, global } = report;
  const mm = fine(job.units.height);
  const litres = (value: number) => of(value, volume(value, job.units.plan));
  return {
    datum:
      datum.kind === "bench-marks"
        ? { kind: "bench-marks", benchMarks: [...datum.benchMarkIds] }
        : datum.kind === "scan"
          ? { kind: "scan", file: datum.file }
          : { kind: "first-set-up", setUp: datum.setUpId },
    alpha: rules.alpha,
    power: rules.power,
    critical: Number.isFinite(report.critical) ? report.critical : null,
    halfWidth95: report.halfWidth95,
    global,
    setUps: report.setUps.map((one) => ({
      id: one.setUpId,
      readingsUsed: one.readingsUsed,
      readingsStruck: one.readingsStruck,
      zeroCorrectionMm: mm(one.zeroCorrection),
      zeroSdMm: mm(one.zeroSd),
      fit: fitOfSetUp(job, one.setUpId),
      drift: one.drift
        ? { wholeMm: mm(one.drift.whole), wholeSdMm: mm(one.drift.wholeSd), significant: one.drift.significant }
        : null,
    })),
    benchMarks: report.benchMarks.map((mark) => ({
      id: mark.benchMarkId,
      givenMm: mm(mark.given),
      held: mark.held,
      levelMm: mm(mark.level),
      normalizedResidual: mark.normalizedResidual ?? null,
      suspect: mark.suspect,
    })),
    closures: report.closures.map((one) => ({
      kind: one.kind,
      setUps: [...one.setUpIds],
      errorMm: mm(one.error),
      sdMm: mm(one.sd),
      permittedMm: one.allowed === undefined ? null : mm(one.allowed),
      verdict: one.verdict,
    })),
    ties: report.ties.map((tie) => ({
      setUps: [...tie.setUpIds],
      points: [...tie.pointIds],
      greatestSpreadMm: mm(tie.greatestSpread),
      strength: tie.strength,
    })),
    readings: report.readings.map((one) => {
      if (one.kind === "struck") return { kind: one.kind, of: readingOf(one.ref), reason: one.reason };
      if (one.kind === "left-out") return { kind: one.kind, of: readingOf(one.ref) };
      const checked = one.check.kind === "checked" ? one.check : undefined;
      return {
        kind: one.kind,
        of: readingOf(one.ref),
        levelMm: mm(one.level),
        residualMm: mm(one.residual),
        redundancy: one.redundancy,
        normalizedResidual: checked?.normalizedResidual ?? null,
        suspect: checked?.suspect ?? false,
        leastDetectableMm: checked ? mm(checked.leastDetectable) : null,
      };
    }),
    readAgain: report.readAgain.map((one) => ({
      point: one.pointId,
      readings: one.readings.map(readingOf),
      which: one.which,
      found: one.found,
      statistic: one.statistic,
      critical: one.critical,
      asReadMm: mm(one.asRead),
      likelyMm: mm(one.likely),
      likelySdMm: mm(one.likelySd),
      typicalSlip: one.typicalSlip?.kind ?? null,
      effectL: one.effect === undefined ? null : litres(one.effect),
      effectBags: one.effectBags ?? null,
    })),
    temperatures: report.temperatures.map((one) => ({
      setUp: one.setUpId,
      perMetreOfLegMm: mm(one.perMetreOfLeg),
      boundMm: mm(one.bound),
      matters: temperatureMatters(one, job),
    })),
    volumePlusMinusL: litres(report.halfWidth95 * volumeSdFromReading(plan, levels)),
  };
}

/**
 * What the account of the survey says of chances, a second time: critical values by integrating the distribution, tests
 * and least detectable slips from residuals and redundancies, readings counted.
 */
import { agrees, type Disagree, type Evidence } from "./evidence.ts";

type Report = Extract<Evidence["packet"]["levels"], { kind: "ready" }>["result"]["report"];

/** What the report tests by where the job states nothing: one reading in a thousand, a slip found four times of five. */
const STATED = { alpha: 0.001, power: 0.8 } as const;
/** Shares and statistics: far above the rounding of sums over thousands of readings, far below what is printed. */
const SHARE = 1e-7;
/** A reading with less is as good as not checked by any other. */
const UNCHECKED = 1e-6;

export function checkStatistics({ findings, packet }: Evidence, disagree: Disagree): void {
  if (packet.levels.kind !== "ready") return;
  const { report } = packet.levels.result;
  const { adjustment } = findings.job.survey;
  const same = (what: string, mine: number | null, theirs: number | null, within = SHARE): void => {
    if (
      mine === null || theirs === null ? mine !== theirs : !agrees(mine, theirs, within * Math.max(1, Math.abs(mine)))
    )
      disagree("statistics-differ", `${what} is ${mine} by another way, ${theirs} in the packet`);
  };
  const power = adjustment?.power ?? STATED.power;
  same("the chance of calling a good reading suspect", adjustment?.alpha ?? STATED.alpha, report.alpha);
  same("the chance of finding a slip", power, report.power);
  checkCounts(report, same);
  const { global } = report;
  const isTested = global.kind === "tested";
  if (isTested) same("σ₀", Math.sqrt(global.sumOfSquares / global.redundancy), global.sigmaZero);
  if (isTested) {
    const { sumOfSquares, lower, upper, verdict } = global;
    const judged =
      sumOfSquares > upper ? "worse-than-stated" : sumOfSquares < lower ? "better-than-stated" : "as-expected";
    if (verdict !== judged) disagree("statistics-differ", `the global test is called ${verdict}, it is ${judged}`);
  }
  const isEstimated = adjustment?.sigma === "residuals" && isTested;
  const freedom = isEstimated ? global.redundancy : Number.POSITIVE_INFINITY;
  if (report.critical !== null)
    same("the chance beyond the critical value", report.alpha, chanceBeyond(report.critical, freedom - 1));
  same("the chance beyond the bounds of 95 %", 0.05, chanceBeyond(report.halfWidth95, freedom));
  // Readings after work on the floor are adjusted on their own, onto what was found before it.
  const before = findings.job.survey.setUps.filter(({ afterWork }) => afterWork === undefined);
  const sdOf = new Map(before.map(({ id, instrument }) => [id, instrument.readingSd]));
  let checked = 0;
  let shiftOfOne: number | undefined;
  for (const one of report.readings) {
    const sd = sdOf.get(one.of.setUp);
    if (one.kind !== "used" || sd === undefined) continue;
    const { redundancy, normalizedResidual, suspect, leastDetectableMm } = one;
    const what = `of ${one.of.point} in set-up ${one.of.setUp}`;
    if (!(redundancy >= -SHARE && redundancy <= 1 + SHARE)) disagree("statistics-differ", `${redundancy} ${what}`);
    checked += redundancy;
    if (redundancy < UNCHECKED || normalizedResidual === null || leastDetectableMm === null) continue;
    const byStated = one.residualMm.value / (sd * Math.sqrt(redundancy));
    const rest = isEstimated ? (global.sumOfSquares - byStated ** 2) / (global.redundancy - 1) : 1;
    // Where nothing is left the quotient is as good as any.
    if (rest > 1e-9) same(`the normalized residual ${what}`, byStated / Math.sqrt(rest), normalizedResidual, 1e-6);
    if (suspect !== Math.abs(normalizedResidual) > (report.critical ?? Number.POSITIVE_INFINITY))
      disagree("statistics-differ", `the reading ${what} is ${suspect ? "" : "not "}called suspect`);
    const scale = isEstimated ? global.sigmaZero : 1;
    if (scale <= 1e-9) continue;
    const shift = (leastDetectableMm.value * Math.sqrt(redundancy)) / (sd * scale);
    // One such slip is found with the stated power; of all others the shift is the same.
    if (shiftOfOne === undefined) {
      shiftOfOne = shift;
      const missed = chanceBeyond(shift - (report.critical ?? Number.NaN), Number.POSITIVE_INFINITY) / 2;
      same(`the chance of missing the least slip ${what}`, 1 - power, missed, 1e-6);
    } else same(`the shift of the least slip ${what}`, shiftOfOne, shift, 1e-6);
  }
  // Bench marks of a stated deviation are observations too.
  if (isTested && report.benchMarks.length === 0) same("the redundancies' sum", global.redundancy, checked, 1e-6);
}

/** Readings as they are listed, by set-up. */
function checkCounts(report: Report, same: (what: string, mine: number, theirs: number) => void): void {
  for (const { id, readingsUsed, readingsStruck } of report.setUps) {
    const count = (kind: string): number =>
      report.readings.filter((one) => one.of.setUp === id && one.of.kind === "reading" && one.kind === kind).length;
    same(`the number of readings used of set-up ${id}`, count("used"), readingsUsed);
    same(`the number of readings struck of set-up ${id}`, count("struck"), readingsStruck);
  }
}

/** Steps of Simpson's rule, an even number: its error is then far below any share that is told. */
const STEPS = 2000;

function simpson(of: (at: number) => number, from: number, to: number): number {
  const width = (to - from) / STEPS;
  let sum = of(from) + of(to);
  for (let k = 1; k < STEPS; k++) sum += (k % 2 === 1 ? 4 : 2) * of(from + k * width);
  return (sum * width) / 3;
}

/**
 * Share of Student's distribution beyond ±x; of the normal one where the degrees of freedom have no end. With
 * t = √ν·tan θ the density is cos^(ν − 1) θ, which needs no gamma function to be made a share of its own whole.
 */
export function chanceBeyond(x: number, freedom: number): number {
  if (!Number.isFinite(freedom)) return 1 - (2 / Math.sqrt(2 * Math.PI)) * simpson((t) => Math.exp(-(t * t) / 2), 0, x);
  const density = (angle: number): number => Math.cos(angle) ** (freedom - 1);
  return 1 - simpson(density, 0, Math.atan(x / Math.sqrt(freedom))) / simpson(density, 0, Math.PI / 2);
}

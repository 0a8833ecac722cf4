/**
 * Places that were ground or patched and read again. Their new levels are tied to the first survey by
 * points that were not worked on; nothing else moves.
 */
import { type Diagnostic, type Outcome, ready, refused } from "../diagnostics.ts";
import type { AdjustmentRules, BenchMark, SetUp } from "../job/model.ts";
import type { Plan } from "../layout/model.ts";
import { type Litres, millimetres } from "../units.ts";
import { chooseDatum } from "./datum.ts";
import type { LevelCovariance, PointLevel, ReadAgain, ReadingResult, SetUpResult } from "./model.ts";
import { solveNetwork } from "./network.ts";
import { gatherObservations, type Observations } from "./observations.ts";
import { readAgainList } from "./read-again.ts";
import { readingResults, setUpResults } from "./results.ts";
import { snoop, type Yardstick, yardstickOf } from "./snooping.ts";

export interface LevelsSoFar {
  readonly points: readonly PointLevel[];
  readonly covariance: LevelCovariance;
}

export interface LevelsAfterWork extends LevelsSoFar {
  readonly setUps: readonly SetUpResult[];
  readonly readings: readonly ReadingResult[];
  /** Readings after work that other readings or the slab around contradict. */
  readonly readAgain: readonly ReadAgain[];
}

/**
 * Set-ups of one kind of work are solved together, in the order of the job. A tie enters with the level
 * and standard deviation that it has; its level stays. Covariances with the first survey, which come in through
 * the ties, are left out: each new standard deviation is right, a sum over old and new ones a little small.
 * `yardstick` is that of the first survey: a few readings more do not estimate σ anew.
 */
export function afterWork(
  before: LevelsSoFar,
  setUps: readonly SetUp[],
  plan: Plan,
  benchMarks: readonly BenchMark[],
  rules: AdjustmentRules,
  yardstick: Yardstick,
  litresPerBag: Litres,
): Outcome<LevelsAfterWork> {
  const works = new Map<string, SetUp[]>();
  for (const setUp of setUps) {
    if (!setUp.afterWork || setUp.readings.length === 0) continue;
    const sameWork = works.get(setUp.afterWork.work);
    if (sameWork) sameWork.push(setUp);
    else works.set(setUp.afterWork.work, [setUp]);
  }
  let levels: LevelsAfterWork = { ...before, setUps: [], readings: [], readAgain: [] };
  const problems: Diagnostic[] = [];
  const warnings: Diagnostic[] = [];
  for (const [work, sameWork] of works) {
    const known = new Map(levels.points.map((level) => [level.id, level]));
    const ties = new Set(sameWork.flatMap((setUp) => setUp.afterWork?.ties ?? []));
    const missing = [...ties].filter((id) => !known.has(id));
    const gathered = gatherObservations(sameWork, plan.points, benchMarks, rules, (place) => {
      const tie = ties.has(place.id) ? known.get(place.id) : undefined;
      if (tie)
        return tie.sd > 0
          ? { kind: "weighted", levelMm: tie.level, sdMm: tie.sd }
          : { kind: "held", levelMm: tie.level };
      if (!place.benchMark) return { kind: "free" };
      const { level, sd } = place.benchMark;
      return sd !== undefined && sd > 0
        ? { kind: "weighted", levelMm: level, sdMm: sd }
        : { kind: "held", levelMm: level };
    });
    const choice = chooseDatum(gathered);
    if (!choice) continue;
    const place = gathered.refs[0]?.place;
    if (missing.length > 0) {
      problems.push({
        code: "tie-not-surveyed",
        severity: "error",
        message: `the readings after ${work} are tied by ${missing.join(", ")}, of which the survey before has no level`,
        expected: "ties that were read in the survey before and not worked on since",
        ...(place && { place }),
      });
      continue;
    }
    if (choice.datum.kind === "first-set-up") {
      problems.push({
        code: "set-up-tied-to-nothing",
        severity: "error",
        message: `the readings after ${work} are tied to nothing: set-up ${choice.datum.setUpId} read none of its ties and no bench mark`,
        expected: "three points that were not worked on, read again, and named as ties",
        ...(place && { place }),
      });
      continue;
    }
    if (choice.problems.length > 0) {
      problems.push(...choice.problems);
      continue;
    }
    warnings.push(...gathered.warnings);
    levels = merged(levels, work, gathered, ties, plan, rules, yardstick, litresPerBag);
  }
  return problems.length > 0 ? refused(problems) : ready(levels, warnings);
}

function merged(
  before: LevelsAfterWork,
  work: string,
  observations: Observations,
  ties: ReadonlySet<string>,
  plan: Plan,
  rules: AdjustmentRules,
  yardstick: Yardstick,
  litresPerBag: Litres,
): LevelsAfterWork {
  const { network, places } = observations;
  const solution = solveNetwork(network);
  // Too few to estimate σ: they are tested against what the instrument is stated to read.
  const byInstrument: AdjustmentRules = { ...rules, sigma: "instrument" };
  const snooping = snoop(network, solution, byInstrument);
  const searched = readAgainList({ observations, solution, snooping, plan, rules: byInstrument, litresPerBag });
  const variance = yardstick.scale ** 2;
  const renewed = new Map<string, { level: PointLevel; p: number }>();
  places.forEach(({ id, planPoint }, p) => {
    let timesRead = 0;
    for (let i = 0; i < network.used.length; i++) if (network.pointOf[i] === p && network.used[i] === 1) timesRead++;
    if (!planPoint || ties.has(id) || timesRead === 0) return;
    renewed.set(id, {
      p,
      level: {
        id,
        at: planPoint.at,
        roomIndex: planPoint.roomIndex,
        level: millimetres(solution.levelMm[p]!),
        sd: millimetres(Math.sqrt(solution.levelVarianceMm2[p]! * variance)),
        timesRead,
        afterWork: work,
      },
    });
  });
  const old = new Map(before.points.map((level, k) => [level.id, { level, k }]));
  const ids = plan.points.map((planPoint) => planPoint.id).filter((id) => old.has(id) || renewed.has(id));
  const oldColumns = before.covariance.columns;
  const columns = oldColumns + solution.columns;
  const ownMm2 = new Float64Array(ids.length);
  const common = new Float64Array(ids.length * columns);
  const points = ids.map((id, row) => {
    const fresh = renewed.get(id);
    if (fresh) {
      ownMm2[row] = solution.ownVarianceMm2[fresh.p]! * variance;
      const from = fresh.p * solution.columns;
      common.set(solution.loading.subarray(from, from + solution.columns), row * columns + oldColumns);
      return fresh.level;
    }
    const { level, k } = old.get(id)!;
    ownMm2[row] = before.covariance.ownMm2[k]!;
    common.set(before.covariance.common.subarray(k * oldColumns, (k + 1) * oldColumns), row * columns);
    return level;
  });
  const setUpsMm2 = new Float64Array(columns * columns);
  for (let r = 0; r < oldColumns; r++)
    for (let c = 0; c < oldColumns; c++) setUpsMm2[r * columns + c] = before.covariance.setUpsMm2[r * oldColumns + c]!;
  for (let r = 0; r < solution.columns; r++) {
    for (let c = 0; c < solution.columns; c++)
      setUpsMm2[(oldColumns + r) * columns + oldColumns + c] = solution.cofactor[r * solution.columns + c]! * variance;
  }
  return {
    points,
    covariance: { ownMm2, common, setUpsMm2, columns },
    setUps: [...before.setUps, ...setUpResults(observations, solution, yardstick)],
    readings: [
      ...before.readings,
      ...readingResults(observations, solution, yardstickOf(solution, byInstrument), byInstrument),
    ],
    readAgain: [...before.readAgain, ...searched.list],
  };
}

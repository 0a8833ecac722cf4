/**
 * Readings in, one level a point out, with the whole account of how good it is. Every level is
 * above the job's zero.
 */
import { type Diagnostic, notYet, type Outcome, placedAt, ready, refused } from "../diagnostics.ts";
import type { AdjustmentRules, BenchMark, Job, SetUp, SurveySpec } from "../job/model.ts";
import type { Plan } from "../layout/model.ts";
import { type Litres, millimetres, share } from "../units.ts";
import { afterWork } from "./after-work.ts";
import { closuresOf, tiesOf } from "./closures.ts";
import { chooseDatum } from "./datum.ts";
import type { AdjustedLevels, LevelCovariance, PointLevel } from "./model.ts";
import { type NetworkSolution, solveNetwork } from "./network.ts";
import { gatherObservations, type Observations } from "./observations.ts";
import { readAgainList } from "./read-again.ts";
import { benchMarkResults, globalTest, readingResults, setUpResults } from "./results.ts";
import { scanLevels } from "./scan-levels.ts";
import { LEAST_REDUNDANCY, snoop, type Yardstick, yardstickOf } from "./snooping.ts";
import { temperatureBounds } from "./temperature.ts";

/**
 * What holds where the office states no rules. α = 0.001 and a power of 0.8: Baarda 1968, as usual in
 * surveying networks. The instrument's own standard deviation is taken until the office asks for the
 * survey's.
 */
export const USUAL_RULES: AdjustmentRules = {
  alpha: share(0.001),
  power: share(0.8),
  sigma: "instrument",
  drift: "linear",
};

/**
 * The level of every point that was read, in the order of the plan, with its standard deviation (mm).
 * Not ready until there is a reading; refused where a set-up is tied to nothing.
 */
export function adjustLevels(job: Job, plan: Plan): Outcome<AdjustedLevels> {
  const { scan, adjustment } = job.survey;
  if (scan !== undefined)
    return placedAt(scanLevels(scan, plan, adjustment ?? USUAL_RULES), job.source.place(["survey", "scan"]));
  return adjustSurvey(job.survey, job.benchMarks, plan, job.material.yieldPerBag, `${job.title} is not surveyed yet`);
}

/** The same for any survey of the plan's points, such as that of the finished floor. `unread` says what it is when nothing was read. */
export function adjustSurvey(
  survey: SurveySpec,
  benchMarks: readonly BenchMark[],
  plan: Plan,
  litresPerBag: Litres,
  unread: string,
): Outcome<AdjustedLevels> {
  const rules = survey.adjustment ?? USUAL_RULES;
  const faultless = survey.setUps.filter(({ instrument }) => !(instrument.readingSd > 0));
  if (faultless.length > 0) return refused(faultless.map(withoutError));
  const first = survey.setUps.filter((setUp) => setUp.afterWork === undefined);
  const gathered = gatherObservations(first, plan.points, benchMarks, rules, ({ benchMark }) =>
    !benchMark
      ? { kind: "free" }
      : benchMark.sd !== undefined && benchMark.sd > 0
        ? { kind: "weighted", levelMm: benchMark.level, sdMm: benchMark.sd }
        : { kind: "held", levelMm: benchMark.level },
  );
  const choice = chooseDatum(gathered);
  if (!choice) {
    const typed = survey.setUps.some((setUp) => setUp.readings.length > 0);
    return notYet(`${unread}: ${typed ? "no reading of a point of the plan counts" : "the job file has no readings"}`);
  }
  if (choice.problems.length > 0) return refused(choice.problems);

  const observations: Observations = { ...gathered, network: { ...gathered.network, zeroHeld: choice.zeroHeld } };
  const { network } = observations;
  const solution = solveNetwork(network);
  const yardstick = yardstickOf(solution, rules);
  const snooping = snoop(network, solution, rules);
  const searched = readAgainList({ observations, solution, snooping, plan, rules, litresPerBag });
  const inFirst = levelsOf(observations, solution, yardstick, plan);
  const later = afterWork(inFirst, survey.setUps, plan, benchMarks, rules, yardstick, litresPerBag);
  if (later.kind !== "ready") return later;

  const { points, covariance } = later.value;
  // Zero marks read again check the zero, not a point.
  const unchecked = !observations.refs.some(
    ({ kind }, i) => kind === "reading" && network.used[i] === 1 && solution.redundancy[i]! >= LEAST_REDUNDANCY,
  );
  const ties = tiesOf(observations, solution);
  return ready(
    {
      points,
      unchecked,
      covariance,
      report: {
        rules,
        datum: choice.datum,
        setUps: [...setUpResults(observations, solution, yardstick), ...later.value.setUps],
        benchMarks: benchMarkResults(observations, solution, yardstick),
        readings: [...readingResults(observations, solution, yardstick, rules), ...later.value.readings],
        global: globalTest(solution),
        critical: yardstick.critical,
        halfWidth95: yardstick.halfWidth95,
        closures: closuresOf(observations, solution, rules.closing),
        ties,
        readAgain: [...searched.list, ...later.value.readAgain].sort(
          (a, b) => b.statistic / b.critical - a.statistic / a.critical,
        ),
        searchCutShort: snooping.cutShort,
        temperatures: temperatureBounds(survey.setUps),
        ...(searched.slabSpreadMm !== undefined && { slabSpread: millimetres(searched.slabSpreadMm) }),
      },
    },
    [...observations.warnings, ...unknownPoints(observations), ...weakSetUps(observations), ...later.warnings],
  );
}

/** Levels of the plan's points, with what is needed for the standard deviation of any sum of them. */
function levelsOf(
  { network, places }: Observations,
  solution: NetworkSolution,
  { scale }: Yardstick,
  plan: Plan,
): { points: PointLevel[]; covariance: LevelCovariance } {
  const timesRead = new Int32Array(places.length);
  for (let i = 0; i < network.used.length; i++)
    if (network.used[i] === 1) timesRead[network.pointOf[i]!] = timesRead[network.pointOf[i]!]! + 1;
  const placeOf = new Map(places.map((place, p) => [place.id, p]));
  const points: PointLevel[] = [];
  const chosen: number[] = [];
  for (const planPoint of plan.points) {
    const p = placeOf.get(planPoint.id);
    if (p === undefined || timesRead[p] === 0) continue;
    chosen.push(p);
    points.push({
      id: planPoint.id,
      at: planPoint.at,
      roomIndex: planPoint.roomIndex,
      level: millimetres(solution.levelMm[p]!),
      sd: millimetres(Math.sqrt(solution.levelVarianceMm2[p]!) * scale),
      timesRead: timesRead[p]!,
    });
  }
  const { columns } = solution;
  const common = new Float64Array(points.length * columns);
  chosen.forEach((p, k) => {
    common.set(solution.loading.subarray(p * columns, (p + 1) * columns), k * columns);
  });
  return {
    points,
    covariance: {
      ownMm2: Float64Array.from(chosen, (p) => solution.ownVarianceMm2[p]! * scale * scale),
      common,
      setUpsMm2: solution.cofactor.map((value) => value * scale * scale),
      columns,
    },
  };
}

const unknownPoints = (observations: Observations): Diagnostic[] =>
  observations.unknown.map((ref) => ({
    code: "reading-of-unknown-point",
    severity: "warning",
    message: `set-up ${ref.setUpId} has a reading of ${ref.pointId}, which is neither a point of the plan nor a bench mark; it is left out`,
    place: ref.place,
  }));

const withoutError = ({ id, instrument, readings }: SetUp): Diagnostic => ({
  code: "instrument-without-error",
  severity: "error",
  message: `the instrument ${instrument.name} of set-up ${id} is said to read without any error`,
  expected: "a standard deviation of one reading above 0",
  hint: "read one point ten times, setting up the handset anew each time, and take the spread",
  ...(readings[0] && { place: readings[0].place }),
});

/** Set-ups whose place in the net rests on fewer readings than show a slip. */
function weakSetUps({ network, setUps, places, refs }: Observations): Diagnostic[] {
  const setUpsAt = places.map((_, p) => new Set<number>(network.given[p]!.kind === "free" ? [] : [-1]));
  for (let i = 0; i < network.used.length; i++)
    if (network.used[i] === 1) setUpsAt[network.pointOf[i]!]!.add(network.setUpOf[i]!);
  const alone = new Set(network.setUpOf.filter((_, i) => network.used[i] === 1)).size < 2;
  if (alone) return [];
  return setUps.flatMap((setUp, s) => {
    const shared = places.filter((_, p) => setUpsAt[p]!.has(s) && setUpsAt[p]!.size > 1).map((place) => place.id);
    if (shared.length === 0 || shared.length > 2) return [];
    const place = refs.find((ref) => ref.setUpId === setUp.id)?.place;
    return [
      {
        code: "set-up-weakly-tied",
        severity: "warning",
        message:
          shared.length === 1
            ? `set-up ${setUp.id} is tied to the others by one point, ${shared[0]}: a slip there goes into all its levels and nothing shows it`
            : `set-up ${setUp.id} is tied to the others by two points, ${shared.join(" and ")}: a slip in one of them is felt but cannot be found`,
        expected: "three shared points, not in one place",
        ...(place && { place }),
      },
    ];
  });
}

/** The solution of the network, told set-up by set-up and reading by reading. */
import type { AdjustmentRules } from "../job/model.ts";
import { chiSquareQuantile } from "../numeric/distributions.ts";
import { millimetres, share } from "../units.ts";
import type { BenchMarkResult, GlobalTest, ReadingCheck, ReadingResult, SetUpResult } from "./model.ts";
import type { Network, NetworkSolution } from "./network.ts";
import type { Observations } from "./observations.ts";
import { LEAST_REDUNDANCY, leastDetectableMm, normalizedResidual, type Yardstick } from "./snooping.ts";

/** Share of good surveys that the global test calls out, half on each side. */
const GLOBAL_ALPHA = 0.05;

/** vᵀPv against chi-square, two-sided: Ghilani & Wolf, Adjustment Computations, ch. 5 and 16. */
export function globalTest({ freedom, sumOfSquares }: NetworkSolution): GlobalTest {
  if (freedom < 1) return { kind: "no-redundancy" };
  const lower = chiSquareQuantile(GLOBAL_ALPHA / 2, freedom);
  const upper = chiSquareQuantile(1 - GLOBAL_ALPHA / 2, freedom);
  return {
    kind: "tested",
    redundancy: freedom,
    sumOfSquares,
    lower,
    upper,
    sigmaZero: Math.sqrt(sumOfSquares / freedom),
    verdict: sumOfSquares > upper ? "worse-than-stated" : sumOfSquares < lower ? "better-than-stated" : "as-expected",
  };
}

export function setUpResults(
  { network, setUps, clocks, refs }: Observations,
  solution: NetworkSolution,
  { scale, critical }: Yardstick,
): SetUpResult[] {
  return setUps.map((setUp, s) => {
    const sdAt = (column: number): number =>
      column < 0 ? 0 : Math.sqrt(solution.cofactor[column * solution.columns + column]!) * scale;
    let used = 0;
    refs.forEach((ref, i) => {
      if (network.setUpOf[i] === s && network.used[i] === 1 && ref.kind === "reading") used++;
    });
    const clock = clocks[s]!;
    const whole = solution.driftMm[s]!;
    const wholeSd = sdAt(solution.driftColumn[s]!);
    return {
      setUpId: setUp.id,
      readingsUsed: used,
      readingsStruck: setUp.readings.filter((reading) => reading.struck).length,
      zeroCorrection: millimetres(solution.zeroMm[s]!),
      zeroSd: millimetres(sdAt(solution.zeroColumn[s]!)),
      ...(clock.kind !== "none" &&
        solution.driftColumn[s]! >= 0 && {
          drift: {
            clock: clock.kind,
            rateMm: whole / clock.whole,
            rateSdMm: wholeSd / clock.whole,
            whole: millimetres(whole),
            wholeSd: millimetres(wholeSd),
            significant: Math.abs(whole) > critical * wholeSd,
          },
        }),
    };
  });
}

export function benchMarkResults(
  { network, places }: Observations,
  solution: NetworkSolution,
  { scale, critical }: Yardstick,
): BenchMarkResult[] {
  return places.flatMap(({ benchMark }, p) => {
    const known = network.given[p]!;
    if (!benchMark || known.kind === "free") return [];
    let timesRead = 0;
    for (let i = 0; i < network.used.length; i++) if (network.pointOf[i] === p && network.used[i] === 1) timesRead++;
    if (timesRead === 0) return [];
    const variance = solution.levelVarianceMm2[p]!;
    const result: BenchMarkResult = {
      benchMarkId: benchMark.id,
      given: millimetres(known.levelMm),
      held: known.kind === "held",
      level: millimetres(solution.levelMm[p]!),
      sd: millimetres(Math.sqrt(variance) * scale),
      timesRead,
      suspect: false,
    };
    if (known.kind === "held") return [result];
    // Its given level is an observation like any other: redundancy 1 − Q/σ², as in `network.ts`.
    const redundancy = 1 - variance / known.sdMm ** 2;
    if (redundancy < LEAST_REDUNDANCY) return [result];
    const residual = solution.levelMm[p]! - known.levelMm;
    const normalizedResidual = residual / (known.sdMm * scale * Math.sqrt(redundancy));
    return [{ ...result, normalizedResidual, suspect: Math.abs(normalizedResidual) > critical }];
  });
}

/** Every reading in the order of the job: used, struck, or left out because nobody knows its point. */
export function readingResults(
  observations: Observations,
  solution: NetworkSolution,
  yardstick: Yardstick,
  rules: AdjustmentRules,
): ReadingResult[] {
  const { network, places, refs, setUps, unknown } = observations;
  const bySetUp = new Map(setUps.map((setUp) => [setUp.id, [] as ReadingResult[]]));
  refs.forEach((ref, i) => {
    const p = network.pointOf[i]!;
    const s = network.setUpOf[i]!;
    const struck = ref.kind === "reading" ? setUps[s]!.readings[ref.index]!.struck : undefined;
    const at = places[p]!.at;
    bySetUp.get(ref.setUpId)!.push(
      struck
        ? { kind: "struck", ref, reason: struck.reason }
        : {
            kind: "used",
            ref,
            ...(at && { at }),
            level: millimetres(solution.levelMm[p]! - solution.residualMm[i]!),
            residual: millimetres(solution.residualMm[i]!),
            redundancy: share(solution.redundancy[i]!),
            check: checkOf(network, solution, yardstick, rules, i),
          },
    );
  });
  for (const ref of unknown) bySetUp.get(ref.setUpId)!.push({ kind: "left-out", ref, why: "unknown-point" });
  // Readings of unknown points go back to where they stand on the sheet; zero checks follow the readings.
  return [...bySetUp.values()].flatMap((results) => {
    const readings = results.filter(({ ref }) => ref.kind === "reading").sort((a, b) => a.ref.index - b.ref.index);
    return [...readings, ...results.filter(({ ref }) => ref.kind === "zero-check")];
  });
}

function checkOf(
  network: Network,
  solution: NetworkSolution,
  yardstick: Yardstick,
  rules: AdjustmentRules,
  i: number,
): ReadingCheck {
  const size = normalizedResidual(network, solution, rules, i);
  if (Number.isNaN(size)) return { kind: "unchecked" };
  return {
    kind: "checked",
    normalizedResidual: size,
    suspect: Math.abs(size) > yardstick.critical,
    leastDetectable: millimetres(leastDetectableMm(network, solution, yardstick, i)),
  };
}

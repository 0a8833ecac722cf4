/**
 * Values seen in groups of two kinds and along one quantity: a weighted regression with a spread from observation to
 * observation besides what is uncertain in each.
 *
 * Model: value i = effect of its group + effect of its team + slope × (x − mean x) + e_i + f_i, with e_i of the
 * observation's own known standard deviation and f_i of one standard deviation τ for all. Effects of teams add up to
 * zero. τ by the method of moments (DerSimonian & Laird, "Meta-analysis in clinical trials", Controlled Clinical
 * Trials 7 (1986), in its form for a regression; from memory).
 */
import { factored } from "./linear-solve.ts";

export interface Observation {
  readonly group: string;
  readonly team: string;
  readonly x: number;
  readonly value: number;
  /** Standard deviation of this value alone. */
  readonly sd: number;
}

export interface Estimate {
  readonly value: number;
  /** Of the estimate itself. */
  readonly sd: number;
  readonly count: number;
}

export interface EffectsFit {
  readonly count: number;
  /** At the mean x, with the mean of the teams. */
  readonly groups: ReadonlyMap<string, Estimate>;
  /** Against the mean of the teams; empty where teams cannot be told from groups. */
  readonly teams: ReadonlyMap<string, Estimate>;
  readonly meanX: number;
  /** Change of the value with one more of x; absent where all x are alike, or it was not asked for. */
  readonly slope?: Estimate;
  /** Standard deviation from one observation to another that none of these explains. */
  readonly spread: number;
  /** For one to come, with the standard deviation of that one's own value; undefined for a group never seen. */
  predict(group: string, team: string, x: number): { readonly value: number; readonly sd: number } | undefined;
}

export interface FitSettings {
  /** Whether x is looked at. */
  readonly withSlope: boolean;
  /** x that differ by no more are alike. */
  readonly leastSpanX: number;
  /** The smallest standard deviation that one value is taken to have. */
  readonly leastSd: number;
}

/** Observations more than unknowns, for a spread that says anything. */
const LEAST_FREEDOM = 3;

/** @returns undefined where there are too few observations for what is asked of them */
export function fitEffects(seen: readonly Observation[], settings: FitSettings): EffectsFit | undefined {
  return fitWith(seen, true, settings) ?? fitWith(seen, false, settings);
}

function fitWith(seen: readonly Observation[], withTeams: boolean, settings: FitSettings): EffectsFit | undefined {
  const groups = [...new Set(seen.map(({ group }) => group))].sort();
  const teams = withTeams ? [...new Set(seen.map(({ team }) => team))].sort() : [];
  const meanX = seen.reduce((sum, { x }) => sum + x, 0) / Math.max(1, seen.length);
  const withSlope = settings.withSlope && seen.some(({ x }) => Math.abs(x - meanX) > settings.leastSpanX);
  // Effects of teams add up to zero: the last one is minus the sum of the others.
  const free = Math.max(0, teams.length - 1);
  const unknowns = groups.length + free + (withSlope ? 1 : 0);
  if (seen.length < unknowns + LEAST_FREEDOM) return undefined;

  const rowOf = (group: string, team: string, x: number): Float64Array => {
    const row = new Float64Array(unknowns);
    const at = groups.indexOf(group);
    if (at >= 0) row[at] = 1;
    const of = teams.indexOf(team);
    if (of >= 0 && of < free) row[groups.length + of] = 1;
    else if (of >= 0) row.fill(-1, groups.length, groups.length + free);
    if (withSlope) row[unknowns - 1] = x - meanX;
    return row;
  };
  const rows = seen.map(({ group, team, x }) => rowOf(group, team, x));
  const values = seen.map(({ value }) => value);
  const variances = seen.map(({ sd }) => Math.max(sd, settings.leastSd) ** 2);
  const weights = variances.map((variance) => 1 / variance);

  const first = solved(rows, values, weights);
  if (first === undefined) return undefined;
  const rest = rows.reduce((sum, row, k) => sum + weights[k]! * (values[k]! - dot(row, first.solution)) ** 2, 0);
  const told = rows.reduce((sum, row, k) => sum + weights[k]! ** 2 * quadratic(row, first.covariance), 0);
  const sum = weights.reduce((total, weight) => total + weight, 0);
  const between = Math.max(0, (rest - (seen.length - unknowns)) / (sum - told));
  const fit = solved(
    rows,
    values,
    variances.map((variance) => 1 / (variance + between)),
  );
  if (fit === undefined) return undefined;

  const estimate = (row: Float64Array, count: number): Estimate => ({
    value: dot(row, fit.solution),
    sd: Math.sqrt(quadratic(row, fit.covariance)),
    count,
  });
  const slopeRow = new Float64Array(unknowns);
  slopeRow[unknowns - 1] = 1;
  return {
    count: seen.length,
    groups: new Map(
      groups.map((group) => [
        group,
        estimate(rowOf(group, "", meanX), seen.filter((one) => one.group === group).length),
      ]),
    ),
    teams: new Map(
      teams.length < 2
        ? []
        : teams.map((team) => [team, estimate(rowOf("", team, meanX), seen.filter((one) => one.team === team).length)]),
    ),
    meanX,
    ...(withSlope ? { slope: estimate(slopeRow, seen.length) } : {}),
    spread: Math.sqrt(between),
    predict(group, team, x) {
      if (!groups.includes(group)) return undefined;
      const row = rowOf(group, team, x);
      return { value: dot(row, fit.solution), sd: Math.sqrt(between + quadratic(row, fit.covariance)) };
    },
  };
}

const dot = (a: Float64Array, b: Float64Array): number => a.reduce((sum, value, k) => sum + value * b[k]!, 0);

function quadratic(row: Float64Array, covariance: readonly Float64Array[]): number {
  return row.reduce((sum, value, k) => sum + value * dot(row, covariance[k]!), 0);
}

/** Weighted least squares by its normal equations; undefined where the unknowns cannot be told apart. */
function solved(rows: readonly Float64Array[], values: readonly number[], weights: readonly number[]) {
  const n = rows[0]?.length ?? 0;
  const matrix = new Float64Array(n * n);
  const solution = new Float64Array(n);
  for (const [k, row] of rows.entries())
    for (let i = 0; i < n; i++) {
      solution[i] = solution[i]! + weights[k]! * row[i]! * values[k]!;
      for (let j = 0; j < n; j++) matrix[i * n + j] = matrix[i * n + j]! + weights[k]! * row[i]! * row[j]!;
    }
  const system = factored(matrix, n);
  if (system === undefined) return undefined;
  system.solve(solution);
  const covariance = Array.from({ length: n }, (_, at) => {
    const column = new Float64Array(n);
    column[at] = 1;
    system.solve(column);
    return column;
  });
  // A matrix that is nearly singular passes the pivots and gives variances that are no variances.
  return covariance.every((column, at) => column[at]! > 0) ? { solution, covariance } : undefined;
}

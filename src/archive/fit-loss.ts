/**
 * What poured jobs say of the loss: a weighted regression on material, crew and mean depth, with a spread between
 * jobs besides what is uncertain in each job's own figure.
 *
 * Model: loss of job i = material + crew + slope × (depth − mean depth) + e_i + f_i, with e_i of the job's own known
 * standard deviation and f_i of one standard deviation τ for all. τ by the method of moments (DerSimonian & Laird,
 * "Meta-analysis in clinical trials", Controlled Clinical Trials 7 (1986), in its form for a regression; from memory).
 */
import { factored } from "../numeric/linear-solve.ts";

export interface LossSeen {
  readonly material: string;
  readonly crew: string;
  readonly meanDepthMm: number;
  /** Share of the volume, and its standard deviation from reading the finished floor. */
  readonly loss: number;
  readonly sd: number;
}

export interface Estimate {
  readonly value: number;
  /** Of the estimate itself. */
  readonly sd: number;
  readonly jobs: number;
}

export interface LossFit {
  readonly jobs: number;
  /** At the mean depth, with the mean of the crews. */
  readonly materials: ReadonlyMap<string, Estimate>;
  /** Against the mean of the crews; empty where crews cannot be told from materials. */
  readonly crews: ReadonlyMap<string, Estimate>;
  readonly meanDepthMm: number;
  /** Change of the loss with a millimetre more of depth; absent where all floors are as deep. */
  readonly slope?: Estimate;
  /** Standard deviation from job to job that none of these explains. */
  readonly spread: number;
  /** For a job to come, with the standard deviation of that job's own loss; undefined for a material never poured. */
  predict(
    material: string,
    crew: string,
    meanDepthMm: number,
  ): { readonly loss: number; readonly sd: number } | undefined;
}

/** Jobs more than unknowns, for a spread that says anything. */
const LEAST_FREEDOM = 3;
/** The smallest standard deviation that a job's own figure is taken to have: a tenth of a per cent of the volume. */
const LEAST_SD = 0.001;

/** @returns undefined where there are too few jobs for what is asked of them */
export function fitLoss(seen: readonly LossSeen[]): LossFit | undefined {
  return fitWith(seen, true) ?? fitWith(seen, false);
}

function fitWith(seen: readonly LossSeen[], withCrews: boolean): LossFit | undefined {
  const materials = [...new Set(seen.map(({ material }) => material))].sort();
  const crews = withCrews ? [...new Set(seen.map(({ crew }) => crew))].sort() : [];
  const meanDepthMm = seen.reduce((sum, { meanDepthMm: depth }) => sum + depth, 0) / Math.max(1, seen.length);
  const withSlope = seen.some(({ meanDepthMm: depth }) => Math.abs(depth - meanDepthMm) > 1);
  // Effects of crews add up to zero: the last one is minus the sum of the others.
  const free = Math.max(0, crews.length - 1);
  const unknowns = materials.length + free + (withSlope ? 1 : 0);
  if (seen.length < unknowns + LEAST_FREEDOM) return undefined;

  const rowOf = (material: string, crew: string, depthMm: number): Float64Array => {
    const row = new Float64Array(unknowns);
    const at = materials.indexOf(material);
    if (at >= 0) row[at] = 1;
    const of = crews.indexOf(crew);
    if (of >= 0 && of < free) row[materials.length + of] = 1;
    else if (of >= 0) row.fill(-1, materials.length, materials.length + free);
    if (withSlope) row[unknowns - 1] = depthMm - meanDepthMm;
    return row;
  };
  const rows = seen.map((job) => rowOf(job.material, job.crew, job.meanDepthMm));
  const values = seen.map(({ loss }) => loss);
  const variances = seen.map(({ sd }) => Math.max(sd, LEAST_SD) ** 2);

  const first = solved(
    rows,
    values,
    variances.map((variance) => 1 / variance),
  );
  if (first === undefined) return undefined;
  const weights = variances.map((variance) => 1 / variance);
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

  const estimate = (row: Float64Array, jobs: number): Estimate => ({
    value: dot(row, fit.solution),
    sd: Math.sqrt(quadratic(row, fit.covariance)),
    jobs,
  });
  const blank = () => new Float64Array(unknowns);
  const crewRow = (crew: string): Float64Array => {
    const row = rowOf("", crew, meanDepthMm);
    return row;
  };
  const slopeRow = blank();
  slopeRow[unknowns - 1] = 1;
  return {
    jobs: seen.length,
    materials: new Map(
      materials.map((material, at) => {
        const row = blank();
        row[at] = 1;
        return [material, estimate(row, seen.filter((job) => job.material === material).length)];
      }),
    ),
    crews: new Map(
      crews.length < 2
        ? []
        : crews.map((crew) => [crew, estimate(crewRow(crew), seen.filter((job) => job.crew === crew).length)]),
    ),
    meanDepthMm,
    ...(withSlope ? { slope: estimate(slopeRow, seen.length) } : {}),
    spread: Math.sqrt(between),
    predict(material, crew, depthMm) {
      if (!materials.includes(material)) return undefined;
      const row = rowOf(material, crew, depthMm);
      return { loss: dot(row, fit.solution), sd: Math.sqrt(between + quadratic(row, fit.covariance)) };
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

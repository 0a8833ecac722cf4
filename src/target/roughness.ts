/**
 * How far the slab may stray between readings, learnt from the readings themselves: each is left out in turn and
 * predicted from the others, by a model in which heights h apart differ by a variance of 2c·h^α, plus a scatter
 * of every reading of its own (a power variogram with a nugget: Cressie, Statistics for Spatial Data, 1993, section
 * 2.3.1), about a plane.
 *
 * Several exponents and shares of scatter are tried; each counts by how well it predicts what was left out, since one
 * floor's readings do not single one out (the pseudo-likelihood of Geisser & Eddy, "A predictive approach to model
 * selection", JASA 74, 1979).
 */
import { factored } from "../numeric/linear-solve.ts";

/** Places in metres, values in mm. */
export interface Places {
  readonly xM: Float64Array;
  readonly yM: Float64Array;
}

export interface RoughnessModel {
  /** Shares of belief; they add up to 1. */
  readonly weight: number;
  /** An index into `EXPONENTS`. */
  readonly exponent: number;
  /** c: half the variance of the difference of heights one `unitM` apart, in mm². */
  readonly scaleMm2: number;
  /** Variance of each reading's own scatter, in mm²: noise of reading and roughness finer than any spacing. */
  readonly scatterMm2: number;
}

export interface Roughness {
  readonly models: readonly RoughnessModel[];
  /** The usual distance between readings: h is counted in it. */
  readonly unitM: number;
  /** Root mean square of (predicted − read), each reading left out in turn, by the model that counts most. */
  readonly leaveOneOutMm: number;
  /** Readings beyond those that fix a plane. */
  readonly freedom: number;
}

/** From jagged to smooth. 2 would be a floor of planes. */
export const EXPONENTS = [0.5, 1, 1.5, 1.75] as const;
/** Scatter as a multiple of c. */
const SCATTERS = [0.03, 0.1, 0.3, 1, 3, 10, 100] as const;
/** Readings in one solve; more are looked at in groups of neighbours. */
const MOST_TOGETHER = 120;
const MOST_GROUPS = 6;
/** A plane has three unknowns, and leaving one out of so few says nothing. */
export const LEAST_READINGS = 6;

/** h^α for each of `EXPONENTS`, from h². */
export function powers(squared: number): readonly [number, number, number, number] {
  const h = Math.sqrt(squared);
  const root = Math.sqrt(h);
  return [root, h, h * root, h * root * Math.sqrt(root)];
}

/** Undefined with fewer than `LEAST_READINGS` readings, or with all on one line. */
export function learnRoughness(places: Places, levelMm: Float64Array, unitM: number): Roughness | undefined {
  const count = levelMm.length;
  if (count < LEAST_READINGS) return undefined;
  const groups = spread(groupsOf(places, MOST_TOGETHER), MOST_GROUPS);
  const tried = EXPONENTS.flatMap((_, exponent) => SCATTERS.map((scatter) => ({ exponent, scatter })));
  const sums = tried.map(() => ({ logVariance: 0, scaled: 0, squares: 0, count: 0 }));
  for (const group of groups) {
    for (const [index, { exponent, scatter }] of tried.entries()) {
      const left = leaveOneOut(places, levelMm, group, unitM, exponent, scatter);
      if (!left) continue;
      const sum = sums[index]!;
      sum.logVariance += left.logVariance;
      sum.scaled += left.scaled;
      sum.squares += left.squares;
      sum.count += group.length;
    }
  }
  // With c taken so that errors are as large as the model says, on the mean, this is the log of the predictive density.
  const scores = sums.map(({ logVariance, scaled, count: n }) =>
    n > 0 && scaled > 0 ? -(n * Math.log(scaled / n) + logVariance) / 2 : Number.NEGATIVE_INFINITY,
  );
  const best = Math.max(...scores);
  const flat = sums.some(({ count: n, scaled }) => n > 0 && scaled === 0);
  if (flat) return { models: [], unitM, leaveOneOutMm: 0, freedom: count - 3 };
  if (best === Number.NEGATIVE_INFINITY) return undefined;
  const beliefs = scores.map((score) => Math.exp(score - best));
  const total = beliefs.reduce((sum, belief) => sum + belief, 0);
  const first = sums[scores.indexOf(best)]!;
  return {
    models: tried.flatMap(({ exponent, scatter }, index): RoughnessModel[] => {
      const { scaled, count: n } = sums[index]!;
      const weight = beliefs[index]! / total;
      const scaleMm2 = scaled / n;
      return weight > 1e-6 ? [{ weight, exponent, scaleMm2, scatterMm2: scatter * scaleMm2 }] : [];
    }),
    unitM,
    leaveOneOutMm: Math.sqrt(first.squares / first.count),
    freedom: count - 3,
  };
}

interface LeftOut {
  /** Σ ln of the predicted variances over c. */
  readonly logVariance: number;
  /** Σ error² over the predicted variances over c. */
  readonly scaled: number;
  /** Σ error². */
  readonly squares: number;
}

/**
 * All predictions of left-out readings from one inverse: with B the upper left block of the inverse of the kriging
 * system, error = (B·levels)ᵢ / Bᵢᵢ and variance = 1/Bᵢᵢ (Dubrule, "Cross validation of kriging in a unique
 * neighborhood", Mathematical Geology 15, 1983). The covariance is −h^α, which is as good as one where only
 * differences count (Cressie 1993, section 3.4.1).
 */
function leaveOneOut(
  { xM, yM }: Places,
  levelMm: Float64Array,
  group: readonly number[],
  unitM: number,
  exponent: number,
  scatter: number,
): LeftOut | undefined {
  const n = group.length;
  const size = n + 3;
  const x0 = xM[group[0]!]!;
  const y0 = yM[group[0]!]!;
  const system = new Float64Array(size * size);
  for (let i = 0; i < n; i++) {
    const xi = (xM[group[i]!]! - x0) / unitM;
    const yi = (yM[group[i]!]! - y0) / unitM;
    for (let j = 0; j < i; j++) {
      const dx = xi - (xM[group[j]!]! - x0) / unitM;
      const dy = yi - (yM[group[j]!]! - y0) / unitM;
      const covariance = -powers(dx * dx + dy * dy)[exponent]!;
      system[i * size + j] = covariance;
      system[j * size + i] = covariance;
    }
    system[i * size + i] = scatter;
    for (const [k, value] of [1, xi, yi].entries()) {
      system[i * size + n + k] = value;
      system[(n + k) * size + i] = value;
    }
  }
  const factors = factored(system, size);
  if (!factors) return undefined;
  const mean = group.reduce((sum, i) => sum + levelMm[i]!, 0) / n;
  const weighted = new Float64Array(size);
  for (let i = 0; i < n; i++) weighted[i] = levelMm[group[i]!]! - mean;
  factors.solve(weighted);
  let [logVariance, scaled, squares] = [0, 0, 0];
  const column = new Float64Array(size);
  for (let i = 0; i < n; i++) {
    column.fill(0);
    column[i] = 1;
    factors.solve(column);
    const variance = 1 / column[i]!;
    if (!(variance > 0)) return undefined;
    const error = weighted[i]! * variance;
    logVariance += Math.log(variance);
    scaled += error ** 2 / variance;
    squares += error ** 2;
  }
  return { logVariance, scaled, squares };
}

/** Groups of neighbours, none of more than so many: strips across the longer side, each cut across. */
export function groupsOf({ xM, yM }: Places, most: number): readonly (readonly number[])[] {
  const all = Array.from(xM, (_, i) => i);
  if (all.length <= most) return [all];
  const [spanX, spanY] = [spanOf(xM), spanOf(yM)];
  const [along, across] = spanX >= spanY ? [xM, yM] : [yM, xM];
  const [length, width] = spanX >= spanY ? [spanX, spanY] : [spanY, spanX];
  const groups = all.length / most;
  // So many strips that groups are about as long as wide.
  const strips = Math.max(
    1,
    Math.min(Math.ceil(groups), Math.round(Math.sqrt((groups * length) / Math.max(width, length / groups)))),
  );
  const by = (values: Float64Array) => (i: number, j: number) => values[i]! - values[j]! || i - j;
  return cut(all.sort(by(along)), Math.ceil(all.length / strips)).flatMap((strip) => cut(strip.sort(by(across)), most));
}

function spanOf(values: Float64Array): number {
  let [least, greatest] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
  for (const value of values) {
    least = Math.min(least, value);
    greatest = Math.max(greatest, value);
  }
  return greatest - least;
}

/** In pieces of nearly one length, none longer than so many. */
function cut(list: readonly number[], most: number): number[][] {
  const pieces = Math.ceil(list.length / most);
  return Array.from({ length: pieces }, (_, k) =>
    list.slice(Math.floor((k * list.length) / pieces), Math.floor(((k + 1) * list.length) / pieces)),
  );
}

/** So many of a list at most, evenly spread over it. */
export function spread<T>(list: readonly T[], most: number): readonly T[] {
  if (list.length <= most) return list;
  return Array.from({ length: most }, (_, k) => list[Math.floor(((k + 0.5) * list.length) / most)]!);
}

/**
 * Distribution functions and quantiles: normal, chi-square, Student's t.
 * Equation numbers are those of Abramowitz & Stegun, Handbook of Mathematical Functions (1964).
 */

/** Lanczos' approximation with g = 7 and nine terms (coefficients of Godfrey, 2001); relative error near 1e-15 for x > 0. */
export function logGamma(x: number): number {
  const coefficients = [
    0.99999999999980993, 676.5203681218851, -1259.1392167224028, 771.32342877765313, -176.61502916214059,
    12.507343278686905, -0.13857109526572012, 9.9843695780195716e-6, 1.5056327351493116e-7,
  ];
  let sum = coefficients[0]!;
  for (let k = 1; k < coefficients.length; k++) sum += coefficients[k]! / (x - 1 + k);
  const t = x + 6.5;
  return 0.5 * Math.log(2 * Math.PI) + (x - 0.5) * Math.log(t) - t + Math.log(sum);
}

/** Lower and upper regularized incomplete gamma functions P(a, x) and Q(a, x); a > 0, x ≥ 0. */
function incompleteGamma(a: number, x: number): { readonly lower: number; readonly upper: number } {
  if (x <= 0) return { lower: 0, upper: 1 };
  const front = Math.exp(a * Math.log(x) - x - logGamma(a));
  if (x < a + 1) {
    // Series 6.5.29.
    let term = 1 / a;
    let sum = term;
    for (let n = 1; n < MOST_TERMS && Math.abs(term) > Math.abs(sum) * Number.EPSILON; n++) {
      term *= x / (a + n);
      sum += term;
    }
    return { lower: front * sum, upper: 1 - front * sum };
  }
  // Continued fraction 6.5.31 in its even form, by Lentz' method.
  let b = x + 1 - a;
  let c = 1 / SMALLEST;
  let d = 1 / b;
  let fraction = d;
  for (let n = 1; n < MOST_TERMS; n++) {
    const an = -n * (n - a);
    b += 2;
    d = 1 / awayFromZero(an * d + b);
    c = awayFromZero(b + an / c);
    fraction *= d * c;
    if (Math.abs(d * c - 1) <= Number.EPSILON) break;
  }
  return { lower: 1 - front * fraction, upper: front * fraction };
}

/** Regularized incomplete beta function I_x(a, b), by the continued fraction 26.5.8 and Lentz' method. */
function incompleteBeta(x: number, a: number, b: number): number {
  if (x <= 0) return 0;
  if (x >= 1) return 1;
  // The fraction converges fast below the mean; above it 26.5.2 turns the matter round.
  if (x > (a + 1) / (a + b + 2)) return 1 - incompleteBeta(1 - x, b, a);
  const front = Math.exp(logGamma(a + b) - logGamma(a) - logGamma(b) + a * Math.log(x) + b * Math.log1p(-x)) / a;
  let c = 1;
  let d = 1 / awayFromZero(1 - ((a + b) * x) / (a + 1));
  let fraction = d;
  for (let m = 1; m < MOST_TERMS; m++) {
    const even = (m * (b - m) * x) / ((a + 2 * m - 1) * (a + 2 * m));
    d = 1 / awayFromZero(1 + even * d);
    c = awayFromZero(1 + even / c);
    fraction *= d * c;
    const odd = (-(a + m) * (a + b + m) * x) / ((a + 2 * m) * (a + 2 * m + 1));
    d = 1 / awayFromZero(1 + odd * d);
    c = awayFromZero(1 + odd / c);
    fraction *= d * c;
    if (Math.abs(d * c - 1) <= Number.EPSILON) break;
  }
  return front * fraction;
}

/** Φ(x), the chance that a standard normal variable is at most x; keeps its relative precision in both tails. */
export function normalCdf(x: number): number {
  // 7.1.22 with 6.5.16: erfc(z) = Q(1/2, z²).
  const upper = incompleteGamma(0.5, (x * x) / 2).upper / 2;
  return x < 0 ? upper : 1 - upper;
}

/** The x with Φ(x) = share; 0 < share < 1. */
export function normalQuantile(share: number): number {
  if (share > 0.5) return -normalQuantile(1 - share);
  return quantile(normalCdf, share, -1, 0);
}

/** The chance that a chi-square variable with `freedom` degrees of freedom is at most x (26.4.19). */
export const chiSquareCdf = (x: number, freedom: number): number => incompleteGamma(freedom / 2, x / 2).lower;

export const chiSquareQuantile = (share: number, freedom: number): number =>
  quantile((x) => chiSquareCdf(x, freedom), share, 0, freedom);

/** The chance that Student's t with `freedom` degrees of freedom is at most t (26.7.1 with 26.5.27). */
export function studentCdf(t: number, freedom: number): number {
  const tail = incompleteBeta(freedom / (freedom + t * t), freedom / 2, 0.5) / 2;
  return t < 0 ? tail : 1 - tail;
}

/** The t with `studentCdf(t, freedom)` = share; 0 < share < 1. */
export function studentQuantile(share: number, freedom: number): number {
  if (share > 0.5) return -studentQuantile(1 - share, freedom);
  return quantile((t) => studentCdf(t, freedom), share, -1, 0);
}

/** Inverse of a growing distribution function by bisection, after widening [low, high] until it holds the share. */
function quantile(cdf: (x: number) => number, share: number, low: number, high: number): number {
  if (!(share > 0 && share < 1)) throw new RangeError(`a quantile needs a share between 0 and 1, not ${share}`);
  let width = high - low;
  while (cdf(low) > share) low -= width *= 2;
  while (cdf(high) < share) high += width *= 2;
  // 200 halvings outlast the 53 bits of any number; the loop ends when no number lies between.
  for (let halving = 0; halving < 200; halving++) {
    const middle = (low + high) / 2;
    if (middle <= low || middle >= high) break;
    if (cdf(middle) < share) low = middle;
    else high = middle;
  }
  return (low + high) / 2;
}

/** Far more than series and fractions need for up to 1e5 degrees of freedom. */
const MOST_TERMS = 100_000;
const SMALLEST = 1e-300;
const awayFromZero = (x: number): number => (Math.abs(x) < SMALLEST ? SMALLEST : x);

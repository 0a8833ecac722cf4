/** Random levelling nets with known truth, and dense normal equations as the referee of the reduced ones. */
import { inverse, Matrix } from "ml-matrix";
import { type RandomSource, randomFrom } from "../../src/numeric/random.ts";
import type { GivenLevel, Network } from "../../src/survey/network.ts";

export interface Simulated {
  readonly network: Network;
  readonly trueLevelMm: readonly number[];
  readonly trueZeroMm: readonly number[];
  readonly trueDriftMm: readonly number[];
}

export interface Shape {
  readonly setUps: number;
  readonly points: number;
  /** Points of the next set-up that this one reads as well. */
  readonly overlap: number;
  readonly drift: boolean;
  readonly given: (p: number) => GivenLevel["kind"];
  readonly sdMm: (i: number) => number;
}

/** A chain of set-ups over a line of points, each reaching over into the next; the last point closes onto the first set-up. */
export function simulate(shape: Shape, seed: number): Simulated {
  const random = randomFrom(seed);
  const trueLevelMm = Array.from({ length: shape.points }, () => 40 * random.normal());
  const trueZeroMm = Array.from({ length: shape.setUps }, () => 100 * random.normal());
  const trueDriftMm = Array.from({ length: shape.setUps }, () => (shape.drift ? 3 * random.normal() : 0));
  const given = trueLevelMm.map((levelMm, p): GivenLevel => {
    const kind = shape.given(p);
    if (kind === "free") return { kind };
    return kind === "held" ? { kind, levelMm } : { kind, levelMm, sdMm: 0.8 };
  });
  const anchored = given.some((known) => known.kind !== "free");
  if (!anchored) trueZeroMm[0] = 0;

  const rows: { p: number; s: number; tau: number }[] = [];
  const each = Math.ceil(shape.points / shape.setUps);
  for (let s = 0; s < shape.setUps; s++) {
    const read: number[] = [];
    for (let k = 0; k < each + shape.overlap; k++) read.push((s * each + k) % shape.points);
    read.forEach((p, k) => {
      rows.push({ p, s, tau: k / read.length });
    });
    // The zero mark: a point of its own, read at the start, in the middle and at the end.
    if (shape.drift) for (const tau of [0, 0.5, 1]) rows.push({ p: shape.points + s, s, tau });
  }
  const marks = shape.drift ? trueZeroMm : [];
  const network: Network = {
    setUpCount: shape.setUps,
    given: [...given, ...marks.map((): GivenLevel => ({ kind: "free" }))],
    zeroHeld: trueZeroMm.map((_, s) => !anchored && s === 0),
    withDrift: trueZeroMm.map(() => shape.drift),
    pointOf: Int32Array.from(rows, (row) => row.p),
    setUpOf: Int32Array.from(rows, (row) => row.s),
    clock: Float64Array.from(rows, (row) => row.tau),
    readMm: new Float64Array(rows.length),
    sdMm: Float64Array.from(rows, (_, i) => shape.sdMm(i)),
    used: new Uint8Array(rows.length).fill(1),
  };
  const simulated = { network, trueLevelMm: [...trueLevelMm, ...marks], trueZeroMm, trueDriftMm };
  readOnce(simulated, random, 1);
  return simulated;
}

/** Reads the whole net once, with normal errors of `scale` times the stated standard deviations, into its arrays. */
export function readOnce(
  { network, trueLevelMm, trueZeroMm, trueDriftMm }: Simulated,
  random: RandomSource,
  scale: number,
): void {
  for (let i = 0; i < network.readMm.length; i++) {
    const s = network.setUpOf[i]!;
    network.readMm[i] =
      trueLevelMm[network.pointOf[i]!]! -
      trueZeroMm[s]! +
      trueDriftMm[s]! * network.clock[i]! +
      scale * network.sdMm[i]! * random.normal();
  }
}

/** The weighted bench marks of a net, measured afresh: what is given of them errs too. */
export function withGivenErrors(simulated: Simulated, random: RandomSource): Network {
  return {
    ...simulated.network,
    given: simulated.network.given.map((known, p) =>
      known.kind === "weighted"
        ? { ...known, levelMm: simulated.trueLevelMm[p]! + known.sdMm * random.normal() }
        : known,
    ),
  };
}

export interface Dense {
  readonly levelMm: readonly number[];
  readonly levelVariance: readonly number[];
  readonly zeroMm: readonly number[];
  readonly driftMm: readonly number[];
  readonly residualMm: readonly number[];
  readonly redundancy: readonly number[];
  readonly sumOfSquares: number;
  readonly freedom: number;
  correlation(i: number, j: number): number;
}

/**
 * All unknowns at once: x = (AᵀPA)⁻¹AᵀPl, Q_vv = P⁻¹ − A(AᵀPA)⁻¹Aᵀ (Ghilani & Wolf, Adjustment Computations, ch. 11
 * and 21). Held levels come in as constants, weighted ones as observations.
 */
export function solveDense(network: Network): Dense {
  const columnOf = network.given.map(() => -1);
  let columns = 0;
  network.given.forEach((known, p) => {
    if (known.kind !== "held") columnOf[p] = columns++;
  });
  const zeroOf = network.zeroHeld.map((held) => (held ? -1 : columns++));
  const driftOf = network.withDrift.map((drift) => (drift ? columns++ : -1));
  const design: number[][] = [];
  const values: number[] = [];
  const variances: number[] = [];
  const used = [...network.used.keys()].filter((i) => network.used[i] === 1);
  for (const i of used) {
    const row = new Array<number>(columns).fill(0);
    const known = network.given[network.pointOf[i]!]!;
    let value = network.readMm[i]!;
    if (known.kind === "held") value -= known.levelMm;
    else row[columnOf[network.pointOf[i]!]!] = 1;
    const s = network.setUpOf[i]!;
    if (zeroOf[s]! >= 0) row[zeroOf[s]!] = -1;
    if (driftOf[s]! >= 0) row[driftOf[s]!] = network.clock[i]!;
    design.push(row);
    values.push(value);
    variances.push(network.sdMm[i]! ** 2);
  }
  network.given.forEach((known, p) => {
    if (known.kind !== "weighted") return;
    const row = new Array<number>(columns).fill(0);
    row[columnOf[p]!] = 1;
    design.push(row);
    values.push(known.levelMm);
    variances.push(known.sdMm ** 2);
  });
  const a = new Matrix(design);
  const weights = Matrix.diag(variances.map((variance) => 1 / variance));
  const cofactor = inverse(a.transpose().mmul(weights).mmul(a));
  const unknowns = cofactor.mmul(a.transpose()).mmul(weights).mmul(Matrix.columnVector(values));
  const residuals = Matrix.sub(a.mmul(unknowns), Matrix.columnVector(values));
  const ofResiduals = Matrix.sub(Matrix.diag(variances), a.mmul(cofactor).mmul(a.transpose()));
  const at = (column: number) => (column < 0 ? 0 : unknowns.get(column, 0));
  let sumOfSquares = 0;
  variances.forEach((variance, k) => {
    sumOfSquares += residuals.get(k, 0) ** 2 / variance;
  });
  return {
    levelMm: network.given.map((known, p) => (known.kind === "held" ? known.levelMm : at(columnOf[p]!))),
    levelVariance: columnOf.map((column) => (column < 0 ? 0 : cofactor.get(column, column))),
    zeroMm: zeroOf.map(at),
    driftMm: driftOf.map(at),
    residualMm: used.map((_, k) => residuals.get(k, 0)),
    redundancy: used.map((_, k) => ofResiduals.get(k, k) / variances[k]!),
    sumOfSquares,
    freedom: design.length - columns,
    correlation: (i, j) => ofResiduals.get(i, j) / Math.sqrt(ofResiduals.get(i, i) * ofResiduals.get(j, j)),
  };
}

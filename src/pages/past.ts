/** What the poured jobs of an archive say together: loss, yield, reading noise, conformity, each with its spread. */
import { type EffectsFit, type Estimate, fitEffects, type Observation } from "../numeric/fit-effects.ts";
import type { Litres, Share } from "../units.ts";
import type { Taught, TaughtOrder } from "./taught.ts";

export interface TaughtJob {
  readonly jobId: string;
  readonly title: string;
  readonly taught: Taught;
}

export interface Past {
  readonly jobs: number;
  readonly pouredJobs: number;
  /** Loss by material, crew and mean depth (mm), with the yield of the data sheet. */
  readonly loss: Fitted;
  /** What a bag gave by weighing over what the data sheet says, less one; by material and crew. */
  readonly weighed: Fitted;
  /** Loss with the yield as weighed, by material, crew and mean depth: the only one that is apart from the yield. */
  readonly lossApart: Fitted;
  readonly yields: readonly MaterialYield[];
  readonly noise: readonly InstrumentNoise[];
  readonly conformity: readonly AskedTolerance[];
}

export interface Fitted {
  readonly seen: readonly (Observation & { readonly jobId: string })[];
  /** Absent where too few were seen. */
  readonly fit?: EffectsFit;
}

export interface MaterialYield {
  readonly materialId: string;
  readonly dataSheetL: Litres;
  /** Litres in the floor from a bag, loss taken off. */
  readonly inFloorL: Estimate;
  /** Litres of mix from a bag; absent where too few jobs weighed it. */
  readonly weighedL?: Estimate;
}

export interface InstrumentNoise {
  readonly instrumentId: string;
  readonly statedSdMm: number;
  /** Times the standard deviation that the library states, and the standard deviation of that. */
  readonly factor: number;
  readonly factorSd: number;
  /** Readings that check each other, as degrees of freedom. */
  readonly checks: number;
  readonly jobs: number;
}

export interface AskedTolerance {
  readonly asked: string;
  readonly floors: number;
  readonly within: number;
  readonly undecided: number;
  /** Share of the decided floors that kept it, and its 95 % interval; absent where none was decided. */
  readonly kept?: { readonly share: Share; readonly from: Share; readonly to: Share };
  /** Of each floor that was measured, the share of the tolerance that its worst place took, in order. */
  readonly used: readonly number[];
}

/** Depths that differ by no more are alike, mm; and no figure of a job is surer than a tenth of a per cent. */
const LOSS = { withSlope: true, leastSpanX: 1, leastSd: 0.001 };
/** The mean of a job's weighings is no surer than a fifth of a per cent: a vessel is filled by eye (common practice). */
const WEIGHED = { withSlope: false, leastSpanX: 1, leastSd: 0.002 };

export function pastOf(jobs: readonly TaughtJob[]): Past {
  const orders = jobs.flatMap(({ jobId, taught }) =>
    taught.orders.map((order) => ({ jobId, team: taught.crewId, order })),
  );
  const observed = (
    value: (order: TaughtOrder) => { readonly value: number; readonly sd: number } | undefined,
  ): Fitted["seen"] =>
    orders.flatMap(({ jobId, team, order }) => {
      const found = value(order);
      return found === undefined
        ? []
        : [{ jobId, group: order.materialId, team, x: order.meanDepthMm, value: found.value, sd: found.sd }];
    });
  const loss = fitted(
    observed(({ poured }) => poured?.loss && { value: poured.loss.share, sd: poured.loss.sd }),
    LOSS,
  );
  const weighed = fitted(observed(weighedRatio), WEIGHED);
  const lossApart = fitted(
    observed((order) => {
      const ratio = weighedRatio(order);
      const found = order.poured?.loss;
      if (ratio === undefined || found === undefined) return undefined;
      // 1 + loss = bags × yield ÷ volume: both are uncertain, in shares of it.
      const all = (1 + found.share) * (1 + ratio.value);
      const sds = [found.sd / (1 + found.share), Math.max(ratio.sd, WEIGHED.leastSd) / (1 + ratio.value)];
      return { value: all - 1, sd: all * Math.hypot(...sds) };
    }),
    LOSS,
  );
  return {
    jobs: jobs.length,
    pouredJobs: jobs.filter(({ taught }) => taught.orders.some(({ poured }) => poured !== undefined)).length,
    loss,
    weighed,
    lossApart,
    yields: yieldsOf(
      orders.map(({ order }) => order),
      loss,
      weighed,
    ),
    noise: noiseOf(jobs),
    conformity: conformityOf(jobs),
  };
}

const fitted = (seen: Fitted["seen"], settings: typeof LOSS): Fitted => {
  const fit = fitEffects(seen, settings);
  return { seen, ...(fit === undefined ? {} : { fit }) };
};

function weighedRatio({ poured, dataSheetYieldL }: TaughtOrder) {
  const weighed = poured?.weighedYield;
  if (weighed === undefined) return undefined;
  return { value: weighed.litres / dataSheetYieldL - 1, sd: (weighed.sd ?? 0) / dataSheetYieldL };
}

/** The last data sheet's yield of each material that was poured and read. */
function yieldsOf(orders: readonly TaughtOrder[], loss: Fitted, weighed: Fitted): MaterialYield[] {
  return [...(loss.fit?.groups ?? [])].map(([materialId, estimate]) => {
    const dataSheetL = orders.findLast((order) => order.materialId === materialId)?.dataSheetYieldL ?? Number.NaN;
    const inFloor = dataSheetL / (1 + estimate.value);
    const ofWeighed = weighed.fit?.groups.get(materialId);
    return {
      materialId,
      dataSheetL,
      inFloorL: { value: inFloor, sd: (inFloor * estimate.sd) / (1 + estimate.value), count: estimate.count },
      ...(ofWeighed === undefined
        ? {}
        : {
            weighedL: {
              value: dataSheetL * (1 + ofWeighed.value),
              sd: dataSheetL * ofWeighed.sd,
              count: ofWeighed.count,
            },
          }),
    };
  });
}

function noiseOf(jobs: readonly TaughtJob[]): InstrumentNoise[] {
  const sums = new Map<string, { statedSdMm: number; squares: number; checks: number; jobs: number }>();
  for (const { taught } of jobs)
    for (const { instrumentId, statedSdMm, sumOfSquares, redundancy } of taught.noise) {
      const sum = sums.get(instrumentId) ?? { statedSdMm, squares: 0, checks: 0, jobs: 0 };
      // In the standard deviation that is stated today, whatever was when the job was built.
      sum.squares += sumOfSquares * (statedSdMm / sum.statedSdMm) ** 2;
      sum.checks += redundancy;
      sum.jobs += 1;
      sums.set(instrumentId, sum);
    }
  return [...sums]
    .sort(([p], [q]) => (p < q ? -1 : 1))
    .map(([instrumentId, { statedSdMm, squares, checks, jobs: from }]) => {
      const factor = Math.sqrt(squares / checks);
      // A standard deviation from f checks has itself one of 1/√(2 f) of its value (normal errors).
      return { instrumentId, statedSdMm, factor, factorSd: factor / Math.sqrt(2 * checks), checks, jobs: from };
    });
}

function conformityOf(jobs: readonly TaughtJob[]): AskedTolerance[] {
  const byAsked = new Map<string, Taught["rules"][number][]>();
  for (const { taught } of jobs)
    for (const rule of taught.rules) byAsked.set(rule.asked, [...(byAsked.get(rule.asked) ?? []), rule]);
  return [...byAsked]
    .sort(([p], [q]) => (p < q ? -1 : 1))
    .map(([asked, rules]) => {
      const decided = rules.filter(({ result }) => result !== "not-decidable").length;
      const within = rules.filter(({ result }) => result === "within").length;
      return {
        asked,
        floors: rules.length,
        within,
        undecided: rules.length - decided,
        ...(decided === 0 ? {} : { kept: wilson(within, decided) }),
        used: rules.flatMap(({ used }) => (used === undefined ? [] : [used])).sort((a, b) => a - b),
      };
    });
}

/** Of the normal distribution, two-sided. */
const Z_95 = 1.959964;

/** Share and its 95 % score interval (Wilson, Journal of the American Statistical Association 22 (1927) 209). */
export function wilson(hits: number, of: number): NonNullable<AskedTolerance["kept"]> {
  const share = hits / of;
  const scale = 1 + Z_95 ** 2 / of;
  const middle = (share + Z_95 ** 2 / (2 * of)) / scale;
  const half = (Z_95 / scale) * Math.sqrt((share * (1 - share)) / of + Z_95 ** 2 / (4 * of ** 2));
  return { share, from: Math.max(0, middle - half), to: Math.min(1, middle + half) };
}

/**
 * What a job teaches those to come: it lies in summary.json, so that an archive of ten thousand jobs is learned from
 * without opening one packet.
 */
import { pouredByClock } from "../depths/filled-parts.ts";
import type { Depths } from "../depths/model.ts";
import type { SetUp } from "../job/model.ts";
import { isSameMaterial } from "../job/same-material.ts";
import type { BagCount } from "../quantities/model.ts";
import type { FillAccount } from "../record/model.ts";
import { partText } from "../sheets/flatness-text.ts";
import type { Findings } from "../sheets/model.ts";
import { en } from "../sheets/words/en.ts";
import type { AdjustedLevels } from "../survey/model.ts";
import type { Litres, Millimetres, Share } from "../units.ts";

export interface Taught {
  readonly crewId: string;
  /** One a material that is ordered, the job's own first. */
  readonly orders: readonly TaughtOrder[];
  /** One an instrument whose readings check each other, of slab and finished floor together. */
  readonly noise: readonly TaughtNoise[];
  /** Of the finished floor, in the order of the contract. */
  readonly rules: readonly TaughtRule[];
}

export interface TaughtOrder {
  readonly materialId: string;
  readonly meanDepthMm: Millimetres;
  /** Bags: for the volume, for the profile, for the loss that was allowed, and whole ones. */
  readonly neat: number;
  readonly profile: number;
  readonly loss: number;
  readonly toOrder: number;
  readonly dataSheetYieldL: Litres;
  readonly poured?: TaughtPour;
}

export interface TaughtPour {
  /** Mixed and not thrown away, whole bags. */
  readonly inFloorBags: number;
  /** Loss with the yield of the data sheet, and its standard deviation from the readings; absent without them. */
  readonly loss?: { readonly share: Share; readonly sd: Share };
  /** By the density of the fresh mix. */
  readonly weighedYield?: { readonly litres: Litres; readonly batches: number; readonly sd?: Litres };
}

export interface TaughtNoise {
  readonly instrumentId: string;
  /** That the library states. */
  readonly statedSdMm: Millimetres;
  /** Residuals over that, squared and added, and the redundancy that is in them. */
  readonly sumOfSquares: number;
  readonly redundancy: number;
}

export interface TaughtRule {
  /** The rule and its figures, in words: floors that were asked the same are counted together. */
  readonly asked: string;
  readonly result: "within" | "outside" | "not-decidable";
  /** Of the tolerance, how much the worst place took: 1 is just within; absent where nothing could be measured. */
  readonly used?: number;
}

/** Undefined until there is something to order. */
export function taughtBy(findings: Findings): Taught | undefined {
  const { job, depths, quantities, record, levels, finished } = findings;
  if (depths.kind !== "ready" || quantities.kind !== "ready") return undefined;
  const account = record.kind === "ready" ? record.value.account : undefined;
  const own = account && {
    ...account,
    material: job.material,
    bags: { ...account.bags, inFloor: account.bags.mixed - account.bags.thrown },
  };
  const orders = [
    { material: job.material, bags: quantities.value.bags, filled: own },
    ...(quantities.value.otherMaterials ?? []).map(({ material, bags }) => ({
      material,
      bags,
      filled: account?.otherMaterials.find((one) => isSameMaterial(one.material, material)),
    })),
  ];
  return {
    crewId: job.crew.id,
    orders: orders
      .filter(({ bags }) => bags.neat > 0)
      .map(({ material, bags, filled }) => ({
        materialId: material.id,
        meanDepthMm: meanDepthOf(depths.value, material),
        neat: bags.neat,
        profile: bags.profile,
        loss: bags.loss,
        toOrder: bags.toOrder,
        dataSheetYieldL: bags.yieldPerBag,
        ...(filled === undefined || filled.bags.inFloor === 0 ? {} : { poured: pouredOf(filled, bags) }),
      })),
    noise: noiseOf([
      ...(levels.kind === "ready" ? [{ levels: levels.value, setUps: job.survey.setUps }] : []),
      ...(finished.kind === "ready" && job.finished !== undefined
        ? [{ levels: finished.value.levels, setUps: job.finished.survey.setUps }]
        : []),
    ]),
    rules: rulesOf(findings),
  };
}

function meanDepthOf(depths: Depths, material: Findings["job"]["material"]): Millimetres {
  const part = depths.parts?.find((one) => isSameMaterial(one.material, material));
  return part === undefined ? pouredByClock(depths).mean : part.volumeToOrder / part.area;
}

function pouredOf(
  { bags, volume: { placed }, loss, yieldPerBag }: Pick<FillAccount, "bags" | "volume" | "loss" | "yieldPerBag">,
  order: BagCount,
): TaughtPour {
  const { weighed } = yieldPerBag;
  return {
    inFloorBags: bags.inFloor,
    ...(placed === undefined || loss.found === undefined
      ? {}
      : {
          // Loss = bags in the floor × yield ÷ (volume + profile) − 1: as uncertain as the volume, in shares.
          loss: { share: loss.found, sd: ((1 + loss.found) * placed.sd) / (placed.volume + order.profileVolume) },
        }),
    ...(weighed === undefined
      ? {}
      : {
          weighedYield: {
            litres: weighed.litres,
            batches: weighed.batches,
            ...(weighed.sd === undefined ? {} : { sd: weighed.sd }),
          },
        }),
  };
}

/**
 * Each instrument's residuals apart, with the redundancy of its own readings: the simplified estimate of variance
 * components (Förstner 1979; from memory). It takes stated standard deviations to be right within a factor.
 */
function noiseOf(
  surveys: readonly { readonly levels: AdjustedLevels; readonly setUps: readonly SetUp[] }[],
): TaughtNoise[] {
  const sums = new Map<string, { statedSdMm: number; sumOfSquares: number; redundancy: number }>();
  for (const { levels, setUps } of surveys) {
    for (const reading of levels.report.readings) {
      if (reading.kind !== "used") continue;
      const instrument = setUps.find(({ id }) => id === reading.ref.setUpId)?.instrument;
      if (instrument === undefined) continue;
      const sum = sums.get(instrument.id) ?? { statedSdMm: instrument.readingSd, sumOfSquares: 0, redundancy: 0 };
      sum.sumOfSquares += (reading.residual / instrument.readingSd) ** 2;
      sum.redundancy += reading.redundancy;
      sums.set(instrument.id, sum);
    }
  }
  return [...sums]
    .filter(([, { redundancy }]) => redundancy > LEAST_REDUNDANCY)
    .map(([instrumentId, sum]) => ({ instrumentId, ...sum }));
}

/** Less is rounding. */
const LEAST_REDUNDANCY = 0.01;

function rulesOf({ job, finished }: Findings): TaughtRule[] {
  if (finished.kind !== "ready") return [];
  const { plan, conformity } = finished.value;
  return conformity.rules.map(({ rule, result, parts }) => {
    const name = en.flatness.rules[rule.name];
    const figures = rule.parts.map((part) => partText({ job, plan, words: en }, part));
    const used = parts
      .flatMap(({ findings }) => findings)
      .filter((finding) => finding.result !== "not-decidable")
      .flatMap(({ worst }) => (worst === undefined ? [] : [usedShare(worst)]))
      .filter((share) => share !== undefined);
    return {
      asked: `${name}: ${figures.join("; ")}`,
      result,
      ...(used.length === 0 ? {} : { used: Math.max(...used) }),
    };
  });
}

/** Of a gap its share of the limit; of a number that must be reached, the limit over it. */
function usedShare({
  quantity,
  value,
  limit,
}: {
  readonly quantity: string;
  readonly value?: number | undefined;
  readonly limit: number;
}): number | undefined {
  if (quantity === "f-number") return value === undefined ? 0 : value > 0 ? limit / value : undefined;
  return value === undefined || limit <= 0 ? undefined : Math.abs(value) / limit;
}

/**
 * The places to read again, worst first: readings that other readings contradict, rows that fit
 * only when shifted by one place, and points read once that stand off the slab around them.
 */
import type { AdjustmentRules, Reading } from "../job/model.ts";
import type { Plan } from "../layout/model.ts";
import { type Litres, litres, millimetres } from "../units.ts";
import type { ReadAgain, ReadingRef } from "./model.ts";
import { nearestFloor } from "./nearest-floor.ts";
import { type Network, type NetworkSolution, solveNetwork, type WithoutReading, withoutReading } from "./network.ts";
import type { Observations } from "./observations.ts";
import type { ReadPlace } from "./roughness.ts";
import { shiftedRows } from "./shifted-rows.ts";
import { type Prediction, type SlabAround, slabAround, slabScale } from "./slab-around.ts";
import { LEAST_REDUNDANCY, type Snooping, type Suspect, yardstickOf } from "./snooping.ts";
import { typicalSlipOf } from "./typical-slips.ts";

/** What the search works from. */
export interface SolvedSurvey {
  readonly observations: Observations;
  /** With every reading in, as the levels stand. */
  readonly solution: NetworkSolution;
  readonly snooping: Snooping;
  readonly plan: Plan;
  readonly rules: AdjustmentRules;
  /** Yield of a bag of the job's material: turns the effect of a slip into bags. */
  readonly litresPerBag: Litres;
}

export interface ReadAgainList {
  readonly list: readonly ReadAgain[];
  /** Spread of (predicted from the slab around − read); absent with too few points. */
  readonly slabSpreadMm?: number;
}

export function readAgainList(survey: SolvedSurvey): ReadAgainList {
  const slab = slabOf(survey);
  const list = [
    ...survey.snooping.suspects.map((suspect) => againstOtherReadings(survey, slab, suspect)),
    ...(slab ? againstTheSlab(survey, slab) : []),
  ];
  // How many times over each is past what makes it suspect: the one measure that all kinds share.
  list.sort((a, b) => b.statistic / b.critical - a.statistic / a.critical);
  return slab ? { list, slabSpreadMm: typicalSpread(slab) } : { list };
}

/** The places that were read, and what each says of its neighbours. */
interface ReadSlab {
  readonly places: readonly ReadPlace[];
  /** Network point of each place, and the other way about. */
  readonly pointOfPlace: readonly number[];
  readonly placeOfPoint: ReadonlyMap<number, number>;
  /** The reading that stands for a place where no other checks it. */
  readonly uncheckedReading: readonly (number | undefined)[];
  /** Places that no longer count; grows as slips are found. */
  readonly setAside: Set<number>;
  readonly around: SlabAround;
  readonly predictions: (Prediction | undefined)[];
  /** Goes onto the standard deviations of the predictions. */
  readonly scale: number;
}

function slabOf({ observations, snooping }: SolvedSurvey): ReadSlab | undefined {
  const { cleaned, cleanedSolution } = snooping;
  const readingsAt = observations.places.map((): number[] => []);
  for (let i = 0; i < cleaned.used.length; i++) if (cleaned.used[i] === 1) readingsAt[cleaned.pointOf[i]!]!.push(i);
  const places: ReadPlace[] = [];
  const pointOfPlace: number[] = [];
  const uncheckedReading: (number | undefined)[] = [];
  observations.places.forEach(({ planPoint }, p) => {
    const readings = readingsAt[p]!;
    if (!planPoint || readings.length === 0) return;
    places.push({ at: planPoint.at, roomIndex: planPoint.roomIndex, levelMm: cleanedSolution.levelMm[p]! });
    pointOfPlace.push(p);
    uncheckedReading.push(
      readings.every((i) => cleanedSolution.redundancy[i]! < LEAST_REDUNDANCY) ? readings[0]! : undefined,
    );
  });
  const finestMm = cleaned.sdMm.reduce((least, value) => Math.min(least, value), Infinity);
  const setAside = new Set<number>();
  const around = slabAround(places, setAside, finestMm);
  const predictions = places.map((_, place) => around.predict(place));
  const scale = slabScale(places, predictions);
  if (scale === undefined) return undefined;
  const placeOfPoint = new Map(pointOfPlace.map((p, place) => [p, place]));
  return { places, pointOfPlace, placeOfPoint, uncheckedReading, setAside, around, predictions, scale };
}

/** Of the middle prediction. */
function typicalSpread({ predictions, scale }: ReadSlab): number {
  const sds = predictions.flatMap((prediction) => (prediction ? [prediction.sdMm] : [])).sort((a, b) => a - b);
  return scale * sds[sds.length >> 1]!;
}

/** One way to explain a contradiction: the reading that is off, and what its point's level then is. */
interface Explanation {
  readonly reading: number;
  readonly likelyMm: number;
  readonly likelySdMm: number;
  /** How far the point then stands off the slab around it, in spreads; absent where the slab says nothing. */
  readonly offSlab?: number;
}

/** An explanation that stands off the slab by this much less than any other is taken. */
const BETTER_BY = 3;

/**
 * Where several readings share the blame (two readings of one point always do), each is set aside in
 * turn; the one without which the point fits the slab around it is named first, if only one does.
 */
function againstOtherReadings(survey: SolvedSurvey, slab: ReadSlab | undefined, suspect: Suspect): ReadAgain {
  const { observations, snooping, rules } = survey;
  const { cleaned } = snooping;
  const withGroup = cleaned.used.slice();
  for (const reading of suspect.group) withGroup[reading] = 1;
  const network = { ...cleaned, used: withGroup };
  const whole = solveNetwork(network);
  // With later suspects gone too, the rest may lean on a reading of the group: then it cannot be spared.
  const spared = suspect.group.filter((reading, k) => k === 0 || whole.redundancy[reading]! >= LEAST_REDUNDANCY);
  const explanations = spared.map((reading): Explanation => {
    const p = cleaned.pointOf[reading]!;
    const left = leftWithout(network, whole, reading);
    const place = slab?.placeOfPoint.get(p);
    const prediction = place === undefined ? undefined : slab?.around.predict(place);
    const likelyMm = left.levelMm;
    return {
      reading,
      likelyMm,
      likelySdMm: Math.sqrt(left.levelVarianceMm2) * yardstickOf(left, rules).scale,
      ...(slab && prediction && { offSlab: Math.abs(likelyMm - prediction.levelMm) / (slab.scale * prediction.sdMm) }),
    };
  });
  const bySlab = explanations.filter((one) => one.offSlab !== undefined).sort((a, b) => a.offSlab! - b.offSlab!);
  const told =
    bySlab.length > 1 &&
    bySlab.length === explanations.length &&
    bySlab[1]!.offSlab! - bySlab[0]!.offSlab! >= BETTER_BY;
  const first = told ? bySlab[0]! : explanations[0]!;
  const order = [first.reading, ...suspect.group.filter((reading) => reading !== first.reading)];
  return entry(survey, first.reading, {
    readings: order.map((i) => observations.refs[i]!),
    which: suspect.group.length === 1 ? "only-one" : told ? "one-by-the-slab" : "any-of-them",
    found: "by-other-readings",
    statistic: suspect.statistic,
    critical: suspect.critical,
    likelyMm: first.likelyMm,
    likelySdMm: first.likelySdMm,
    offSdMm: Math.hypot(first.likelySdMm, cleaned.sdMm[first.reading]!),
  });
}

/** The network less one reading; solved anew where the reading has next to no redundancy. */
function leftWithout(network: Network, whole: NetworkSolution, reading: number): WithoutReading {
  if (whole.redundancy[reading]! >= LEAST_REDUNDANCY) return withoutReading(network, whole, reading);
  const used = network.used.slice();
  used[reading] = 0;
  const { levelMm, levelVarianceMm2, sumOfSquares, freedom } = solveNetwork({ ...network, used });
  const p = network.pointOf[reading]!;
  return { levelMm: levelMm[p]!, levelVarianceMm2: levelVarianceMm2[p]!, sumOfSquares, freedom };
}

/** Points that no other reading checks, against their neighbours: rows first, then one by one, the worst set aside each time. */
function againstTheSlab(survey: SolvedSurvey, slab: ReadSlab): ReadAgain[] {
  const { observations, snooping, rules } = survey;
  const { places, pointOfPlace, uncheckedReading, setAside, around, predictions, scale } = slab;
  const { critical } = yardstickOf(snooping.cleanedSolution, { ...rules, sigma: "instrument" });
  const list: ReadAgain[] = [];
  for (const row of shiftedRows(observations, places, uncheckedReading, around, rules.alpha)) {
    const { worst } = row;
    list.push(
      entry(survey, uncheckedReading[worst.place]!, {
        readings: row.places.map((place) => observations.refs[uncheckedReading[place]!]!),
        which: "whole-row",
        found: "by-the-shift-of-a-row",
        statistic: row.statistic,
        critical: row.critical,
        likelyMm: worst.prediction.levelMm,
        likelySdMm: row.scale * worst.prediction.sdMm,
        slip: {
          kind: "row-shifted",
          by: row.by,
          pointIds: row.places.map((place) => observations.places[pointOfPlace[place]!]!.id),
        },
      }),
    );
    for (const place of row.places) setAside.add(place);
  }
  const predictAgain = (changed: (from: readonly number[]) => boolean) => {
    for (let place = 0; place < places.length; place++) {
      const known = predictions[place];
      if (known && changed(known.from)) predictions[place] = around.predict(place);
    }
  };
  if (setAside.size > 0) predictAgain((from) => from.some((other) => setAside.has(other)));

  for (;;) {
    let worst = -1;
    let statistic = critical;
    for (let place = 0; place < places.length; place++) {
      const prediction = predictions[place];
      if (!prediction || uncheckedReading[place] === undefined || setAside.has(place)) continue;
      const off = Math.abs(prediction.levelMm - places[place]!.levelMm) / (scale * prediction.sdMm);
      if (off > statistic) {
        worst = place;
        statistic = off;
      }
    }
    if (worst < 0) return list;
    const { levelMm, sdMm } = predictions[worst]!;
    const reading = uncheckedReading[worst]!;
    list.push(
      entry(survey, reading, {
        readings: [observations.refs[reading]!],
        which: "only-one",
        found: "by-the-slab-around",
        statistic,
        critical,
        likelyMm: levelMm,
        likelySdMm: scale * sdMm,
        offSdMm: scale * sdMm,
      }),
    );
    setAside.add(worst);
    const gone = worst;
    predictAgain((from) => from.includes(gone));
  }
}

type Evidence = Pick<ReadAgain, "found" | "which" | "statistic" | "critical"> & {
  readonly readings: readonly ReadingRef[];
  readonly likelyMm: number;
  readonly likelySdMm: number;
} & ({ readonly offSdMm: number } | { readonly slip: NonNullable<ReadAgain["typicalSlip"]> });

function entry(survey: SolvedSurvey, worst: number, evidence: Evidence): ReadAgain {
  const { observations, solution, snooping, plan, litresPerBag } = survey;
  const { cleaned, cleanedSolution } = snooping;
  const s = cleaned.setUpOf[worst]!;
  const p = cleaned.pointOf[worst]!;
  const place = observations.places[p]!;
  const toLevelMm = cleanedSolution.zeroMm[s]! - cleanedSolution.driftMm[s]! * cleaned.clock[worst]!;
  const asReadMm = cleaned.readMm[worst]! + toLevelMm;
  const { likelyMm } = evidence;
  const reading = readingOf(observations, observations.refs[worst]!);
  const typicalSlip =
    "slip" in evidence ? evidence.slip : reading && typicalSlipOf(reading, likelyMm - toLevelMm, evidence.offSdMm);
  const known: ReadAgain = {
    pointId: place.id,
    readings: evidence.readings,
    which: evidence.which,
    found: evidence.found,
    statistic: evidence.statistic,
    critical: evidence.critical,
    asRead: millimetres(asReadMm),
    likely: millimetres(likelyMm),
    likelySd: millimetres(evidence.likelySdMm),
    slip: millimetres(asReadMm - likelyMm),
    ...(place.at && { at: place.at }),
    ...(place.benchMark && cleaned.given[p]!.kind === "weighted" && { orGivenLevel: true as const }),
    ...(typicalSlip && { typicalSlip }),
  };
  const { planPoint } = place;
  const floor = planPoint && plan.floors[planPoint.roomIndex];
  if (!floor) return known;
  const others = observations.places.flatMap((other) =>
    other.planPoint && other !== place && other.planPoint.roomIndex === planPoint.roomIndex ? [other.planPoint.at] : [],
  );
  const effect = litres((solution.levelMm[p]! - likelyMm) * nearestFloor(floor, planPoint.at, others));
  return { ...known, roomIndex: planPoint.roomIndex, effect, effectBags: effect / litresPerBag };
}

function readingOf(observations: Observations, ref: ReadingRef): Reading | undefined {
  if (ref.kind === "zero-check") return undefined;
  return observations.setUps.find((setUp) => setUp.id === ref.setUpId)?.readings[ref.index];
}

/**
 * The places to read again, worst first: readings that other readings contradict, rows that fit
 * only when shifted by one place, and points read once that stand off the slab around them.
 */
import type { AdjustmentRules, Reading } from "../job/model.ts";
import type { Plan } from "../layout/model.ts";
import { type Litres, litres, millimetres } from "../units.ts";
import type { ReadAgain, ReadingRef } from "./model.ts";
import { nearestFloor } from "./nearest-floor.ts";
import type { NetworkSolution } from "./network.ts";
import type { Observations } from "./observations.ts";
import { shiftedRows } from "./shifted-rows.ts";
import { type Prediction, type ReadPlace, slabAround, slabSpread } from "./slab-around.ts";
import { LEAST_REDUNDANCY, type Snooping, yardstickOf } from "./snooping.ts";
import { typicalSlipOf } from "./typical-slips.ts";

/** What the search works from. */
export interface Findings {
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

export function readAgainList(findings: Findings): ReadAgainList {
  const bySlab = againstTheSlab(findings);
  const list = [...againstOtherReadings(findings), ...bySlab.list];
  // How many times over each is past what makes it suspect: the one measure that all kinds share.
  list.sort((a, b) => b.statistic / b.critical - a.statistic / a.critical);
  return { ...bySlab, list };
}

function againstOtherReadings(findings: Findings): ReadAgain[] {
  const { observations, snooping, rules } = findings;
  const { cleaned, cleanedSolution } = snooping;
  const { scale } = yardstickOf(cleanedSolution, rules);
  return snooping.suspects.map(({ group, statistic, critical }) => {
    const worst = group[0]!;
    const p = cleaned.pointOf[worst]!;
    const likelySd = Math.sqrt(cleanedSolution.levelVarianceMm2[p]!) * scale;
    return entry(findings, worst, {
      readings: group.map((i) => observations.refs[i]!),
      found: "by-other-readings",
      statistic,
      critical,
      likelyMm: cleanedSolution.levelMm[p]!,
      likelySdMm: likelySd,
      offSdMm: Math.hypot(likelySd, cleaned.sdMm[worst]! * scale),
    });
  });
}

/** Points that no other reading checks, against their neighbours: rows first, then one by one, the worst set aside each time. */
function againstTheSlab(findings: Findings): ReadAgainList {
  const { observations, snooping, rules } = findings;
  const { cleaned, cleanedSolution } = snooping;
  const places: ReadPlace[] = [];
  /** Network point of each place, and the reading that stands for it where no other checks it. */
  const pointOfPlace: number[] = [];
  const uncheckedReading: (number | undefined)[] = [];
  const readingsAt = observations.places.map((): number[] => []);
  for (let i = 0; i < cleaned.used.length; i++) if (cleaned.used[i] === 1) readingsAt[cleaned.pointOf[i]!]!.push(i);
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
  const around = slabAround(places, setAside);
  const predictions: (Prediction | undefined)[] = places.map((_, place) => around.predict(place));
  const spread = slabSpread(places, predictions, finestMm);
  if (spread === undefined) return { list: [] };
  const { critical } = yardstickOf(cleanedSolution, { ...rules, sigma: "instrument" });

  const list: ReadAgain[] = [];
  for (const row of shiftedRows(observations, places, uncheckedReading, around, rules.alpha, finestMm)) {
    const { worst } = row;
    list.push(
      entry(findings, uncheckedReading[worst.place]!, {
        readings: row.places.map((place) => observations.refs[uncheckedReading[place]!]!),
        found: "by-the-shift-of-a-row",
        statistic: row.statistic,
        critical: row.critical,
        likelyMm: worst.prediction.levelMm,
        likelySdMm: row.spreadMm * worst.prediction.factor,
        slip: {
          kind: "row-shifted",
          by: row.by,
          pointIds: row.places.map((k) => observations.places[pointOfPlace[k]!]!.id),
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
      const off = Math.abs(prediction.levelMm - places[place]!.levelMm) / (spread * prediction.factor);
      if (off > statistic) {
        worst = place;
        statistic = off;
      }
    }
    if (worst < 0) return { list, slabSpreadMm: spread };
    const prediction = predictions[worst]!;
    const reading = uncheckedReading[worst]!;
    list.push(
      entry(findings, reading, {
        readings: [observations.refs[reading]!],
        found: "by-the-slab-around",
        statistic,
        critical,
        likelyMm: prediction.levelMm,
        likelySdMm: spread * prediction.factor,
        offSdMm: spread * prediction.factor,
      }),
    );
    setAside.add(worst);
    const gone = worst;
    predictAgain((from) => from.includes(gone));
  }
}

type Evidence = Pick<ReadAgain, "found" | "statistic" | "critical"> & {
  readonly readings: readonly ReadingRef[];
  readonly likelyMm: number;
  readonly likelySdMm: number;
} & ({ readonly offSdMm: number } | { readonly slip: NonNullable<ReadAgain["typicalSlip"]> });

function entry(findings: Findings, worst: number, evidence: Evidence): ReadAgain {
  const { observations, solution, snooping, plan, litresPerBag } = findings;
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
    found: evidence.found,
    statistic: evidence.statistic,
    critical: evidence.critical,
    asRead: millimetres(asReadMm),
    likely: millimetres(likelyMm),
    likelySd: millimetres(evidence.likelySdMm),
    slip: millimetres(asReadMm - likelyMm),
    ...(place.at && { at: place.at }),
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

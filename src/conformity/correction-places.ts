/** The list of places to grind or fill: what the rules ask for, brought together by place. */
import { distance } from "../geometry/point.ts";
import type { Correction, Evidence } from "./evidence.ts";
import { findPlace } from "./found-place.ts";
import type { CorrectionPlace } from "./model.ts";

/** Places of the same work this near are one place for the grinder or the trowel (taken here): 0.5 m. */
const ONE_PLACE_M = 0.5;

/**
 * Corrections with ids (G1 … to grind, F1 … to fill), offsets and the rules that fail there, greatest
 * first. Where several rules ask for the same work at one place the greatest depth is listed.
 */
export function correctionPlaces(
  evidence: Evidence,
  asked: readonly { readonly ruleId: string; readonly correction: Correction }[],
): CorrectionPlace[] {
  const places: { ruleIds: string[]; correction: Correction }[] = [];
  const greatestFirst = asked.toSorted(
    (a, b) =>
      b.correction.whole - a.correction.whole ||
      a.correction.at.x - b.correction.at.x ||
      a.correction.at.y - b.correction.at.y,
  );
  for (const { ruleId, correction } of greatestFirst) {
    const known = places.find(
      (place) =>
        place.correction.work === correction.work && distance(place.correction.at, correction.at) < ONE_PLACE_M,
    );
    if (!known) places.push({ ruleIds: [ruleId], correction });
    else {
      if (!known.ruleIds.includes(ruleId)) known.ruleIds.push(ruleId);
      known.correction = deeper(known.correction, correction);
    }
  }
  const counts = { grind: 0, fill: 0 };
  return places.map(({ ruleIds, correction }) => {
    const { work, at, least, whole, instead, ends, area, name } = correction;
    const found = (place: typeof at) =>
      findPlace(evidence.job, evidence.plan, place, { ...(name !== undefined && { name }) });
    return {
      id: `${work === "grind" ? "G" : "F"}${++counts[work]}`,
      work,
      ruleIds,
      found: { ...found(at), ...(ends && { ends }) },
      ...(least !== undefined && { least }),
      whole,
      ...(instead && { instead: { work: instead.work, found: found(instead.at), least: instead.least } }),
      ...(area !== undefined && { area }),
    };
  });
}

/** The place as it stands, with the deeper of the two least depths: it must satisfy both rules. */
function deeper(kept: Correction, other: Correction): Correction {
  if (other.least === undefined) return kept;
  const least = kept.least === undefined ? other.least : Math.max(kept.least, other.least);
  return { ...kept, least };
}

/** What is not as asked: places of the flatness report, batches and lots out of their limits, and what was entered by hand. */

import { findPlace } from "../conformity/found-place.ts";
import type { Conformity } from "../conformity/model.ts";
import type { Diagnostic } from "../diagnostics.ts";
import type { Job } from "../job/model.ts";
import type { NonConformance, PourResults } from "../job/record-model.ts";
import { materialsOf } from "../job/same-material.ts";
import { nearName } from "../job/suggest.ts";
import type { Plan } from "../layout/model.ts";
import type { NonConformanceState } from "./model.ts";

/** Past this a flow ring's reading is outside, and not at the limit: a tenth of what a rule shows. */
const SPREAD_GUARD_MM = 0.1;

export function nonConformancesOf(
  job: Job,
  plan: Plan,
  results: PourResults | undefined,
  finished: Conformity | undefined,
): NonConformanceState[] {
  const entries = results?.nonConformances ?? [];
  const places = finished?.places ?? [];
  return [
    ...places.map(({ id, work, whole, found }): NonConformanceState => {
      const entry = entries.find(({ flatnessPlace }) => flatnessPlace === id);
      return {
        id: entry?.id ?? id,
        status: statusOf(entry),
        from: { kind: "flatness", place: id, work, whole, ...(entry === undefined ? {} : { entry }) },
        at: found.at,
        found,
      };
    }),
    ...entries
      .filter(({ flatnessPlace }) => !places.some(({ id }) => id === flatnessPlace))
      .map(
        (entry): NonConformanceState => ({
          id: entry.id,
          status: statusOf(entry),
          from: { kind: "by-hand", entry },
          ...(entry.at === undefined ? {} : { at: entry.at, found: findPlace(job, plan, entry.at) }),
        }),
      ),
    ...(results === undefined ? [] : ofBatches(job, results)),
  ];
}

function statusOf(entry: NonConformance | undefined): NonConformanceState["status"] {
  if (entry?.recheck !== undefined) return entry.recheck.result === "accepted" ? "closed" : "refused";
  return entry?.reworked === undefined ? "open" : "reworked";
}

function ofBatches(job: Job, { batches, lots, poured }: PourResults): NonConformanceState[] {
  const found: NonConformanceState[] = [];
  const materials = materialsOf(job);
  for (const { number, spread, mixed, placed, materialId } of batches) {
    const { flowRing, flowTime } = materials.find(({ id }) => id === materialId) ?? job.material;
    const outside =
      flowRing !== undefined &&
      spread !== undefined &&
      (spread < flowRing.least - SPREAD_GUARD_MM || spread > flowRing.greatest + SPREAD_GUARD_MM);
    if (outside) found.push({ id: `B${number}`, status: "open", from: { kind: "flow-ring", batch: number, spread } });
    if (placed !== undefined && placed - mixed > flowTime) {
      const from = { kind: "past-flow-time", batch: number, taken: placed - mixed, flowTime } as const;
      found.push({ id: `B${number}t`, status: "open", from });
    }
  }
  for (const { lot, useBy } of lots) {
    if (useBy === undefined || useBy >= poured || !batches.some((batch) => batch.lot === lot)) continue;
    found.push({ id: lot, status: "open", from: { kind: "past-use-by", lot, useBy } });
  }
  return found;
}

/** Entries that answer for a place which the flatness report does not list. */
export function unknownPlaces(results: PourResults | undefined, finished: Conformity | undefined): Diagnostic[] {
  const known = finished?.places.map(({ id }) => id) ?? [];
  return (results?.nonConformances ?? []).flatMap(({ id, flatnessPlace, place }): Diagnostic[] => {
    if (flatnessPlace === undefined || known.includes(flatnessPlace)) return [];
    const near = nearName(flatnessPlace, known);
    return [
      {
        code: "unknown-flatness-place",
        severity: "error",
        message: `${id} answers for ${flatnessPlace}, which the flatness report of the finished floor does not list.`,
        expected: known.length === 0 ? "a finished floor that was read and has places to correct" : known.join(", "),
        ...(near === undefined ? {} : { hint: `Did you mean ${near}?` }),
        place,
      },
    ];
  });
}

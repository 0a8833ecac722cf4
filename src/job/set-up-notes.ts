/** What the office adds to readings: times, what the handset stood on, what is struck, what ties work to the rest. */

import type { Millimetres, Minutes } from "../units.ts";
import { isRowLabel } from "./grid-names.ts";
import { type Finding, type JobReader, objectAt, toMillimetres } from "./job-reader.ts";
import type { Reading } from "./model.ts";
import type { At } from "./schema-parts.ts";
import type { SetUpText } from "./schema-survey.ts";
import { nearName } from "./suggest.ts";
import type { Path } from "./yaml-places.ts";

/** Readings of a set-up by the label that means them: a point by its id, or a row by its letter. */
function byLabel(readings: readonly Reading[]): (label: string) => readonly number[] {
  const positions = new Map<string, number[]>();
  const add = (label: string, k: number) => {
    const list = positions.get(label);
    if (list === undefined) positions.set(label, [k]);
    else list.push(k);
  };
  for (const [k, { pointId }] of readings.entries()) {
    add(pointId, k);
    const row = /^([A-Z]+)\d+$/.exec(pointId)?.[1];
    if (row !== undefined && isRowLabel(row)) add(row, k);
  }
  return (label) => positions.get(label) ?? [];
}

/**
 * The readings with what the set-up says of them; objects to labels that no reading has.
 * @returns the readings in their order, and the ids of the points that tie a set-up after work to the others
 */
export function annotateReadings(
  reader: JobReader,
  { text, path }: At<SetUpText>,
  typed: readonly Reading[],
): { readonly readings: Reading[]; readonly ties: string[] } {
  const readings = [...typed];
  const find = byLabel(typed);
  const ids = [...new Set(typed.map(({ pointId }) => pointId))];
  const positions = (label: string, at: Path): readonly number[] => {
    const found = find(label);
    if (found.length > 0) return found;
    const near = nearName(label, ids);
    objectAt(reader, at, {
      code: "label-without-reading",
      message: `Set-up ${text.id} has no reading of ${label}.`,
      expected: "a point or a row that was read in this set-up",
      hint: near === undefined ? undefined : `Did you mean "${near}"?`,
    });
    return [];
  };

  for (const [k, { of, at }] of (text.times ?? []).entries()) {
    for (const i of positions(of, [...path, "times", k, "of"])) readings[i] = { ...readings[i]!, time: at as Minutes };
  }
  for (const [k, { points, thickness }] of (text.stood_on ?? []).entries()) {
    const reducedBy = toMillimetres(reader, thickness);
    for (const [j, label] of points.entries()) {
      const at = [...path, "stood_on", k, "points", j];
      for (const i of positions(label, at)) {
        const reading = readings[i]!;
        if (reading.reducedBy !== undefined) {
          objectAt(reader, at, twiceUnder(text.id, reading.pointId));
          continue;
        }
        // The handset stood this much above the slab.
        readings[i] = { ...reading, level: (reading.level - reducedBy) as Millimetres, reducedBy };
      }
    }
  }
  for (const [k, { point, which, reason }] of (text.struck ?? []).entries()) {
    const at = [...path, "struck", k, "point"];
    const found = positions(point, at).filter((i) => typed[i]!.pointId === point);
    if (found.length > 1 && which === undefined) {
      objectAt(reader, at, {
        code: "struck-reading-unclear",
        message: `Set-up ${text.id}: ${point} was read twice. Which reading is struck?`,
        expected: "which: first, repeat or both",
      });
      continue;
    }
    const struck = which === "first" ? found.slice(0, 1) : which === "repeat" ? found.slice(1) : found;
    for (const i of struck) readings[i] = { ...readings[i]!, struck: { reason } };
  }
  const ties = (text.after_work?.ties ?? []).flatMap((label, k) =>
    positions(label, [...path, "after_work", "ties", k]).map((i) => typed[i]!.pointId),
  );
  return { readings, ties: [...new Set(ties)] };
}

const twiceUnder = (setUpId: string, pointId: string): Finding => ({
  code: "stood-on-twice",
  message: `Set-up ${setUpId}: what the handset stood on is given twice for ${pointId}.`,
  expected: "each point once, with the whole thickness under the handset",
});

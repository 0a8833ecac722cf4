/** Rows of the written sheet that fit the slab only when moved by one place: a `-` left out, a box skipped. */
import { chiSquareQuantile } from "../numeric/distributions.ts";
import type { Observations } from "./observations.ts";
import type { ReadPlace } from "./roughness.ts";
import { type Prediction, type SlabAround, slabScale } from "./slab-around.ts";

export interface ShiftedRow {
  /** Places of the row in the order of the sheet. */
  readonly places: readonly number[];
  /** 1: each number belongs to the next place of the row; −1: to the one before. */
  readonly by: 1 | -1;
  /** Root of the mean square of (predicted − read), in its spreads, as typed; and what it may be. */
  readonly statistic: number;
  readonly critical: number;
  readonly worst: { readonly place: number; readonly prediction: Prediction };
  readonly scale: number;
}

/** With fewer readings a row fits by chance too easily. */
const SHORTEST_ROW = 4;
/** A shifted row has to fit well, not merely better: within what chance gives nine times in ten. */
const FITS_AT = 0.9;

/**
 * A row is what stands on one line of the sheet. It is predicted from the rows around it, none of its
 * own readings helping; it counts as shifted where it does not fit as typed (at `alpha`) and does when moved.
 */
export function shiftedRows(
  observations: Observations,
  places: readonly ReadPlace[],
  uncheckedReading: readonly (number | undefined)[],
  around: SlabAround,
  alpha: number,
): ShiftedRow[] {
  const rows = rowsOf(observations, uncheckedReading);
  const rowOf = new Map<number, readonly RowEntry[]>();
  for (const row of rows) for (const { place } of row) rowOf.set(place, row);
  const predictions = places.map((_, place) => {
    const own = rowOf.get(place);
    return own && around.predictAcross(place, (other) => rowOf.get(other) === own);
  });
  // A prediction across the row has a scale of its own.
  const scale = slabScale(places, predictions);
  if (scale === undefined) return [];
  const found: ShiftedRow[] = [];
  for (const row of rows) {
    // From one side alone a tilt of the slab looks like a row that is off.
    if (row.some(({ place }) => (predictions[place]?.from.length ?? 0) < 2)) continue;
    const off = (from: number, to: number): number => {
      const prediction = predictions[to]!;
      return (prediction.levelMm - places[from]!.levelMm) / (scale * prediction.sdMm);
    };
    const moved = (by: -1 | 0 | 1): { sum: number; terms: number } => {
      let sum = 0;
      let terms = 0;
      for (const { place, position } of row) {
        const to = row.find((other) => other.position === position + by);
        if (!to) continue;
        sum += off(place, to.place) ** 2;
        terms++;
      }
      return { sum, terms };
    };
    const typed = moved(0);
    const limit = chiSquareQuantile(1 - alpha, typed.terms);
    if (typed.sum <= limit) continue;
    const fitting = ([1, -1] as const)
      .map((by) => ({ by, ...moved(by) }))
      .filter(({ sum, terms }) => terms >= SHORTEST_ROW - 1 && sum <= chiSquareQuantile(FITS_AT, terms))
      .sort((a, b) => a.sum / a.terms - b.sum / b.terms)[0];
    if (!fitting) continue;
    const worst = row.map(({ place }) => place).sort((a, b) => Math.abs(off(b, b)) - Math.abs(off(a, a)))[0]!;
    found.push({
      places: row.map(({ place }) => place),
      by: fitting.by,
      statistic: Math.sqrt(typed.sum / typed.terms),
      critical: Math.sqrt(limit / typed.terms),
      worst: { place: worst, prediction: predictions[worst]! },
      scale,
    });
  }
  return found;
}

interface RowEntry {
  readonly place: number;
  /** Which number of the line it is, those that other readings check counted too. */
  readonly position: number;
}

function rowsOf(observations: Observations, uncheckedReading: readonly (number | undefined)[]): RowEntry[][] {
  const placeOfReading = new Map<number, number>();
  uncheckedReading.forEach((reading, place) => {
    if (reading !== undefined) placeOfReading.set(reading, place);
  });
  const lines = new Map<string, { reading: number; column: number }[]>();
  observations.refs.forEach((ref, reading) => {
    if (ref.kind !== "reading") return;
    const key = `${ref.setUpId}\n${ref.place.file}\n${ref.place.line}`;
    const line = lines.get(key);
    if (line) line.push({ reading, column: ref.place.column });
    else lines.set(key, [{ reading, column: ref.place.column }]);
  });
  return [...lines.values()]
    .map((line) =>
      line
        .sort((a, b) => a.column - b.column)
        .flatMap(({ reading }, position) => {
          const place = placeOfReading.get(reading);
          return place === undefined ? [] : [{ place, position }];
        }),
    )
    .filter((row) => row.length >= SHORTEST_ROW);
}

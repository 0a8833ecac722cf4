/** Slips that crews and typists make, tried one by one on a reading that is off. */
import type { Reading } from "../job/model.ts";
import { MM_PER_INCH } from "../units.ts";
import type { TypicalSlip } from "./model.ts";

/** A candidate fits within this many standard deviations of the likely level. */
const FITS_WITHIN = 2.5;
/** And must bring the reading at least this much nearer, or the name would mean nothing. */
const NEARER_BY = 4;

/**
 * The slip that turns the likely level into the reading, if one does.
 * `likelyMm` is the likely level above the set-up's zero, `sdMm` the standard deviation of
 * reading less likely where nothing is wrong.
 */
export function typicalSlipOf(reading: Reading, likelyMm: number, sdMm: number): TypicalSlip | undefined {
  // What stands between the number as typed, in mm on its side, and the level.
  const zeroMm = reading.typed.zeroMm ?? 0;
  const reducedBy = (reading.reducedBy ?? 0) + (reading.typed.side === "below" ? -zeroMm : zeroMm);
  const typedMm = reading.level + reducedBy;
  const off = Math.abs(reading.level - likelyMm);
  let best: { slip: TypicalSlip; off: number } | undefined;
  for (const { slip, factor } of candidates(reading)) {
    const candidateOff = Math.abs(typedMm * factor - reducedBy - likelyMm);
    if (candidateOff > FITS_WITHIN * sdMm || candidateOff * NEARER_BY > off) continue;
    if (best === undefined || candidateOff < best.off) best = { slip, off: candidateOff };
  }
  return best?.slip;
}

/** What the reading would have been, as a factor on what was typed. */
function candidates(reading: Reading): { slip: TypicalSlip; factor: number }[] {
  const found: { slip: TypicalSlip; factor: number }[] = [
    { slip: { kind: "sign-turned" }, factor: -1 },
    { slip: { kind: "decimal-point" }, factor: 10 },
    { slip: { kind: "decimal-point" }, factor: 0.1 },
  ];
  // The sheet's number is in inches and was typed as millimetres, and the other way about.
  if (reading.typed.unit === "mm") found.push({ slip: { kind: "inches-as-millimetres" }, factor: MM_PER_INCH });
  if (reading.typed.unit === "in") found.push({ slip: { kind: "millimetres-as-inches" }, factor: 1 / MM_PER_INCH });
  const text = reading.typed.text.trim();
  if (!/^[+-]?\d+(\.\d+)?$/.test(text)) return found;
  const typed = Number(text);
  for (let k = 0; k + 1 < text.length; k++) {
    const [a, b] = [text[k]!, text[k + 1]!];
    if (!/\d/.test(a) || !/\d/.test(b) || a === b) continue;
    const swapped = text.slice(0, k) + b + a + text.slice(k + 2);
    if (typed !== 0) found.push({ slip: { kind: "digits-swapped", text: swapped }, factor: Number(swapped) / typed });
  }
  return found;
}

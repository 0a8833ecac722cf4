/**
 * How the volume of a cell grows along a direction: from a place along it to the litres before it, and
 * back. Exact for the surface: between two corners of pieces the cross-section is a parabola.
 */
import { type Litres, type Metres, metres } from "../units.ts";
import type { FillPiece } from "./fill.ts";

export interface VolumeProfile {
  /** Places along the direction at which a piece has a corner, ascending. */
  readonly atM: Float64Array;
  /** Litres before each of them. */
  readonly litres: Float64Array;
  /** Cross-section at 1/4, 1/2 and 3/4 of each stretch between them, litres a metre. */
  readonly sections: Float64Array;
}

/** Corners closer than this along the direction are one place: a hundredth of the finest mark of a tape. */
const SAME_PLACE_M = 1e-5;

/** The profile along a direction of length 1. Throws where there is no piece. */
export function volumeProfile(pieces: readonly FillPiece[], x: number, y: number): VolumeProfile {
  const along = pieces.map((piece) => piece.map((p) => x * p.x + y * p.y));
  const atM = distinct(along.flat());
  if (atM.length === 0) throw new Error("a volume profile of nothing");
  const starts = along.map((alongs) => placeOf(atM, Math.min(...alongs)));
  const ends = along.map((alongs) => placeOf(atM, Math.max(...alongs)));
  const byStart = starts.map((_, k) => k).sort((p, q) => starts[p]! - starts[q]! || p - q);
  const litres = new Float64Array(atM.length);
  const sections = new Float64Array(3 * Math.max(0, atM.length - 1));
  let open: number[] = [];
  let next = 0;
  for (let k = 0; k + 1 < atM.length; k++) {
    open = open.filter((piece) => ends[piece]! > k);
    for (; next < byStart.length && starts[byStart[next]!]! <= k; next++)
      if (ends[byStart[next]!]! > k) open.push(byStart[next]!);
    const from = atM[k]!;
    const span = atM[k + 1]! - from;
    for (let sample = 0; sample < 3; sample++) {
      const at = from + (span * (sample + 1)) / 4;
      let section = 0;
      for (const piece of open) section += crossSection(pieces[piece]!, along[piece]!, at, x, y);
      sections[3 * k + sample] = section;
    }
    litres[k + 1] = litres[k]! + span * openMean(sections, k);
  }
  return { atM, litres, sections };
}

export const totalLitres = ({ litres }: VolumeProfile): Litres => litres[litres.length - 1]!;

/** Litres before a place along the direction. */
export function litresBefore(profile: VolumeProfile, at: Metres): Litres {
  const { atM, litres, sections } = profile;
  if (at <= atM[0]!) return 0;
  const last = atM.length - 1;
  if (at >= atM[last]!) return litres[last]!;
  const k = stretchOf(atM, at);
  return litres[k]! + partOfStretch(sections, k, atM[k + 1]! - atM[k]!, (at - atM[k]!) / (atM[k + 1]! - atM[k]!));
}

/** The place before which there are so many litres: the first such, clamped to the cell. */
export function placeAfter(profile: VolumeProfile, wanted: Litres): Metres {
  const { atM, litres, sections } = profile;
  if (wanted <= 0) return metres(atM[0]!);
  const last = atM.length - 1;
  if (wanted >= litres[last]!) return metres(atM[last]!);
  const k = stretchOf(litres, wanted);
  const span = atM[k + 1]! - atM[k]!;
  // Newton's method kept inside a bracket that shrinks: the volume grows with the place, so there is one root.
  let low = 0;
  let high = 1;
  let share = (wanted - litres[k]!) / (litres[k + 1]! - litres[k]!);
  for (let round = 0; round < 60; round++) {
    const over = litres[k]! + partOfStretch(sections, k, span, share) - wanted;
    if (over < 0) low = share;
    else high = share;
    const steep = span * sectionAt(sections, k, share);
    const next = share - over / steep;
    const then = next > low && next < high ? next : (low + high) / 2;
    // A trillionth of a stretch is far below what a line is struck to.
    if (Math.abs(then - share) < 1e-12) break;
    share = then;
  }
  return metres(atM[k]! + span * share);
}

/** Mean of a parabola from its values at 1/4, 1/2, 3/4 (Milne's open rule, exact up to the third degree). */
const openMean = (sections: Float64Array, k: number): number =>
  (2 * sections[3 * k]! - sections[3 * k + 1]! + 2 * sections[3 * k + 2]!) / 3;

/** ∫ of the parabola through the three values of stretch k, from its start to a share t of it. */
function partOfStretch(sections: Float64Array, k: number, span: number, t: number): Litres {
  const p = sections[3 * k]!;
  const q = sections[3 * k + 1]!;
  const r = sections[3 * k + 2]!;
  // With u = (t − 1/2)·4 the values stand at −1, 0, 1: q + u (r − p)/2 + u² (p − 2q + r)/2; from u = −2 on.
  const slope = (r - p) / 2;
  const bend = (p - 2 * q + r) / 2;
  const u = 4 * t - 2;
  return (span / 4) * (u * (q + u * (slope / 2 + (u * bend) / 3)) + 2 * (q - 2 * (slope / 2 - (2 * bend) / 3)));
}

/** The cross-section at a share of stretch k, litres a metre. */
function sectionAt(sections: Float64Array, k: number, t: number): number {
  const p = sections[3 * k]!;
  const q = sections[3 * k + 1]!;
  const r = sections[3 * k + 2]!;
  const u = 4 * t - 2;
  return q + u * ((r - p) / 2 + (u * (p - 2 * q + r)) / 2);
}

/** Length of the cut across a convex piece, times the mean fill on it: mm·m, litres a metre. */
function crossSection(piece: FillPiece, along: readonly number[], at: number, x: number, y: number): number {
  let count = 0;
  let across = 0;
  let value = 0;
  for (let k = 0; k < piece.length; k++) {
    const next = k + 1 === piece.length ? 0 : k + 1;
    const [from, to] = [along[k]!, along[next]!];
    if (from < at === to < at) continue;
    const t = (at - from) / (to - from);
    const [p, q] = [piece[k]!, piece[next]!];
    const side = x * (p.y + t * (q.y - p.y)) - y * (p.x + t * (q.x - p.x));
    const fill = p.value + t * (q.value - p.value);
    if (count === 1) return (Math.abs(side - across) * (fill + value)) / 2;
    count = 1;
    across = side;
    value = fill;
  }
  return 0;
}

function distinct(values: number[]): Float64Array {
  const sorted = Float64Array.from(values).sort();
  const kept: number[] = [];
  for (const value of sorted) if (kept.length === 0 || value - kept[kept.length - 1]! > SAME_PLACE_M) kept.push(value);
  return Float64Array.from(kept);
}

/** Index of the place that a corner was taken into. */
function placeOf(atM: Float64Array, value: number): number {
  let low = 0;
  let high = atM.length - 1;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if (atM[middle]! <= value) low = middle;
    else high = middle - 1;
  }
  return low;
}

/** The stretch k with sorted[k] ≤ value < sorted[k + 1]. */
function stretchOf(sorted: Float64Array, value: number): number {
  return Math.min(placeOf(sorted, value), sorted.length - 2);
}

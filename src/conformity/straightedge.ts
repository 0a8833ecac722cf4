/**
 * A straightedge that rests under its own weight on a profile of the floor.
 *
 * The underside touches the upper convex hull of what lies under it. The weight acts at the middle,
 * so the edge comes to rest on the hull edge that lies under its middle: the two ends of that hull
 * edge are its contacts (statics: the weight must act between two supports). Where the middle is
 * over a hull corner the edge can tip either way: both rests are taken, and the worse counts.
 * Between contacts the gap is the edge's line less the floor. Past them the edge overhangs.
 */
import type { EdgeContact } from "../job/contract-model.ts";
import type { Metres, Millimetres } from "../units.ts";

/**
 * Levels along a straight line, linear from sample to sample. `alongM` never falls; two samples at
 * one place are a vertical step.
 */
export interface Profile {
  readonly alongM: Float64Array;
  readonly levelMm: Float64Array;
  readonly count: number;
}

/** One way in which the edge comes to rest. Places are metres along the profile. */
export interface Rest {
  readonly contacts: readonly [Metres, Metres];
  /** Greatest gap between the contacts, and where. 0 where the edge lies on all the way. */
  readonly gap: Millimetres;
  readonly gapAt: Metres;
  /** Greatest gap anywhere under the edge, past the contacts too, and where. */
  readonly wholeGap: Millimetres;
  readonly wholeGapAt: Metres;
}

/** Fewest readings under an edge that can decide on it: fewer leave too much floor between them unseen. */
export const FEWEST_READINGS_UNDER_EDGE = 5;

/** Places this near, as a share of the edge, are one place (a hull corner under the middle): rounding, no more. */
const SAME_PLACE_SHARE = 1e-9;

/** What lies under one placement of the edge; grown as needed and used again for the next. */
export interface UnderEdge {
  alongM: Float64Array;
  levelMm: Float64Array;
  hull: Int32Array;
  count: number;
}

export const emptyUnderEdge = (): UnderEdge => ({
  alongM: new Float64Array(64),
  levelMm: new Float64Array(64),
  hull: new Int32Array(64),
  count: 0,
});

function add(under: UnderEdge, along: number, level: number): void {
  if (under.count === under.alongM.length) {
    const size = 2 * under.count;
    const alongM = new Float64Array(size);
    const levelMm = new Float64Array(size);
    alongM.set(under.alongM);
    levelMm.set(under.levelMm);
    under.alongM = alongM;
    under.levelMm = levelMm;
    under.hull = new Int32Array(size);
  }
  under.alongM[under.count] = along;
  under.levelMm[under.count] = level;
  under.count++;
}

/** Level of the profile at a place between sample k − 1 and sample k. */
function levelBefore(profile: Profile, k: number, along: number): number {
  const a = profile.alongM[k - 1] as number;
  const b = profile.alongM[k] as number;
  const ha = profile.levelMm[k - 1] as number;
  const hb = profile.levelMm[k] as number;
  return b > a ? ha + ((along - a) / (b - a)) * (hb - ha) : hb;
}

/**
 * Gathers what lies under an edge from `start` to `start + length`. `hint` is a sample at or before
 * `start`; the first sample at or past `start` is given back, the hint for the next placement.
 */
export function gatherUnder(under: UnderEdge, profile: Profile, start: number, length: number, hint: number): number {
  const { alongM, levelMm, count } = profile;
  const end = start + length;
  let first = hint;
  while (first < count && (alongM[first] as number) < start) first++;
  under.count = 0;
  if (first > 0 && first < count && (alongM[first] as number) > start) {
    add(under, start, levelBefore(profile, first, start));
  }
  let k = first;
  while (k < count && (alongM[k] as number) <= end) {
    add(under, alongM[k] as number, levelMm[k] as number);
    k++;
  }
  if (k > 0 && k < count && (alongM[k - 1] as number) < end) add(under, end, levelBefore(profile, k, end));
  return first;
}

/** Upper hull, left to right, into `under.hull`; its number of corners. Andrew's monotone chain (1979). */
function upperHull(under: UnderEdge): number {
  const { alongM, levelMm, hull, count } = under;
  let size = 0;
  for (let k = 0; k < count; k++) {
    const s = alongM[k] as number;
    const h = levelMm[k] as number;
    while (size > 1) {
      const b = hull[size - 1] as number;
      const a = hull[size - 2] as number;
      const sa = alongM[a] as number;
      const ha = levelMm[a] as number;
      const turn = ((alongM[b] as number) - sa) * (h - ha) - (s - sa) * ((levelMm[b] as number) - ha);
      if (turn < 0) break;
      size--;
    }
    // The first sample goes where another stands above it at the same place.
    if (size === 1 && s === (alongM[hull[0] as number] as number) && h >= (levelMm[hull[0] as number] as number))
      size = 0;
    hull[size++] = k;
  }
  return size;
}

/** The rest with its contacts at samples `left` and `right` of what was gathered. */
export interface RestFound {
  left: number;
  right: number;
  gap: number;
  gapAt: number;
  wholeGap: number;
  wholeGapAt: number;
}

export const noRest = (): RestFound => ({ left: 0, right: 0, gap: 0, gapAt: 0, wholeGap: 0, wholeGapAt: 0 });

function measure(under: UnderEdge, left: number, right: number, into: RestFound): void {
  const { alongM, levelMm, count } = under;
  const sa = alongM[left] as number;
  const ha = levelMm[left] as number;
  const slope = ((levelMm[right] as number) - ha) / ((alongM[right] as number) - sa);
  into.left = left;
  into.right = right;
  into.gap = 0;
  into.gapAt = left;
  into.wholeGap = 0;
  into.wholeGapAt = left;
  for (let k = 0; k < count; k++) {
    const gap = ha + slope * ((alongM[k] as number) - sa) - (levelMm[k] as number);
    if (gap > into.wholeGap) {
      into.wholeGap = gap;
      into.wholeGapAt = k;
    }
    // By the order of samples, not by place: the low side of a step at a contact is past it.
    if (k > left && k < right && gap > into.gap) {
      into.gap = gap;
      into.gapAt = k;
    }
  }
}

/**
 * Lets the edge rest on what was gathered: one rest, or two where its middle is over a hull corner.
 * Gives how many, and fills `one` and `other`. Throws where less than two places lie under the edge.
 */
export function letRest(under: UnderEdge, start: number, length: number, one: RestFound, other: RestFound): 1 | 2 {
  const corners = upperHull(under);
  const { alongM, hull } = under;
  if (corners < 2) throw new Error(`an edge ${length} m long at ${start} m along its profile has no floor under it`);
  const middle = start + length / 2;
  const near = SAME_PLACE_SHARE * length;
  let next = 1;
  while (next < corners - 1 && (alongM[hull[next] as number] as number) <= middle - near) next++;
  measure(under, hull[next - 1] as number, hull[next] as number, one);
  if (next < corners - 1 && (alongM[hull[next] as number] as number) < middle + near) {
    measure(under, hull[next] as number, hull[next + 1] as number, other);
    return 2;
  }
  return 1;
}

/**
 * How an edge rests on a profile: from `start`, `length` long (both metres along it), one rest or two.
 * Throws where the edge does not lie wholly on the profile.
 */
export function restsOn(profile: Profile, start: Metres, length: Metres): readonly Rest[] {
  const first = profile.alongM[0];
  const last = profile.alongM[profile.count - 1];
  const slack = SAME_PLACE_SHARE * length;
  if (first === undefined || last === undefined || start < first - slack || start + length > last + slack) {
    throw new Error(`an edge from ${start} m to ${start + length} m along does not lie wholly on the profile`);
  }
  const under = emptyUnderEdge();
  gatherUnder(under, profile, start, length, 0);
  const found = [noRest(), noRest()] as const;
  const rests = letRest(under, start, length, found[0], found[1]);
  const place = (k: number): Metres => under.alongM[k] as Metres;
  return found.slice(0, rests).map((rest) => ({
    contacts: [place(rest.left), place(rest.right)] as const,
    gap: rest.gap as Millimetres,
    gapAt: place(rest.gapAt),
    wholeGap: rest.wholeGap as Millimetres,
    wholeGapAt: place(rest.wholeGapAt),
  }));
}

/** Shares of the samples that make up the level at a place along a profile; `level` tells the two sides of a step apart. */
export function samplesAt(profile: Profile, along: number, level: number): readonly (readonly [number, number])[] {
  const { alongM, levelMm, count } = profile;
  const last = count - 1;
  let k = 0;
  while (k < last && alongM[k]! < along) k++;
  while (k < last && alongM[k + 1] === along && levelMm[k] !== level) k++;
  if (k === 0 || alongM[k]! <= along) return [[k, 1]];
  const share = (along - alongM[k - 1]!) / (alongM[k]! - alongM[k - 1]!);
  return [
    [k - 1, 1 - share],
    [k, share],
  ];
}

/** An edge on a profile with the gap that counts by the rule's contact. */
export interface EdgeOnProfile {
  readonly start: Metres;
  readonly contacts: readonly [Metres, Metres];
  readonly gapAt: Metres;
  readonly gap: Millimetres;
  /** Samples from end to end of the edge. */
  readonly readings: number;
  /** gap = Σ weight × level of sample. */
  readonly weights: ReadonlyMap<number, number>;
}

/** The gap that counts of a rest. */
export const countedGap = (rest: RestFound, contact: EdgeContact): number =>
  contact === "between-contacts" ? rest.gap : rest.wholeGap;

/** What each sample adds to the gap of a rest found on what was gathered from the profile. */
export function gapWeights(profile: Profile, under: UnderEdge, rest: RestFound, low: number): Map<number, number> {
  const [left, right, lowest] = [rest.left, rest.right, low].map((k) => ({
    along: under.alongM[k]!,
    level: under.levelMm[k]!,
  })) as [Place, Place, Place];
  const toRight = (lowest.along - left.along) / (right.along - left.along);
  const weights = new Map<number, number>();
  const add = (place: Place, weight: number): void => {
    for (const [sample, share] of samplesAt(profile, place.along, place.level)) {
      weights.set(sample, (weights.get(sample) ?? 0) + weight * share);
    }
  };
  add(left, 1 - toRight);
  add(right, toRight);
  add(lowest, -1);
  return weights;
}
interface Place {
  readonly along: number;
  readonly level: number;
}

/**
 * The worst of an edge slid along a measured profile, with readings enough under it; undefined where
 * no place has them or the profile is shorter than the edge. The edge is laid every `step` metres
 * and wherever an end or the middle stands at a reading, since there its rest can change.
 */
export function worstOnProfile(
  profile: Profile,
  length: Metres,
  contact: EdgeContact,
  step: Metres,
): EdgeOnProfile | undefined {
  const { alongM, count } = profile;
  const begin = alongM[0]!;
  const room = alongM[count - 1]! - begin - length;
  const slack = SAME_PLACE_SHARE * length;
  if (room < -slack) return undefined;
  const moves = Math.ceil(Math.max(0, room) / step);
  const starts = Array.from({ length: moves + 1 }, (_, m) => begin + (moves === 0 ? 0 : (room * m) / moves));
  for (const s of alongM.subarray(0, count)) {
    for (const start of [s, s - length / 2, s - length])
      if (start >= begin && start <= begin + room) starts.push(start);
  }
  const under = emptyUnderEdge();
  const rests = [noRest(), noRest()] as const;
  let worst: EdgeOnProfile | undefined;
  for (const start of starts) {
    const readings = alongM.subarray(0, count).filter((s) => s >= start - slack && s <= start + length + slack).length;
    if (readings < FEWEST_READINGS_UNDER_EDGE) continue;
    gatherUnder(under, profile, start, length, 0);
    const found = rests.slice(0, letRest(under, start, length, ...rests));
    for (const rest of found) {
      const gap = countedGap(rest, contact);
      if (worst && gap <= worst.gap) continue;
      const low = contact === "between-contacts" ? rest.gapAt : rest.wholeGapAt;
      worst = {
        start,
        contacts: [under.alongM[rest.left]!, under.alongM[rest.right]!],
        gapAt: under.alongM[low]!,
        gap,
        readings,
        weights: gapWeights(profile, under, rest, low),
      };
    }
  }
  return worst;
}

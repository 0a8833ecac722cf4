/**
 * What the slab around a point says of its level: the point is left out and predicted from its
 * neighbours. A slab is smooth between joints, so a reading far off the prediction is suspect even
 * where nothing else checks it.
 */
import Flatbush from "flatbush";
import { fitRoughness, type ReadPlace, type Roughness, roughnessAt, withoutTilt } from "./roughness.ts";

export interface Prediction {
  readonly levelMm: number;
  /** Standard deviation of (predicted − read) that goes with where the neighbours stand, before `slabSpread` scales it. */
  readonly sdMm: number;
  /** The places that it rests on. */
  readonly from: readonly number[];
}

/** Predicts a level at any place from the places that are not set aside. */
export interface SlabAround {
  /** From the neighbours all round. */
  predict(place: number): Prediction | undefined;
  /** From the very nearest places that are not of its own row: on a grid, the ones on either side of the row. */
  predictAcross(place: number, ofItsRow: (other: number) => boolean): Prediction | undefined;
}

/** As many neighbours as a grid point has round it. */
const NEIGHBOURS = 8;
/** On a grid these hold the neighbours and those of the rows beside. */
const SEARCHED = 20;
/** With fewer, a slip of one of them moves the prediction as much as it likes. */
const FEWEST_NEIGHBOURS = 5;
/** Places count as equally near within a tenth. */
const AS_NEAR = 1.1;

/**
 * Ordinary kriging from the nearest places, the tilt of the room taken out beforehand (Journel & Huijbregts, Mining
 * Geostatistics (1978), ch. V). How rough the slab is comes from the places themselves (`roughness.ts`); so a place at the
 * edge, with neighbours on one side, gets a wider prediction than one in the midst. `readingSdMm` is that of one reading.
 * The set of places set aside may grow while the slab is in use.
 */
export function slabAround(
  places: readonly ReadPlace[],
  setAside: ReadonlySet<number>,
  readingSdMm: number,
): SlabAround {
  const none: SlabAround = { predict: () => undefined, predictAcross: () => undefined };
  if (places.length === 0) return none;
  const index = new Flatbush(places.length);
  for (const { at } of places) index.add(at.x, at.y, at.x, at.y);
  index.finish();
  const search = (place: number, count: number, fits: (other: number) => boolean): number[] => {
    const { at, roomIndex } = places[place]!;
    return index.neighbors(
      at.x,
      at.y,
      count,
      Infinity,
      (other) => other !== place && places[other]!.roomIndex === roomIndex && fits(other),
    );
  };
  // One wide search a place serves nearly every later one: nearest first, with what is set aside still in it.
  const wide = places.map((_, place) => search(place, SEARCHED, () => true));
  const nearest = (place: number, except: (other: number) => boolean): number[] => {
    const fits = (other: number): boolean => !setAside.has(other) && !except(other);
    const near: number[] = [];
    for (const other of wide[place]!) if (near.length < NEIGHBOURS && fits(other)) near.push(other);
    const all = wide[place]!.length < SEARCHED;
    const found = near.length === NEIGHBOURS || all ? near : search(place, NEIGHBOURS, fits);
    // Equally far neighbours come in no set order; the sum must not depend on it.
    return found.sort((a, b) => a - b);
  };
  const away = (a: number, b: number): number =>
    Math.hypot(places[a]!.at.x - places[b]!.at.x, places[a]!.at.y - places[b]!.at.y);

  const neighbours = places.map((_, place) => nearest(place, () => false));
  const tilts = withoutTilt(places);
  const pairs: { away: number; difference: number }[] = [];
  neighbours.forEach((near, place) => {
    for (const other of near) {
      // Neighbours are so both ways as a rule: each pair once.
      if (other > place)
        pairs.push({ away: away(place, other), difference: tilts.offMm[place]! - tilts.offMm[other]! });
    }
  });
  const roughness = fitRoughness(pairs, readingSdMm);
  return {
    predict(place) {
      const known = neighbours[place]!;
      const near = known.some((other) => setAside.has(other)) ? nearest(place, () => false) : known;
      if (near.length < FEWEST_NEIGHBOURS) return undefined;
      const { offMm, sdMm } = kriged(place, near, tilts.offMm, away, roughness);
      return { levelMm: offMm + tilts.planeMm[place]!, sdMm, from: near };
    },
    predictAcross(place, ofItsRow) {
      const near = nearest(place, ofItsRow);
      const least = Math.min(...near.map((other) => away(place, other)));
      const from = near.filter((other) => away(place, other) <= AS_NEAR * least);
      if (from.length === 0) return undefined;
      const levelMm = from.reduce((sum, other) => sum + places[other]!.levelMm, 0) / from.length;
      return { levelMm, sdMm: readingSdMm * Math.sqrt(1 + 1 / from.length), from };
    },
  };
}

/** Weights that add up to one and make the variance of (predicted − read) least; that variance holds both readings' noise. */
function kriged(
  place: number,
  near: readonly number[],
  offMm: Float64Array,
  away: (a: number, b: number) => number,
  roughness: Roughness,
): { offMm: number; sdMm: number } {
  const n = near.length;
  const size = n + 1;
  const width = size + 1;
  // Rows of [Γ 1; 1 0 | γ], solved by elimination with the greatest pivot.
  const rows = new Float64Array(size * width);
  const right = new Float64Array(size).fill(1);
  for (let r = 0; r < n; r++) {
    right[r] = roughnessAt(roughness, away(near[r]!, place));
    rows[r * width + n] = 1;
    rows[n * width + r] = 1;
    for (let c = 0; c < r; c++) {
      const value = roughnessAt(roughness, away(near[r]!, near[c]!));
      rows[r * width + c] = value;
      rows[c * width + r] = value;
    }
  }
  for (let r = 0; r < size; r++) rows[r * width + size] = right[r]!;
  for (let c = 0; c < size; c++) {
    let pivot = c;
    for (let r = c + 1; r < size; r++)
      if (Math.abs(rows[r * width + c]!) > Math.abs(rows[pivot * width + c]!)) pivot = r;
    for (let k = c; k < width; k++) {
      const swapped = rows[c * width + k]!;
      rows[c * width + k] = rows[pivot * width + k]!;
      rows[pivot * width + k] = swapped;
    }
    for (let r = 0; r < size; r++) {
      if (r === c) continue;
      const factor = rows[r * width + c]! / rows[c * width + c]!;
      for (let k = c; k < width; k++) rows[r * width + k] = rows[r * width + k]! - factor * rows[c * width + k]!;
    }
  }
  let off = 0;
  let variance = 0;
  for (let k = 0; k < size; k++) {
    const weight = rows[k * width + size]! / rows[k * width + k]!;
    if (k < n) off += weight * offMm[near[k]!]!;
    variance += weight * right[k]!;
  }
  return { offMm: off, sdMm: Math.sqrt(variance) };
}

/**
 * How many times wider (predicted − read) spreads than the predictions say: from the middle and from the ninth tenth of
 * its size, whichever is more, which slips in fewer than one reading in ten do not move. A normal spread has its middle
 * at 0.6745 and its ninth tenth at 1.6449 standard deviations. Never below 1; undefined with fewer than ten predictions.
 */
export function slabScale(
  places: readonly ReadPlace[],
  predictions: readonly (Prediction | undefined)[],
): number | undefined {
  const sizes: number[] = [];
  predictions.forEach((prediction, place) => {
    if (prediction) sizes.push(Math.abs(prediction.levelMm - places[place]!.levelMm) / prediction.sdMm);
  });
  if (sizes.length < 10) return undefined;
  sizes.sort((a, b) => a - b);
  const at = (share: number): number => sizes[Math.min(sizes.length - 1, Math.floor(share * sizes.length))]!;
  return Math.max(1, at(0.5) / 0.6745, at(0.9) / 1.6449);
}

/**
 * What the slab around a point says of its level: the point is left out and predicted from its
 * neighbours. A slab is smooth between joints, so a reading far off the prediction is suspect even
 * where nothing else checks it.
 */
import { factored } from "../numeric/linear-solve.ts";
import { nearPlaces } from "./near-places.ts";
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
  const { search } = nearPlaces(places);
  // One wide search a place serves nearly every later one: nearest first, with what is set aside still in it.
  const wide = places.map((_, place) => search(place, SEARCHED));
  const nearest = (place: number, except: (other: number) => boolean): number[] => {
    const fits = (other: number): boolean => !setAside.has(other) && !except(other);
    const near: number[] = [];
    for (const other of wide[place]!) if (near.length < NEIGHBOURS && fits(other)) near.push(other);
    const all = wide[place]!.length < SEARCHED;
    const found = near.length === NEIGHBOURS || all ? near : search(place, NEIGHBOURS, fits);
    // Equally far neighbours come in no set order; the sum must not depend on it.
    return found.sort((a, b) => a - b);
  };
  const away = (a: number, b: number): number => {
    const dx = places[a]!.at.x - places[b]!.at.x;
    const dy = places[a]!.at.y - places[b]!.at.y;
    return Math.sqrt(dx * dx + dy * dy);
  };

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
  const weigh = weighing(places, roughness);
  return {
    predict(place) {
      const known = neighbours[place]!;
      const near = known.some((other) => setAside.has(other)) ? nearest(place, () => false) : known;
      if (near.length < FEWEST_NEIGHBOURS) return undefined;
      const { weights, sdMm } = weigh(place, near);
      let levelMm = tilts.planeMm[place]!;
      for (let k = 0; k < near.length; k++) levelMm += weights[k]! * tilts.offMm[near[k]!]!;
      return { levelMm, sdMm, from: near };
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

interface Kriged {
  /** Of the neighbours, in their order. */
  readonly weights: Float64Array;
  readonly sdMm: number;
}

/** Neighbours that stand round a place alike, to a micrometre, weigh alike: on a grid nearly all do. */
function weighing(
  places: readonly ReadPlace[],
  roughness: Roughness,
): (place: number, near: readonly number[]) => Kriged {
  const known = new Map<number, Alike[]>();
  return (place, near) => {
    const { x, y } = places[place]!.at;
    const n = near.length;
    const xs = new Float64Array(n);
    const ys = new Float64Array(n);
    let key = n;
    for (let k = 0; k < n; k++) {
      const { at } = places[near[k]!]!;
      xs[k] = at.x - x;
      ys[k] = at.y - y;
      key = (Math.imul(key, 31) + Math.imul(Math.round(xs[k]! * 1e3), 17) + Math.round(ys[k]! * 1e3)) | 0;
    }
    const there = known.get(key);
    const found = there?.find((one) => standAlike(one, xs, ys));
    if (found) return found;
    const made = { x: xs, y: ys, ...kriged(xs, ys, roughness) };
    if (there) there.push(made);
    else known.set(key, [made]);
    return made;
  };
}

interface Alike extends Kriged {
  readonly x: Float64Array;
  readonly y: Float64Array;
}

const ALIKE_M = 1e-6;

function standAlike({ x, y }: Alike, xs: Float64Array, ys: Float64Array): boolean {
  if (x.length !== xs.length) return false;
  for (let k = 0; k < xs.length; k++)
    if (Math.abs(x[k]! - xs[k]!) > ALIKE_M || Math.abs(y[k]! - ys[k]!) > ALIKE_M) return false;
  return true;
}

/**
 * Weights that add up to one and make the variance of (predicted − read) least; that variance holds both readings' noise.
 * The neighbours stand at (x, y) from the place.
 */
function kriged(x: Float64Array, y: Float64Array, roughness: Roughness): Kriged {
  const n = x.length;
  const size = n + 1;
  // [Γ 1; 1 0] · [weights; multiplier] = [γ; 1].
  const system = new Float64Array(size * size);
  const right = new Float64Array(size).fill(1);
  for (let r = 0; r < n; r++) {
    right[r] = roughnessAt(roughness, Math.sqrt(x[r]! * x[r]! + y[r]! * y[r]!));
    system[r * size + n] = 1;
    system[n * size + r] = 1;
    for (let c = 0; c < r; c++) {
      const dx = x[r]! - x[c]!;
      const dy = y[r]! - y[c]!;
      const value = roughnessAt(roughness, Math.sqrt(dx * dx + dy * dy));
      system[r * size + c] = value;
      system[c * size + r] = value;
    }
  }
  const weights = right.slice();
  const factors = factored(system, size);
  if (factors === undefined) weights.fill(Number.NaN);
  else factors.solve(weights);
  let variance = 0;
  for (let k = 0; k < size; k++) variance += weights[k]! * right[k]!;
  return { weights, sdMm: Math.sqrt(variance) };
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

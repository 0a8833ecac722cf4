/** How rough a slab is: how levels differ with distance, once each room's tilt is taken out. */
import type { Point } from "../geometry/point.ts";

export interface ReadPlace {
  readonly at: Point;
  /** Only places of the same room are neighbours: a floor may step at a wall. */
  readonly roomIndex: number;
  readonly levelMm: number;
}

/** Half the mean squared difference of two readings `away` metres apart: noiseMm2 + growth·awayᵖᵒʷᵉʳ, mm². */
export interface Roughness {
  readonly noiseMm2: number;
  readonly growth: number;
  readonly power: number;
}

export const roughnessAt = ({ noiseMm2, growth, power }: Roughness, awayM: number): number =>
  noiseMm2 + growth * raised(awayM, power);

/** awayᵖᵒʷᵉʳ; quarters go by roots, which are many times quicker than a general power. */
function raised(away: number, power: number): number {
  const quarters = power * 4;
  if (!Number.isInteger(quarters)) return away ** power;
  const root = Math.sqrt(away);
  const whole = quarters >= 4 ? away : 1;
  const rest = quarters % 4;
  return whole * (rest >= 2 ? root : 1) * (rest % 2 === 1 ? Math.sqrt(root) : 1);
}

export interface Untilted {
  readonly planeMm: Float64Array;
  readonly offMm: Float64Array;
}

/** Rounds of reweighting; the plane of a slab with slips stands still after a few. */
const ROUNDS = 6;

/**
 * Each place's level less the plane of its room, fitted by least absolute deviations, which slips do not tilt
 * (iteratively reweighted least squares: Schlossmacher, "An iterative technique for absolute deviations curve
 * fitting", J. Am. Stat. Assoc. 68 (1973)). Rooms with fewer than six places, or all on a line, keep their mean.
 */
export function withoutTilt(places: readonly ReadPlace[]): Untilted {
  const planeMm = new Float64Array(places.length);
  const rooms = new Map<number, number[]>();
  places.forEach(({ roomIndex }, place) => {
    const room = rooms.get(roomIndex);
    if (room) room.push(place);
    else rooms.set(roomIndex, [place]);
  });
  for (const room of rooms.values()) {
    const weights = new Float64Array(room.length).fill(1);
    for (let round = 0; round < ROUNDS; round++) {
      fitPlane(places, room, weights, planeMm);
      room.forEach((place, k) => {
        // A tenth of a millimetre keeps the weight of a place on the plane finite.
        weights[k] = 1 / Math.max(0.1, Math.abs(places[place]!.levelMm - planeMm[place]!));
      });
    }
  }
  return { planeMm, offMm: Float64Array.from(places, ({ levelMm }, place) => levelMm - planeMm[place]!) };
}

function fitPlane(
  places: readonly ReadPlace[],
  room: readonly number[],
  weights: Float64Array,
  planeMm: Float64Array,
): void {
  let sw = 0;
  let cx = 0;
  let cy = 0;
  let mean = 0;
  room.forEach((place, k) => {
    const { at, levelMm } = places[place]!;
    sw += weights[k]!;
    cx += weights[k]! * at.x;
    cy += weights[k]! * at.y;
    mean += weights[k]! * levelMm;
  });
  cx /= sw;
  cy /= sw;
  mean /= sw;
  let sxx = 0;
  let sxy = 0;
  let syy = 0;
  let sxl = 0;
  let syl = 0;
  room.forEach((place, k) => {
    const { at, levelMm } = places[place]!;
    const [x, y, l, w] = [at.x - cx, at.y - cy, levelMm - mean, weights[k]!];
    sxx += w * x * x;
    sxy += w * x * y;
    syy += w * y * y;
    sxl += w * x * l;
    syl += w * y * l;
  });
  const determinant = sxx * syy - sxy * sxy;
  // Relative to the squared spread: places on one line carry no slope across it.
  const plane = room.length >= 6 && determinant > 1e-3 * (sxx + syy) ** 2;
  const gx = plane ? (syy * sxl - sxy * syl) / determinant : 0;
  const gy = plane ? (sxx * syl - sxy * sxl) / determinant : 0;
  for (const place of room) {
    const { at } = places[place]!;
    planeMm[place] = mean + gx * (at.x - cx) + gy * (at.y - cy);
  }
}

/** Two places: how far apart they are, metres, and how their levels differ, mm. */
interface Pair {
  readonly away: number;
  readonly difference: number;
}

/** Classes of distance, each with as many pairs. */
const CLASSES = 6;
/** Powers tried: 2 would be a slab without any roughness. */
const POWERS = [0.5, 0.75, 1, 1.25, 1.5, 1.75, 1.9];

/**
 * Fits the roughness to differences between neighbours. In each class of distance half the squared spread comes from
 * the middle size of the differences, which slips do not move (Cressie & Hawkins, "Robust estimation of the variogram",
 * Mathematical Geology 12 (1980)); the noise is that of two readings.
 */
export function fitRoughness(pairs: readonly Pair[], readingSdMm: number): Roughness {
  const noiseMm2 = readingSdMm ** 2;
  const classes = classesOf(pairs);
  let best: Roughness = { noiseMm2, growth: 0, power: 1 };
  let least = Infinity;
  for (const power of POWERS) {
    let above = 0;
    let below = 0;
    for (const { away, half } of classes) {
      above += (half - noiseMm2) * raised(away, power);
      below += raised(away, power) ** 2;
    }
    const fitted: Roughness = { noiseMm2, growth: below > 0 ? Math.max(0, above / below) : 0, power };
    const misfit = classes.reduce((sum, { away, half }) => sum + (half - roughnessAt(fitted, away)) ** 2, 0);
    if (misfit < least) {
      least = misfit;
      best = fitted;
    }
  }
  return best;
}

/** The classes of distance, shortest first: the middle distance of each, and half its squared spread. */
function classesOf(pairs: readonly Pair[]): { readonly away: number; readonly half: number }[] {
  // On a grid most pairs are equally far: those go into the classes in their own order, as a sort of the pairs would have it.
  const aways = Float64Array.from(pairs.flatMap(({ away }) => (away > 0 ? [away] : []))).sort();
  const ends = Array.from({ length: CLASSES }, (_, k) => Math.floor(((k + 1) * aways.length) / CLASSES));
  const sizes = ends.map((end, k) => new Float64Array(end - (ends[k - 1] ?? 0)));
  const filled = new Uint32Array(CLASSES);
  /** Of each distance that is met: where in the order its next pair stands. */
  const nextOf = new Map<number, number>();
  for (const { away, difference } of pairs) {
    if (!(away > 0)) continue;
    const at = nextOf.get(away) ?? firstIndexOf(aways, away);
    nextOf.set(away, at + 1);
    const k = ends.findIndex((end) => at < end);
    sizes[k]![filled[k]!++] = Math.abs(difference);
  }
  return sizes.flatMap((members, k) => {
    if (members.length === 0) return [];
    members.sort();
    const spread = members[members.length >> 1]! / 0.6745;
    const begin = ends[k]! - members.length;
    return [{ away: aways[begin + (members.length >> 1)]!, half: (spread * spread) / 2 }];
  });
}

/** Where a value first stands in a rising list that holds it. */
function firstIndexOf(sorted: Float64Array, value: number): number {
  let low = 0;
  let high = sorted.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (sorted[middle]! < value) low = middle + 1;
    else high = middle;
  }
  return low;
}

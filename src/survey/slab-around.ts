/**
 * What the slab around a point says of its level: the point is left out and predicted from its
 * neighbours. A slab is smooth between joints, so a reading far off the prediction is suspect even
 * where nothing else checks it.
 */
import Flatbush from "flatbush";
import type { Point } from "../geometry/point.ts";

export interface ReadPlace {
  readonly at: Point;
  /** Only places of the same room are neighbours: a floor may step at a wall. */
  readonly roomIndex: number;
  readonly levelMm: number;
}

export interface Prediction {
  readonly levelMm: number;
  /** The prediction errs by this many times the slab's spread, the error of the point's own reading included. */
  readonly factor: number;
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
/** A plane takes three; with fewer than five nothing is left over to average. */
const FEWEST_NEIGHBOURS = 5;
/** Places count as equally near within a tenth. */
const AS_NEAR = 1.1;

/**
 * Local plane through the nearest neighbours by weighted least squares, weights falling with distance
 * (tricube: Cleveland, "Robust locally weighted regression and smoothing scatterplots", J. Am.
 * Stat. Assoc. 74 (1979)). Where the neighbours stand on one line their weighted mean is taken.
 */
export function slabAround(places: readonly ReadPlace[], setAside: ReadonlySet<number>): SlabAround {
  if (places.length === 0) return { predict: () => undefined, predictAcross: () => undefined };
  const index = new Flatbush(places.length);
  for (const { at } of places) index.add(at.x, at.y, at.x, at.y);
  index.finish();
  const nearest = (place: number, count: number, except: (other: number) => boolean): number[] => {
    const { at, roomIndex } = places[place]!;
    const near = index.neighbors(
      at.x,
      at.y,
      count,
      Infinity,
      (other) => other !== place && places[other]!.roomIndex === roomIndex && !setAside.has(other) && !except(other),
    );
    // Equally far neighbours come in no set order; the sum must not depend on it.
    return near.sort((a, b) => a - b);
  };
  const away = (place: number, other: number): number =>
    Math.hypot(places[place]!.at.x - places[other]!.at.x, places[place]!.at.y - places[other]!.at.y);
  return {
    predict(place) {
      const near = nearest(place, NEIGHBOURS, () => false);
      if (near.length < FEWEST_NEIGHBOURS) return undefined;
      const { levelMm, factor } = localPlane(
        places[place]!.at,
        near.map((other) => places[other]!),
      );
      return { levelMm, factor, from: near };
    },
    predictAcross(place, ofItsRow) {
      const near = nearest(place, NEIGHBOURS, ofItsRow);
      const least = Math.min(...near.map((other) => away(place, other)));
      const from = near.filter((other) => away(place, other) <= AS_NEAR * least);
      if (from.length === 0) return undefined;
      const levelMm = from.reduce((sum, other) => sum + places[other]!.levelMm, 0) / from.length;
      return { levelMm, factor: Math.sqrt(1 + 1 / from.length), from };
    },
  };
}

function localPlane(at: Point, near: readonly ReadPlace[]): Omit<Prediction, "from"> {
  const farthest = Math.max(...near.map((other) => Math.hypot(other.at.x - at.x, other.at.y - at.y)));
  // The farthest neighbour keeps a weight: the kernel ends half as far out again.
  const reach = farthest * 1.5;
  let sw = 0;
  let sx = 0;
  let sy = 0;
  let sxx = 0;
  let sxy = 0;
  let syy = 0;
  const terms = near.map((other) => {
    const x = (other.at.x - at.x) / farthest;
    const y = (other.at.y - at.y) / farthest;
    const w = (1 - (Math.hypot(x, y) * (farthest / reach)) ** 3) ** 3;
    sw += w;
    sx += w * x;
    sy += w * y;
    sxx += w * x * x;
    sxy += w * x * y;
    syy += w * y * y;
    return { x, y, w, level: other.levelMm };
  });
  // About the weighted centre: level = mean + gx·(x − x̄) + gy·(y − ȳ); wanted at x = y = 0.
  const cx = sx / sw;
  const cy = sy / sw;
  const mxx = sxx / sw - cx * cx;
  const mxy = sxy / sw - cx * cy;
  const myy = syy / sw - cy * cy;
  const determinant = mxx * myy - mxy * mxy;
  // Neighbours nearly on one line carry no slope across it. Relative to their spread squared.
  const plane = determinant > FLATTEST * (mxx + myy) ** 2;
  let level = 0;
  let squares = 0;
  for (const { x, y, w, level: one } of terms) {
    let share = w / sw;
    if (plane) {
      const dx = x - cx;
      const dy = y - cy;
      share -= (w / sw) * ((dx * (myy * cx - mxy * cy) + dy * (mxx * cy - mxy * cx)) / determinant);
    }
    level += share * one;
    squares += share * share;
  }
  return { levelMm: level, factor: Math.sqrt(1 + squares) };
}

const FLATTEST = 1e-3;

/**
 * The slab's own spread, mm: of (predicted − read) over the factor of the prediction, by the median
 * of its size, which a few slips do not move; 1.4826 makes it a standard deviation for a normal spread
 * (Huber, Robust Statistics (1981), ch. 5). Never below `leastMm`, what reading alone makes of it.
 * Undefined with fewer than ten predictions.
 */
export function slabSpread(
  places: readonly ReadPlace[],
  predictions: readonly (Prediction | undefined)[],
  leastMm: number,
): number | undefined {
  const sizes: number[] = [];
  predictions.forEach((prediction, place) => {
    if (prediction) sizes.push(Math.abs(prediction.levelMm - places[place]!.levelMm) / prediction.factor);
  });
  if (sizes.length < 10) return undefined;
  sizes.sort((a, b) => a - b);
  const half = sizes.length >> 1;
  const median = sizes.length % 2 === 1 ? sizes[half]! : (sizes[half - 1]! + sizes[half]!) / 2;
  return Math.max(leastMm, 1.4826 * median);
}

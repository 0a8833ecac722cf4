/**
 * The straightedge laid a second time, the slow way: the floor's levels under it are looked up triangle by
 * triangle, and every pair of samples is tried as its two contacts. Shares no code with the rooms that computed it.
 */
interface XY {
  readonly x: number;
  readonly y: number;
}

interface Surface {
  readonly xM: ArrayLike<number>;
  readonly yM: ArrayLike<number>;
  readonly corners: ArrayLike<number>;
  readonly levelMm: ArrayLike<number>;
}

interface Sample {
  readonly alongM: number;
  readonly levelMm: number;
}

/** Places nearer than this along the edge, in metres, are one: on a step of 10 mm in 100 the levels differ by 1e-4 mm there. */
const ONE_PLACE_M = 1e-6;
/** How far a triangle reaches past its sides, as a share of its heights: rounding. */
const ON_SIDE = 1e-9;

/** Level at a point by the triangle that holds it (barycentric coordinates); undefined off the floor. */
function levelAt({ xM, yM, corners, levelMm }: Surface, { x, y }: XY): number | undefined {
  for (let t = 0; t < corners.length; t += 3) {
    const [a, b, c] = [corners[t] as number, corners[t + 1] as number, corners[t + 2] as number];
    const [ax, ay] = [xM[a] as number, yM[a] as number];
    const [bx, by] = [(xM[b] as number) - ax, (yM[b] as number) - ay];
    const [cx, cy] = [(xM[c] as number) - ax, (yM[c] as number) - ay];
    const whole = bx * cy - by * cx;
    const v = ((x - ax) * cy - (y - ay) * cx) / whole;
    const w = (bx * (y - ay) - by * (x - ax)) / whole;
    if (v < -ON_SIDE || w < -ON_SIDE || v + w > 1 + ON_SIDE) continue;
    return (1 - v - w) * (levelMm[a] as number) + v * (levelMm[b] as number) + w * (levelMm[c] as number);
  }
  return undefined;
}

/** The floor under an edge: at its ends, and wherever it crosses a side of a triangle. */
function samplesUnder(surface: Surface, from: XY, to: XY): Sample[] {
  const { xM, yM, corners } = surface;
  const length = Math.hypot(to.x - from.x, to.y - from.y);
  const [ux, uy] = [(to.x - from.x) / length, (to.y - from.y) / length];
  const places = [0, length];
  for (let t = 0; t < corners.length; t += 3) {
    for (let k = 0; k < 3; k++) {
      const a = corners[t + k] as number;
      const b = corners[t + ((k + 1) % 3)] as number;
      const off = (v: number) => ux * ((yM[v] as number) - from.y) - uy * ((xM[v] as number) - from.x);
      const along = (v: number) => ux * ((xM[v] as number) - from.x) + uy * ((yM[v] as number) - from.y);
      const [offA, offB] = [off(a), off(b)];
      if (offA > 0 === offB > 0) continue;
      const place = along(a) + (offA / (offA - offB)) * (along(b) - along(a));
      if (place > 0 && place < length) places.push(place);
    }
  }
  places.sort((p, q) => p - q);
  return places.flatMap((alongM, k) => {
    if (k > 0 && alongM - (places[k - 1] as number) < ONE_PLACE_M) return [];
    const levelMm = levelAt(surface, { x: from.x + alongM * ux, y: from.y + alongM * uy });
    return levelMm === undefined ? [] : [{ alongM, levelMm }];
  });
}

/** An edge touches where its line lies nowhere below the floor by more than this, in mm: rounding of the levels. */
const TOUCH_MM = 1e-6;

/**
 * The gap under an edge laid from `from` to `to`: of all pairs of samples either side of its middle
 * whose line lies nowhere below the floor, the greatest gap between them (or under the whole edge).
 */
export function gapBySlowEdge(surface: Surface, from: XY, to: XY, whole: boolean): number {
  const under = samplesUnder(surface, from, to);
  const middle = Math.hypot(to.x - from.x, to.y - from.y) / 2;
  let worst = 0;
  for (const left of under.filter(({ alongM }) => alongM <= middle + ONE_PLACE_M)) {
    for (const right of under.filter(({ alongM }) => alongM >= middle - ONE_PLACE_M && alongM > left.alongM)) {
      const slope = (right.levelMm - left.levelMm) / (right.alongM - left.alongM);
      const gap = ({ alongM, levelMm }: Sample) => left.levelMm + slope * (alongM - left.alongM) - levelMm;
      if (under.some((sample) => gap(sample) < -TOUCH_MM)) continue;
      for (const sample of under) {
        const between = sample.alongM >= left.alongM && sample.alongM <= right.alongM;
        if (whole || between) worst = Math.max(worst, gap(sample));
      }
    }
  }
  return worst;
}

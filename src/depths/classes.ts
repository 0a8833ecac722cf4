/** Bands and contours of depth: round values in the unit in which the job reads heights. */
import { contourLines, regionsBetween } from "../geometry/bands.ts";
import type { HeightUnit } from "../job/model.ts";
import { type Millimetres, MM_PER_INCH } from "../units.ts";
import { type DepthSurface, toDepthGrid } from "./depth-surface.ts";
import type { Contour, DepthBand } from "./model.ts";

/** More classes than this are not told apart on paper in grey: three tints, and hatches for the rest. */
const MOST_BANDS = 6;
const MOST_CONTOURS = 20;
/** Every fifth contour is drawn heavier (common practice in mapping). */
const INDEX_EVERY = 5;

/** Round steps, finest first: 1 mm or 1/16 in is the finest that is printed. */
const STEPS: Record<HeightUnit, readonly Millimetres[]> = {
  mm: [1, 2, 5, 10, 20, 25, 50, 100, 200, 500, 1000, 2000, 5000],
  in: [1 / 16, 1 / 8, 1 / 4, 1 / 2, 1, 2, 4, 8, 16, 32, 64, 128].map((inches) => inches * MM_PER_INCH),
};

/** The finest round step that has no more than `most` multiples strictly between the two depths. */
function stepFor(unit: HeightUnit, least: Millimetres, greatest: Millimetres, most: number): Millimetres {
  const step = STEPS[unit].find((candidate) => multiplesWithin(candidate, least, greatest).length <= most);
  if (step === undefined) throw new Error(`depths from ${least} mm to ${greatest} mm are no floor's`);
  return step;
}

/** Multiples of the step strictly between the two depths. */
function multiplesWithin(step: Millimetres, least: Millimetres, greatest: Millimetres): Millimetres[] {
  const found: Millimetres[] = [];
  for (let k = Math.floor(least / step); k * step <= greatest; k++) {
    const depth = toDepthGrid(k * step);
    if (depth > least && depth < greatest) found.push(depth);
    // Far more than any list wants: the step is too fine for these depths.
    if (found.length > 100) break;
  }
  return found;
}

/**
 * The limits of the bands, shallowest first, one more than there are bands: undefined and 0 round what
 * stands above the target, 0 and the least depth round what is too thin, round depths from there on.
 * `greatest` must not be less than `leastAllowed`, which is more than zero.
 */
export function bandLimits(
  unit: HeightUnit,
  least: Millimetres,
  greatest: Millimetres,
  leastAllowed: Millimetres,
): (Millimetres | undefined)[] {
  const limits: (Millimetres | undefined)[] = [];
  if (least < 0) limits.push(undefined);
  if (least < leastAllowed) limits.push(0, leastAllowed);
  const shallowest = Math.max(least, leastAllowed);
  const bandsSoFar = Math.max(0, limits.length - 1);
  const step = stepFor(unit, shallowest, greatest, MOST_BANDS - bandsSoFar - 1);
  // A floor that is nowhere too thin has no band that reaches into what is.
  if (limits.length === 0) limits.push(Math.max(leastAllowed, toDepthGrid(Math.floor(least / step) * step)));
  limits.push(...multiplesWithin(step, shallowest, greatest));
  const last = toDepthGrid(Math.ceil(greatest / step) * step);
  // A floor of one depth still gets a band with some width.
  limits.push(last > (limits.at(-1) as Millimetres) ? last : toDepthGrid(last + step));
  return limits;
}

/** Areas, volumes and outlines of the bands; together they cover the floor. */
export function depthBands(
  surface: DepthSurface,
  unit: HeightUnit,
  least: Millimetres,
  greatest: Millimetres,
  leastAllowed: Millimetres,
): DepthBand[] {
  const limits = bandLimits(unit, least, greatest, leastAllowed);
  return limits.slice(0, -1).map((from, k): DepthBand => {
    const to = limits[k + 1] as Millimetres;
    // The last band holds its upper limit too: where the deepest place is a round depth, it ends there.
    const end = k === limits.length - 2 ? undefined : to;
    const { area, integral, polygons } = regionsBetween(surface.mesh, surface.depthMm, from, end);
    return {
      number: k + 1,
      ...(from === undefined ? {} : { from }),
      to,
      area,
      volume: to <= leastAllowed ? leastAllowed * area : integral,
      regions: polygons,
    };
  });
}

/** Contours at every multiple of the finest round interval that gives a readable number of them. */
export function depthContours(
  surface: DepthSurface,
  unit: HeightUnit,
  least: Millimetres,
  greatest: Millimetres,
): Contour[] {
  const step = stepFor(unit, least, greatest, MOST_CONTOURS);
  return multiplesWithin(step, least, greatest).map((depth) => ({
    depth,
    index: Math.round(depth / step) % INDEX_EVERY === 0,
    lines: contourLines(surface.mesh, surface.depthMm, depth),
  }));
}

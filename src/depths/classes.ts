/** Bands and contours of depth: round values in the unit in which the job reads heights. */
import { contourLines, measuresBetween, regionsBetween } from "../geometry/bands.ts";
import type { HeightUnit } from "../job/model.ts";
import { type Litres, type Millimetres, MM_PER_INCH, type SquareMetres } from "../units.ts";
import { toDepthGrid } from "./depth-surface.ts";
import type { Contour, DepthBand, DepthSurface } from "./model.ts";

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

/** A surface and the least depth of what fills it. */
export type SurfaceToFill = DepthSurface & { readonly leastAllowed: Millimetres };

/**
 * Areas, volumes and outlines of the bands; together they cover the floor.
 * @param parts of the floor by material; the first one's least depth is a limit of the bands
 * @param drawn what outlines are taken from, where that is not the surface that is measured
 */
export function depthBands(
  surface: DepthSurface,
  parts: readonly SurfaceToFill[],
  unit: HeightUnit,
  least: Millimetres,
  greatest: Millimetres,
  drawn: DepthSurface = surface,
): DepthBand[] {
  const limits = bandLimits(unit, least, greatest, parts[0]!.leastAllowed);
  return limits.slice(0, -1).map((from, k): DepthBand => {
    const to = limits[k + 1] as Millimetres;
    // The last band holds its upper limit too: where the deepest place is a round depth, it ends there.
    const end = k === limits.length - 2 ? undefined : to;
    const { polygons, ...ofDrawn } = regionsBetween(drawn.mesh, drawn.depthMm, from, end);
    const { area, integral } = drawn === surface ? ofDrawn : measuresBetween(surface.mesh, surface.depthMm, from, end);
    return {
      number: k + 1,
      ...(from === undefined ? {} : { from }),
      to,
      area,
      volume:
        parts.length === 1
          ? filledBand(parts[0]!.leastAllowed, to, area, integral)
          : parts.reduce((sum, part) => sum + filledBandOf(part, from, to, end), 0),
      regions: polygons,
    };
  });
}

/** ∫ max(depth, least) over a band that lies on one side of the least depth. */
const filledBand = (least: Millimetres, to: Millimetres, area: SquareMetres, integral: Litres): Litres =>
  to <= least ? least * area : integral;

/** The same of one part of the floor, whose least depth may lie within the band. */
function filledBandOf(
  { mesh, depthMm, leastAllowed }: SurfaceToFill,
  from: Millimetres | undefined,
  to: Millimetres,
  end: Millimetres | undefined,
): Litres {
  const between = (low: Millimetres | undefined, high: Millimetres | undefined) =>
    measuresBetween(mesh, depthMm, low, high);
  if (to <= leastAllowed || (from !== undefined && from >= leastAllowed)) {
    const { area, integral } = between(from, end);
    return filledBand(leastAllowed, to, area, integral);
  }
  return leastAllowed * between(from, leastAllowed).area + between(leastAllowed, end).integral;
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

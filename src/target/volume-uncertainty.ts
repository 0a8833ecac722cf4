/**
 * How sure the volume is: what reading noise, the datum, the slab between readings and the material's yield may add
 * or take, and how much has to be ordered at even odds and at nine in ten.
 */
import { triangleArea } from "../geometry/level.ts";
import { normalCdf, studentQuantile } from "../numeric/distributions.ts";
import type { Slab } from "../slab/model.ts";
import { varianceOfSum } from "../survey/covariance.ts";
import type { AdjustedLevels } from "../survey/model.ts";
import type { Litres, Millimetres, Share } from "../units.ts";
import type { Top } from "./drain-falls.ts";
import { depthsUnder, volumeToOrder } from "./least-plane.ts";
import { type Blend, blends, type LivePart, liveParts } from "./reading-weights.ts";
import { EXPONENTS, groupsOf, learnRoughness, type Places, powers, type Roughness, spread } from "./roughness.ts";
import type { ZoneFloor } from "./zone-floor.ts";

export interface VolumeUncertainty {
  /** As worked out from the slab's surface: ∫ max(depth, least depth). */
  readonly volume: Litres;
  /**
   * The volume that is enough as often as not. More than `volume` where depths are near the least: what lies higher than
   * thought is ground and takes the least depth all the same, what lies lower takes more.
   */
  readonly evenOdds: Litres;
  /** The volume that is enough nine times in ten. */
  readonly nineInTen: Litres;
  /** Standard deviations of the volume. */
  readonly fromReading: Litres;
  readonly fromDatum: Litres;
  readonly fromBetweenReadings: Litres;
  readonly fromYield: Litres;
  readonly sd: Litres;
  /** Degrees of freedom of `sd`. */
  readonly freedom: number;
  /** Root mean square of (predicted − read), each reading left out in turn. */
  readonly leaveOneOut: Millimetres;
}

export interface ZoneUnderTop {
  readonly floor: ZoneFloor;
  readonly plane: Top;
  readonly leastDepth: Millimetres;
}

/** Live parts in one go of the double sum, and how many goes are made; on larger floors those stand for the rest. */
const PARTS_TOGETHER = 160;
const MOST_BLOCKS = 8;
/** Places near the least depth that are looked at; on larger floors those stand for the rest. */
const MOST_NEAR_LEAST = 400;
/** Past so many standard deviations from the least depth nothing is to be expected of it. */
const FAR_FROM_LEAST = 5;
const NINE_IN_TEN = 0.9;

/** ∫ max(depth, least depth) over zones. */
export const volumeOf = (zones: readonly ZoneUnderTop[]): Litres =>
  zones.reduce((sum, { floor, plane, leastDepth }) => sum + volumeToOrder(floor, plane, leastDepth), 0);

/**
 * @param yieldTolerance by which share the yield of a bag may be off either way: taken as equally likely anywhere
 *   between (sd = tolerance/√3: JCGM 100:2008, Guide to the expression of uncertainty in measurement, 4.3.7)
 * @param volume as ordered: of the zones, or of a scan with all its points
 * @returns undefined where the readings are too few, or all on a line, to say anything of what lies between
 */
export function volumeUncertainty(
  slab: Slab,
  levels: AdjustedLevels,
  roomCount: number,
  zones: readonly ZoneUnderTop[],
  yieldTolerance: Share,
  volume: Litres = volumeOf(zones),
): VolumeUncertainty | undefined {
  const { points, covariance } = levels;
  const places: Places = {
    xM: Float64Array.from(points, ({ at }) => at.x),
    yM: Float64Array.from(points, ({ at }) => at.y),
  };
  const unitM = Math.sqrt(slab.area / points.length);
  const roughness = learnRoughness(
    places,
    Float64Array.from(points, ({ level }) => level),
    unitM,
  );
  if (!roughness) return undefined;
  const blendOf = blends(slab, levels, roomCount);
  const parts = zones.flatMap(({ floor, plane, leastDepth }) =>
    liveParts(floor.mesh, depthsUnder(floor, plane), leastDepth).map(
      (part): LivePart => ({
        ...part,
        corners: part.corners.map((vertex) => floor.slabVertex[vertex]!) as [number, number, number],
      }),
    ),
  );
  const counts = readingCounts(parts, blendOf, points.length);

  const fromReading = Math.sqrt(varianceOfSum({ ...covariance, setUpsMm2: covariance.setUpsMm2.map(() => 0) }, counts));
  const fromDatum = Math.sqrt(Math.max(0, varianceOfSum(covariance, counts) - fromReading ** 2));
  const noiseMm2 = covariance.ownMm2.reduce((sum, own) => sum + own, 0) / Math.max(1, covariance.ownMm2.length);
  const between = Math.sqrt(varianceBetween(parts, blendOf, places, roughness, counts, noiseMm2));
  const fromYield = (volume * yieldTolerance) / Math.sqrt(3);
  const sd = Math.hypot(fromReading, fromDatum, between, fromYield);
  const freedom = freedomOf(sd, between, roughness);
  const evenOdds = volume + gainNearLeast(zones, blendOf, places, roughness);
  return {
    volume,
    evenOdds,
    nineInTen: evenOdds + (sd > 0 ? studentQuantile(NINE_IN_TEN, freedom) * sd : 0),
    fromReading,
    fromDatum,
    fromBetweenReadings: between,
    fromYield,
    sd,
    freedom,
    leaveOneOut: roughness.leaveOneOutMm,
  };
}

/**
 * Degrees of freedom of the whole (Welch–Satterthwaite: JCGM 100:2008, G.4.1): only what lies between readings is
 * learnt from so many of them; the rest is known.
 */
const freedomOf = (sd: number, between: number, { freedom }: Roughness): number =>
  between > 0 ? Math.min(1e6, freedom * (sd / between) ** 4) : 1e6;

/** What each reading counts in the volume, in litres a mm: the areas that hang on it. */
function readingCounts(parts: readonly LivePart[], blendOf: (vertex: number) => Blend, count: number): Float64Array {
  const counts = new Float64Array(count);
  for (const { corners, shares } of parts) {
    for (let k = 0; k < 3; k++) {
      const { points, weights } = blendOf(corners[k]!);
      for (let i = 0; i < points.length; i++) counts[points[i]!]! += shares[k]! * weights[i]!;
    }
  }
  return counts;
}

/** Variance of ∫ (surface − slab) over the live parts, litres squared: the mean over the models by their weights. */
function varianceBetween(
  parts: readonly LivePart[],
  blendOf: (vertex: number) => Blend,
  places: Places,
  { models, unitM }: Roughness,
  counts: Float64Array,
  noiseMm2: number,
): number {
  const centres: Places = {
    xM: Float64Array.from(parts, ({ x }) => x),
    yM: Float64Array.from(parts, ({ y }) => y),
  };
  const blocks = spread(groupsOf(centres, PARTS_TOGETHER), MOST_BLOCKS);
  const areaOf = (block: readonly number[]) => block.reduce((sum, i) => sum + parts[i]!.area, 0);
  const seen = blocks.reduce((sum, block) => sum + areaOf(block), 0);
  const whole = parts.reduce((sum, { area }) => sum + area, 0);
  const byExponent = [0, 0, 0, 0];
  for (const block of blocks) {
    const contrast = contrastOf(
      block.map((i) => parts[i]!),
      blendOf,
      places,
    );
    for (const [k, value] of contrastVariance(contrast, unitM).entries()) byExponent[k]! += value;
  }
  const squares = counts.reduce((sum, count) => sum + count ** 2, 0);
  return models.reduce((sum, { weight, exponent, scaleMm2, scatterMm2 }) => {
    const structured = seen > 0 ? scaleMm2 * byExponent[exponent]! * (whole / seen) : 0;
    // The noise of reading is known and counted apart; scatter beyond it is roughness too fine to be seen.
    const fine = Math.max(0, scatterMm2 - noiseMm2) * squares;
    return sum + weight * (Math.max(0, structured) + fine);
  }, 0);
}

/** Places with factors that add up to nothing: readings by what they count, and the slab itself the other way. */
interface Contrast {
  readonly xM: number[];
  readonly yM: number[];
  readonly factor: number[];
  /** Area in m² for which a place of the slab stands; 0 for a reading. */
  readonly cell: number[];
}

function contrastOf(parts: readonly LivePart[], blendOf: (vertex: number) => Blend, places: Places): Contrast {
  const contrast: Contrast = { xM: [], yM: [], factor: [], cell: [] };
  const slotOf = new Map<number, number>();
  for (const part of parts) {
    for (let k = 0; k < 3; k++) {
      const { points, weights } = blendOf(part.corners[k]!);
      for (let i = 0; i < points.length; i++)
        addReading(contrast, slotOf, places, points[i]!, part.shares[k]! * weights[i]!);
    }
    addCell(contrast, part.x, part.y, -part.area, part.area);
  }
  return contrast;
}

function addReading(contrast: Contrast, slotOf: Map<number, number>, places: Places, point: number, by: number): void {
  const slot = slotOf.get(point);
  if (slot !== undefined) {
    contrast.factor[slot]! += by;
    return;
  }
  slotOf.set(point, contrast.factor.length);
  addCell(contrast, places.xM[point]!, places.yM[point]!, by, 0);
}

function addCell(contrast: Contrast, x: number, y: number, factor: number, cell: number): void {
  contrast.xM.push(x);
  contrast.yM.push(y);
  contrast.factor.push(factor);
  contrast.cell.push(cell);
}

/** −Σᵢ Σⱼ factorᵢ factorⱼ hᵢⱼ^α for each exponent, with the mean of h^α over a cell for the cell against itself. */
function contrastVariance({ xM, yM, factor, cell }: Contrast, unitM: number): number[] {
  const sums = EXPONENTS.map(() => 0);
  for (let i = 0; i < factor.length; i++) {
    const fi = factor[i]!;
    for (let j = 0; j < i; j++) {
      const dx = (xM[i]! - xM[j]!) / unitM;
      const dy = (yM[i]! - yM[j]!) / unitM;
      const both = 2 * fi * factor[j]!;
      const power = powers(dx * dx + dy * dy);
      for (let k = 0; k < sums.length; k++) sums[k]! -= both * power[k]!;
    }
    if (cell[i]! > 0) {
      const side = powers(cell[i]! / unitM ** 2);
      for (let k = 0; k < sums.length; k++) sums[k]! -= fi * fi * side[k]! * WITHIN_SQUARE[k]!;
    }
  }
  return sums;
}

/** Mean of h^α between two places in a square of side 1: ∫∫ 4(1−x)(1−y)(x²+y²)^(α/2), by the midpoint rule. */
const WITHIN_SQUARE = meanWithinSquare(64);

function meanWithinSquare(count: number): readonly number[] {
  const sums = EXPONENTS.map(() => 0);
  for (let i = 0; i < count; i++) {
    for (let j = 0; j < count; j++) {
      const x = (i + 0.5) / count;
      const y = (j + 0.5) / count;
      const power = powers(x * x + y * y);
      for (let k = 0; k < sums.length; k++) sums[k]! += (4 * (1 - x) * (1 - y) * power[k]!) / count ** 2;
    }
  }
  return sums;
}

/**
 * What the volume gains on the mean from errors near the least depth: for an error of standard deviation s at a
 * distance of t·s from it, s·(φ(t) − t·Φ(−t)) (the unit normal loss function: Raiffa & Schlaifer, Applied Statistical
 * Decision Theory, 1961, section 5.3).
 */
function gainNearLeast(
  zones: readonly ZoneUnderTop[],
  blendOf: (vertex: number) => Blend,
  places: Places,
  roughness: Roughness,
): Litres {
  const far = FAR_FROM_LEAST * roughness.leaveOneOutMm;
  const near = zones.flatMap((zone) => trianglesNearLeast(zone, far));
  const looked = spread(near, MOST_NEAR_LEAST);
  const areaOf = (list: readonly { readonly area: number }[]) => list.reduce((sum, { area }) => sum + area, 0);
  if (looked.length === 0) return 0;
  const gain = looked.reduce((sum, part) => {
    const sd = Math.sqrt(varianceAt(part, blendOf, places, roughness));
    if (!(sd > 0)) return sum;
    const t = part.distance / sd;
    const density = Math.exp(-(t ** 2) / 2) / Math.sqrt(2 * Math.PI);
    return sum + part.area * sd * (density - t * normalCdf(-t));
  }, 0);
  return gain * (areaOf(near) / areaOf(looked));
}

interface NearLeast {
  /** Vertices of the slab's mesh. */
  readonly corners: readonly [number, number, number];
  readonly area: number;
  readonly x: number;
  readonly y: number;
  /** Of the depth in the middle from the least depth, in mm. */
  readonly distance: number;
}

function trianglesNearLeast({ floor, plane, leastDepth }: ZoneUnderTop, far: Millimetres): readonly NearLeast[] {
  const { mesh, slabVertex } = floor;
  const depths = depthsUnder(floor, plane);
  const found: NearLeast[] = [];
  for (let triangle = 0; triangle < mesh.regionOf.length; triangle++) {
    const a = mesh.corners[3 * triangle]!;
    const b = mesh.corners[3 * triangle + 1]!;
    const c = mesh.corners[3 * triangle + 2]!;
    const distance = Math.abs((depths[a]! + depths[b]! + depths[c]!) / 3 - leastDepth);
    if (distance > far) continue;
    found.push({
      corners: [slabVertex[a]!, slabVertex[b]!, slabVertex[c]!],
      area: triangleArea(mesh, triangle),
      x: (mesh.xM[a]! + mesh.xM[b]! + mesh.xM[c]!) / 3,
      y: (mesh.yM[a]! + mesh.yM[b]! + mesh.yM[c]!) / 3,
      distance,
    });
  }
  return found;
}

/** Variance of (surface − slab) in the middle of a triangle, in mm². */
function varianceAt(
  part: NearLeast,
  blendOf: (vertex: number) => Blend,
  places: Places,
  { models, unitM }: Roughness,
): number {
  const contrast: Contrast = { xM: [], yM: [], factor: [], cell: [] };
  const slotOf = new Map<number, number>();
  for (const corner of part.corners) {
    const { points, weights } = blendOf(corner);
    for (let i = 0; i < points.length; i++) addReading(contrast, slotOf, places, points[i]!, weights[i]! / 3);
  }
  const squares = contrast.factor.reduce((sum, factor) => sum + factor ** 2, 0);
  addCell(contrast, part.x, part.y, -1, 0);
  const byExponent = contrastVariance(contrast, unitM);
  return models.reduce(
    (sum, { weight, exponent, scaleMm2, scatterMm2 }) =>
      sum + weight * (Math.max(0, scaleMm2 * byExponent[exponent]!) + scatterMm2 * squares),
    0,
  );
}

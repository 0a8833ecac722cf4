/** Target and slab → how deep the pour is: volumes, classes, high spots, and a cut for every pin. */
import { type Diagnostic, type Outcome, ready, refused } from "../diagnostics.ts";
import { height, limit, planLength } from "../format.ts";
import { aboveByRegion, areaByRegion, integralAbove, meshArea } from "../geometry/level.ts";
import { triangleCount, vertexAt } from "../geometry/mesh.ts";
import type { Job, Reading } from "../job/model.ts";
import type { Plan } from "../layout/model.ts";
import type { Slab } from "../slab/model.ts";
import type { Levels } from "../survey/model.ts";
import type { Target } from "../target/model.ts";
import type { Millimetres, SquareMetres } from "../units.ts";
import { depthBands, depthContours } from "./classes.ts";
import { type DepthSurface, depthSurface, toDepthGrid, volumeBeyondReadings, volumeFilled } from "./depth-surface.ts";
import { findHighSpots } from "./high-spots.ts";
import type { DepthBand, Depths, PinDepth, RoomDepth } from "./model.ts";
import { cutLength, pinDepths } from "./pin-depths.ts";

/** More than this many readings of one kind are counted, not listed. */
const MOST_LISTED = 10;

/**
 * Depths in mm, areas in m², volumes in litres, exact for the slab's triangulated surface.
 *
 * Refuses a substrate that the material's data sheet does not name, readings where the pour would be
 * deeper than the material or the pins allow (each at its line), and a target that leaves nowhere the
 * least depth. Warns where only the surface carried beyond the readings is too deep.
 */
export function measureDepths(job: Job, plan: Plan, levels: Levels, slab: Slab, target: Target): Outcome<Depths> {
  const range = job.material.depthOn[job.floor.substrate];
  if (range === undefined) return refused([substrateNotNamed(job)]);
  const leastAllowed = toDepthGrid(range.least);
  const greatestAllowed = toDepthGrid(range.greatest);
  const surface = depthSurface(slab, target, plan.floors.length);
  const { least, greatest, deepestVertex } = extremes(surface);
  if (greatest < leastAllowed) return refused([nowhereDeepEnough(job, greatest, leastAllowed)]);

  const pins = pinDepths(plan, levels, target, surface, job.pins, leastAllowed);
  const tooDeep = checkReadDepths(job, pins, greatestAllowed);
  if (tooDeep.length > 0) return refused(tooDeep);

  const area = meshArea(surface.mesh);
  const volumeToOrder = volumeFilled(surface, leastAllowed);
  const bands = depthBands(surface, job.units.height, least, greatest, leastAllowed);
  const areaUpTo = (limit: Millimetres, from?: Millimetres): SquareMetres =>
    sumOfAreas(bands.filter((band) => band.from === from && band.to === limit));
  const proudArea = areaUpTo(0);
  const thinArea = areaUpTo(leastAllowed, 0);
  const depths: Depths = {
    ...surface,
    least,
    greatestAllowed,
    leastAllowed,
    greatest,
    mean: volumeToOrder / area,
    area,
    proudArea,
    thinArea,
    pouredArea: sumOfAreas(bands) - proudArea - thinArea,
    volumeAsRead: integralAbove(surface.mesh, surface.depthMm, 0),
    volumeToOrder,
    extrapolatedVolume: Math.min(1, volumeBeyondReadings(surface, slab, leastAllowed) / volumeToOrder),
    rooms: roomDepths(surface, plan.floors.length, leastAllowed),
    bands,
    contours: depthContours(surface, job.units.height, least, greatest),
    highSpots: findHighSpots(surface, leastAllowed),
    pins,
  };
  return ready(depths, checkCarriedDepths(job, plan, depths, deepestVertex));
}

const sumOfAreas = (bands: readonly DepthBand[]): SquareMetres => bands.reduce((sum, band) => sum + band.area, 0);

function extremes({ depthMm }: DepthSurface): { least: Millimetres; greatest: Millimetres; deepestVertex: number } {
  let least = Number.POSITIVE_INFINITY;
  let greatest = Number.NEGATIVE_INFINITY;
  let deepestVertex = -1;
  for (let vertex = 0; vertex < depthMm.length; vertex++) {
    const depth = depthMm[vertex] as number;
    if (depth < least) least = depth;
    if (depth > greatest) {
      greatest = depth;
      deepestVertex = vertex;
    }
  }
  return { least, greatest, deepestVertex };
}

function roomDepths(surface: DepthSurface, roomCount: number, leastAllowed: Millimetres): RoomDepth[] {
  const { mesh, depthMm } = surface;
  const areas = areaByRegion(mesh, roomCount);
  const over = aboveByRegion(mesh, depthMm, leastAllowed, roomCount);
  const least = new Array<number>(roomCount).fill(Number.POSITIVE_INFINITY);
  const greatest = new Array<number>(roomCount).fill(Number.NEGATIVE_INFINITY);
  for (let h = 0; h < 3 * triangleCount(mesh); h++) {
    const room = mesh.regionOf[Math.floor(h / 3)] as number;
    const depth = depthMm[mesh.corners[h] as number] as number;
    least[room] = Math.min(least[room] as number, depth);
    greatest[room] = Math.max(greatest[room] as number, depth);
  }
  return areas.map((area, roomIndex) => ({
    roomIndex,
    area,
    volumeToOrder: leastAllowed * area + (over[roomIndex] as (typeof over)[0]).integral,
    least: least[roomIndex] as number,
    greatest: greatest[roomIndex] as number,
  }));
}

/** Depths at readings past what the material or the pins allow: each a problem at the reading's line, the deepest first. */
function checkReadDepths(job: Job, pins: readonly PinDepth[], greatestAllowed: Millimetres): Diagnostic[] {
  const unit = job.units.height;
  const read = pins.filter(({ from }) => from === "read").sort((a, b) => b.depth - a.depth);
  const problemAt = (pin: PinDepth, code: string, message: string, expected: string, hint: string): Diagnostic => {
    const reading = lastReading(job, pin.pin.id);
    return { code, severity: "error", message, expected, hint, place: reading?.place ?? job.source.place(["survey"]) };
  };
  const pastMaterial = read.filter(({ depth }) => depth > greatestAllowed);
  const pastPin = read.filter(
    ({ depth }) => depth <= greatestAllowed && cutLength(depth, job.pins) > job.pins.greatestCut,
  );
  const listed = [
    ...pastMaterial
      .slice(0, MOST_LISTED)
      .map((one) =>
        problemAt(
          one,
          "depth-past-material",
          `the pour would be ${height(one.depth, unit).large.text} deep at ${one.pin.id}, past the ${limit(greatestAllowed, "greatest", unit).large.text} that ${job.material.name} allows on ${job.floor.substrate}`,
          `no depth past ${limit(greatestAllowed, "greatest", unit).large.text}`,
          "check the reading and its sign; else fill the place first with what is made for it, or choose another material or a lower top",
        ),
      ),
    ...pastPin
      .slice(0, MOST_LISTED)
      .map((one) =>
        problemAt(
          one,
          "depth-past-pin",
          `the pin at ${one.pin.id} would be cut to ${height(cutLength(one.depth, job.pins), unit).large.text}, but ${job.pins.name} is no longer than ${limit(job.pins.greatestCut, "greatest", unit).large.text}`,
          `cut lengths up to ${limit(job.pins.greatestCut, "greatest", unit).large.text}`,
          "check the reading and its sign; else choose longer pins",
        ),
      ),
  ];
  const further = Math.max(0, pastMaterial.length - MOST_LISTED) + Math.max(0, pastPin.length - MOST_LISTED);
  if (further > 0) {
    listed.push({
      code: "depth-past-material",
      severity: "error",
      message: `${further} more readings are too deep for the material or the pins`,
      hint: "so many are seldom a slab: check the side of zero, the unit of the readings and the target",
      place: job.source.place(["target"]),
    });
  }
  return listed;
}

/** The reading that the level of a point rests on, as far as a place in the file can say: the last that was not struck. */
const lastReading = (job: Job, pointId: string): Reading | undefined =>
  job.survey.setUps
    .flatMap(({ readings }) => readings)
    .findLast((reading) => reading.pointId === pointId && reading.struck === undefined);

/** What only the surface between and beyond the readings says: nobody has read it, so it is a warning. */
function checkCarriedDepths(job: Job, plan: Plan, depths: Depths, deepestVertex: number): Diagnostic[] {
  const { height: unit, plan: planUnit } = job.units;
  const warnings: Diagnostic[] = [];
  if (depths.greatest > depths.greatestAllowed) {
    const at = vertexAt(depths.mesh, deepestVertex);
    const inRoom = depths.rooms.find(({ greatest }) => greatest === depths.greatest)?.roomIndex;
    const room = inRoom === undefined ? "" : ` in room ${plan.floors[inRoom]?.roomId}`;
    warnings.push({
      code: "carried-depth-past-material",
      severity: "warning",
      message: `beyond the readings the slab is carried on to a depth of ${height(depths.greatest, unit).large.text}${room}, ${planLength(at.x, planUnit).large.text} east and ${planLength(at.y, planUnit).large.text} north of the plan's origin, past the ${limit(depths.greatestAllowed, "greatest", unit).large.text} that ${job.material.name} allows`,
      hint: "read an extra point there",
      place: job.source.place(["survey"]),
    });
  }
  const long = depths.pins.filter(
    ({ from, cut }) => from === "interpolated" && cut.kind === "cut" && cut.length > job.pins.greatestCut,
  );
  if (long.length > 0) {
    warnings.push({
      code: "carried-depth-past-pin",
      severity: "warning",
      message: `pins where nothing was read would be longer than ${job.pins.name} is: ${long.map(({ pin }) => pin.id).join(", ")}`,
      expected: `cut lengths up to ${limit(job.pins.greatestCut, "greatest", unit).large.text}`,
      hint: "read these places, or choose longer pins",
      place: job.source.place(["survey"]),
    });
  }
  return warnings;
}

const substrateNotNamed = (job: Job): Diagnostic => ({
  code: "substrate-not-on-data-sheet",
  severity: "error",
  message: `the data sheet of ${job.material.name} gives no depth on ${job.floor.substrate}: ${job.material.dataSheet.title}`,
  expected: `a substrate among ${Object.keys(job.material.depthOn).sort().join(", ")}`,
  hint: "choose a material whose data sheet names this substrate; do not guess a depth",
  place: job.source.place(["material"]),
});

const nowhereDeepEnough = (job: Job, greatest: Millimetres, leastAllowed: Millimetres): Diagnostic => ({
  code: "nowhere-deep-enough",
  severity: "error",
  message: `the deepest place would be ${height(greatest, job.units.height).large.text}, but ${job.material.name} needs ${limit(leastAllowed, "least", job.units.height).large.text} on ${job.floor.substrate}: the whole floor would have to be ground`,
  expected: "a top of the pour that leaves the least depth over most of the floor",
  hint: "raise the top, or check on which side of zero the readings are",
  place: job.source.place(["target"]),
});

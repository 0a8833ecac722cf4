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
import { depthSurface, volumeBeyondReadings } from "./depth-surface.ts";
import { filledParts, fillsOfRooms, type RoomFill } from "./filled-parts.ts";
import { findHighSpots } from "./high-spots.ts";
import type { DepthBand, DepthSurface, Depths, FilledPart, PinDepth, RoomDepth } from "./model.ts";
import { cutLength, pinDepths } from "./pin-depths.ts";

/** More than this many readings of one kind are counted, not listed. */
const MOST_LISTED = 10;

/**
 * Depths in mm, areas in m², volumes in litres, exact for the slab's triangulated surface. Of a scan all its points
 * count in these; outlines, contours and high spots are those of the points that are shown.
 *
 * Refuses a substrate that the material's data sheet does not name, readings where the pour would be
 * deeper than the material or the pins allow (each at its line), and a target that leaves nowhere the
 * least depth. Warns where only the surface carried beyond the readings is too deep.
 */
export function measureDepths(job: Job, plan: Plan, levels: Levels, slab: Slab, target: Target): Outcome<Depths> {
  const fills = fillsOfRooms(job, target, plan.floors.length);
  if (!allGiven(fills)) return refused([substrateNotNamed(job)]);
  const surface = depthSurface(slab, target, plan.floors.length);
  const { least, greatest } = extremes(surface);
  const drawn = slab.thinned === undefined ? undefined : depthSurface(slab.thinned, target, plan.floors.length);
  const parts = filledParts(job, surface, fills, drawn);
  const tooShallow = parts.filter((part) => part.greatest < part.leastAllowed);
  if (tooShallow.length > 0) return refused(tooShallow.map((part) => nowhereDeepEnough(job, part)));

  const pins = pinDepths(plan, levels, target, surface, job.pins, (room) => (fills[room] as RoomFill).least);
  const tooDeep = checkReadDepths(job, pins, fills);
  if (tooDeep.length > 0) return refused(tooDeep);

  const area = meshArea(surface.mesh);
  const volumeToOrder = sumOver(parts, (part) => part.volumeToOrder);
  const bands = depthBands(surface, parts, job.units.height, least, greatest, drawn);
  const classes = parts.map((part) => classAreas(part, parts.length === 1 ? bands : bandsOf(part, job)));
  const proudArea = sumOver(classes, ({ proud }) => proud);
  const thinArea = sumOver(classes, ({ thin }) => thin);
  const { leastAllowed, greatestAllowed } = parts[0] as FilledPart;
  const beyond = sumOver(parts, (part) => volumeBeyondReadings(part, slab, part.leastAllowed));
  const depths: Depths = {
    ...surface,
    ...(drawn === undefined ? {} : { drawn }),
    least,
    greatestAllowed,
    leastAllowed,
    greatest,
    mean: volumeToOrder / area,
    area,
    proudArea,
    thinArea,
    pouredArea: sumOver(bands, (band) => band.area) - proudArea - thinArea,
    volumeAsRead: integralAbove(surface.mesh, surface.depthMm, 0),
    volumeToOrder,
    extrapolatedVolume: Math.min(1, beyond / volumeToOrder),
    rooms: roomDepths(parts, plan.floors.length),
    bands,
    contours: depthContours(drawn ?? surface, job.units.height, least, greatest),
    highSpots: findHighSpots(parts.map((part) => ({ ...(part.drawn ?? part), leastAllowed: part.leastAllowed }))),
    pins,
    ...(parts.length === 1 ? {} : { parts }),
  };
  return ready(depths, checkCarriedDepths(job, plan, depths, parts, levels.scan !== undefined));
}

const allGiven = (fills: readonly (RoomFill | undefined)[]): fills is readonly RoomFill[] => !fills.includes(undefined);

const sumOver = <T>(items: readonly T[], amount: (item: T) => number): number =>
  items.reduce((sum, item) => sum + amount(item), 0);

/** Bands of one part alone, for the classes of its floor. */
const bandsOf = (part: FilledPart, { units }: Job): DepthBand[] =>
  depthBands(part, [part], units.height, part.least, part.greatest);

function classAreas({ leastAllowed }: FilledPart, bands: readonly DepthBand[]): { proud: number; thin: number } {
  const areaUpTo = (limit: Millimetres, from?: Millimetres): SquareMetres =>
    sumOver(
      bands.filter((band) => band.from === from && band.to === limit),
      (band) => band.area,
    );
  return { proud: areaUpTo(0), thin: areaUpTo(leastAllowed, 0) };
}

function extremes({ depthMm }: DepthSurface): { least: Millimetres; greatest: Millimetres } {
  let least = Number.POSITIVE_INFINITY;
  let greatest = Number.NEGATIVE_INFINITY;
  for (let vertex = 0; vertex < depthMm.length; vertex++) {
    const depth = depthMm[vertex] as number;
    if (depth < least) least = depth;
    if (depth > greatest) greatest = depth;
  }
  return { least, greatest };
}

function roomDepths(parts: readonly FilledPart[], roomCount: number): RoomDepth[] {
  const rooms: RoomDepth[] = [];
  for (const { mesh, depthMm, leastAllowed, roomIndices } of parts) {
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
    for (const roomIndex of roomIndices) {
      const area = areas[roomIndex] as number;
      rooms.push({
        roomIndex,
        area,
        volumeToOrder: leastAllowed * area + (over[roomIndex] as (typeof over)[0]).integral,
        least: least[roomIndex] as number,
        greatest: greatest[roomIndex] as number,
      });
    }
  }
  return rooms.sort((a, b) => a.roomIndex - b.roomIndex);
}

/** Depths at readings past what the material or the pins allow: each a problem at the reading's line, the deepest first. */
function checkReadDepths(job: Job, pins: readonly PinDepth[], fills: readonly RoomFill[]): Diagnostic[] {
  const unit = job.units.height;
  const read = pins.filter(({ from }) => from === "read").sort((a, b) => b.depth - a.depth);
  const problemAt = (pin: PinDepth, code: string, message: string, expected: string, hint: string): Diagnostic => {
    const reading = lastReading(job, pin.pin.id);
    return { code, severity: "error", message, expected, hint, place: reading?.place ?? job.source.place(["survey"]) };
  };
  const fillAt = ({ pin }: PinDepth): RoomFill => fills[pin.roomIndex] as RoomFill;
  const pastMaterial = read.filter((one) => one.depth > fillAt(one).greatest);
  const pastPin = read.filter(
    (one) => one.depth <= fillAt(one).greatest && cutLength(one.depth, job.pins) > job.pins.greatestCut,
  );
  const listed = [
    ...pastMaterial
      .slice(0, MOST_LISTED)
      .map((one) =>
        problemAt(
          one,
          "depth-past-material",
          `the pour would be ${height(one.depth, unit).large.text} deep at ${one.pin.id}, past the ${limit(fillAt(one).greatest, "greatest", unit).large.text} that ${fillAt(one).material.name} allows on ${job.floor.substrate}`,
          `no depth past ${limit(fillAt(one).greatest, "greatest", unit).large.text}`,
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
function checkCarriedDepths(
  job: Job,
  plan: Plan,
  depths: Depths,
  parts: readonly FilledPart[],
  scanned: boolean,
): Diagnostic[] {
  const { height: unit, plan: planUnit } = job.units;
  const warnings: Diagnostic[] = [];
  for (const part of parts.filter(({ greatest, greatestAllowed }) => greatest > greatestAllowed)) {
    const at = vertexAt(part.mesh, part.depthMm.indexOf(part.greatest));
    const inRoom = depths.rooms.find(
      ({ roomIndex, greatest }) => part.roomIndices.includes(roomIndex) && greatest === part.greatest,
    )?.roomIndex;
    const room = inRoom === undefined ? "" : ` in room ${plan.floors[inRoom]?.roomId}`;
    warnings.push({
      code: "carried-depth-past-material",
      severity: "warning",
      message: `${scanned ? "the scan, or the slab carried on beyond it, comes" : "beyond the readings the slab is carried on"} to a depth of ${height(part.greatest, unit).large.text}${room}, ${planLength(at.x, planUnit).large.text} east and ${planLength(at.y, planUnit).large.text} north of the plan's origin, past the ${limit(part.greatestAllowed, "greatest", unit).large.text} that ${part.material.name} allows`,
      hint: scanned
        ? "look at the place; fill a hole first, or take what is no floor out of the file"
        : "read an extra point there",
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

const nowhereDeepEnough = (job: Job, { material, greatest, leastAllowed }: FilledPart): Diagnostic => ({
  code: "nowhere-deep-enough",
  severity: "error",
  message: `the deepest place would be ${height(greatest, job.units.height).large.text}, but ${material.name} needs ${limit(leastAllowed, "least", job.units.height).large.text} on ${job.floor.substrate}: all of its floor would have to be ground`,
  expected: "a top of the pour that leaves the least depth over most of the floor",
  hint: "raise the top, or check on which side of zero the readings are",
  place: job.source.place(["target"]),
});

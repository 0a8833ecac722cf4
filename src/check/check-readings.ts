/** Levels and places of points against the job file's own text. */
import { load } from "js-yaml";
import type { Plan, PlanPin } from "../layout/model.ts";
import { agrees, type Disagree, type Evidence } from "./evidence.ts";
import { baysAt, type SecondBay } from "./second-bays.ts";
import { lengthMm, letterIndex, readWrittenList, readWrittenSheet } from "./second-reading.ts";

interface WrittenSetUp {
  readonly id: string;
  readonly numbers_are: string;
  readonly unit?: string;
  readonly readings?: string;
  readonly repeats?: string;
  readonly readings_file?: string;
  readonly file_zero?: unknown;
}

interface WrittenGrid {
  readonly origin: readonly [unknown, unknown];
  readonly spacing?: unknown;
  readonly spacing_east?: unknown;
  readonly spacing_north?: unknown;
}

interface WrittenJob {
  readonly units: { readonly plan: string; readonly height: string };
  readonly survey?: { readonly grid: WrittenGrid; readonly set_ups?: readonly WrittenSetUp[] };
}

const MM_IN: Readonly<Record<string, number>> = { mm: 1, in: 25.4, m: 1000, ft: 304.8, "ft-in": 304.8 };

/** Every reading that the file holds became a reading of its set-up, with the sign and unit of its sheet. */
export function checkReadings({ jobText, beside, findings }: Evidence, disagree: Disagree): void {
  const written = load(jobText) as WrittenJob;
  for (const setUp of written.survey?.set_ups ?? []) {
    const known = findings.job.survey.setUps.find(({ id }) => id === setUp.id);
    const unitMm = MM_IN[setUp.unit ?? written.units.height] as number;
    const below = setUp.numbers_are.startsWith("below");
    const list = beside?.find(({ name }) => name === setUp.readings_file)?.text;
    const zeroMm = setUp.file_zero === undefined ? 0 : lengthMm(setUp.file_zero, MM_IN[written.units.plan] as number);
    const again = [
      ...readWrittenSheet(setUp.readings ?? "", unitMm, below),
      ...(list === undefined ? [] : readWrittenList(list, setUp.id, unitMm, zeroMm, below)),
      ...readWrittenSheet(setUp.repeats ?? "", unitMm, below),
    ];
    const taken = known?.readings ?? [];
    const placed = new Set(
      findings.job.survey.extraPoints.flatMap(({ id }) =>
        id.startsWith(`${setUp.id}-`) ? [id.slice(setUp.id.length + 1)] : [],
      ),
    );
    if (again.length !== taken.length) {
      disagree(
        "readings-lost",
        `set-up ${setUp.id} has ${again.length} readings in the file, ${taken.length} in the packet`,
      );
      continue;
    }
    for (const [k, { pointId, levelMm }] of again.entries()) {
      const reading = taken[k];
      const level = levelMm - (reading?.reducedBy ?? 0);
      // A list with names of its own has those that read like grid points behind the name of its set-up.
      const isNamed =
        reading?.pointId === pointId || (placed.has(pointId) && reading?.pointId === `${setUp.id}-${pointId}`);
      if (reading === undefined || !isNamed || !agrees(reading.level, level)) {
        disagree(
          "reading-differs",
          `set-up ${setUp.id}: the file gives ${pointId} at level ${level} mm, the packet has ${reading?.pointId} at ${reading?.level} mm`,
        );
      }
    }
  }
}

/** A level lies among the readings that it rests on, each with its set-up's correction. */
export function checkLevels({ findings }: Evidence, disagree: Disagree): void {
  const { job, levels } = findings;
  // A scan's levels are held against its own file.
  if (levels.kind !== "ready" || levels.value.scan !== undefined) return;
  const ofSetUp = new Map(levels.value.report.setUps.map((result) => [result.setUpId, result]));
  /** Least and greatest corrected reading of each point, before any work on the floor and after it. */
  const spans = new Map<string, { least: number; greatest: number }>();
  for (const { id, afterWork, readings } of job.survey.setUps) {
    const result = ofSetUp.get(id);
    // A drift moves each reading by less than the drift of the whole set-up.
    const slack = Math.abs(result?.drift?.whole ?? 0);
    for (const { pointId, level, struck } of readings) {
      if (struck) continue;
      const corrected = level + (result?.zeroCorrection ?? 0);
      const counts =
        afterWork === undefined ? ["before"] : afterWork.ties.includes(pointId) ? ["before", "after"] : ["after"];
      for (const when of counts) {
        const span = spans.get(`${when} ${pointId}`) ?? {
          least: Number.POSITIVE_INFINITY,
          greatest: Number.NEGATIVE_INFINITY,
        };
        span.least = Math.min(span.least, corrected - slack);
        span.greatest = Math.max(span.greatest, corrected + slack);
        spans.set(`${when} ${pointId}`, span);
      }
    }
  }
  const rounding = 1e-6;
  for (const point of levels.value.points) {
    const span = spans.get(`${point.afterWork === undefined ? "before" : "after"} ${point.id}`);
    const { least, greatest } = span ?? { least: Number.POSITIVE_INFINITY, greatest: Number.NEGATIVE_INFINITY };
    if (!(point.level >= least - rounding && point.level <= greatest + rounding)) {
      disagree(
        "level-off-readings",
        `${point.id} is levelled at ${point.level} mm, its readings run from ${least} to ${greatest} mm`,
      );
    }
  }
}

/** Rooms are taped, not machined: a grid point so little past a wall or within a column is read at its face. */
const TAPED_WITHIN_M = 0.01;

/** Whether a pin stands at the edge of its floor because its place on the grid is a little off every floor. */
function isMovedToTheEdge({ floors }: Plan, { at, roomIndex }: PlanPin, eastM: number, northM: number): boolean {
  if (Math.hypot(at.x - eastM, at.y - northM) > TAPED_WITHIN_M + 1e-5) return false;
  const shapes = floors.map(({ polygon: { outline, holes } }, number): SecondBay => {
    const [ring = [], ...inner] = [outline, ...holes].map((corners) =>
      corners.map(({ x, y }) => ({ eastM: x, northM: y })),
    );
    const zero = { eastM: 0, northM: 0 };
    return { number, lift: 1, outline: ring, holes: inner, from: zero, along: zero };
  });
  const here = baysAt(shapes.slice(roomIndex, roomIndex + 1), { eastM: at.x, northM: at.y });
  return baysAt(shapes, { eastM, northM }).inside === 0 && here.inside === 0 && here.touching === 1;
}

/** Grid points stand where the file's origin and spacing put them. */
export function checkPlaces({ jobText, findings }: Evidence, disagree: Disagree): void {
  const written = load(jobText) as WrittenJob;
  const grid = written.survey?.grid;
  if (grid === undefined) return;
  const bareMm = MM_IN[written.units.plan] as number;
  const both = Array.isArray(grid.spacing) ? grid.spacing : [grid.spacing, grid.spacing];
  const east = lengthMm(grid.spacing_east ?? both[0], bareMm);
  const north = lengthMm(grid.spacing_north ?? both[1], bareMm);
  const [originEast, originNorth] = grid.origin.map((one) => lengthMm(one, bareMm)) as [number, number];
  for (const pin of findings.plan.pins) {
    if (pin.kind !== "grid") continue;
    const [, letters, digits] = /^([A-Z]+)(\d+)$/.exec(pin.id) ?? [];
    const eastMm = originEast + east * (Number(digits) - 1);
    const northMm = originNorth + north * letterIndex(letters ?? "");
    // A hundredth of a millimetre on the floor.
    if (agrees(pin.at.x * 1000, eastMm, 0.01) && agrees(pin.at.y * 1000, northMm, 0.01)) continue;
    if (!isMovedToTheEdge(findings.plan, pin, eastMm / 1000, northMm / 1000)) {
      disagree(
        "pin-out-of-place",
        `${pin.id} stands at ${pin.at.x} m east, ${pin.at.y} m north; the file puts it at ${eastMm / 1000}, ${northMm / 1000}`,
      );
    }
  }
}

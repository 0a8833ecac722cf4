/** What a crew tapes and snaps: grid lines by the file, and every offset from a wall by the area of a triangle. */
import { load } from "js-yaml";
import type { Wall } from "../job/model.ts";
import { agrees, type Disagree, type Evidence } from "./evidence.ts";
import { lengthMm, letterIndex } from "./second-reading.ts";

interface WrittenJob {
  readonly units: { readonly plan: string };
  readonly survey?: {
    readonly grid: {
      readonly origin: readonly [unknown, unknown];
      readonly spacing?: unknown;
      readonly spacing_east?: unknown;
      readonly spacing_north?: unknown;
    };
  };
}

interface XY {
  readonly x: number;
  readonly y: number;
}

/** A hundredth of a millimetre on the floor. */
const SAME_M = 1e-5;
/** Along one wall a line's offset may differ so much between its ends: a tape is held at one place. */
const ALONG_M = 0.002;

/** How far a place is from a wall's line: twice the area of their triangle over the wall's length, left of it above zero. */
function offsetFrom({ from, to }: Wall, { x, y }: XY): number {
  const twice = from.x * (to.y - y) + to.x * (y - from.y) + x * (from.y - to.y);
  return twice / Math.hypot(to.x - from.x, to.y - from.y);
}

export function checkTape({ jobText, findings: { plan } }: Evidence, disagree: Disagree): void {
  const written = load(jobText) as WrittenJob;
  const grid = written.survey?.grid;
  if (grid === undefined) return;
  const bareMm = written.units.plan === "m" ? 1000 : 304.8;
  const both = Array.isArray(grid.spacing) ? grid.spacing : [grid.spacing, grid.spacing];
  const eastM = lengthMm(grid.spacing_east ?? both[0], bareMm) / 1000;
  const northM = lengthMm(grid.spacing_north ?? both[1], bareMm) / 1000;
  const [originEastM, originNorthM] = grid.origin.map((one) => lengthMm(one, bareMm) / 1000) as [number, number];
  const wallOf = (room: number, wall: number): Wall | undefined => plan.floors[room]?.walls[wall];
  for (const { name, axis, at, offsets } of plan.gridLines) {
    const due =
      axis === "lettered" ? originNorthM + northM * letterIndex(name) : originEastM + eastM * (Number(name) - 1);
    if (!agrees(at, due, SAME_M))
      disagree("line-out-of-place", `grid line ${name} is at ${at} m, the file puts it at ${due} m`);
    for (const { roomIndex, wallIndex, distance, ends } of offsets) {
      const wall = wallOf(roomIndex, wallIndex);
      const found = wall === undefined ? [] : ends.map((end) => Math.abs(offsetFrom(wall, end)));
      const onLine = ends.every(({ x, y }) => agrees(axis === "lettered" ? y : x, at, SAME_M));
      if (!onLine || found.length === 0 || found.some((mine) => !agrees(mine, distance, ALONG_M + SAME_M)))
        disagree(
          "offset-differs",
          `grid line ${name} is ${found.join(" and ")} m off wall ${wallIndex + 1} of room ${roomIndex + 1}, the packet has ${distance} m`,
        );
    }
  }
  for (const { id, at, offsets } of plan.pins)
    for (const { roomIndex, wallIndex, distance } of offsets ?? []) {
      const wall = wallOf(roomIndex, wallIndex);
      const mine = wall === undefined ? Number.NaN : Math.abs(offsetFrom(wall, at));
      if (!agrees(mine, Math.abs(distance), SAME_M))
        disagree("offset-differs", `pin ${id} is ${mine} m off wall ${wallIndex + 1}, the packet has ${distance} m`);
    }
  const pins = new Map(plan.pins.map((pin) => [pin.id, pin]));
  for (const { id, at, roomIndex } of plan.points) {
    const pin = pins.get(id);
    // A point that another pin serves has none of its own.
    if (pin !== undefined && (pin.roomIndex !== roomIndex || Math.hypot(pin.at.x - at.x, pin.at.y - at.y) > SAME_M))
      disagree("pin-out-of-place", `the pin ${id} does not stand where ${id} is read`);
  }
}

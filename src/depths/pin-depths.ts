/** Depth, cut length and check of every pin. */
import { triangleFinder, valueAt } from "../geometry/locate.ts";
import type { PinSpec } from "../job/library-model.ts";
import { isSameMaterial } from "../job/same-material.ts";
import type { Plan, PlanPin } from "../layout/model.ts";
import type { Levels } from "../survey/model.ts";
import type { Target } from "../target/model.ts";
import { topAt, zoneOf } from "../target/top-at.ts";
import { riseAt } from "../target/wedge.ts";
import type { Millimetres } from "../units.ts";
import { toDepthGrid } from "./depth-surface.ts";
import { GRIND_FROM_MM } from "./high-spots.ts";
import type { DepthSurface, PinCut, PinDepth } from "./model.ts";

/** One in this many of the pins whose place was read is read again on the day. */
const CHECK_ONE_IN = 10;

/** In the order of the plan. Throws where a pin of the plan lies on no triangle of its room, naming the pin. */
export function pinDepths(
  plan: Plan,
  levels: Levels,
  target: Target,
  surface: DepthSurface,
  spec: PinSpec,
  leastInRoom: (roomIndex: number) => Millimetres,
): PinDepth[] {
  const readLevel = new Map(levels.points.map((level) => [level.id, level]));
  const surfaceDepth = depthFinder(
    surface,
    plan.pins.filter(({ id }) => !readLevel.has(id)),
  );
  const measured = plan.pins.map((pin): Omit<PinDepth, "checkOnTheDay"> => {
    const read = readLevel.get(pin.id);
    const { ramp, rise } = rampAt(target, pin);
    const on = { ...ramp, ...(zoneOf(target, pin.roomIndex).drain && { toDrain: true }) };
    if (read === undefined) {
      const depth = toDepthGrid(surfaceDepth(pin) + rise);
      return { pin, depth, from: "interpolated", ...on, cut: cutFor(depth, spec, leastInRoom(pin.roomIndex)) };
    }
    // Its own reading, not the surface: two readings at one place keep apart.
    const depth = toDepthGrid(topAt(target, pin.roomIndex, pin.at) + rise - read.level);
    return { pin, depth, sd: read.sd, from: "read", ...on, cut: cutFor(depth, spec, leastInRoom(pin.roomIndex)) };
  });
  const oneInTen = chooseForCheck(measured.filter(({ from, cut }) => from === "read" && cut.kind === "cut"));
  return measured.map((pinDepth) => ({
    ...pinDepth,
    checkOnTheDay:
      pinDepth.cut.kind === "after-grinding" ||
      (pinDepth.cut.kind === "cut" && (pinDepth.from === "interpolated" || oneInTen.has(pinDepth.pin.id))),
  }));
}

/** The ramp in which a pin stands, and by how much it is longer for it: nothing where the ramp is laid on top of its pour. */
function rampAt(
  { meets = [] }: Target,
  { at, roomIndex }: PlanPin,
): { readonly ramp?: Pick<PinDepth, "ramp">; readonly rise: Millimetres } {
  for (const { doorId, lowerRoom, how } of meets) {
    if (lowerRoom !== roomIndex || (how.kind !== "ramp" && how.kind !== "feather")) continue;
    const rise = riseAt(how.wedge, at);
    if (rise <= 0) continue;
    const together = isSameMaterial(how.material, how.onto.material);
    return {
      ramp: { ramp: { doorId, laid: together ? "with-the-room" : "on-top" } },
      rise: together ? rise : 0,
    };
  }
  return { rise: 0 };
}

/** Depth of the surface at any of the pins; none of them, no search through the mesh. */
function depthFinder({ mesh, depthMm }: DepthSurface, pins: readonly PlanPin[]): (pin: PlanPin) => Millimetres {
  const find = pins.length === 0 ? () => undefined : triangleFinder(mesh);
  return ({ id, at, roomIndex }) => {
    const place = find(at, roomIndex);
    if (place === undefined) throw new Error(`pin ${id} at (${at.x}, ${at.y}) lies on no triangle of its room`);
    return toDepthGrid(valueAt(mesh, depthMm, place));
  };
}

/** The cut counts the pin's foot the way the pin's own scale does. */
export function cutFor(depth: Millimetres, spec: PinSpec, leastAllowed: Millimetres): PinCut {
  if (depth <= leastAllowed - GRIND_FROM_MM) return { kind: "after-grinding" };
  const length = cutLength(depth, spec);
  return length < spec.leastCut ? { kind: "too-short" } : { kind: "cut", length };
}

/** Where the scale counts the foot, the cut is the depth; else the foot stands under it. */
export const cutLength = (depth: Millimetres, spec: PinSpec): Millimetres =>
  spec.scaleCountsFoot ? depth : toDepthGrid(depth - spec.foot);

/**
 * One in ten, without chance and spread over the floor: pins are taken in tens along a curve that
 * fills the plan, and of each ten the deepest is checked, since most hangs on it.
 */
function chooseForCheck(pins: readonly Omit<PinDepth, "checkOnTheDay">[]): Set<string> {
  const placeOnCurve = alongCurve(pins.map(({ pin }) => pin));
  const order = pins
    .map((_, k) => k)
    .sort((a, b) => (placeOnCurve[a] as number) - (placeOnCurve[b] as number) || a - b);
  const chosen = new Set<string>();
  for (let start = 0; start < order.length; start += CHECK_ONE_IN) {
    const ten = order.slice(start, start + CHECK_ONE_IN).map((k) => pins[k] as (typeof pins)[0]);
    chosen.add(ten.reduce((deepest, one) => (one.depth > deepest.depth ? one : deepest)).pin.id);
  }
  return chosen;
}

/**
 * Place of each pin along Hilbert's curve through the plan's bounding square, cut into 2¹⁰ × 2¹⁰ cells
 * (Hilbert, "Ueber die stetige Abbildung einer Linie auf ein Flächenstück", Mathematische Annalen 38, 1891).
 */
function alongCurve(pins: readonly PlanPin[]): number[] {
  const cells = 1 << 10;
  let west = Number.POSITIVE_INFINITY;
  let south = Number.POSITIVE_INFINITY;
  let side = 0;
  for (const { at } of pins) {
    west = Math.min(west, at.x);
    south = Math.min(south, at.y);
  }
  for (const { at } of pins) side = Math.max(side, at.x - west, at.y - south);
  const cellOf = (v: number) => (side === 0 ? 0 : Math.min(cells - 1, Math.floor((v / side) * cells)));
  return pins.map(({ at }) => {
    let x = cellOf(at.x - west);
    let y = cellOf(at.y - south);
    let place = 0;
    for (let half = cells / 2; half >= 1; half /= 2) {
      const right = (x & half) > 0 ? 1 : 0;
      const upper = (y & half) > 0 ? 1 : 0;
      place += half * half * ((3 * right) ^ upper);
      // Turn the quarter so that the curve enters and leaves it at the right corners.
      if (upper === 0) {
        if (right === 1) {
          x = cells - 1 - x;
          y = cells - 1 - y;
        }
        [x, y] = [y, x];
      }
    }
    return place;
  });
}

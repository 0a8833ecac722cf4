/** The greatest dead load again: over every part of the floor over which the pour is straight, and under every ramp. */
import type { Point } from "../geometry/point.ts";
import type { Material } from "../job/library-model.ts";
import type { Plan } from "../layout/model.ts";
import type { Findings } from "../sheets/model.ts";
import type { Meet, Target } from "../target/model.ts";
import { clipped, levelInTriangle, topAgainMm, visitFloor } from "./second-top.ts";

/** kg/m²; undefined where the floor is not known. */
export function greatestDeadLoadAgain({ job, plan, slab, target }: Findings): number | undefined {
  if (slab.kind !== "ready" || target.kind !== "ready") return undefined;
  const swallowed = job.pour.profileAllowance;
  const wedges = (target.value.meets ?? []).flatMap((meet) => wedgeAgain(plan, target.value, meet) ?? []);
  let most = 0;
  const isCovered = visitFloor(slab.value, target.value, plan, ({ room, zone, corners }) => {
    const { wetDensity }: Material = zone.material ?? job.material;
    // Where the slab stands above the top it is ground down: a wedge there lies on nothing, and is no thinner for it.
    const loadAt = (at: Point & { readonly levelMm: number }): number =>
      (Math.max(0, topAgainMm(zone, at) - at.levelMm) + swallowed) * wetDensity;
    for (const corner of corners) most = Math.max(most, loadAt(corner));
    for (const { lowerRoom, window, loadKgM2 } of wedges) {
      if (room !== lowerRoom) continue;
      for (const { x, y } of clipped(corners, window))
        most = Math.max(most, loadAt({ x, y, levelMm: levelInTriangle(corners, { x, y }) }) + loadKgM2({ x, y }));
    }
  });
  return isCovered ? most : undefined;
}

interface WedgeAgain {
  readonly lowerRoom: number;
  /** Its rectangle on the lower floor, counter-clockwise. */
  readonly window: readonly Point[];
  /** Its own load at a place. */
  readonly loadKgM2: (at: Point) => number;
}

function wedgeAgain(
  plan: Plan,
  target: Target,
  { doorId, how, lowerRoom, higherZone, lowerZone }: Meet,
): WedgeAgain | undefined {
  const ofRoom = plan.floors.findIndex(({ doors }) => doors.some(({ id }) => id === doorId));
  const door = plan.floors[ofRoom]?.doors.find(({ id }) => id === doorId);
  if (door === undefined || (how.kind !== "ramp" && how.kind !== "feather")) return undefined;
  const [a, b] = door.jambs;
  const { width, wallThickness } = door;
  // The room of the door lies on the left from its first jamb to its second; the other one begins behind the wall.
  const [side, start] = ofRoom === lowerRoom ? [1, 0] : [-1, wallThickness];
  const [leftX, leftY] = [-(b.y - a.y) / width, (b.x - a.x) / width];
  const at = (jamb: Point, downM: number): Point => ({
    x: jamb.x + side * leftX * (start + downM),
    y: jamb.y + side * leftY * (start + downM),
  });
  const ring = [at(a, 0), at(b, 0), at(b, how.length), at(a, how.length)];
  const [first, second] = door.jambs.map((jamb) =>
    Math.max(0, topAgainMm(target.zones[higherZone], jamb) - topAgainMm(target.zones[lowerZone], jamb)),
  ) as [number, number];
  return {
    lowerRoom,
    window: side > 0 ? ring : ring.toReversed(),
    loadKgM2: ({ x, y }) => {
      const down = (side * (leftX * (x - a.x) + leftY * (y - a.y)) - start) / how.length;
      const along = ((x - a.x) * (b.x - a.x) + (y - a.y) * (b.y - a.y)) / width ** 2;
      return (first * (1 - along) + second * along) * (1 - down) * how.material.wetDensity;
    },
  };
}

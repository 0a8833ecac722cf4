/** What holds the mix on the floor: dams at openings and joints, plugs in drains, foam along walls. */
import type { Depths } from "../depths/model.ts";
import { triangleFinder, valueAt } from "../geometry/locate.ts";
import { distance } from "../geometry/point.ts";
import { boundsOf } from "../geometry/polygon.ts";
import type { Metres } from "../units.ts";
import { greatestDepthAlong } from "./along.ts";
import { edgesOf, lengthOf, sharedStretches } from "./borders.ts";
import type { PartedFloor } from "./floor.ts";
import type { Dam, Join, Plug, Segment } from "./model.ts";

/** An opening in the floor narrower than this is a pipe or a drain: plugged or sleeved, not dammed. */
const PIPE_M: Metres = 0.3;

/**
 * Every dam, with its length and the greatest depth along it. `joins` says which doorways are poured
 * through; before bays are planned there are none, and a dam is counted at every door between rooms.
 */
export function damsOf({ floor, portals, sections }: PartedFloor, joins: readonly Join[] | undefined): Dam[] {
  const { plan, depths, openings } = floor;
  const dam = (why: Dam["why"], id: string, roomIndex: number, segments: readonly Segment[]): Dam => ({
    why,
    id,
    roomIndex,
    segments,
    length: lengthOf(segments),
    height: greatestDepthAlong(depths, segments),
  });
  const dams: Dam[] = [];
  for (const { id, roomIndex, edge, beyond, kind } of openings) {
    if (beyond.kind === "out") dams.push(dam(kind === "door" ? "door-out" : "open-edge", id, roomIndex, [edge]));
    else if (!beyond.touching) {
      dams.push(dam("door-between", id, roomIndex, [edge]));
      dams.push(dam("door-between", id, beyond.roomIndex, [beyond.edge]));
    } else {
      const join = joins?.find((one) => one.kind === "door" && one.doorId === id);
      if (join?.how !== "poured-through") dams.push(dam("door-between", id, roomIndex, [edge]));
    }
  }
  const lines = new Map<string, Dam>();
  for (const portal of portals) {
    if (portal.through.kind !== "line" || portal.other === undefined || portal.other < portal.section) continue;
    const { line } = portal.through;
    const room = sections[0]![portal.section]!.roomIndex;
    const before = lines.get(`${line.id} ${room}`);
    const stretches = [...(before?.segments ?? []), ...portal.stretches];
    lines.set(`${line.id} ${room}`, dam(line.kind === "dam" ? "planned" : "moving-joint", line.id, room, stretches));
  }
  dams.push(...lines.values());
  for (const [roomIndex, { obstacles, polygon }] of plan.floors.entries()) {
    for (const { id, kind, ring } of obstacles) {
      if (kind !== "opening" || isPipe(ring)) continue;
      const rim = sharedStretches(edgesOf({ outline: ring, holes: [] }), edgesOf(polygon));
      if (rim.length > 0) dams.push(dam("opening", id, roomIndex, rim));
    }
  }
  return dams;
}

const isPipe = (ring: Parameters<typeof boundsOf>[0]): boolean => {
  const { minX, minY, maxX, maxY } = boundsOf(ring);
  return Math.max(maxX - minX, maxY - minY) < PIPE_M;
};

/** Foam along walls and columns: the rim of every floor, less the openings where it ends at a dam or runs on. */
export function perimeterStrip({ floor: { plan, openings } }: PartedFloor): Metres {
  let strip: Metres = 0;
  for (const [roomIndex, { polygon, obstacles }] of plan.floors.entries()) {
    const rim = edgesOf(polygon);
    strip += lengthOf(rim);
    for (const opening of openings) {
      const edges = [
        ...(opening.roomIndex === roomIndex ? [opening.edge] : []),
        ...(opening.beyond.kind === "room" && opening.beyond.roomIndex === roomIndex ? [opening.beyond.edge] : []),
      ];
      if (opening.kind === "door") strip -= lengthOf(sharedStretches(rim, edges));
    }
    for (const { kind, ring } of obstacles)
      if (kind === "opening") strip -= lengthOf(sharedStretches(rim, edgesOf({ outline: ring, holes: [] })));
  }
  return strip;
}

/** Drains that the job names, and openings as small as a pipe. */
export function plugsOf({ floor: { plan, depths, job } }: PartedFloor): Plug[] {
  const depthAt = depthFinder(depths);
  const drains = (job.pour.drains ?? []).map(({ id, at }): Plug => ({ id, at, kind: "drain", depth: depthAt(at) }));
  const pipes = plan.floors.flatMap(({ obstacles }) =>
    obstacles.flatMap(({ id, kind, ring }): Plug[] => {
      if (kind !== "opening" || !isPipe(ring)) return [];
      const at = {
        x: ring.reduce((sum, p) => sum + p.x, 0) / ring.length,
        y: ring.reduce((sum, p) => sum + p.y, 0) / ring.length,
      };
      const edges = edgesOf({ outline: ring, holes: [] });
      return [{ id, at, kind: "opening", depth: greatestDepthAlong(depths, edges) }];
    }),
  );
  return [...drains, ...pipes].sort((p, q) => (p.id < q.id ? -1 : p.id > q.id ? 1 : distance(p.at, q.at)));
}

function depthFinder({ mesh, depthMm, leastAllowed }: Depths): (p: Plug["at"]) => number {
  const find = triangleFinder(mesh);
  return (p) => {
    const place = find(p);
    return place ? Math.max(valueAt(mesh, depthMm, place), leastAllowed) : 0;
  };
}

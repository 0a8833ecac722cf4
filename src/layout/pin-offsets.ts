/** How a pin off the snapped grid is found: two offsets, square from two walls that are not parallel. */
import type { Point } from "../geometry/point.ts";
import { distance } from "../geometry/point.ts";
import type { Room, Wall } from "../job/model.ts";
import { canTapeSquare, squareOffset } from "./line-offsets.ts";
import type { WallOffset } from "./model.ts";

/** What it costs, in metres of tape, to measure from the line of a wall carried on instead of the wall itself. */
const CARRIED_ON_COST_M = 100;
/** And from a wall too short to square from. */
const SHORT_WALL_COST_M = 10;
const SHORT_WALL_M = 0.3;

/**
 * A tape error of e moves the crossing by up to e/sin(angle/2): walls that meet at 30° or more are
 * taken where there are any, at 10° where there are not.
 */
const LEAST_SINES = [0.5, 0.17];

interface Candidate {
  readonly wallIndex: number;
  readonly offset: number;
  readonly cost: number;
  readonly dx: number;
  readonly dy: number;
}

/**
 * The two offsets that find the place with the least tape: walls that a tape reaches square come first,
 * and a pair that meets at a right angle is worth more than one that meets at a slant, where a tape
 * error grows by 1/sin. Throws, naming the pin, where no two walls of the room see the place.
 */
export function pinOffsets(pinId: string, at: Point, roomIndex: number, room: Room): readonly [WallOffset, WallOffset] {
  const candidates = room.walls
    .map((wall, wallIndex) => candidate(wall, wallIndex, at, room))
    .filter((found) => found !== undefined)
    .sort((a, b) => a.cost - b.cost || a.wallIndex - b.wallIndex);
  const best = LEAST_SINES.map((leastSine) => cheapestPair(candidates, leastSine)).find((pair) => pair !== undefined);
  if (!best) throw new Error(`pin ${pinId} at (${at.x}, ${at.y}) faces no two walls of room ${room.id} at an angle`);
  const [first, second] = best;
  return [
    { roomIndex, wallIndex: first.wallIndex, distance: first.offset },
    { roomIndex, wallIndex: second.wallIndex, distance: second.offset },
  ];
}

/** The pair with the least tape, of walls at an angle; `candidates` by rising cost. */
function cheapestPair(candidates: readonly Candidate[], leastSine: number): [Candidate, Candidate] | undefined {
  let best: [Candidate, Candidate] | undefined;
  let bestCost = Number.POSITIVE_INFINITY;
  for (const [k, first] of candidates.entries()) {
    for (const second of candidates.slice(k + 1)) {
      if (first.cost + second.cost >= bestCost) break;
      const sine = Math.abs(first.dx * second.dy - first.dy * second.dx);
      const cost = (first.cost + second.cost) / sine;
      if (sine < leastSine || cost >= bestCost) continue;
      best = [first, second];
      bestCost = cost;
    }
  }
  return best;
}

function candidate(wall: Wall, wallIndex: number, at: Point, room: Room): Candidate | undefined {
  const offset = squareOffset(wall, at);
  // Behind the wall, more than a tape can tell: it is measured from another.
  if (offset < -0.001) return undefined;
  const length = distance(wall.from, wall.to);
  return {
    wallIndex,
    offset: Math.max(0, offset),
    cost:
      Math.max(0, offset) +
      (canTapeSquare(room.outline, wall, at) ? 0 : CARRIED_ON_COST_M) +
      (length < SHORT_WALL_M ? SHORT_WALL_COST_M : 0),
    dx: (wall.to.x - wall.from.x) / length,
    dy: (wall.to.y - wall.from.y) / length,
  };
}

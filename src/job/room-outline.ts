/** The outline of a room from its taped walls or its corners. */
import { distance, type Point, point, type Ring } from "../geometry/point.ts";
import { ringCrossings, signedArea } from "../geometry/polygon.ts";
import type { Metres } from "../units.ts";
import { type JobReader, objectAt, objectInside, toMetres, toPoint, warnAt } from "./job-reader.ts";
import { spellPlanLength } from "./lengths.ts";
import type { Wall } from "./model.ts";
import type { RoomText } from "./schema.ts";
import { LIMITS } from "./schema-limits.ts";
import { COMPASS, parseWallRun, type WallLeg } from "./wall-run.ts";
import type { Path } from "./yaml-places.ts";

export interface RoomOutline {
  /** Counter-clockwise. */
  readonly outline: Ring;
  /** Wall k runs from outline[k] to outline[k+1]. */
  readonly walls: readonly Wall[];
  /** True where the office went round clockwise: walls then run against their taping. */
  readonly tapedClockwise: boolean;
  /** How far the taped walls missed the start, before that was spread over them; 0 for corners. */
  readonly misclosure: Metres;
}

/** Half an inch: what a tape read to 1/8 in leaves over a few walls. Common practice. */
const LEAST_TOLERANCE_M = 0.0127;
/** One part in 2000 of the way round, an ordinary taped traverse. Common practice. */
const TOLERANCE_SHARE = 1 / 2000;
/** Less than this is the rounding of the tape, not worth a word. */
const WORTH_SAYING_M = 0.001;

/** What sums of lengths may be off as doubles, far below anything taped: a half inch is allowed to be half an inch. */
const SUM_ROUNDING_M = 1e-9;

/** Narrower than this on the average is no room: area against half the way round. */
const LEAST_WIDTH_M = 0.05;

/** Builds the outline, or gives undefined after objecting. */
export function roomOutline(reader: JobReader, room: RoomText, path: Path): RoomOutline | undefined {
  if ((room.walls === undefined) === (room.vertices === undefined)) {
    objectAt(reader, path, {
      code: room.walls === undefined ? "room-without-walls" : "walls-given-twice",
      message:
        room.walls === undefined
          ? `Room ${room.id} has no walls.`
          : `Room ${room.id} gives both walls and vertices: which of them holds?`,
      expected: `walls: E 24' 6", N 18', W 24' 6", S 18' — or vertices: [[0, 0], [24', 0], [24', 18'], [0, 18']]`,
    });
    return undefined;
  }
  const taped =
    room.walls === undefined
      ? { corners: room.vertices!.map((vertex) => toPoint(reader, vertex)), misclosure: 0 as Metres }
      : cornersOfRun(reader, room, [...path, "walls"]);
  if (taped === undefined) return undefined;
  const { corners, misclosure } = taped;
  const valuePath = [...path, room.walls === undefined ? "vertices" : "walls"];
  if (!isSimple(reader, room.id, corners, valuePath)) return undefined;

  const tapedClockwise = signedArea(corners) < 0;
  const outline = tapedClockwise ? [corners[0]!, ...corners.slice(1).reverse()] : corners;
  return { outline, walls: nameWalls(outline, tapedClockwise), tapedClockwise, misclosure };
}

/** The legs of a run, from one text or a list of them. */
function legsOf(
  reader: JobReader,
  roomId: string,
  walls: string | readonly string[],
  path: Path,
): { leg: WallLeg; path: Path }[] | undefined {
  const texts =
    typeof walls === "string" ? [{ text: walls, path }] : walls.map((text, k) => ({ text, path: [...path, k] }));
  let readable = true;
  const legs = texts.flatMap(({ text, path: at }) => {
    const run = parseWallRun(text);
    for (const { offset, span, ...finding } of run.problems) {
      readable = false;
      objectInside(reader, at, { offset, span }, { ...finding, message: `Room ${roomId}: ${finding.message}` });
    }
    return run.legs.map((leg) => ({ leg, path: at }));
  });
  return readable ? legs : undefined;
}

function cornersOfRun(
  reader: JobReader,
  room: RoomText,
  path: Path,
): { corners: Point[]; misclosure: Metres } | undefined {
  const legs = legsOf(reader, room.id, room.walls!, path);
  if (legs === undefined) return undefined;
  if (legs.length < 3 || legs.length > LIMITS.wallsOfRoom) {
    objectAt(reader, path, {
      code: legs.length < 3 ? "too-few" : "too-many",
      message: `Room ${room.id} has ${legs.length} wall${legs.length === 1 ? "" : "s"}.`,
      expected: `3 to ${LIMITS.wallsOfRoom} walls`,
    });
    return undefined;
  }
  const start = room.start === undefined ? point(0, 0) : toPoint(reader, room.start);
  const lengths = legs.map(({ leg }) => toMetres(reader, leg.length));
  const wayRound = lengths.reduce((sum, length) => sum + length, 0);
  // Summed from zero, so that a room closes the same wherever it stands.
  const ends: { east: number; north: number; along: number }[] = [];
  let east = 0;
  let north = 0;
  let along = 0;
  for (const [k, { leg }] of legs.entries()) {
    east += leg.east * lengths[k]!;
    north += leg.north * lengths[k]!;
    along += lengths[k]!;
    ends.push({ east, north, along });
  }
  const misclosure = Math.hypot(east, north) as Metres;
  const allowed =
    room.closing_tolerance === undefined
      ? Math.max(LEAST_TOLERANCE_M, wayRound * TOLERANCE_SHARE)
      : toMetres(reader, room.closing_tolerance);
  if (misclosure > allowed + SUM_ROUNDING_M) {
    objectToGap(reader, room.id, legs, lengths, { east, north, misclosure, allowed }, path);
    return undefined;
  }
  if (misclosure > WORTH_SAYING_M) {
    warnAt(reader, path, {
      code: "closing-error-spread",
      message: `Room ${room.id}: the walls close within ${spell(reader, misclosure)} (${spell(reader, allowed)} allowed); the rest is spread over them by length.`,
    });
  }
  // Compass (Bowditch) rule: each corner is moved against the misclosure in proportion to the way
  // taped so far (Ghilani & Wolf, Elementary Surveying, traverse computations).
  const corners = [
    start,
    ...ends
      .slice(0, -1)
      .map((end) =>
        point(start.x + end.east - (east * end.along) / wayRound, start.y + end.north - (north * end.along) / wayRound),
      ),
  ];
  return { corners, misclosure };
}

const spell = (reader: JobReader, length: number): string => spellPlanLength(length, reader.units.plan);

function objectToGap(
  reader: JobReader,
  roomId: string,
  legs: readonly { leg: WallLeg }[],
  lengths: readonly Metres[],
  gap: { east: number; north: number; misclosure: number; allowed: number },
  path: Path,
): void {
  const parts = [
    Math.abs(gap.east) > WORTH_SAYING_M
      ? `${spell(reader, Math.abs(gap.east))} ${gap.east > 0 ? "east" : "west"}`
      : undefined,
    Math.abs(gap.north) > WORTH_SAYING_M
      ? `${spell(reader, Math.abs(gap.north))} ${gap.north > 0 ? "north" : "south"}`
      : undefined,
  ].filter((part) => part !== undefined);
  // Lengthening a wall moves the end along it; a wall explains the gap if that alone closes the run.
  const suspects = legs.flatMap(({ leg }, k) => {
    const change = -(gap.east * leg.east + gap.north * leg.north);
    const left = Math.hypot(gap.east + change * leg.east, gap.north + change * leg.north);
    const usable = left <= gap.allowed && lengths[k]! + change > 0;
    return usable ? [`wall ${k + 1} ${change > 0 ? "longer" : "shorter"} by ${spell(reader, Math.abs(change))}`] : [];
  });
  objectAt(reader, path, {
    code: "walls-do-not-close",
    message:
      `Room ${roomId}: the walls do not close. The end of wall ${legs.length} lies ${parts.join(" and ")} of corner 1, ` +
      `where wall 1 began: ${spell(reader, gap.misclosure)} off, ${spell(reader, gap.allowed)} allowed.`,
    expected: "a run that ends where it began",
    hint: closingHint(suspects.slice(0, 4), missingWall(reader, gap)),
  });
}

/** The wall that would lead back to the start, where it runs along the compass. */
function missingWall(
  reader: JobReader,
  gap: { readonly east: number; readonly north: number; readonly allowed: number },
): string | undefined {
  const length = Math.hypot(gap.east, gap.north);
  const direction = Object.entries(COMPASS).find(
    ([, [east, north]]) => Math.hypot(gap.east + east * length, gap.north + north * length) <= gap.allowed,
  );
  return direction && `${direction[0]} ${spell(reader, length)}`;
}

function closingHint(suspects: readonly string[], missing: string | undefined): string {
  const wall = missing === undefined ? "" : `a wall more, ${missing}, at the end`;
  if (suspects.length === 0 && missing === undefined) {
    return "No single wall explains it: look for a wall that is missing from the run, or a turned direction.";
  }
  return `It would close with ${[...suspects, wall].filter((way) => way !== "").join(", or ")}.`;
}

/** True for a ring with area whose walls do not meet each other; objects otherwise. */
function isSimple(reader: JobReader, roomId: string, corners: Ring, path: Path): boolean {
  const n = corners.length;
  const repeated = corners.findIndex((corner, k) => distance(corner, corners[(k + 1) % n]!) < WORTH_SAYING_M);
  if (repeated >= 0) {
    objectAt(reader, path, {
      code: "wall-without-length",
      message: `Room ${roomId}: corners ${repeated + 1} and ${((repeated + 1) % n) + 1} are at the same place.`,
      expected: "a corner only where the wall turns",
    });
    return false;
  }
  const wayRound = corners.reduce((sum, corner, k) => sum + distance(corner, corners[(k + 1) % n]!), 0);
  const crossings = ringCrossings(corners);
  if (
    Math.abs(signedArea(corners)) < (LEAST_WIDTH_M * wayRound) / 2 &&
    crossings.every(({ kind }) => kind !== "cross")
  ) {
    objectAt(reader, path, {
      code: "room-without-area",
      message: `Room ${roomId} has no area: its walls run back on themselves.`,
      expected: "walls that go round a floor",
    });
    return false;
  }
  for (const { edges, at, kind } of crossings.slice(0, 5)) {
    const verb = { cross: "cross", touch: "touch", overlap: "run over each other" }[kind];
    objectAt(reader, path, {
      code: "walls-cross",
      message: `Room ${roomId}: walls ${edges[0] + 1} and ${edges[1] + 1} ${verb} at [${spell(reader, at.x)}, ${spell(reader, at.y)}].`,
      expected: "walls that meet only at the corner between one and the next",
      hint: "Check the directions and the order of the corners.",
    });
  }
  return crossings.length === 0;
}

const SIDES = ["north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west"] as const;

/** Names each wall by the side of the room that it stands on; ordinals follow the taping. */
function nameWalls(outline: Ring, tapedClockwise: boolean): Wall[] {
  const n = outline.length;
  const walls = outline.map((from, k) => {
    const to = outline[(k + 1) % n]!;
    // The outward normal of a counter-clockwise ring is to the right of its direction.
    const azimuth = Math.atan2(to.y - from.y, -(to.x - from.x));
    const octant = Math.round(azimuth / (Math.PI / 4));
    return { from, to, side: SIDES[(octant + 8) % 8]!, number: tapedClockwise ? n - k : k + 1 };
  });
  const inOrder = [...walls].sort((a, b) => a.number - b.number);
  return walls.map((wall) => {
    const same = inOrder.filter(({ side }) => side === wall.side);
    const ordinal = same.indexOf(wall) + 1;
    const onlyOne = same.length === 1;
    return { ...wall, name: `${wall.side} wall${onlyOne ? "" : ` ${ordinal}`}`, ordinal, onlyOne };
  });
}

/**
 * What holds the mix on the floor, a second time: a dam in every doorway through which nothing is poured, along every
 * joint and round every shaft, as high as the floor is deep there; plugs in drains; foam along the rest of the rim.
 */
import type { Point } from "../geometry/point.ts";
import type { Door } from "../job/model.ts";
import type { Packet } from "../sheets/packet-schema.ts";
import { agrees, type Disagree, type Evidence } from "./evidence.ts";
import type { Place } from "./second-bays.ts";
import {
  boxOf,
  type FloorPiece,
  floorPieces,
  greatestAlongMm,
  lengthM,
  type Stretch,
  sharedM,
  stretchesOf,
  valueInside,
} from "./second-floor.ts";

type Pour = Extract<Packet["schedule"], { kind: "ready" }>["result"];
type Findings = Evidence["findings"];

/** What a tape tells, in metres; a joint runs along its line within the finest mark of one. */
const TAPE_M = 0.005;
const MARK_M = 1e-3;
/** Depths are kept to a millionth of a millimetre; places lie on a grid of a micrometre. */
const DEPTH_MM = 0.1;
/** A dam may stand a little higher than the floor just beside it: rooms of two tops meet in doors. */
const OVER_MM = 1;
/** Thicker than walls are: rooms farther apart are not joined by a door. */
const THICKEST_WALL_M = 1.2;
/** An opening in the floor narrower than this is a pipe, and is plugged. */
const PIPE_M = 0.3;

export function checkDams({ findings, packet }: Evidence, disagree: Disagree): void {
  const { schedule } = findings;
  if (packet.schedule.kind !== "ready" || schedule.kind !== "ready") return;
  const pour = packet.schedule.result;
  const wrong = (what: string): void => disagree("dams-differ", what);
  const pieces = piecesByClock(findings);
  for (const [k, dam] of pour.dams.entries()) {
    const segments = (schedule.value.dams[k]?.segments ?? []).map(
      ({ from, to }): Stretch => [placeOf(from), placeOf(to)],
    );
    const sum = segments.reduce((all, one) => all + lengthM(one), 0);
    if (!agrees(sum, dam.lengthM.value, 1e-6))
      wrong(`dam ${dam.id} is ${sum} m long, ${dam.lengthM.value} m in the packet`);
    if (!findings.plan.floors.some(({ roomId }) => roomId === dam.room)) wrong(`dam ${dam.id} is in no room`);
    for (const segment of segments)
      if (!isWhereItBelongs(findings, dam, segment)) wrong(`dam ${dam.id} stands elsewhere`);
    const high = pieces && highestMm(findings, pieces, segments);
    // A point of a scan that is not shown has no part in what is drawn.
    const over = dam.heightMm.value - (high ?? dam.heightMm.value);
    if (over < -DEPTH_MM || over > OVER_MM)
      wrong(`the floor is ${high} mm deep at dam ${dam.id}, ${dam.heightMm.value} mm in the packet`);
  }
  checkDoors(findings, pour, wrong);
  checkLines(findings, pour, wrong);
  checkStrip(findings, pour, wrong);
  checkPlugs(findings, pour, pieces, wrong);
}

/** Of the rooms that the job's own material fills: others are not poured by this clock. */
function piecesByClock(findings: Findings): FloorPiece[] | undefined {
  const rooms = findings.depths.kind === "ready" ? findings.depths.value.parts?.[0]?.roomIndices : undefined;
  return floorPieces(findings)?.filter(({ room }) => rooms === undefined || rooms.includes(room));
}

const placeOf = ({ x, y }: Point): Place => ({ eastM: x, northM: y });

function highestMm(
  { job, levels }: Findings,
  pieces: readonly FloorPiece[],
  stretches: readonly Stretch[],
): number | undefined {
  if (levels.kind !== "ready" || levels.value.scan !== undefined) return undefined;
  const least = job.material.depthOn[job.floor.substrate]?.least ?? Number.NaN;
  let high = 0;
  for (const [a, b] of stretches) {
    const along = greatestAlongMm(pieces, { x: a.eastM, y: a.northM }, { x: b.eastM, y: b.northM });
    if (along !== undefined) high = Math.max(high, along, least);
  }
  return high;
}

/** Where the floor ends in a door: between its jambs, or at the side of the doorway that is farthest from them. */
function edgeOf({ jambs: [a, b], doorway }: Door): Stretch {
  const jambs: Stretch = [placeOf(a), placeOf(b)];
  let [edge, awayM] = [jambs, 0];
  for (const side of stretchesOf((doorway ?? []).map(placeOf))) {
    const [p, q] = side;
    const middle = { eastM: (p.eastM + q.eastM) / 2, northM: (p.northM + q.northM) / 2 };
    const away = asideOf(jambs[0], jambs[1], middle);
    if (away > awayM + MARK_M) [edge, awayM] = [side, away];
  }
  return edge;
}

/** A dam in a door closes it, one at a joint runs along it; others are along the rim of the floor. */
function isWhereItBelongs({ job, plan }: Findings, { id, why, room }: Pour["dams"][number], segment: Stretch): boolean {
  const floor = plan.floors.find(({ roomId }) => roomId === room);
  const rim = ringsOf(floor).flatMap(stretchesOf);
  if (why === "planned" || why === "moving-joint") {
    const line = [...(job.pour.dams ?? []), ...(job.pour.movingJoints ?? [])].find((one) => one.id === id);
    return line !== undefined && segment.every((at) => asideOf(placeOf(line.from), placeOf(line.to), at) <= MARK_M);
  }
  if (why === "opening" || why === "open-edge") return rim.some((one) => sharedM(one, segment, MARK_M) > 0);
  const door = plan.floors.flatMap(({ doors }) => doors).find((one) => one.id === id);
  if (door === undefined) return false;
  const edge = edgeOf(door);
  const isOwn = floor?.doors.includes(door) === true;
  const awayM = isOwn ? MARK_M : THICKEST_WALL_M;
  const isAt = segment.every((at) => asideOf(edge[0], edge[1], at) <= awayM);
  // A doorway through a wall that stands askew is a little longer on one side.
  return isAt && (!isOwn || agrees(lengthM(segment), lengthM(edge), MARK_M));
}

function asideOf(a: Place, b: Place, { eastM, northM }: Place): number {
  const long = lengthM([a, b]);
  return Math.abs((eastM - a.eastM) * (b.northM - a.northM) - (northM - a.northM) * (b.eastM - a.eastM)) / long;
}

const ringsOf = (floor: Findings["plan"]["floors"][number] | undefined): Place[][] =>
  floor === undefined ? [] : [floor.polygon.outline, ...floor.polygon.holes].map((ring) => ring.map(placeOf));

const sharedWith = (rim: readonly Stretch[], stretch: Stretch): number =>
  rim.reduce((sum, one) => sum + sharedM(one, stretch), 0);

/** Each door has its dam, on both sides where a wall lies between two floors, and none where it is poured through. */
function checkDoors({ plan }: Findings, { dams, joins, kind }: Pour, wrong: (what: string) => void): void {
  for (const floor of plan.floors) {
    const rim = ringsOf(floor).flatMap(stretchesOf);
    for (const door of floor.doors) {
      const edge = edgeOf(door);
      // A column or a shaft can stand before a door.
      if (sharedWith(rim, edge) <= MARK_M) continue;
      const join = joins.find((one) => one.kind === "door" && one.id === door.id);
      const isPouredThrough = kind === "can-be-poured" && join?.how === "poured-through";
      const there = dams.filter(({ id, why }) => id === door.id && why.startsWith("door-"));
      const isOut = there.every(({ why }) => why === "door-out");
      if (isPouredThrough ? there.length > 0 : there.length === 0)
        wrong(`door ${door.id} is ${isPouredThrough ? "" : "not "}poured through and has ${there.length} dams`);
      if (!door.joinsRoom && there.length > 0 && !isOut)
        wrong(`door ${door.id} leads out, its dam stands between rooms`);
      if (there.length > 0 && !there.some(({ room }) => room === floor.roomId))
        wrong(`door ${door.id} of room ${floor.roomId} has its dam in another room`);
    }
  }
}

/** Along a joint the dam is at least as long as the line inside the room, and no longer than the line carried on to both walls. */
function checkLines({ job, plan }: Findings, { dams }: Pour, wrong: (what: string) => void): void {
  for (const { id, why, room, lengthM: long } of dams) {
    if (why !== "planned" && why !== "moving-joint") continue;
    const line = [...(job.pour.dams ?? []), ...(job.pour.movingJoints ?? [])].find((one) => one.id === id);
    const rings = ringsOf(plan.floors.find(({ roomId }) => roomId === room));
    if (line === undefined) continue;
    const [a, b] = [placeOf(line.from), placeOf(line.to)];
    const whole = lengthM([a, b]);
    const [ex, ey] = [(b.eastM - a.eastM) / whole, (b.northM - a.northM) / whole];
    const cuts: number[] = [];
    for (const [p, q] of rings.flatMap(stretchesOf)) {
      const [offP, offQ] = [p, q].map(({ eastM, northM }) => (eastM - a.eastM) * ey - (northM - a.northM) * ex) as [
        number,
        number,
      ];
      if (offP > 0 === offQ > 0) continue;
      const share = offP / (offP - offQ);
      const at = { eastM: p.eastM + share * (q.eastM - p.eastM), northM: p.northM + share * (q.northM - p.northM) };
      cuts.push((at.eastM - a.eastM) * ex + (at.northM - a.northM) * ey);
    }
    cuts.sort((p, q) => p - q);
    let carriedOn = 0;
    for (let k = 0; k + 1 < cuts.length; k += 2) carriedOn += (cuts[k + 1] as number) - (cuts[k] as number);
    if (long.value > carriedOn + TAPE_M) wrong(`dam ${id} is ${long.value} m long, ${carriedOn} m from wall to wall`);
  }
}

/** Rim less doorways and shafts. */
function checkStrip({ plan }: Findings, { perimeterStripM }: Pour, wrong: (what: string) => void): void {
  let strip = 0;
  let slack = TAPE_M;
  for (const floor of plan.floors) {
    const rim = ringsOf(floor).flatMap(stretchesOf);
    strip += rim.reduce((sum, one) => sum + lengthM(one), 0);
    for (const { kind, ring } of floor.obstacles)
      if (kind === "opening") for (const side of stretchesOf(ring.map(placeOf))) strip -= sharedWith(rim, side);
    for (const door of floor.doors) {
      const edge = edgeOf(door);
      const own = sharedWith(rim, edge);
      strip -= own;
      if (own <= MARK_M || !door.joinsRoom) continue;
      const other = ringsOf(plan.floors.find(({ roomId }) => roomId === door.joins)).flatMap(stretchesOf);
      const touching = sharedWith(other, edge);
      const across = other
        .map((one) => sharedM(one, edge, THICKEST_WALL_M))
        .reduce((most, one) => Math.max(most, one), 0);
      if (touching > 0) strip -= touching;
      // Across a wall the far side may stand askew: it is as long as the door at the most.
      else if (across > 0) {
        strip -= across / 2;
        slack += across / 2;
      }
    }
  }
  // Foam comes in rolls: a hundredth of it is no matter where columns stand in corners.
  if (!agrees(strip, perimeterStripM.value, slack + 0.01 * strip))
    wrong(`foam runs along ${strip} m of the rim, ${perimeterStripM.value} m in the packet`);
}

/** Drains where the job has them and openings as small as a pipe, each as deep as the floor is there. */
function checkPlugs(
  findings: Findings,
  { plugs }: Pour,
  pieces: readonly FloorPiece[] | undefined,
  wrong: (what: string) => void,
): void {
  const { job, plan } = findings;
  const pipes = plan.floors.flatMap(({ obstacles }) =>
    obstacles.filter(({ kind, ring }) => {
      const { lowX, highX, lowY, highY } = boxOf(ring);
      return kind === "opening" && highX - lowX < PIPE_M && highY - lowY < PIPE_M;
    }),
  );
  const drains = job.pour.drains ?? [];
  if (plugs.length !== drains.length + pipes.length)
    wrong(`${plugs.length} plugs for ${drains.length} drains and ${pipes.length} pipes`);
  const least = job.material.depthOn[job.floor.substrate]?.least ?? Number.NaN;
  for (const { id, at, depthMm } of plugs) {
    const drain = drains.find((one) => one.id === id && one.at.x === at.eastM && one.at.y === at.northM);
    const pipe = pipes.find((one) => one.id === id);
    if (drain === undefined && pipe === undefined) {
      wrong(`plug ${id} is at no drain and in no pipe`);
      continue;
    }
    if (pieces === undefined) continue;
    let deep: number | undefined;
    if (drain === undefined) deep = highestMm(findings, pieces, stretchesOf((pipe?.ring ?? []).map(placeOf)));
    else {
      const there = deepNear(pieces, drain.at, 0) ?? deepNear(pieces, drain.at, MARK_M);
      // A drain beside the floor has none.
      deep = there === undefined ? 0 : Math.max(there, least);
    }
    if (deep !== undefined && !agrees(deep, depthMm.value, DEPTH_MM))
      wrong(`the floor is ${deep} mm deep at plug ${id}, ${depthMm.value} mm in the packet`);
  }
}

/** Depth at a place, or so far beside it: a drain on a wall may lie a hair outside of the floor. */
function deepNear(pieces: readonly FloorPiece[], at: Point, besideM: number): number | undefined {
  const ways = besideM === 0 ? [0] : [0, 1, 2, 3, 4, 5, 6, 7].map((eighth) => (eighth * Math.PI) / 4);
  for (const way of ways) {
    const beside = { x: at.x + besideM * Math.cos(way), y: at.y + besideM * Math.sin(way) };
    for (const { corners } of pieces) {
      const mm = valueInside(corners, beside);
      if (mm !== undefined) return mm;
    }
  }
  return undefined;
}

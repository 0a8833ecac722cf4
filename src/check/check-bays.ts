/**
 * Bays a second time, from their outlines and the floor under them: how long and wide, how much they take up to each
 * line, how deep; where dams stand when mixing stops, and what a mixer that fails does to their edges.
 */
import type { Packet } from "../sheets/packet-schema.ts";
import { agrees, type Disagree, type Evidence } from "./evidence.ts";
import { isIn, type Place } from "./second-bays.ts";
import {
  FilledFloor,
  type FloorPiece,
  filledPieces,
  floorPieces,
  greatestAlongMm,
  lengthM,
  stretchesOf,
} from "./second-floor.ts";

type Pour = Extract<Packet["schedule"], { kind: "ready" }>["result"];
type Bay = Pour["bays"][number];
type Edge = Pour["edges"][number];

/** Minutes and metres: far above the rounding of sums, far below what is read off a clock or a tape. */
const NOTHING = 1e-6;
/** Lines across a bay are struck a millimetre inside its ends; a crumb of a square centimetre stays with its neighbour. */
const STRUCK_M = 0.003;
const CRUMB_M2 = 1e-3;
/** Depths are kept to a millionth of a millimetre; corners of bays lie on a grid of a micrometre. */
const DEPTH_MM = 0.01;

export function checkBays(evidence: Evidence, disagree: Disagree): void {
  const { packet } = evidence;
  if (packet.schedule.kind !== "ready" || packet.schedule.result.kind !== "can-be-poured") return;
  const pour = packet.schedule.result;
  checkSizes(pour, disagree);
  checkEdges(pour, disagree);
  const fills = fillsByLift(evidence);
  if (fills !== undefined) checkFills(evidence, pour, fills, disagree);
  const roomIds = evidence.findings.plan.floors.map(({ roomId }) => roomId);
  for (const [k, bay] of pour.bays.entries()) {
    checkStopDam(pour, bay, pour.bays[k + 1], fills?.get(bay.lift), roomIds, disagree);
    checkFailure(evidence, pour, bay, disagree);
  }
}

/** From here to there along a direction and square to it, by the corners of the outline. */
function checkSizes(pour: Pour, disagree: Disagree): void {
  for (const { number, outline, along, from, lengthM: long, widthM, areaM2, volumeL, meanDepthMm } of pour.bays) {
    const same = (what: string, mine: number, theirs: number, within = NOTHING): void => {
      if (!agrees(mine, theirs, within))
        disagree("bay-sizes-differ", `${what} of bay ${number} is ${mine} by its outline, ${theirs} in the packet`);
    };
    const alongs = outline.map(({ eastM, northM }) => eastM * along.eastM + northM * along.northM);
    const acrosses = outline.map(({ eastM, northM }) => northM * along.eastM - eastM * along.northM);
    same("the direction", 1, Math.hypot(along.eastM, along.northM));
    same("the length", Math.max(...alongs) - Math.min(...alongs), long.value);
    same("the width", Math.max(...acrosses) - Math.min(...acrosses), widthM.value);
    same("the beginning", Math.min(...alongs), from.eastM * along.eastM + from.northM * along.northM, STRUCK_M);
    same("the mean depth times the area", volumeL.value, meanDepthMm.value * areaM2.value);
  }
}

/** An edge is as long as its stretches, which both bays have, and has what is left of the limit. */
function checkEdges({ bays, edges, edgeLimit }: Pour, disagree: Disagree): void {
  for (const { earlier, later, segments, lengthM: long, ageMin, spareMin } of edges) {
    const wrong = (what: string): void =>
      disagree("edge-differs", `the edge between bays ${earlier} and ${later} ${what}`);
    const stretches = segments.map(({ from, to }) => lengthM([from, to]));
    const sum = stretches.reduce((all, one) => all + one, 0);
    if (!agrees(sum, long.value, NOTHING)) wrong(`is ${sum} m long, ${long.value} m in the packet`);
    if (!agrees(ageMin + spareMin, edgeLimit.limitMin ?? Number.NaN, NOTHING))
      wrong(`is ${ageMin} min old and has ${spareMin} min left of ${edgeLimit.limitMin}`);
    if (!(earlier < later)) wrong("is renewed before it is there");
    const both = [earlier, later].map((number) => bays.find((bay) => bay.number === number));
    for (const { from, to } of segments) {
      const middle = { eastM: (from.eastM + to.eastM) / 2, northM: (from.northM + to.northM) / 2 };
      for (const bay of both)
        if (bay === undefined || !isOnRim(bay, middle))
          wrong(`runs through ${middle.eastM}, ${middle.northM}, off their rims`);
    }
  }
}

function isOnRim({ outline, holes }: Bay, { eastM, northM }: Place): boolean {
  return [outline, ...holes].flatMap(stretchesOf).some(([a, b]) => {
    const long = lengthM([a, b]);
    if (long === 0) return false;
    const [ex, ey] = [(b.eastM - a.eastM) / long, (b.northM - a.northM) / long];
    const at = (eastM - a.eastM) * ex + (northM - a.northM) * ey;
    const aside = Math.abs((eastM - a.eastM) * ey - (northM - a.northM) * ex);
    return at >= -STRUCK_M && at <= long + STRUCK_M && aside <= 1e-3;
  });
}

/** The floor cut where each lift's fill bends; undefined for floors that are not looked at twice. */
function fillsByLift({ findings, packet }: Evidence): ReadonlyMap<number, readonly FloorPiece[]> | undefined {
  const { job, levels } = findings;
  if (packet.quantities.kind !== "ready" || levels.kind !== "ready" || levels.value.scan !== undefined)
    return undefined;
  const depths = floorPieces(findings);
  const leastMm = job.material.depthOn[job.floor.substrate]?.least;
  if (depths === undefined || leastMm === undefined) return undefined;
  const { lifts } = packet.quantities.result;
  const topsMm = lifts.slice(0, -1).map(({ topBelowTargetMm }) => topBelowTargetMm);
  const fill = { leastMm, topsMm, profileMm: job.pour.profileAllowance };
  return new Map(lifts.map(({ number }, k) => [number, filledPieces(depths, k, fill)]));
}

/** What each bay takes, up to where each batch is to reach, and where it is deepest. */
function checkFills(
  { findings: { plan } }: Evidence,
  pour: Pour,
  fills: ReadonlyMap<number, readonly FloorPiece[]>,
  disagree: Disagree,
): void {
  for (const bay of pour.bays) {
    const { number, outline, holes, along, areaM2, volumeL, widthM, greatestDepthMm } = bay;
    const room = plan.floors.findIndex(({ roomId }) => roomId === bay.room);
    const pieces = (fills.get(bay.lift) ?? []).filter((piece) => piece.room === room);
    const floor = new FilledFloor(pieces, [outline, ...holes]);
    const deepestMm = deepestIn(bay, pieces);
    if (!agrees(deepestMm, greatestDepthMm.value, DEPTH_MM))
      disagree(
        "bay-depths-differ",
        `bay ${number} is ${deepestMm} mm deep by its floor, ${greatestDepthMm.value} mm in the packet`,
      );
    const slackM2 = CRUMB_M2 * Math.max(1, areaM2.value);
    const slackL = slackM2 * greatestDepthMm.value;
    if (!agrees(floor.litres, volumeL.value, slackL))
      disagree(
        "bay-volumes-differ",
        `bay ${number} takes ${floor.litres} L by its floor, ${volumeL.value} L in the packet`,
      );
    const beginsM = Math.min(...outline.map(({ eastM, northM }) => eastM * along.eastM + northM * along.northM));
    let poured = 0;
    for (const { number: batch, pours } of pour.batches)
      for (const one of pours) {
        if (one.bay !== number) continue;
        poured += one.volumeL;
        const upTo = floor.litresUpTo(along, beginsM + one.reachesM);
        const within = slackL + STRUCK_M * widthM.value * greatestDepthMm.value;
        if (!agrees(upTo, poured, within))
          disagree(
            "line-out-of-place",
            `batch ${batch} in bay ${number} reaches where ${upTo} L lie, ${poured} L are poured`,
          );
      }
  }
}

/** At a corner of a piece inside the bay, or along its rim. */
function deepestIn(bay: Bay, pieces: readonly FloorPiece[]): number {
  let deepest = 0;
  for (const ring of [bay.outline, ...bay.holes])
    for (const [a, b] of stretchesOf(ring)) {
      const along = greatestAlongMm(pieces, { x: a.eastM, y: a.northM }, { x: b.eastM, y: b.northM });
      deepest = Math.max(deepest, along ?? 0);
    }
  for (const { corners } of pieces)
    for (const { x, y, mm } of corners) if (mm > deepest && isIn(bay, { eastM: x, northM: y })) deepest = mm;
  return deepest;
}

/** Edges that are fresh when a bay is full, and those that go along them. */
const freshAfter = ({ bays, edges }: Pour, { number, lift }: Bay): Edge[] =>
  edges.filter(({ earlier, later }) => {
    const next = bays.find((bay) => bay.number === later);
    return earlier <= number && later > number && next?.lift === lift;
  });

/** The least powder time of the batches that lie along an edge, and when the last one beside it would be placed. */
function batchesAlong({ batches }: Pour, bay: Bay, at: Place): { readonly powderMin: number; readonly number: number } {
  const alongM = (at.eastM - bay.from.eastM) * bay.along.eastM + (at.northM - bay.from.northM) * bay.along.northM;
  let last = { powderMin: Number.NaN, number: Number.NaN };
  for (const { number, pours, powderMeetsWaterMin } of batches)
    for (const { bay: into, reachesM } of pours) {
      if (into !== bay.number) continue;
      last = { powderMin: powderMeetsWaterMin, number };
      if (reachesM >= alongM) return last;
    }
  return last;
}

/** Along all edges that are then fresh: a dam as high as the fill there, set by one at a metre a minute after a minute, before the oldest of them closes. */
function checkStopDam(
  pour: Pour,
  bay: Bay,
  next: Bay | undefined,
  fill: readonly FloorPiece[] | undefined,
  roomIds: readonly string[],
  disagree: Disagree,
): void {
  const { stopDam, number } = bay;
  const same = (what: string, mine: number | null, theirs: number | null, within = NOTHING): void => {
    if (mine === null || theirs === null ? mine !== theirs : !agrees(mine, theirs, within))
      disagree(
        "stop-dam-differs",
        `${what} of the dam after bay ${number} is ${mine} by another way, ${theirs} in the packet`,
      );
  };
  const fresh = freshAfter(pour, bay);
  const long = fresh.reduce(
    (sum, edge) => sum + edge.segments.reduce((all, { from, to }) => all + lengthM([from, to]), 0),
    0,
  );
  same("the length", long, stopDam.lengthM.value);
  same("the time for one", long > 0 ? 1 + long : 0, stopDam.onePersonMin);
  let highMm = 0;
  let oldestMin = Number.POSITIVE_INFINITY;
  for (const { earlier, later, segments } of fresh) {
    const poured = pour.bays.find((one) => one.number === earlier);
    const beside = pour.bays.find((one) => one.number === later);
    if (poured === undefined) continue;
    // An edge that ends in a doorway touches the floor of another room, which may be deeper there.
    const own = fill?.filter(({ room }) => [poured, beside].some((one) => one?.room === roomIds[room]));
    for (const { from, to } of segments) {
      for (const at of [from, to]) oldestMin = Math.min(oldestMin, batchesAlong(pour, poured, at).powderMin);
      if (own === undefined) continue;
      highMm = Math.max(
        highMm,
        greatestAlongMm(own, { x: from.eastM, y: from.northM }, { x: to.eastM, y: to.northM }) ?? 0,
      );
    }
  }
  if (fill !== undefined) same("the height", highMm, stopDam.heightMm.value, DEPTH_MM);
  const follows = long > 0 && next?.lift === bay.lift && pour.runs.length === 1;
  const { leftMin, people } = stopDam;
  if (long === 0 && (leftMin !== null || people !== null))
    same("the time left where there is none", null, leftMin ?? people);
  if (follows && next !== undefined) {
    const mine = oldestMin + (pour.edgeLimit.leastMin ?? Number.NaN) - next.beginsMin;
    // A strip at the end of a bay shields no edge: the batch behind it may count, which is one gap older.
    if (leftMin === null || leftMin > mine + NOTHING || leftMin < mine - pour.intervalMin - NOTHING)
      same("the time left", mine, leftMin);
  }
  if (leftMin !== null) {
    const enough = people !== null && leftMin > 1 && long / people <= leftMin - 1 + NOTHING;
    const fewer = people !== null && people > 1 && long / (people - 1) <= leftMin - 1 - NOTHING;
    if (leftMin > 1 + NOTHING ? !enough || fewer : people !== null) same("the people", Number.NaN, people);
  }
}

/** With one mixer less from a batch on, the next barrel mixes that batch again, and the others come in turn. */
function checkFailure({ findings: { job } }: Evidence, pour: Pour, bay: Bay, disagree: Disagree): void {
  const { worstBatch, spareMin, finishesBay } = bay.mixerFails;
  const wrong = (what: string): void =>
    disagree("mixer-failure-differs", `where a mixer fails in bay ${bay.number}, ${what}`);
  const mixers = job.crew.barrels;
  if (worstBatch < bay.firstBatch || worstBatch > bay.lastBatch) wrong(`batch ${worstBatch} is not in it`);
  if (mixers < 2) {
    if (spareMin !== null || finishesBay) wrong("there is no other");
    return;
  }
  const first = pour.batches.find(({ number }) => number === bay.firstBatch);
  if (first === undefined || spareMin === null) {
    wrong("nothing is said");
    return;
  }
  if (finishesBay !== spareMin >= 0)
    wrong(`${spareMin} min are left, and the bay is ${finishesBay ? "" : "not "}finished`);
  const takesMin = bay.beginsMin - first.powderMeetsWaterMin;
  const slowMin = (pour.intervalMin * mixers) / (mixers - 1);
  const inBay = pour.batches.filter(({ pours }) => pours.some((one) => one.bay === bay.number));
  /** Pairs of batches on both sides of a front or an edge: powder of the older one, number of the newer. */
  const meets: { readonly powderMin?: number; readonly after?: number; readonly number: number }[] = [];
  for (const [k, { number }] of inBay.entries()) {
    const before = inBay[k - 1];
    if (before) meets.push({ after: before.number, number });
  }
  for (const { earlier, later, segments } of pour.edges) {
    const old = pour.bays.find((one) => one.number === earlier);
    if (later !== bay.number || old === undefined) continue;
    for (const { from, to } of segments)
      for (const share of SHARES) {
        const at = {
          eastM: from.eastM + share * (to.eastM - from.eastM),
          northM: from.northM + share * (to.northM - from.northM),
        };
        meets.push({ powderMin: batchesAlong(pour, old, at).powderMin, number: batchesAlong(pour, bay, at).number });
      }
  }
  const startOf = new Map(pour.batches.map(({ number, powderMeetsWaterMin }) => [number, powderMeetsWaterMin]));
  const leftWith = (failed: number): number => {
    const failedMin = startOf.get(failed) ?? Number.NaN;
    const powderMin = (number: number): number =>
      number < failed
        ? (startOf.get(number) ?? Number.NaN)
        : failedMin + pour.intervalMin + (number - failed) * slowMin;
    let oldest = 0;
    for (const { powderMin: old, after, number } of meets)
      oldest = Math.max(oldest, powderMin(number) + takesMin - (old ?? powderMin(after ?? Number.NaN)));
    return (pour.edgeLimit.leastMin ?? Number.NaN) - oldest;
  };
  const least = Math.min(...inBay.map(({ number }) => leftWith(number)));
  // Along an edge it is tried at some places, and a strip at a bay's end may count with the batch behind it.
  const within = meets.some(({ powderMin }) => powderMin !== undefined) ? pour.intervalMin + slowMin : 0;
  if (spareMin > least + NOTHING || spareMin < least - within - NOTHING)
    wrong(`${least} min are left, ${spareMin} in the packet`);
  if (leftWith(worstBatch) > least + within + NOTHING) wrong(`batch ${worstBatch} is not the one that costs most`);
}

/** Places along an edge at which both sides are looked at. */
const SHARES = Array.from({ length: 21 }, (_, k) => k / 20);

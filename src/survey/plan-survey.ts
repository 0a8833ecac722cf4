/**
 * The survey before it is made: where the level stands, what is read from each place and in which
 * order, what is read twice, and when the zero is checked.
 */
import { type Diagnostic, type Outcome, ready, refused } from "../diagnostics.ts";
import { lengthsBetween, seesAcross, shortestPath, type WalkableFloor, walkableFloor } from "../geometry/paths.ts";
import { distance, type Point } from "../geometry/point.ts";
import { boundsOf } from "../geometry/polygon.ts";
import type { BenchMark, SurveyPlanning, SurveySpec } from "../job/model.ts";
import type { Plan } from "../layout/model.ts";
import type { SolveBinary } from "../numeric/integer-program.ts";
import { type Metres, metres } from "../units.ts";
import { type Candidate, candidatePlaces } from "./candidates.ts";
import { type Cover, fewestPositions } from "./cover.ts";
import { TYING_POINTS } from "./datum.ts";
import type { PlannedReading, PlannedSetUp, PlannedTie, SurveyPlan } from "./model.ts";
import { passagesOf } from "./passages.ts";
import { reachEdge } from "./reach-edge.ts";
import { type PlaceToRead, readTwice, serpentine, zeroChecksAfter } from "./reading-order.ts";
import { spreadPlaces } from "./tying-points.ts";

/** So many bench marks begin a set-up; more check nothing that these do not. */
const MOST_BENCH_MARKS = 3;

/** Nodes of the search at one program: floors of a dozen rooms need a few; the rest is a bound on the worst. */
const MOST_NODES = 2000;

/** Set-ups that were laid out in the job file and have no reading yet. */
export const blankSetUps = ({ setUps }: SurveySpec): string[] =>
  setUps.filter(({ readings }) => readings.length === 0).map(({ id }) => id);

/** Whether any reading is still to be made: none is there, or a set-up that was laid out is blank. */
export const isStillRead = (survey: SurveySpec): boolean =>
  survey.scan === undefined && (survey.setUps.length === 0 || blankSetUps(survey).length > 0);

/**
 * Plans the survey of the plan's points with the fewest positions that reach them all and share three spread
 * points from one to the next. `solve` is the integer program solver of `numeric/integer-program.ts`.
 * Where three cannot be shared, two or one are, with a warning; a part that shares none needs a bench mark of its own.
 * Each set-up begins with the bench marks that its hose reaches.
 */
export function planSurvey(
  plan: Plan,
  planning: SurveyPlanning,
  solve: SolveBinary,
  benchMarks: readonly BenchMark[] = [],
): Outcome<SurveyPlan> {
  if (plan.points.length === 0) return refused([noPoints]);
  const candidates = candidatePlaces(plan, planning.positions);
  const floor = walkableFloor(
    plan.floors.map((one) => one.polygon),
    passagesOf(plan.floors),
  );
  const hoseM = reachOf(plan, planning, candidates, floor);
  const count = plan.points.length;
  const coverable = plan.points.flatMap((_, p) =>
    candidates.some((_, c) => hoseM[c * count + p]! < Infinity) ? [p] : [],
  );
  const numberOf = new Map(coverable.map((p, k) => [p, k]));
  const reach = candidates.map(
    (_, c) => new Set(coverable.filter((p) => hoseM[c * count + p]! < Infinity).map((p) => numberOf.get(p)!)),
  );
  const warnings: Diagnostic[] = unreachable(plan, coverable);
  if (coverable.length === 0) return refused(warnings.map((one) => ({ ...one, severity: "error" })));

  const both = (a: number, b: number): number[] =>
    coverable.filter((p) => hoseM[a * count + p]! < Infinity && hoseM[b * count + p]! < Infinity);
  /** How many points that stand apart two candidates share, three at most. */
  const sharedCount = candidates.map((_, a) =>
    candidates.map((_, b) => {
      if (b >= a) return 0;
      const places = both(a, b).map((p) => plan.points[p]!.at);
      return spreadPlaces(places, planning.tieSpread).length;
    }),
  );

  const settled = candidates.flatMap((one, c) => (one.settled ? [c] : []));
  let cover: Cover = { kind: "not-one-net" };
  let sharing = TYING_POINTS;
  let ties: Set<number>[] = [];
  for (; sharing >= 0 && cover.kind === "not-one-net"; sharing--) {
    const enough = sharing;
    ties = candidates.map(
      (_, a) =>
        new Set(
          candidates.flatMap((_, b) => (b !== a && sharedCount[Math.max(a, b)]![Math.min(a, b)]! >= enough ? [b] : [])),
        ),
    );
    cover = fewestPositions({ reach, pointCount: coverable.length, ties, settled }, solve, MOST_NODES);
    if (enough < TYING_POINTS && cover.kind === "covered") warnings.push(weaklyShared(enough));
  }
  if (cover.kind !== "covered") throw new Error("no choice of all positions covers the points that they reach");

  const order = orderOfWork(plan, candidates, cover.positions, ties);
  const tyingPoints = (a: number, b: number): readonly number[] => {
    const hose = (p: number): number => hoseM[a * count + p]! + hoseM[b * count + p]!;
    // Those with the least hose first: nobody walks farther for a tie than it takes.
    const near = both(a, b).sort((p, q) => hose(p) - hose(q) || p - q);
    return spreadPlaces(
      near.map((p) => plan.points[p]!.at),
      planning.tieSpread,
    ).map((k) => near[k]!);
  };
  const neighbours = neighboursOf(plan, planning, order, hoseM, ties, tyingPoints);
  const marks = benchMarks.map(({ at }) => at);
  const positions = order.map((c, k) => {
    const lengths = lengthsFrom(planning, floor, [candidates[c]!.at], marks);
    const reached = benchMarks
      .flatMap(({ id }, b): PlannedReading[] =>
        lengths[b]! < Infinity ? [{ pointId: id, hose: metres(lengths[b]!), why: "bench-mark" }] : [],
      )
      .sort((a, b) => a.hose - b.hose)
      .slice(0, MOST_BENCH_MARKS);
    const one = plannedSetUp(plan, candidates, hoseM, order, neighbours, reached, c, k);
    return withHose(one, plan, benchMarks, planning, floor);
  });
  const { least, proved } = cover;
  return ready(
    {
      positions,
      neighbours,
      outOfReach: plan.points.flatMap((planPoint, p) => (numberOf.has(p) ? [] : [planPoint.id])),
      leastPositions: least,
      provedFewest: proved,
    },
    warnings,
  );
}

/**
 * Metres of hose from each candidate to each point, Infinity where it cannot be read: the hose less its slack is too
 * short, or the room's expected levels fall farther from the zero than the instrument's range, the zero being set in
 * the middle of those of the candidate's room. An instrument without a hose reads what it sees, at the distance.
 */
function reachOf(
  plan: Plan,
  planning: SurveyPlanning,
  candidates: readonly Candidate[],
  floor: WalkableFloor,
): Float64Array {
  const { instrument, expected } = planning;
  const places = candidates.map((one) => one.at);
  const targets = plan.points.map((planPoint) => planPoint.at);
  const lengths = lengthsFrom(planning, floor, places, targets);
  const { range } = instrument;
  if (range === undefined) return lengths;
  const levels = plan.floors.map((one) => expected.find((relief) => relief.roomId === one.roomId));
  candidates.forEach((candidate, c) => {
    const own = levels[candidate.roomIndex];
    const middle = own ? (own.lowest + own.highest) / 2 : 0;
    plan.points.forEach((planPoint, p) => {
      const there = levels[planPoint.roomIndex];
      const off = there ? Math.max(there.highest - middle, middle - there.lowest) : Math.abs(middle);
      if (off > range) lengths[c * targets.length + p] = Infinity;
    });
  });
  return lengths;
}

/** Hose from each place to each target, or what an instrument without one sees; Infinity where it is too far. */
const lengthsFrom = (
  { instrument, slack }: SurveyPlanning,
  floor: WalkableFloor,
  places: readonly Point[],
  targets: readonly Point[],
): Float64Array =>
  instrument.hoseLength === undefined
    ? seesAcross(floor, places, targets)
    : lengthsBetween(floor, places, targets, metres(instrument.hoseLength - slack));

/** The hose as it lies to the farthest point of the set-up; an instrument without a hose stays as it is. */
function withHose(
  one: PlannedSetUp,
  plan: Plan,
  benchMarks: readonly BenchMark[],
  { instrument, slack }: SurveyPlanning,
  floor: WalkableFloor,
): PlannedSetUp {
  const farthest = one.order.reduce<PlannedReading | undefined>(
    (most, next) => (most === undefined || next.hose > most.hose ? next : most),
    undefined,
  );
  const at = [...plan.points, ...benchMarks].find(({ id }) => id === farthest?.pointId)?.at;
  if (instrument.hoseLength === undefined || farthest === undefined || at === undefined) return one;
  const bounds = boundsOf(plan.floors.flatMap(({ polygon }) => polygon.outline));
  return {
    ...one,
    hose: {
      pointId: farthest.pointId,
      length: farthest.hose,
      way: shortestPath(floor, one.at, at)?.places ?? [one.at, at],
      ends: reachEdge(floor, one.at, metres(instrument.hoseLength - slack), bounds),
    },
  };
}

/** From the position nearest to the way in, each time to the nearest one that is tied to any before it. */
function orderOfWork(
  plan: Plan,
  candidates: readonly Candidate[],
  positions: readonly number[],
  ties: readonly ReadonlySet<number>[],
): number[] {
  const entrance = plan.floors.flatMap((floor) => floor.doors).find((door) => door.entrance)?.jambs[0];
  const left = new Set(positions);
  const order: number[] = [];
  while (left.size > 0) {
    const from = order.length > 0 ? candidates[order[order.length - 1]!]!.at : entrance;
    const away = (c: number): number => (from ? distance(candidates[c]!.at, from) : 0);
    const tied = [...left].filter((c) => order.some((done) => ties[c]!.has(done)));
    const choice = tied.length > 0 ? tied : [...left];
    const next = choice.sort((a, b) => away(a) - away(b) || a - b)[0]!;
    left.delete(next);
    order.push(next);
  }
  return order;
}

/**
 * Ties along the order of work, each position to the nearest before it that it can be tied to; and between
 * positions whose own points lie side by side, which close loops.
 */
function neighboursOf(
  plan: Plan,
  planning: SurveyPlanning,
  order: readonly number[],
  hoseM: Float64Array,
  ties: readonly ReadonlySet<number>[],
  tyingPoints: (a: number, b: number) => readonly number[],
): PlannedTie[] {
  const count = plan.points.length;
  const ownerOf = plan.points.map((_, p) => nearestPosition(order, hoseM, count, p));
  const sideBySide = new Set<number>();
  for (let p = 0; p < count; p++) {
    for (let q = 0; q < p; q++) {
      const [k, j] = [Math.max(ownerOf[p]!, ownerOf[q]!), Math.min(ownerOf[p]!, ownerOf[q]!)];
      if (k === j || j < 0 || sideBySide.has(k * order.length + j)) continue;
      if (distance(plan.points[p]!.at, plan.points[q]!.at) <= planning.tieSpread) sideBySide.add(k * order.length + j);
    }
  }
  const planned: PlannedTie[] = [];
  for (let k = 1; k < order.length; k++) {
    const before = Array.from({ length: k }, (_, j) => j)
      .filter((j) => ties[order[k]!]!.has(order[j]!))
      .map((j) => {
        const points = tyingPoints(order[j]!, order[k]!);
        const hose = (p: number): number => hoseM[order[j]! * count + p]! + hoseM[order[k]! * count + p]!;
        return { j, points, hoseM: points.reduce((sum, p) => sum + hose(p), 0) };
      });
    // As many shared points as may be, then the least hose.
    const best = before.toSorted((a, b) => b.points.length - a.points.length || a.hoseM - b.hoseM)[0];
    for (const tie of before) {
      const loop = tie.points.length >= TYING_POINTS && sideBySide.has(k * order.length + tie.j);
      if ((tie !== best && !loop) || tie.points.length === 0) continue;
      planned.push({ positions: [tie.j, k], pointIds: tie.points.map((p) => plan.points[p]!.id) });
    }
  }
  return planned;
}

/** Index into `order` of the position with the shortest hose to the point; −1 where none reaches it. */
function nearestPosition(order: readonly number[], hoseM: Float64Array, count: number, p: number): number {
  let nearest = -1;
  order.forEach((c, k) => {
    const hose = hoseM[c * count + p]!;
    if (hose < Infinity && (nearest < 0 || hose < hoseM[order[nearest]! * count + p]!)) nearest = k;
  });
  return nearest;
}

function plannedSetUp(
  plan: Plan,
  candidates: readonly Candidate[],
  hoseM: Float64Array,
  order: readonly number[],
  neighbours: readonly PlannedTie[],
  benchMarks: readonly PlannedReading[],
  c: number,
  k: number,
): PlannedSetUp {
  const count = plan.points.length;
  const tied = new Set(neighbours.filter((tie) => tie.positions.includes(k)).flatMap((tie) => tie.pointIds));
  type Place = PlaceToRead & { readonly why: "own" | "tie" };
  const places = plan.points.flatMap((planPoint, p): Place[] => {
    const { id: pointId, at, roomIndex } = planPoint;
    const why = nearestPosition(order, hoseM, count, p) === k ? "own" : tied.has(pointId) ? "tie" : undefined;
    return why ? [{ pointId, at, roomIndex, hoseM: hoseM[c * count + p]!, why }] : [];
  });
  const spacing = spacingNorth(plan);
  const first = serpentine(places, spacing);
  const again = serpentine(readTwice(places), spacing);
  const asPlanned = (place: Place, why: PlannedReading["why"]): PlannedReading => ({
    pointId: place.pointId,
    hose: metres(place.hoseM),
    why,
  });
  const readings = [
    ...benchMarks,
    ...first.map((one) => asPlanned(one, one.why)),
    ...again.map((one) => asPlanned(one, "second-time")),
  ];
  const { at, roomIndex } = candidates[c]!;
  return {
    id: `S${k + 1}`,
    at,
    roomIndex,
    reach: plan.points
      .flatMap((planPoint, p): { pointId: string; hose: Metres }[] =>
        hoseM[c * count + p]! < Infinity ? [{ pointId: planPoint.id, hose: metres(hoseM[c * count + p]!) }] : [],
      )
      .sort((a, b) => a.hose - b.hose),
    order: readings,
    zeroChecksAfter: zeroChecksAfter(readings.length),
  };
}

/** Between lettered lines, the least; rows of a plan without lines are told apart at half a metre. */
function spacingNorth(plan: Plan): number {
  const lines = plan.gridLines.filter((line) => line.axis === "lettered").map((line) => line.at);
  lines.sort((a, b) => a - b);
  let least = Infinity;
  for (let k = 1; k < lines.length; k++) least = Math.min(least, lines[k]! - lines[k - 1]!);
  return least < Infinity ? least : 1;
}

const noPoints: Diagnostic = {
  code: "nothing-to-survey",
  severity: "error",
  message: "the plan has no point to read",
  expected: "a grid with points on the floor",
};

function unreachable(plan: Plan, coverable: readonly number[]): Diagnostic[] {
  const known = new Set(coverable);
  const ids = plan.points.filter((_, p) => !known.has(p)).map((planPoint) => planPoint.id);
  if (ids.length === 0) return [];
  return [
    {
      code: "points-out-of-reach",
      severity: "warning",
      message: `no position of the level reaches ${ids.join(", ")}`,
      expected:
        "a way along the floor no longer than the hose less its slack, and levels within the range of the instrument",
      hint: "use a longer hose or an instrument with more range, say which door joins the rooms, or settle on a position",
    },
  ];
}

const weaklyShared = (sharing: number): Diagnostic => ({
  code: "set-ups-share-too-few-points",
  severity: "warning",
  message:
    sharing === 0
      ? "the positions do not hang together: some share no point with the others, and each such part needs a bench mark of its own"
      : `some neighbouring positions share no more than ${sharing === 1 ? "one point" : "two points"} that ${sharing === 1 ? "they both reach" : "stand apart"}: a slip there ${sharing === 1 ? "goes unseen" : "is felt but cannot be found"}`,
  expected: "three shared points, apart from each other, between neighbours",
  hint: "add points near the doors between them, or use a longer hose",
});

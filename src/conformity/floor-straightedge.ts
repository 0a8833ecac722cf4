/**
 * A straightedge everywhere on a floor: parallel lines in several directions, the edge slid along
 * each, then the worst places searched finer. A second set of lines and directions halfway between
 * those of the first must find the same worst gap; where it does not, the sets are made finer.
 */
import { triangleArea } from "../geometry/level.ts";
import { triangleCount } from "../geometry/mesh.ts";
import type { Metres, Millimetres, Share } from "../units.ts";
import {
  type Cut,
  cutFloor,
  directionAt,
  type FloorSurface,
  offsetsOfFloor,
  pointOnLine,
  readingsUnder,
} from "./floor-profiles.ts";
import {
  type Bench,
  type EdgePlace,
  type EdgeTask,
  gapAt,
  gapOf,
  type Laid,
  layingBench,
  OFF_RIM_M,
  placeOf,
} from "./lay-edge.ts";
import { FEWEST_READINGS_UNDER_EDGE, gatherUnder } from "./straightedge.ts";

export interface EdgeSearch {
  readonly task: EdgeTask;
  /** Directions, and step of the finest set of places that was laid. */
  readonly directions: number;
  readonly step: Metres;
  /** Places where the edge lies wholly on the floor, and those of them with readings enough. */
  readonly places: number;
  readonly decided: number;
  /** Of the decided places, the share within `limit` and within `most`; absent where none was decided. */
  readonly shareWithin?: { readonly limit: Share; readonly most?: Share };
  readonly worst?: EdgePlace;
  /** By how much the worst gap moved from the set of places before the last to the last. */
  readonly moved?: Millimetres;
  /** True where it moved by less than `SETTLED_MM`. */
  readonly settled: boolean;
  /** Places past the limit, worst first, none with its gap within half an edge of a worse one's. */
  readonly over: readonly EdgePlace[];
}

/** Places are made finer until the worst gap moves by less than this. */
export const SETTLED_MM = 0.05;
/** How often the edge is laid down where nothing else is said: 6 in. */
export const USUAL_STEP_M = 0.1524;
/** Directions of one set: every 22.5°. */
const FIRST_DIRECTIONS = 8;
/** How many of the worst places of a set are searched finer. */
const SEARCHED_FINER = 24;
/** The finer search ends where it would move the edge by less than this. */
const FINEST_MOVE_M = 0.002;
/** Longest list of places past the limit that is kept while searching. */
const KEPT_OVER = 4000;

/** Lays the edge everywhere on the floor. Lengths in metres, gaps in millimetres. */
export function searchFloor(floor: FloorSurface, task: EdgeTask): EdgeSearch {
  const bench = layingBench(floor, task);
  const tally: Tally = { places: 0, decided: 0, withinLimit: 0, withinMost: 0, over: [] };
  let directions = FIRST_DIRECTIONS;
  let step = firstStep(floor, task);
  let worst: Laid | undefined;
  let moved: number | undefined;
  let laidDirections = 0;
  let finestStep = step;
  for (let set = 0; ; set++) {
    const before = tally.places;
    const best = laySet(bench, directions, step, set % 2 === 1, tally);
    laidDirections = set % 2 === 1 ? 2 * directions : Math.max(laidDirections, directions);
    finestStep = step;
    const found = searchFiner(bench, best, step, Math.PI / directions);
    if (found) {
      // A set that misses what the one before had found has not settled either.
      if (worst) moved = Math.abs(found.gap - worst.gap);
      if (!worst || found.gap > worst.gap) worst = found;
    }
    if (tally.decided === 0 && set === 1) break;
    if (moved !== undefined && moved < SETTLED_MM) break;
    const cost = (tally.places - before) * (set % 2 === 1 ? 8 : 1);
    if (tally.places + cost > task.greatestPlaces) break;
    if (set % 2 === 1) {
      directions *= 2;
      step /= 2;
    }
  }
  const seen = worst && placeOf(bench, worst);
  return {
    task,
    directions: laidDirections,
    step: finestStep,
    places: tally.places,
    decided: tally.decided,
    ...(tally.decided > 0 && {
      shareWithin: {
        limit: tally.withinLimit / tally.decided,
        ...(task.most !== undefined && { most: tally.withinMost / tally.decided }),
      },
    }),
    ...(seen && { worst: seen }),
    ...(moved !== undefined && { moved }),
    settled: moved !== undefined && moved < SETTLED_MM,
    over: spread(bench, worst && worst.gap > task.limit ? [worst, ...tally.over] : tally.over),
  };
}

/** The step asked for, at most a quarter of the edge, but no finer than the number of places allows. */
function firstStep(floor: FloorSurface, task: EdgeTask): number {
  const { mesh } = floor;
  let area = 0;
  for (let t = 0; t < triangleCount(mesh); t++) area += triangleArea(mesh, t);
  return Math.max(Math.min(task.step, task.length / 4), Math.sqrt((area * FIRST_DIRECTIONS) / task.greatestPlaces));
}

interface Tally {
  places: number;
  decided: number;
  withinLimit: number;
  withinMost: number;
  over: Laid[];
}

/** One set of places: every line of every direction. Gives the worst of each stretch, worst first. */
function laySet(bench: Bench, directions: number, step: number, between: boolean, tally: Tally): Laid[] {
  const { floor, task, cut } = bench;
  const best: Laid[] = [];
  for (let d = 0; d < directions; d++) {
    const angle = task.firstDirection + ((d + (between ? 0.5 : 0)) * Math.PI) / directions;
    const direction = directionAt(angle);
    const { least, greatest } = offsetsOfFloor(floor, direction);
    const low = least + OFF_RIM_M;
    const lines = Math.max(1, Math.ceil((greatest - low) / step));
    for (let n = 0; n <= (between ? lines - 1 : lines); n++) {
      const offset = greatest - ((greatest - low) * (between ? n + 0.5 : n)) / lines;
      cutFloor(floor, direction, offset, cut, (stretch) => {
        const laid = slide(bench, stretch, angle, offset, step, between, tally);
        if (laid) best.push(laid);
      });
    }
    keepWorst(best, SEARCHED_FINER);
    if (tally.over.length > KEPT_OVER) keepWorst(tally.over, KEPT_OVER);
  }
  return best;
}

function keepWorst(places: Laid[], count: number): void {
  places.sort(worstFirst);
  places.length = Math.min(places.length, count);
}

/** By place where gaps are equal, so that the order never depends on how places were come by. */
const worstFirst = (a: Laid, b: Laid): number =>
  b.gap - a.gap || a.angle - b.angle || a.offset - b.offset || a.start - b.start;

/** Slides the edge along one stretch; its worst decided place. */
function slide(
  bench: Bench,
  stretch: Cut,
  angle: number,
  offset: number,
  step: number,
  between: boolean,
  tally: Tally,
): Laid | undefined {
  const { task, under } = bench;
  const { length } = task;
  const begin = stretch.alongM[0]!;
  const room = stretch.alongM[stretch.count - 1]! - begin - length;
  if (room < -OFF_RIM_M) return undefined;
  const moves = Math.ceil(Math.max(0, room) / step);
  const halfway = between && moves > 0 ? 0.5 : 0;
  let hint = 0;
  let past = 0;
  let worst: Laid | undefined;
  let worstOver: Laid | undefined;
  for (let m = 0; m <= (halfway > 0 ? moves - 1 : moves); m++) {
    const start = moves === 0 ? begin : begin + (room * (m + halfway)) / moves;
    const end = start + length;
    tally.places++;
    while (hint < stretch.count - 1 && stretch.alongM[hint]! < start) hint++;
    while (past < stretch.count - 1 && stretch.alongM[past]! < end) past++;
    if (stretch.unreadBefore[past]! > stretch.unreadBefore[Math.max(0, hint - 1)]!) continue;
    if (readingsUnder(stretch, start, end) < FEWEST_READINGS_UNDER_EDGE) continue;
    gatherUnder(under, stretch, start, length, hint);
    const gap = gapOf(bench, start);
    tally.decided++;
    if (gap <= task.limit) tally.withinLimit++;
    if (task.most !== undefined && gap <= task.most) tally.withinMost++;
    if (!worst || gap > worst.gap) worst = { angle, offset, start, gap };
    if (gap > task.limit && (!worstOver || gap > worstOver.gap || start > worstOver.start + length / 2)) {
      if (worstOver && start > worstOver.start + length / 2) tally.over.push(worstOver);
      worstOver = { angle, offset, start, gap };
    }
  }
  if (worstOver) tally.over.push(worstOver);
  return worst;
}

/** Moves and turns each of the places by ever smaller steps while its gap grows; the worst that was found. */
function searchFiner(bench: Bench, places: readonly Laid[], step: number, turn: number): Laid | undefined {
  let worst: Laid | undefined;
  for (const place of places) {
    let best = place;
    for (let share = 1 / 2; share * step > FINEST_MOVE_M; share /= 2) {
      for (let tries = 0; tries < 4; tries++) {
        const better = neighbours(best, share * step, share * turn, bench.task.length)
          .map((next) => ({ ...next, gap: gapAt(bench, next.angle, next.offset, next.start) ?? -1 }))
          .sort(worstFirst)[0]!;
        if (better.gap <= best.gap) break;
        best = better;
      }
    }
    if (!worst || worstFirst(best, worst) < 0) worst = best;
  }
  return worst;
}

/** The edge moved along itself, moved sideways, and turned about its middle. */
function neighbours(place: Laid, move: number, turn: number, length: number): Laid[] {
  const turned = (by: number): Laid => {
    const angle = place.angle + by;
    const middle = pointOnLine(directionAt(place.angle), place.offset, place.start + length / 2);
    const { cos, sin } = directionAt(angle);
    const start = middle.x * cos + middle.y * sin - length / 2;
    return { angle, offset: middle.y * cos - middle.x * sin, start, gap: 0 };
  };
  return [
    { ...place, start: place.start - move },
    { ...place, start: place.start + move },
    { ...place, offset: place.offset - move },
    { ...place, offset: place.offset + move },
    turned(-turn),
    turned(turn),
  ];
}

/** Drops places whose gap lies within half an edge of a worse one's. */
function spread(bench: Bench, places: readonly Laid[]): EdgePlace[] {
  const kept: EdgePlace[] = [];
  for (const laid of places.toSorted(worstFirst)) {
    const middle = pointOnLine(directionAt(laid.angle), laid.offset, laid.start + bench.task.length / 2);
    // A gap is under its edge: where the whole edge is near to a kept gap no cut is needed to know.
    if (kept.some((other) => Math.hypot(other.gapAt.x - middle.x, other.gapAt.y - middle.y) < bench.task.length / 4)) {
      continue;
    }
    const place = placeOf(bench, laid);
    const near = (other: EdgePlace): boolean =>
      Math.hypot(other.gapAt.x - place.gapAt.x, other.gapAt.y - place.gapAt.y) < bench.task.length / 2;
    if (!kept.some(near)) kept.push(place);
  }
  return kept;
}

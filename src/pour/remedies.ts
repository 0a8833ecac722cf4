/** What would make the floor pourable: dams, days, mixers, a pump. Each is planned through before it is offered. */
import { point } from "../geometry/point.ts";
import { type Litres, type LitresPerMinute, type Metres, type Minutes, metres } from "../units.ts";
import { edgesOf } from "./borders.ts";
import { type Cell, cellMeasures, lineThrough, splitCell } from "./cells.ts";
import { type MixingPace, mixingPace } from "./crew-pace.ts";
import { type PartedFloor, type PourFloor, partFloor } from "./floor.ts";
import { fewestLanes, laneField } from "./lanes.ts";
import type { Measure, PlannedDam, Remedy } from "./model.ts";
import { extentAlong, type LaneDirection, laneDirections } from "./parts.ts";
import { type FailedSection, type FloorPlan, planFloor } from "./plan-floor.ts";

export interface Trouble {
  readonly parted: PartedFloor;
  readonly pace: MixingPace;
  readonly limit: Minutes;
  readonly longest: Minutes;
  /** Empty where only the hours are too many. */
  readonly failed: readonly FailedSection[];
}

/** More than this and a pump is the machine for it (common practice: a pump's crew feeds it with four). */
const MOST_MIXERS = 12;
/** Narrow end of the lanes that are worked from a pump's hose: 20 ft (common practice: 20–30 ft). */
const PUMP_LANE: Metres = 20 * 0.3048;
/** The most that a pump on such floors delivers (from memory). */
const GREATEST_PUMP: LitresPerMinute = 300;
/** Pump rates are named in steps of five litres. */
const PUMP_STEP: LitresPerMinute = 5;
const TRIES = 3;
const MOST_PIECES = 24;

export function remediesFor(trouble: Trouble): Remedy[] {
  const remedies = [byWaysOut(trouble), byDams(trouble), byMixers(trouble), byPump(trouble)];
  return remedies.filter((remedy) => remedy !== undefined);
}

type Planned = Extract<FloorPlan, { kind: "planned" }>;

function offer(measures: readonly Measure[], plan: Planned, longest: Minutes): Remedy | undefined {
  const days = daysOf(plan, longest);
  if (days === undefined) return undefined;
  return {
    measures: days > 1 ? [...measures, { kind: "days", days }] : measures,
    duration: plan.runs.reduce((sum, { clock, ends }) => sum + ends - clock.starts, 0),
    bays: plan.runs.reduce(
      (sum, run) => sum + run.sections.reduce((bays, { plan: section }) => bays + section.order.poured.length, 0),
      0,
    ),
  };
}

/** Days that take whole sections in order, each no longer than a day; undefined where one section is longer. A lift waits, and begins a day. */
function daysOf({ runs }: Planned, longest: Minutes): number | undefined {
  let days = 0;
  let used: Minutes = Number.POSITIVE_INFINITY;
  for (const { clock, sections, before } of runs) {
    if (before.kind === "lift") used = Number.POSITIVE_INFINITY;
    else if (before.kind !== "start") used += before.minutes;
    for (const { plan } of sections) {
      const batches = plan.order.poured.reduce((sum, { bay }) => sum + bay.volume, 0) / clock.floorPerBatch;
      const takes = batches * clock.interval;
      if (takes > longest) return undefined;
      if (used + takes > longest) {
        days++;
        used = 0;
      }
      used += takes;
    }
  }
  return days;
}

/** Every door that leads out opened to the crew. */
function byWaysOut({ parted, pace, limit, longest, failed }: Trouble): Remedy | undefined {
  const { floor } = parted;
  const doorIds = floor.openings.flatMap(({ id, kind, beyond }) =>
    kind === "door" && beyond.kind === "out" && !beyond.exit ? [id] : [],
  );
  if (doorIds.length === 0 || failed.length === 0 || failed.some(({ lane }) => lane !== undefined)) return undefined;
  const openings = floor.openings.map((opening) =>
    doorIds.includes(opening.id) ? { ...opening, beyond: { kind: "out" as const, exit: true } } : opening,
  );
  const plan = planFloor(partFloor({ ...floor, openings }, []), pace, limit, true);
  return plan.kind === "planned" ? offer([{ kind: "ways-out", doorIds }], plan, longest) : undefined;
}

function byMixers(trouble: Trouble): Remedy | undefined {
  const { parted, pace, limit, longest, failed } = trouble;
  const { job } = parted.floor;
  let from = pace.mixers + 1;
  for (const { lane } of failed) {
    if (!lane) continue;
    const interval = (limit - lane.toPlacing) / Math.ceil(lane.batches - 1e-9);
    from = Math.max(from, interval > 0 ? Math.ceil(job.crew.barrelCycle / interval - 1e-9) : MOST_MIXERS + 1);
  }
  for (
    let mixers = from, tries = 0;
    mixers <= MOST_MIXERS && tries < TRIES;
    tries++, mixers = Math.ceil(1.2 * mixers)
  ) {
    const tried = mixingPace(job, mixers);
    // The pump that there is takes no more.
    if (tried.interval > job.crew.barrelCycle / mixers + 1e-9) return undefined;
    const plan = planFloor(parted, tried, limit, true);
    if (plan.kind === "planned") return offer([{ kind: "mixers", mixers }], plan, longest);
  }
  return undefined;
}

function byPump({ parted, pace, limit, longest, failed }: Trouble): Remedy | undefined {
  const { job } = parted.floor;
  const perBag = job.material.yieldPerBag;
  let needed: LitresPerMinute = (pace.bagsPerBatch * perBag) / pace.interval;
  for (const { lane } of failed) {
    const left = lane ? limit - lane.toPlacing : 0;
    if (lane && left > 0) needed = Math.max(needed, (lane.batches * pace.bagsPerBatch * perBag) / left);
  }
  let rate = Math.ceil((1.1 * needed) / PUMP_STEP) * PUMP_STEP;
  for (let attempt = 0; attempt <= TRIES && rate <= GREATEST_PUMP; attempt++) {
    // Fed without a stop: one bag after the other.
    const tried: MixingPace = {
      ...pace,
      mixers: 1,
      bagsPerBatch: 1,
      interval: perBag / rate,
      laneWidth: Math.max(PUMP_LANE, pace.laneWidth),
      pumped: true,
    };
    const plan = planFloor(parted, tried, limit, true);
    if (plan.kind === "planned") return offer([{ kind: "pump", rate, laneWidth: tried.laneWidth }], plan, longest);
    rate = Math.ceil((1.3 * rate) / PUMP_STEP) * PUMP_STEP;
  }
  return undefined;
}

/** Dams across the lanes of every section that fails, until each piece can be poured, and inside a day. */
function byDams(trouble: Trouble): Remedy | undefined {
  const { parted, pace, limit, longest, failed } = trouble;
  const tooLong = parted.order.filter((index) => minutesOf(trouble, index) > longest);
  const sections = [...new Set([...failed.map(({ index }) => index), ...tooLong])];
  const least = new Map(sections.map((index) => [index, 2]));
  for (let attempt = 0; attempt <= TRIES; attempt++) {
    const dams: PlannedDam[] = [];
    for (const index of sections) {
      const found = damsAcross(trouble, index, least.get(index)!);
      if (!found) return undefined;
      least.set(index, found.length + 2);
      dams.push(...found);
    }
    const tried = dams.length > 0 ? partFloor(parted.floor, dams) : parted;
    const plan = planFloor(tried, pace, limit, true);
    if (plan.kind === "planned") {
      const offered = offer(dams.length > 0 ? [{ kind: "dams", dams }] : [], plan, longest);
      if (offered && offered.measures.length > 0) return offered;
    }
    if (dams.length === 0) return undefined;
  }
  return undefined;
}

/** What a section takes in its largest lift. */
function minutesOf({ parted, pace }: Trouble, index: number): Minutes {
  const perMinute = litresPerMinute(parted.floor, pace);
  return Math.max(...parted.sections.map((list) => cellMeasures(list[index]!.cell).volume / perMinute));
}

const litresPerMinute = ({ job }: PourFloor, pace: MixingPace): LitresPerMinute =>
  (pace.bagsPerBatch * job.material.yieldPerBag) / ((1 + job.pour.lossAllowance) * pace.interval);

/** The fewest even pieces, and the dams between them, in which lanes can be laid that keep their edges. */
function damsAcross(trouble: Trouble, index: number, leastPieces: number): PlannedDam[] | undefined {
  const { parted, pace, limit, longest } = trouble;
  const { roomIndex } = parted.sections[0]![index]!;
  const perMinute = litresPerMinute(parted.floor, pace);
  const toPlacing = pace.mixTime + (pace.pumped ? pace.hoseTime : 0);
  const batches = Math.floor((limit - toPlacing) / pace.interval + 1e-9);
  const cap: Litres = Math.max(1, batches) * pace.interval * perMinute;
  const cells = parted.sections.map((list) => list[index]!.cell);
  const whole = cells[cells.length - 1]!;
  for (let pieces = leastPieces; pieces <= MOST_PIECES; pieces++) {
    for (const direction of laneDirections(whole.floor)) {
      const lines = evenLines(whole, direction, pieces);
      const works = cells.every((cell) =>
        cutBy(cell, direction, lines).every(
          (piece) => cellMeasures(piece).volume <= longest * perMinute && canBeLaned(piece, pace, cap),
        ),
      );
      if (works) return lines.flatMap((at) => chords(whole, direction, at).map((chord) => ({ ...chord, roomIndex })));
    }
  }
  return undefined;
}

const canBeLaned = (piece: Cell, pace: MixingPace, cap: Litres): boolean =>
  laneDirections(piece.floor).some(
    (direction) =>
      piece.pieces.length === 0 ||
      fewestLanes(laneField(piece, direction, [], []), pace.laneWidth, pace.leastLaneWidth, cap) !== undefined,
  );

/** Places along the lanes at which so many even pieces meet. */
function evenLines({ floor }: Cell, { along }: LaneDirection, pieces: number): Metres[] {
  const [from, to] = extentAlong(floor, along);
  return Array.from({ length: pieces - 1 }, (_, k) => metres(from + ((to - from) * (k + 1)) / pieces));
}

const cutBy = (cell: Cell, { along, across }: LaneDirection, lines: readonly Metres[]): Cell[] =>
  lines.reduce<Cell[]>(
    (cells, at) => {
      const through = point(at * along.x, at * along.y);
      const line = lineThrough(through, point(through.x + across.x, through.y + across.y));
      return cells.flatMap((one) => {
        const { left, right } = splitCell(one, line);
        return [...left, ...right];
      });
    },
    [cell],
  );

/** The dam at a place along the lanes, from wall to wall. */
function chords({ floor }: Cell, { along, across }: LaneDirection, at: Metres): Omit<PlannedDam, "roomIndex">[] {
  const sides: number[] = [];
  for (const { from, to } of edgesOf(floor)) {
    const s = along.x * from.x + along.y * from.y;
    const t = along.x * to.x + along.y * to.y;
    if (s < at === t < at) continue;
    const share = (at - s) / (t - s);
    sides.push(across.x * (from.x + share * (to.x - from.x)) + across.y * (from.y + share * (to.y - from.y)));
  }
  sides.sort((p, q) => p - q);
  const spot = (side: number) => point(at * along.x + side * across.x, at * along.y + side * across.y);
  const found: Omit<PlannedDam, "roomIndex">[] = [];
  for (let k = 0; k + 1 < sides.length; k += 2) found.push({ from: spot(sides[k]!), to: spot(sides[k + 1]!) });
  return found;
}

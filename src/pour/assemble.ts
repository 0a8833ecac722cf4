/** From planned sections to what the crew reads: bays by number, batches with their lines, edges with their ages. */
import { shortestPath, type WalkableFloor } from "../geometry/paths.ts";
import { distance, type Point } from "../geometry/point.ts";
import type { Job } from "../job/model.ts";
import type { Metres, Minutes } from "../units.ts";
import { lineAcross, middleAcross, widthOfBay } from "./along.ts";
import { lengthOf } from "./borders.ts";
import { type CarryWay, carryWay } from "./carrying.ts";
import { type MixingPace, timeToPlacing } from "./crew-pace.ts";
import type { PartedFloor } from "./floor.ts";
import { batchesOfRun } from "./mixing.ts";
import type { Batch, BatchPour, Bay, FreshEdge, MixerFailure, PlannedBatch, Run } from "./model.ts";
import type { PlannedRun } from "./plan-floor.ts";
import { edgeAge, frontAge, type PouredBay, powderOf } from "./slices.ts";
import { bagCheck, mixerFailure, stopLine } from "./stop-lines.ts";
import { portalPlace } from "./walking.ts";

export interface AssembledPour {
  readonly batches: readonly PlannedBatch[];
  readonly bays: readonly Bay[];
  readonly runs: readonly Run[];
  readonly edges: readonly FreshEdge[];
  readonly way: Metres;
  /** Every bay as poured, by number − 1, with the section that it belongs to. */
  readonly poured: readonly NumberedBay[];
}

export interface NumberedBay {
  readonly number: number;
  readonly lift: number;
  readonly section: number;
  readonly poured: PouredBay;
}

/** The room to which nothing can be carried round fresh material, or so far round that an edge grows older than the limit. */
export interface CutOff {
  readonly cutOff: number;
}

export function assemble(
  parted: PartedFloor,
  runs: readonly PlannedRun[],
  pace: MixingPace,
  limits: { readonly least: Minutes; readonly limit: Minutes },
): AssembledPour | CutOff {
  const { job } = parted.floor;
  const numbered: NumberedBay[] = [];
  const bays: Bay[] = [];
  const edges: FreshEdge[] = [];
  const batches: PlannedBatch[] = [];
  const outRuns: Run[] = [];
  const fresh: { lift: number; bays: PouredBay[] } = { lift: 0, bays: [] };
  for (const [r, run] of runs.entries()) {
    const mixed = batchesOfRun(job, pace, { starts: run.clock.starts, bags: run.bags }, mixedBefore(batches));
    if (run.lift !== fresh.lift) fresh.bays = [];
    fresh.lift = run.lift;
    const pours = mixed.map((): BatchPour[] => []);
    const placing = mixed.map((batch) => batch.poured);
    for (const section of run.sections) {
      const { graph, order } = section.plan;
      const inOrder: PouredBay[] = [];
      const ways: CarryWay[] = [];
      for (const planned of order.poured) {
        const from = middleAcross(planned.bay, planned.backward ? planned.bay.to : planned.bay.from);
        const way = carryWay(
          parted,
          from,
          fresh.bays.map(({ bay }) => bay.cell.floor),
        );
        if (!way) return { cutOff: parted.sections[0]![section.index]!.roomIndex };
        ways.push(way);
        inOrder.push({ ...planned, toPlacing: Math.max(planned.toPlacing, timeToPlacing(pace, way.length)) });
        fresh.bays.push(planned);
      }
      const firstNumber = bays.length + 1;
      const sectionEdges = edgesIn(section.plan.graph, inOrder, firstNumber, limits.limit);
      if (sectionEdges.some(({ margin }) => margin < -1e-9))
        return { cutOff: parted.sections[0]![section.index]!.roomIndex };
      edges.push(...sectionEdges);
      for (const [place, poured] of inOrder.entries()) {
        const number = firstNumber + place;
        numbered.push({ number, lift: run.lift, section: section.index, poured });
        for (const pour of poursOf(poured, number)) {
          pours[pour.batch]!.push(pour);
          placing[pour.batch] = powderOf(run.clock, pour.batch) + poured.toPlacing;
        }
        const last = poured.slices[poured.slices.length - 1]!.batch;
        const lastOfFloor = mixed[last] as Batch;
        const renewed = sectionEdges.filter(({ later }) => later === number);
        bays.push({
          ...bayText(parted, section.index, poured, ways[place] as CarryWay),
          number,
          lift: run.lift,
          firstBatch: (mixed[poured.slices[0]!.batch] as Batch).number,
          lastBatch: lastOfFloor.number,
          ...latest(poured, renewed),
          stop: stopLine(graph, inOrder, place, limits.least),
          bagCheck: bagCheck(lastOfFloor.cumulativeBags, pace.bagsPerBatch, job.pour.bagCheckShare),
          mixerFails: withNumber(mixed, mixerFailure(graph, inOrder, place, pace.mixers, limits.least)),
        });
      }
    }
    batches.push(
      ...mixed.map((batch, k): PlannedBatch => ({ ...batch, run: r + 1, placed: placing[k]!, pours: pours[k]! })),
    );
    outRuns.push({
      number: r + 1,
      lift: run.lift,
      starts: run.clock.starts,
      ends: run.ends,
      bags: run.bags,
      before: run.before,
      flushBefore: needsFlush(job, run),
    });
  }
  return { batches, bays, runs: outRuns, edges, way: wayOf(numbered, parted), poured: numbered };
}

const withNumber = (mixed: readonly Batch[], failure: MixerFailure): MixerFailure => ({
  ...failure,
  worstBatch: (mixed[failure.worstBatch] as Batch).number,
});

const mixedBefore = (batches: readonly Batch[]): { batches: number; bags: number } => ({
  batches: batches.length,
  bags: batches.at(-1)?.cumulativeBags ?? 0,
});

/** Every edge between two bays of a section, oldest place first counted. */
function edgesIn(
  graph: PlannedRun["sections"][number]["plan"]["graph"],
  order: readonly PouredBay[],
  firstNumber: number,
  limit: Minutes,
): FreshEdge[] {
  const placeOf = new Map(order.map(({ bay }, place) => [bay.index, place]));
  return graph.borders.flatMap(({ a, b, stretches }): FreshEdge[] => {
    const [p, q] = [placeOf.get(a), placeOf.get(b)];
    if (p === undefined || q === undefined) return [];
    const [earlier, later] = p < q ? [p, q] : [q, p];
    const edge = edgeAge(stretches, order[earlier] as PouredBay, order[later] as PouredBay);
    if (!edge) return [];
    return [
      {
        earlier: firstNumber + earlier,
        later: firstNumber + later,
        segments: stretches,
        length: lengthOf(stretches),
        ...edge,
        margin: limit - edge.age,
      },
    ];
  });
}

/** Where each batch of a bay ends, and how far that is from where the bay begins. */
function poursOf(poured: PouredBay, bayNumber: number): (BatchPour & { readonly batch: number })[] {
  const { bay, backward, slices } = poured;
  const begin = backward ? bay.to : bay.from;
  return slices.map(({ batch, volume, end }) => ({
    batch,
    bayNumber,
    volume,
    reaches: Math.abs(end - begin),
    line: lineAcross(bay, end),
  }));
}

function bayText(
  { sections }: PartedFloor,
  section: number,
  poured: PouredBay,
  way: CarryWay,
): Pick<
  Bay,
  | "roomIndex"
  | "floor"
  | "area"
  | "width"
  | "length"
  | "volume"
  | "meanDepth"
  | "greatestDepth"
  | "from"
  | "to"
  | "along"
  | "begins"
  | "ends"
  | "carry"
  | "carryWay"
> {
  const { bay, backward, slices, clock, toPlacing } = poured;
  const ends = [bay.from, bay.to].map((at) => middleAcross(bay, at)) as [Point, Point];
  return {
    roomIndex: sections[0]![section]!.roomIndex,
    floor: bay.cell.floor,
    area: bay.area,
    width: widthOfBay(bay),
    length: bay.to - bay.from,
    volume: bay.volume,
    meanDepth: bay.volume / bay.area,
    greatestDepth: bay.greatest,
    from: ends[backward ? 1 : 0]!,
    to: ends[backward ? 0 : 1]!,
    along: backward ? { x: 0 - bay.direction.along.x, y: 0 - bay.direction.along.y } : bay.direction.along,
    begins: powderOf(clock, slices[0]!.batch) + toPlacing,
    ends: powderOf(clock, slices[slices.length - 1]!.batch) + toPlacing,
    carry: way.length,
    carryWay: way.places,
  };
}

/** How late the bay may begin so that every edge that it renews keeps its limit, and how old its own front grows. */
function latest(poured: PouredBay, renewed: readonly FreshEdge[]): Pick<Bay, "latestBegin" | "frontAge"> {
  const { slices, clock, toPlacing } = poured;
  const begins = powderOf(clock, slices[0]!.batch) + toPlacing;
  const front = frontAge(poured);
  return {
    ...(renewed.length === 0 ? {} : { latestBegin: begins + Math.min(...renewed.map(({ margin }) => margin)) }),
    ...(front === undefined ? {} : { frontAge: front }),
  };
}

function needsFlush({ crew }: Job, { before }: PlannedRun): boolean {
  const limit = crew.pump?.restartLimit;
  return before.kind !== "start" && limit !== undefined && before.minutes > limit;
}

/** On foot from the middle of each bay to that of the next, and from the last to the way out. */
function wayOf(bays: readonly NumberedBay[], { floor, portals, distances }: PartedFloor): Metres {
  const centres = bays.map(({ poured }) => poured.bay.centre);
  let way = 0;
  for (let k = 0; k + 1 < centres.length; k++) way += onFoot(floor.walkable, centres[k]!, centres[k + 1]!);
  const last = bays.at(-1);
  if (!last) return way;
  const centre = last.poured.bay.centre;
  const out = portals.flatMap((portal, k) =>
    portal.section === last.section
      ? [onFoot(floor.walkable, centre, portalPlace(portal)) + distances.ofPortal[k]!]
      : [],
  );
  return way + Math.min(...out);
}

const onFoot = (walkable: WalkableFloor, from: Point, to: Point): Metres =>
  shortestPath(walkable, from, to)?.length ?? distance(from, to);

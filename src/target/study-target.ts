/** What the GC sheet and the job's page tell of a top that is placed: its trade-off, its doors, how sure its volume is. */
import type { BuildUpLayer, Job, Material, OneTopSpec } from "../job/model.ts";
import type { Plan } from "../layout/model.ts";
import type { Slab } from "../slab/model.ts";
import type { AdjustedLevels } from "../survey/model.ts";
import { type Millimetres, MM_PER_INCH } from "../units.ts";
import type { Target } from "./model.ts";
import { liftsAround, type PlacedZone, type TradeOffRow, tradeOff } from "./trade-off.ts";
import { type Transition, transitionsAt } from "./transitions.ts";
import { type VolumeUncertainty, volumeUncertainty } from "./volume-uncertainty.ts";
import { zoneFloor } from "./zone-floor.ts";

export interface TargetStudy {
  /** A mm, or 1/16 in where the job's heights are in inches. */
  readonly step: Millimetres;
  /** From so many steps below the top to so many above, the top itself in the middle. */
  readonly tradeOff: readonly TradeOffRow[];
  /** One for each door beyond which the finished level is known. */
  readonly transitions: readonly Transition[];
  /** Rooms (indices) whose covering the target does not tell: their transitions are those of the bare pour. */
  readonly bareRooms: readonly number[];
  /** Absent with too few readings to say. */
  readonly sure?: VolumeUncertainty;
  /** False where a material's data sheet gives no tolerance of its yield, which then counts as certain. */
  readonly yieldToleranceKnown: boolean;
}

/** Steps either way in the trade-off. */
const STEPS_EACH_WAY = 10;
/** A step at a door up to this is within what trowel, tape and shim make up: common practice. */
const FLUSH_WITHIN_MM = 1;

/** @throws where a zone's material has no depth on the job's substrate: `placeTarget` has refused that before */
export function studyTarget(job: Job, plan: Plan, levels: AdjustedLevels, slab: Slab, target: Target): TargetStudy {
  const materialOf = (zone: number): Material => target.zones[zone]!.material ?? job.material;
  const zones = target.zones.map((zone, index): PlacedZone => {
    const material = materialOf(index);
    const range = material.depthOn[job.floor.substrate];
    if (!range) throw new Error(`material ${material.id} has no depth over ${job.floor.substrate}`);
    return {
      floor: zoneFloor(slab, zone.roomIndices),
      plane: zone,
      leastDepth: range.least,
      wetDensity: material.wetDensity,
    };
  });
  const step = job.units.height === "in" ? MM_PER_INCH / 16 : 1;
  const coverings = coveringByRoom(job, plan, target);
  const tolerances = target.zones.map((_, index) => materialOf(index).yieldTolerance);
  const sure = volumeUncertainty(
    slab,
    levels,
    plan.floors.length,
    zones,
    tolerances.reduce<number>((most, tolerance) => Math.max(most, tolerance ?? 0), 0),
  );
  return {
    step,
    tradeOff: tradeOff(zones, liftsAround(step, STEPS_EACH_WAY)),
    transitions: transitionsAt(target, plan, levels, coverings, FLUSH_WITHIN_MM),
    bareRooms: plan.floors.flatMap((_, room) => (coverings.has(room) ? [] : [room])),
    ...(sure ? { sure } : {}),
    yieldToleranceKnown: tolerances.every((tolerance) => tolerance !== undefined),
  };
}

/** The new covering that the target names at a door goes over the whole of the rooms under that top. */
function coveringByRoom(job: Job, plan: Plan, target: Target): ReadonlyMap<number, readonly BuildUpLayer[]> {
  const spec = job.target;
  const tops: readonly OneTopSpec[] = spec.kind === "zones" ? spec.zones.map(({ top }) => top) : [spec];
  return new Map(
    plan.floors.flatMap((_, room): [number, readonly BuildUpLayer[]][] => {
      const zone = target.zones.findIndex(({ roomIndices }) => roomIndices.includes(room));
      const covering = coveringOf(tops[zone]!);
      return covering ? [[room, covering]] : [];
    }),
  );
}

function coveringOf(top: OneTopSpec): readonly BuildUpLayer[] | undefined {
  if (top.kind === "door") return top.buildUp;
  if (top.kind !== "sought") return undefined;
  return top.atDoors.find((height) => height.kind === "flush")?.buildUp;
}

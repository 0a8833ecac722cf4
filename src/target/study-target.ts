/** What the GC sheet and the job's page tell of a top that is placed: its trade-off, its doors, how sure its volume is. */
import type { Material } from "../job/library-model.ts";
import type { Job } from "../job/model.ts";
import { isSameMaterial } from "../job/same-material.ts";
import type { BuildUpLayer, OneTopSpec } from "../job/target-model.ts";
import type { Plan } from "../layout/model.ts";
import type { Slab } from "../slab/model.ts";
import type { AdjustedLevels } from "../survey/model.ts";
import { type Millimetres, MM_PER_INCH } from "../units.ts";
import type { Target } from "./model.ts";
import { liftsAround, type PlacedZone, type TradeOffRow, tradeOff } from "./trade-off.ts";
import { type Transition, transitionsAt } from "./transitions.ts";
import { type VolumeUncertainty, volumeOf, volumeUncertainty } from "./volume-uncertainty.ts";
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
  /** Of all zones together; absent with too few readings to say. */
  readonly sure?: VolumeUncertainty;
  /** What each material fills: the job's first, where any zone is in it, then those that zones have of their own. */
  readonly byMaterial: readonly MaterialStudy[];
  /** False where a material's data sheet gives no tolerance of its yield, which then counts as certain. */
  readonly yieldToleranceKnown: boolean;
}

export interface MaterialStudy {
  readonly material: Material;
  /** Indices into the target's zones. */
  readonly zones: readonly number[];
  /** As of the whole, for these zones alone. */
  readonly sure?: VolumeUncertainty;
}

/** Steps either way in the trade-off. */
const STEPS_EACH_WAY = 10;
/** A step at a door up to this is within what trowel, tape and shim make up: common practice. */
const FLUSH_WITHIN_MM = 1;

/** @throws where a zone's material has no depth on the job's substrate: `placeTarget` has refused that before */
export function studyTarget(job: Job, plan: Plan, levels: AdjustedLevels, slab: Slab, target: Target): TargetStudy {
  const materialOf = (zone: number): Material => {
    const own = target.zones[zone]!.material;
    return own === undefined || isSameMaterial(own, job.material) ? job.material : own;
  };
  const zones = target.zones.map((zone, index): PlacedZone => {
    const material = materialOf(index);
    const range = material.depthOn[job.floor.substrate];
    if (!range) throw new Error(`material ${material.id} has no depth over ${job.floor.substrate}`);
    return {
      floor: zoneFloor(slab, zone.roomIndices, zone.drain),
      plane: zone,
      leastDepth: range.least,
      wetDensity: material.wetDensity,
      profile: job.pour.profileAllowance,
    };
  });
  // What a scan leaves open is learnt from the points that are shown: all of them would say no more, and take for ever.
  const shown = slab.thinned ?? slab;
  const shownZones =
    slab.thinned === undefined
      ? zones
      : zones.map((zone, index) => ({
          ...zone,
          floor: zoneFloor(shown, target.zones[index]!.roomIndices, target.zones[index]!.drain),
        }));
  const step = job.units.height === "in" ? MM_PER_INCH / 16 : 1;
  const coverings = coveringByRoom(job, plan, target);
  const tolerances = target.zones.map((_, index) => materialOf(index).yieldTolerance);
  const sureOf = (indices: readonly number[]): VolumeUncertainty | undefined =>
    volumeUncertainty(
      shown,
      levels,
      plan.floors.length,
      indices.map((index) => shownZones[index]!),
      indices.reduce<number>((most, index) => Math.max(most, tolerances[index] ?? 0), 0),
      volumeOf(indices.map((index) => zones[index]!)),
    );
  const sure = sureOf(zones.map((_, index) => index));
  const materials = zones
    .map((_, index) => materialOf(index))
    .filter((material, index, all) => all.findIndex((other) => isSameMaterial(other, material)) === index)
    .sort((a, b) => Number(b === job.material) - Number(a === job.material));
  const byMaterial = materials.map((material): MaterialStudy => {
    const indices = zones.flatMap((_, index) => (isSameMaterial(materialOf(index), material) ? [index] : []));
    const own = indices.length === zones.length ? sure : sureOf(indices);
    return { material, zones: indices, ...(own ? { sure: own } : {}) };
  });
  return {
    step,
    tradeOff: tradeOff(zones, liftsAround(step, STEPS_EACH_WAY)),
    transitions: transitionsAt(target, plan, levels, coverings, FLUSH_WITHIN_MM),
    bareRooms: plan.floors.flatMap((_, room) => (coverings.has(room) ? [] : [room])),
    ...(sure ? { sure } : {}),
    byMaterial,
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
  if (top.kind === "falls-to-drain") return coveringOf(top.walls);
  if (top.kind === "door") return top.buildUp;
  if (top.kind !== "sought") return undefined;
  return top.atDoors.find((height) => height.kind === "flush")?.buildUp;
}

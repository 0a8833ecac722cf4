/** What is left between the finished floor here and the finished floor beyond each door. */

import type { Door } from "../job/model.ts";
import type { BuildUpLayer } from "../job/target-model.ts";
import type { Plan } from "../layout/model.ts";
import { type Metres, type Millimetres, MM_PER_INCH } from "../units.ts";
import { finishBeyond, type LevelsWithReport } from "./finish-beyond.ts";
import type { Target } from "./model.ts";
import { topAt } from "./top-at.ts";

export interface Transition {
  readonly doorId: string;
  readonly roomIndex: number;
  /** Level of the finished floor here, covering included, at the jamb where the step is greatest. */
  readonly finish: Millimetres;
  /** Level of the finished floor beyond. */
  readonly neighbourFinish: Millimetres;
  /** Finish here less finish beyond at that jamb: above nothing where one steps down on leaving. */
  readonly step: Millimetres;
  /** The same at the other jamb: different where the top falls along the door. */
  readonly stepAtOtherJamb: Millimetres;
  readonly kind: TransitionKind;
}

export type TransitionKind =
  | { readonly kind: "flush" }
  /** May stay as an upright edge. */
  | { readonly kind: "vertical" }
  /** The edge is bevelled; the bevel is this long in plan. */
  | { readonly kind: "bevelled"; readonly length: Metres }
  /** Only a ramp gets over it; the shortest one is this long in plan. */
  | { readonly kind: "ramp"; readonly length: Metres };

/**
 * 2010 ADA Standards for Accessible Design, 303.2: changes in level of 1/4 in (6.4 mm) at most may be vertical;
 * 303.3: between 1/4 and 1/2 in (13 mm) at most they are bevelled with a slope not steeper than 1:2;
 * 303.4: more is a ramp; 405.2: with a running slope not steeper than 1:12.
 */
const VERTICAL_MM: Millimetres = MM_PER_INCH / 4;
const BEVELLED_MM: Millimetres = MM_PER_INCH / 2;
const BEVEL_RUN = 2;
const RAMP_RUN = 12;

/**
 * One for each door beyond which the finished floor is known, in the order of the plan: read there, or the top of another
 * room of the job with its own covering. Between rooms of which the covering of only one is known there is none.
 * @param buildUp the new covering on the pour, by room index; a room without an entry stays bare, or is not known yet
 * @param flushWithin steps up to this count as flush: what the floor's own tolerance lets stand anyhow
 */
export function transitionsAt(
  target: Target,
  plan: Plan,
  levels: LevelsWithReport,
  buildUp: ReadonlyMap<number, readonly BuildUpLayer[]>,
  flushWithin: Millimetres,
): readonly Transition[] {
  const found: Transition[] = [];
  for (const [roomIndex, { doors }] of plan.floors.entries()) {
    for (const door of doors) {
      // A door that both its rooms declare is one door.
      if (found.some(({ doorId }) => doorId === door.id)) continue;
      const beyond = beyondJambs(target, plan, levels, buildUp, door, roomIndex);
      if (beyond)
        found.push(transitionAt(target, door, roomIndex, coveringOf(buildUp, roomIndex), beyond, flushWithin));
    }
  }
  return found;
}

const coveringOf = (buildUp: ReadonlyMap<number, readonly BuildUpLayer[]>, roomIndex: number): Millimetres =>
  (buildUp.get(roomIndex) ?? []).reduce((sum, { thickness }) => sum + thickness, 0);

/** Finished levels beyond a door at its two jambs. */
function beyondJambs(
  target: Target,
  plan: Plan,
  levels: LevelsWithReport,
  buildUp: ReadonlyMap<number, readonly BuildUpLayer[]>,
  door: Door,
  roomIndex: number,
): readonly [Millimetres, Millimetres] | undefined {
  const read = finishBeyond(door, levels);
  if (read !== undefined) return [read, read];
  const other = plan.floors.findIndex(({ roomId }) => door.joinsRoom && roomId === door.joins);
  if (other < 0 || buildUp.has(other) !== buildUp.has(roomIndex)) return undefined;
  const [first, second] = door.jambs;
  const covering = coveringOf(buildUp, other);
  return [topAt(target, other, first) + covering, topAt(target, other, second) + covering];
}

function transitionAt(
  target: Target,
  door: Door,
  roomIndex: number,
  covering: Millimetres,
  beyond: readonly [Millimetres, Millimetres],
  flushWithin: Millimetres,
): Transition {
  const finishes = door.jambs.map((jamb) => topAt(target, roomIndex, jamb) + covering) as [number, number];
  const [first, second] = [finishes[0] - beyond[0], finishes[1] - beyond[1]];
  const greater = Math.abs(second) > Math.abs(first) ? 1 : 0;
  const step = greater === 1 ? second : first;
  return {
    doorId: door.id,
    roomIndex,
    finish: finishes[greater],
    neighbourFinish: beyond[greater],
    step,
    stepAtOtherJamb: greater === 1 ? first : second,
    kind: transitionKind(Math.abs(step), flushWithin),
  };
}

/** @param height of the step, at or above nothing */
export function transitionKind(height: Millimetres, flushWithin: Millimetres): TransitionKind {
  if (height <= flushWithin) return { kind: "flush" };
  if (height <= VERTICAL_MM) return { kind: "vertical" };
  if (height <= BEVELLED_MM) return { kind: "bevelled", length: (height * BEVEL_RUN) / 1000 };
  return { kind: "ramp", length: (height * RAMP_RUN) / 1000 };
}

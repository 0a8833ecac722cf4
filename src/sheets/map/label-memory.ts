/**
 * Maps whose labels were placed before: a save mostly changes a few labels, and every map on which they are not is as it
 * was. Makes the same places sooner, never others.
 */

import { inWindow, type Projection } from "./map-scale.ts";
import { type LabelSubject, type PlacedMap, placeMap } from "./place-map.ts";

/** By drawing and language: what all its maps go by, and those that were placed by it. */
export type LabelMemory = Map<string, { readonly placedBy: string; readonly maps: ReadonlyMap<string, PlacedMap> }>;

export interface RememberingPlacer {
  place(projection: Projection): PlacedMap;
  /** Keeps what was placed or asked for in place of what was kept of the drawing. */
  keep(): void;
}

/** @param language in which the subject's words are: by it they are told from those of another. */
export function placerWith(
  memory: LabelMemory | undefined,
  drawingId: string,
  language: string,
  subject: LabelSubject,
): RememberingPlacer {
  // Only what the type lets a placed map depend on, so that nothing else can be forgotten to be compared.
  const { job, plan, words, items } = subject;
  const bare: LabelSubject = {
    job: { units: { plan: job.units.plan }, benchMarks: job.benchMarks.map(({ at }) => ({ at })) },
    plan: { floors: plan.floors, gridLines: plan.gridLines, pins: plan.pins.map(({ at }) => ({ at })) },
    words: { wall: words.wall },
    items: items.map(({ id, at, roomIndex, kind, labelWidth, labelHeight }) => ({
      id,
      at,
      roomIndex,
      kind,
      labelWidth,
      labelHeight,
    })),
  };
  if (memory === undefined) return { place: (projection) => placeMap(bare, projection), keep: () => undefined };
  const name = `${drawingId} ${language}`;
  const placedBy = JSON.stringify([language, bare.job, bare.plan]);
  const before = memory.get(name);
  const known = before?.placedBy === placedBy ? before.maps : undefined;
  const maps = new Map<string, PlacedMap>();
  return {
    place(projection) {
      const { scale, window, toPaper } = projection;
      const here = bare.items.filter(({ at }) => inWindow(window, at));
      const key = JSON.stringify([scale, window, toPaper({ x: 0, y: 0 }), here]);
      const placed = known?.get(key) ?? maps.get(key) ?? placeMap(bare, projection);
      maps.set(key, placed);
      // A drawing goes on to take paper.
      return { ...placed, taken: placed.taken.copy() };
    },
    keep: () => void memory.set(name, { placedBy, maps }),
  };
}

/** Points that two set-ups read both, so that one zero carries over to the other. */
import { distance, type Point } from "../geometry/point.ts";
import { TYING_POINTS } from "./datum.ts";

/**
 * Three of the places, each at least `apart` metres from the others; those early in the list are preferred.
 * Undefined where there are none. Only then are all triples looked at; as a rule the first few give one.
 */
export function spreadTriple(places: readonly Point[], apart: number): readonly number[] | undefined {
  const far = (a: number, b: number): boolean => distance(places[a]!, places[b]!) >= apart;
  for (let a = 0; a < places.length; a++) {
    for (let b = a + 1; b < places.length; b++) {
      if (!far(a, b)) continue;
      for (let c = b + 1; c < places.length; c++) if (far(a, c) && far(b, c)) return [a, b, c];
    }
  }
  return undefined;
}

/** The most places, up to three, that stand `apart` from each other: indices, in the order of preference. */
export function spreadPlaces(places: readonly Point[], apart: number): readonly number[] {
  const triple = spreadTriple(places, apart);
  if (triple) return triple.slice(0, TYING_POINTS);
  for (let a = 0; a < places.length; a++)
    for (let b = a + 1; b < places.length; b++) if (distance(places[a]!, places[b]!) >= apart) return [a, b];
  return places.length > 0 ? [0] : [];
}

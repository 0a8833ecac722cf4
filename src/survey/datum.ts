/** What the levels are counted from, and whether every set-up is tied to it. */
import type { Diagnostic } from "../diagnostics.ts";
import { distance } from "../geometry/point.ts";
import type { Datum } from "./model.ts";
import type { NetworkPlace, Observations } from "./observations.ts";

export interface DatumChoice {
  readonly datum: Datum;
  /** Per set-up: whether its zero is the datum. */
  readonly zeroHeld: readonly boolean[];
  /** One error for each part of the survey that hangs in the air. */
  readonly problems: readonly Diagnostic[];
}

/**
 * Bench marks that were read are the datum; where none was, the zero of the first set-up with a
 * reading is. Undefined where no reading counts.
 */
export function chooseDatum(observations: Observations): DatumChoice | undefined {
  const { network, setUps, places } = observations;
  // Set-ups and places are the nodes of one graph, readings its edges, and one more node is the datum.
  const setUpCount = setUps.length;
  const datumNode = setUpCount + places.length;
  const parent = Int32Array.from({ length: datumNode + 1 }, (_, k) => k);
  const root = (node: number): number => {
    let at = node;
    while (parent[at] !== at) {
      parent[at] = parent[parent[at]!]!;
      at = parent[at]!;
    }
    return at;
  };
  const join = (a: number, b: number): void => {
    parent[root(a)] = root(b);
  };
  const reads = new Uint8Array(setUpCount);
  const benchMarkIds = new Set<string>();
  for (let i = 0; i < network.used.length; i++) {
    if (network.used[i] === 0) continue;
    const p = network.pointOf[i]!;
    reads[network.setUpOf[i]!] = 1;
    join(network.setUpOf[i]!, setUpCount + p);
    if (network.given[p]!.kind !== "free") {
      benchMarkIds.add(places[p]!.id);
      join(setUpCount + p, datumNode);
    }
  }
  const first = reads.indexOf(1);
  if (first < 0) return undefined;
  if (benchMarkIds.size === 0) join(first, datumNode);

  const adrift = new Map<number, number[]>();
  for (let s = 0; s < setUpCount; s++) {
    if (reads[s] === 0 || root(s) === root(datumNode)) continue;
    const members = adrift.get(root(s)) ?? [];
    members.push(s);
    adrift.set(root(s), members);
  }
  const partOf = (p: number): number => root(setUpCount + p);
  return {
    datum:
      benchMarkIds.size > 0
        ? { kind: "bench-marks", benchMarkIds: [...benchMarkIds] }
        : { kind: "first-set-up", setUpId: setUps[first]!.id },
    zeroHeld: setUps.map((_, s) => benchMarkIds.size === 0 && s === first),
    problems: [...adrift].map(([part, members]) => {
      const own = places.filter((place, p) => place.at && partOf(p) === part);
      const tied = places.filter((place, p) => place.at && partOf(p) === root(datumNode));
      return untied(observations, members, own, tied);
    }),
  };
}

function untied(
  observations: Observations,
  members: readonly number[],
  own: readonly NetworkPlace[],
  tied: readonly NetworkPlace[],
): Diagnostic {
  const names = members.map((s) => observations.setUps[s]!.id).join(" and ");
  const one = members.length === 1;
  const nearest = tied
    .map((place) => ({
      id: place.id,
      away: Math.min(...own.map((mine) => (mine.at && place.at ? distance(mine.at, place.at) : Infinity))),
    }))
    // Equally near places keep the order of the job.
    .sort((a, b) => a.away - b.away)
    .slice(0, TYING_POINTS)
    .map((place) => place.id);
  const place = observations.refs.find((ref) => ref.setUpId === observations.setUps[members[0]!]!.id)?.place;
  return {
    code: "set-up-tied-to-nothing",
    severity: "error",
    message: one
      ? `set-up ${names} is tied to nothing: no point that it read was read from another set-up, and it read no bench mark`
      : `set-ups ${names} are tied to each other but to nothing else: no point of theirs was read from another set-up, and they read no bench mark`,
    expected: "points read from two set-ups, three at least and not in one place, so that a slip can be found",
    hint:
      nearest.length > 0
        ? `read ${listed(nearest)} from ${one ? names : `one of ${names}`} as well: of the points read elsewhere they are nearest`
        : `read a bench mark from ${one ? names : `one of ${names}`}`,
    ...(place && { place }),
  };
}

/** With three shared points a slip in one of them can be found; with two it is only felt. */
export const TYING_POINTS = 3;

const listed = (ids: readonly string[]): string =>
  ids.length < 2 ? ids.join("") : `${ids.slice(0, -1).join(", ")} and ${ids[ids.length - 1]}`;

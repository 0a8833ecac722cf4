/** The bays of a pour gone over a second time, as polygons and batches with times. Shares no code with the planner. */

export interface Place {
  readonly eastM: number;
  readonly northM: number;
}

export interface SecondBay {
  readonly number: number;
  readonly lift: number;
  readonly outline: readonly Place[];
  readonly holes: readonly (readonly Place[])[];
  readonly from: Place;
  readonly along: Place;
}

export interface SecondPour {
  readonly bay: number;
  readonly reachesM: number;
  readonly powderMin: number;
  readonly placedMin: number;
}

/** Twice the area of a ring, above zero where it runs counter-clockwise (the surveyor's formula). */
const twiceArea = (ring: readonly Place[]): number =>
  ring.reduce((sum, a, k) => {
    const b = ring[(k + 1) % ring.length] as Place;
    return sum + a.eastM * b.northM - b.eastM * a.northM;
  }, 0);

export const areaOf = ({ outline, holes }: SecondBay): number =>
  [outline, ...holes].reduce((sum, ring) => sum + twiceArea(ring), 0) / 2;

/** Even-odd over all rings: whether a place lies in the bay. */
export function isIn({ outline, holes }: SecondBay, { eastM, northM }: Place): boolean {
  let inside = false;
  for (const ring of [outline, ...holes]) {
    for (const [k, a] of ring.entries()) {
      const b = ring[(k + 1) % ring.length] as Place;
      if (a.northM > northM === b.northM > northM) continue;
      const crossing = a.eastM + ((northM - a.northM) / (b.northM - a.northM)) * (b.eastM - a.eastM);
      if (eastM < crossing) inside = !inside;
    }
  }
  return inside;
}

const far = (p: Place, q: Place): number => Math.hypot(p.eastM - q.eastM, p.northM - q.northM);

function fromSegment(p: Place, a: Place, b: Place): number {
  const length = far(a, b);
  if (length === 0) return far(p, a);
  const share =
    ((p.eastM - a.eastM) * (b.eastM - a.eastM) + (p.northM - a.northM) * (b.northM - a.northM)) / (length * length);
  const held = Math.min(1, Math.max(0, share));
  return far(p, {
    eastM: a.eastM + held * (b.eastM - a.eastM),
    northM: a.northM + held * (b.northM - a.northM),
  });
}

const fromRim = ({ outline, holes }: SecondBay, p: Place): number =>
  Math.min(
    ...[outline, ...holes].flatMap((ring) =>
      ring.map((a, k) => fromSegment(p, a, ring[(k + 1) % ring.length] as Place)),
    ),
  );

/** A place nearer to a bay's edge than this, in metres, lies on it: what a tape tells. */
const ON_EDGE_M = 0.002;

/** In how many bays a place lies well inside, and of how many it lies inside or on the edge. */
export function baysAt(bays: readonly SecondBay[], p: Place): { readonly inside: number; readonly touching: number } {
  let inside = 0;
  let touching = 0;
  for (const bay of bays) {
    const on = fromRim(bay, p) <= ON_EDGE_M;
    const within = isIn(bay, p);
    if (within && !on) inside += 1;
    if (within || on) touching += 1;
  }
  return { inside, touching };
}

/** Ages are looked at this far apart along an edge, and this far to both sides of it, in metres. */
const EVERY_M = 0.2;
const ASIDE_M = 0.004;
/** A dam nearer than this to an edge stands on it. */
const AT_DAM_M = 0.02;

export interface SecondAge {
  readonly earlier: number;
  readonly later: number;
  readonly ageMin: number;
}

/** Of every pair of bays beside each other without a dam, the greatest age of the edge found along it. */
export function agesBetween(
  bays: readonly SecondBay[],
  pours: readonly SecondPour[],
  dams: readonly (readonly [Place, Place])[],
): SecondAge[] {
  const inBay = new Map(bays.map(({ number }) => [number, pours.filter(({ bay }) => bay === number)]));
  const boxes = bays.map(({ outline }) => ({
    minE: Math.min(...outline.map(({ eastM }) => eastM)),
    maxE: Math.max(...outline.map(({ eastM }) => eastM)),
    minN: Math.min(...outline.map(({ northM }) => northM)),
    maxN: Math.max(...outline.map(({ northM }) => northM)),
  }));
  const batchAt = (bay: SecondBay, p: Place): SecondPour | undefined => {
    const along = (p.eastM - bay.from.eastM) * bay.along.eastM + (p.northM - bay.from.northM) * bay.along.northM;
    const list = inBay.get(bay.number) as SecondPour[];
    return list.find(({ reachesM }) => reachesM >= along) ?? list.at(-1);
  };
  const worst = new Map<string, SecondAge>();
  for (const bay of bays) {
    for (const ring of [bay.outline, ...bay.holes]) {
      for (const [k, a] of ring.entries()) {
        const b = ring[(k + 1) % ring.length] as Place;
        const length = far(a, b);
        const count = Math.ceil(length / EVERY_M);
        for (let i = 0; i < count; i++) {
          const share = (i + 0.5) / count;
          const on = {
            eastM: a.eastM + share * (b.eastM - a.eastM),
            northM: a.northM + share * (b.northM - a.northM),
          };
          const aside = (side: number): Place => ({
            eastM: on.eastM - (side * (b.northM - a.northM)) / length,
            northM: on.northM + (side * (b.eastM - a.eastM)) / length,
          });
          // The floor lies to the left of its ring.
          const there = aside(-ASIDE_M);
          const other = bays.find((one, index) => {
            const box = boxes[index] as (typeof boxes)[number];
            const near =
              there.eastM >= box.minE &&
              there.eastM <= box.maxE &&
              there.northM >= box.minN &&
              there.northM <= box.maxN;
            return one.number > bay.number && one.lift === bay.lift && near && isIn(one, there);
          });
          if (!other || dams.some(([from, to]) => fromSegment(on, from, to) < AT_DAM_M)) continue;
          const [old, fresh] = [batchAt(bay, aside(ASIDE_M)), batchAt(other, there)];
          if (!old || !fresh) continue;
          const ageMin = fresh.placedMin - old.powderMin;
          const key = `${bay.number} ${other.number}`;
          const before = worst.get(key);
          if (!before || ageMin > before.ageMin) worst.set(key, { earlier: bay.number, later: other.number, ageMin });
        }
      }
    }
  }
  return [...worst.values()];
}

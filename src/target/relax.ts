/** What it costs to keep a wish, by giving some of it up and solving again. */
import type { Litres, Millimetres, MillimetresPerMetre, SquareMetres } from "../units.ts";
import { type Contradiction, type Ground, groundUnder, volumeToOrder } from "./least-plane.ts";
import { solvePlane } from "./plane-program.ts";
import {
  firstConstraint,
  leastVolume,
  type Plane,
  type PlaneWishes,
  planeOf,
  type Wish,
  zoneProgram,
} from "./wishes.ts";
import type { ZoneFloor } from "./zone-floor.ts";

/** By how much a wish is given up at a time. */
export interface Steps {
  readonly height: Millimetres;
  readonly fall: MillimetresPerMetre;
  readonly volume: Litres;
  readonly area: SquareMetres;
}

/** Steps that are tried before a wish counts as one that does not help. */
const MOST_STEPS = 1000;

/** The least number of steps by which one wish of a contradiction must be given up, all others kept. */
export type Relaxation =
  | {
      readonly kind: "enough";
      readonly wish: Wish;
      /** In the unit of the wish: mm, mm/m, litres or m². */
      readonly by: number;
      readonly plane: Plane;
      readonly volume: Litres;
      readonly ground: Ground;
    }
  | { readonly kind: "not-enough"; readonly wish: Wish; readonly triedUpTo: number };

/**
 * For each wish of the contradiction: how far it must be given up, in whole steps, until a plane exists, and the
 * least volume then. To give up some of the least depth means to grind; to give up some of the greatest, to fill the
 * deep places first.
 * @param solve what the contradiction came from: `leastPlane` or `lowestLevel`
 */
export function relaxations(
  floor: ZoneFloor,
  wishes: PlaneWishes,
  { wishes: contradicting }: Contradiction,
  steps: Steps,
  solve: (floor: ZoneFloor, wishes: PlaneWishes) => { readonly kind: "found"; readonly plane: Plane } | Contradiction,
): readonly Relaxation[] {
  return contradicting.map((wish): Relaxation => {
    const step = stepOf(wish, steps);
    const attempt = (count: number): { readonly plane: Plane } | undefined => {
      const result = solve(floor, givenUp(wishes, wish, count * step));
      return result.kind === "found" ? result : undefined;
    };
    let enough = MOST_STEPS;
    let found = attempt(enough);
    if (!found) return { kind: "not-enough", wish, triedUpTo: MOST_STEPS * step };
    // What is enough stays enough when more is given up, so the least count is found by halving.
    let tooFew = 0;
    while (enough - tooFew > 1) {
      const middle = Math.floor((enough + tooFew) / 2);
      const result = attempt(middle);
      if (result) {
        enough = middle;
        found = result;
      } else tooFew = middle;
    }
    return {
      kind: "enough",
      wish,
      by: enough * step,
      plane: found.plane,
      volume: volumeToOrder(floor, found.plane, wishes.leastDepth),
      ground: groundUnder(floor, found.plane, wishes.leastDepth),
    };
  });
}

function stepOf(wish: Wish, steps: Steps): number {
  if (wish.kind === "greatest-fall") return steps.fall;
  if (wish.kind === "ground-area") return steps.area;
  return wish.kind === "volume" ? steps.volume : steps.height;
}

/** The wishes with one of them given up by so much: mm, mm/m, litres or m². */
export function givenUp(wishes: PlaneWishes, wish: Wish, by: number): PlaneWishes {
  switch (wish.kind) {
    case "least-depth":
      return {
        ...wishes,
        grinding: new Map([
          ...wishes.grinding,
          ...wish.roomIndices.map((room) => [room, (wishes.grinding.get(room) ?? 0) + by] as const),
        ]),
      };
    case "greatest-depth":
      return { ...wishes, greatestDepth: wishes.greatestDepth! + by };
    case "greatest-fall":
      return { ...wishes, greatestFall: wishes.greatestFall + by };
    case "volume":
      return {
        ...wishes,
        limits: wishes.limits.map((limit) =>
          limit === wish.limit ? { ...limit, greatest: limit.greatest + by } : limit,
        ),
      };
    case "ground-area":
      return { ...wishes, groundArea: { area: wish.area + by } };
    case "place-held":
    case "place-at-least":
    case "place-at-most":
      return {
        ...wishes,
        places: wishes.places.map((place) => {
          if (place.name !== wish.place) return place;
          const lower = wish.kind !== "place-at-most" && place.atLeast !== undefined;
          const upper = wish.kind !== "place-at-least" && place.atMost !== undefined;
          return {
            ...place,
            ...(lower ? { atLeast: place.atLeast! - by } : {}),
            ...(upper ? { atMost: place.atMost! + by } : {}),
          };
        }),
      };
  }
}

/** "Grinding 3 mm over 1.4 m² there saves …" */
export interface GrindingTrial {
  readonly wish: Wish;
  readonly height: Millimetres;
  readonly plane: Plane;
  readonly ground: Ground;
  readonly savedVolume: Litres;
}

/**
 * What grinding one high spot by so much would save: the spot is the connected place about the binding vertex
 * where less than the least depth and that much more lies now; everywhere else the least depth is kept.
 * @throws where the wish is not a least depth
 */
export function grindingTrial(
  floor: ZoneFloor,
  wishes: PlaneWishes,
  found: { readonly plane: Plane; readonly volume: Litres },
  wish: Wish,
  height: Millimetres,
): GrindingTrial {
  if (wish.kind !== "least-depth") throw new Error(`grinding does not ease a wish of the kind ${wish.kind}`);
  const { program } = zoneProgram(floor, wishes);
  const spot = spotAbout(floor, found.plane, wishes.leastDepth + height, wish.vertex);
  const lower = program.lower.map((value, vertex) => (spot[vertex] === 1 ? value - height : value));
  const eased = { ...program, lower };
  const result = solvePlane(eased, leastVolume(program.rim), [firstConstraint(eased)]);
  if (result.kind === "infeasible")
    throw new Error("wishes that could be kept contradict each other once one is eased");
  const plane = planeOf(floor, result.p);
  return {
    wish,
    height,
    plane,
    ground: groundUnder(floor, plane, wishes.leastDepth),
    savedVolume: found.volume - volumeToOrder(floor, plane, wishes.leastDepth),
  };
}

/** 1 at the vertices that hang together with the first through vertices where less than this depth lies. */
function spotAbout({ mesh, levelMm }: ZoneFloor, plane: Plane, below: Millimetres, first: number): Uint8Array {
  const { corners } = mesh;
  const shallow = levelMm.map((level, i) =>
    plane.top + plane.fallEast * mesh.xM[i]! + plane.fallNorth * mesh.yM[i]! - level < below ? 1 : 0,
  );
  const touching = trianglesAtVertices(corners, levelMm.length);
  const inSpot = new Uint8Array(levelMm.length);
  inSpot[first] = 1;
  const queue = [first];
  for (let vertex = queue.pop(); vertex !== undefined; vertex = queue.pop()) {
    for (let k = touching.start[vertex]!; k < touching.start[vertex + 1]!; k++) {
      const triangle = touching.triangle[k]!;
      for (let c = 0; c < 3; c++) {
        const other = corners[3 * triangle + c]!;
        if (inSpot[other] === 1 || shallow[other] === 0) continue;
        inSpot[other] = 1;
        queue.push(other);
      }
    }
  }
  return inSpot;
}

/** The triangles at each vertex, in one array with the place where each vertex's begin. */
function trianglesAtVertices(corners: Uint32Array, count: number): { start: Uint32Array; triangle: Uint32Array } {
  const start = new Uint32Array(count + 1);
  for (let corner = 0; corner < corners.length; corner++) start[corners[corner]! + 1]!++;
  for (let i = 0; i < count; i++) start[i + 1]! += start[i]!;
  const next = start.slice();
  const triangle = new Uint32Array(corners.length);
  for (let corner = 0; corner < corners.length; corner++) triangle[next[corners[corner]!]!++] = Math.floor(corner / 3);
  return { start, triangle };
}

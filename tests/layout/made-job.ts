/** Jobs for tests, made without the reader of job files: a plain cement-based pour with one instrument. */
import { point, pointAlong, type Ring } from "../../src/geometry/point.ts";
import type { Door, Job, Obstacle, Reading, Room, Wall } from "../../src/job/model.ts";
import { KG_PER_POUND, L_PER_CUBIC_FOOT, L_PER_US_QUART } from "../../src/units.ts";

export const FOOT = 0.3048;

const SIDES = ["east", "north-east", "north", "north-west", "west", "south-west", "south", "south-east"] as const;

export function madeRoom(id: string, corners: readonly (readonly [number, number])[], rest: Partial<Room> = {}): Room {
  const outline: Ring = corners.map(([x, y]) => point(x, y));
  const walls = outline.map((from, k): Wall => {
    const to = outline[(k + 1) % outline.length]!;
    const outward = Math.atan2(-(to.x - from.x), to.y - from.y);
    const side = SIDES[(Math.round(outward / (Math.PI / 4)) + 8) % 8]!;
    return { number: k + 1, name: `${side} wall`, side, ordinal: 1, onlyOne: true, from, to };
  });
  return { id, name: id, outline, walls, columns: [], doors: [], ...rest };
}

export function madeDoor(room: Room, id: string, wallIndex: number, from: number, width: number, thick: number): Door {
  const wall = room.walls[wallIndex]!;
  const jambs = [pointAlong(wall.from, wall.to, from), pointAlong(wall.from, wall.to, from + width)] as const;
  const length = Math.hypot(wall.to.x - wall.from.x, wall.to.y - wall.from.y);
  const out = { x: (thick * (wall.to.y - wall.from.y)) / length, y: (-thick * (wall.to.x - wall.from.x)) / length };
  const beyond = (p: { x: number; y: number }) => point(p.x + out.x, p.y + out.y);
  return {
    id,
    roomId: room.id,
    wallIndex,
    from,
    width,
    jambs,
    joins: "outside",
    joinsRoom: false,
    wallThickness: thick,
    ...(thick > 0 ? { doorway: [jambs[0], beyond(jambs[0]), beyond(jambs[1]), jambs[1]] } : {}),
    entrance: true,
  };
}

export function squareColumn(id: string, x: number, y: number, size: number): Obstacle {
  const h = size / 2;
  const ring = [point(x - h, y - h), point(x - h, y + h), point(x + h, y + h), point(x + h, y - h)];
  return { id, kind: "column", ring };
}

/** A reading without a file behind it; its line is its place in the list. */
export function madeReading(pointId: string, level: number, line = 1): Reading {
  return {
    pointId,
    level,
    typed: { text: String(-level), unit: "mm", side: "below" },
    place: { file: "made.yaml", line, column: 1, length: 1, lineText: pointId },
  };
}

export const readingsOf = (levels: Readonly<Record<string, number>>): Reading[] =>
  Object.entries(levels).map(([id, level], k) => madeReading(id, level, k + 1));

const sheet = { title: "Invented for tests", example: true };

export function madeJob(rooms: readonly Room[], rest: Partial<Job> = {}, readings: readonly Reading[] = []): Job {
  return {
    id: "made",
    title: "Made",
    company: { name: "Nobody" },
    units: { plan: "ft-in", height: "mm" },
    paper: "letter",
    languages: ["en"],
    rooms,
    benchMarks: [],
    floor: { support: "on-ground", substrate: "concrete", absorbency: "porous" },
    survey: madeSurvey(readings),
    target: { kind: "level", top: 0, zeroIsTop: true },
    material: {
      id: "cement",
      name: "the cement-based mix",
      binder: "cement",
      dataSheet: sheet,
      bag: 50 * KG_PER_POUND,
      yieldPerBag: 0.5 * L_PER_CUBIC_FOOT,
      waterPerBag: 5 * L_PER_US_QUART,
      wetDensity: 1.95,
      flowTime: 15,
      depthOn: { concrete: { least: 3, greatest: 50 } },
      greatestLift: 50,
      greatestFall: 0,
      pinSpacing: 8 * FOOT,
      pinSpacingAtDoors: 3 * FOOT,
    },
    primer: {
      id: "primer",
      name: "primer",
      dataSheet: sheet,
      coatsOn: { porous: [{ waterToOne: 3, coverage: 5 }], dense: [{ waterToOne: 1, coverage: 10 }] },
    },
    pins: {
      id: "pin",
      name: "pin",
      foot: 1.5,
      scaleCountsFoot: true,
      leastCut: 3,
      greatestCut: 75,
      recutAt: 1.5,
    },
    crew: {
      id: "crew",
      name: "crew",
      people: 5,
      barrels: 2,
      bagsPerBarrel: 2,
      barrelCycle: 5,
      mixTime: 2.5,
      laneWidth: 3,
    },
    pour: {
      lossAllowance: 0,
      profileAllowance: 0,
      bagsPerPallet: 56,
      palletLength: 48 * 0.0254,
      palletWidth: 40 * 0.0254,
      palletTare: 0,
    },
    contract: {},
    notes: [],
    source: {
      file: "made.yaml",
      text: "",
      place: (path) => ({ file: "made.yaml", line: 1, column: 1, length: 1, lineText: path.join(".") }),
    },
    ...rest,
  };
}

/** A 6 ft grid from 2 ft inside the south-west corner of the plan's origin, one hose level. */
export function madeSurvey(readings: readonly Reading[], grid: Partial<Job["survey"]["grid"]> = {}): Job["survey"] {
  return {
    grid: { origin: point(2 * FOOT, 2 * FOOT), spacingEast: 6 * FOOT, spacingNorth: 6 * FOOT, ...grid },
    extraPoints: [],
    setUps: [
      {
        id: "S1",
        instrument: { id: "hose", name: "hose level", kind: "hose", readingSd: 0.5 },
        readings,
      },
    ],
  };
}

export const rectangle = (x: number, y: number, width: number, height: number): [number, number][] => [
  [x, y],
  [x + width, y],
  [x + width, y + height],
  [x, y + height],
];

/** The corners turned about the origin, then moved. */
export function turned(
  corners: readonly (readonly [number, number])[],
  radians: number,
  [dx, dy]: readonly [number, number] = [0, 0],
): [number, number][] {
  const c = Math.cos(radians);
  const s = Math.sin(radians);
  return corners.map(([x, y]) => [c * x - s * y + dx, s * x + c * y + dy]);
}

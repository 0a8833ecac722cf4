/**
 * A grammar of jobs that are right, or nearly: rooms of several shapes joined by doors, lengths in every spelling,
 * set-ups, targets of every kind, crews with barrels and pumps, contracts, records. Invented.
 */
import fc from "fast-check";
import { rowLetters } from "../../src/job/grid-names.ts";
import { contract, pour, record } from "./near-job-record.ts";
import { adjustment, type Sheet, setUp } from "./near-job-survey.ts";
import { target } from "./near-job-target.ts";
import { type Draw, number, once, pick, slipped, type Tree, type Value, yamlOf } from "./written.ts";

export interface Plan {
  readonly unit: "ft-in" | "m";
  readonly heightUnit: "mm" | "in";
  readonly rooms: readonly { readonly id: string; readonly outline: readonly (readonly [number, number])[] }[];
  readonly doorIds: readonly string[];
  readonly benchMarkIds: readonly string[];
  readonly hasFinishLevels: boolean;
  /** East and north extent, in metres. */
  readonly east: number;
  readonly north: number;
}

const M_PER_FT = 0.3048;

/** A plan length in one of the spellings that sites use; bare numbers are in the job's unit. */
export function spelled(g: Draw, metres: number, unit: Plan["unit"]): Value {
  const round = (value: number, decimals: number) => Number(value.toFixed(decimals));
  const inches = round(metres / 0.0254, 3);
  const feet = Math.trunc(inches / 12);
  const over = round(inches - 12 * feet, 3);
  switch (g(fc.nat, 7)) {
    case 0:
      return unit === "ft-in" ? round(metres / M_PER_FT, 4) : round(metres, 4);
    case 1:
      return `${round(metres, 4)} m`;
    case 2:
      return `${round(metres * 1000, 1)} mm`;
    case 3:
      return `${round(metres / M_PER_FT, 4)}'`;
    case 4:
      return metres < 0 ? `${inches}"` : `${feet}' ${over}"`;
    case 5:
      return metres < 0 ? `${inches} in` : `${feet} ft ${over} in`;
    case 6:
      return `${round(metres * 100, 2)} cm`;
    default:
      return unit === "ft-in" ? `${round(metres / M_PER_FT, 4)} ft` : `${round(metres, 4)} metres`;
  }
}

/** A point on the plan. */
export const spot = (g: Draw, [east, north]: readonly [number, number], unit: Plan["unit"]): Value => [
  spelled(g, east, unit),
  spelled(g, north, unit),
];

/** A height in one of its spellings. */
export function spelledHeight(g: Draw, mm: number): Value {
  return pick(g, [`${mm} mm`, `${Number((mm / 10).toFixed(3))} cm`, `${Number((mm / 25.4).toFixed(4))} in`]);
}

type Corners = [number, number][];

/** Corners of a room in metres, counter-clockwise from its start; wall 2 is the east one and wall 3 the north one of most. */
function shape(g: Draw, w: number, h: number): Corners {
  switch (g(fc.nat, 6)) {
    case 1: {
      const [cutE, cutN] = [w * number(g, 0.2, 0.6, 2), h * number(g, 0.2, 0.6, 2)];
      return [
        [0, 0],
        [w, 0],
        [w, h],
        [cutE, h],
        [cutE, h - cutN],
        [0, h - cutN],
      ];
    }
    case 2:
      // A corner that is hardly one.
      return [
        [0, 0],
        [w, 0],
        [w, h],
        [w / 2, h + pick(g, [0.001, 0.01, 0.05, 0])],
        [0, h],
      ];
    case 3: {
      // A jog as wide as a thumb.
      const jog = pick(g, [0.002, 0.02, 0.1]);
      return [
        [0, 0],
        [w, 0],
        [w, h],
        [w / 3, h],
        [w / 3, h - jog],
        [0, h - jog],
      ];
    }
    case 4: {
      const turn = number(g, 0, 1.5, 3);
      return (
        [
          [0, 0],
          [w, 0],
          [w, h],
          [0, h],
        ] as Corners
      ).map(([x, y]) => [x * Math.cos(turn) - y * Math.sin(turn), x * Math.sin(turn) + y * Math.cos(turn)]);
    }
    case 5:
      return [
        [0, 0],
        [w, 0],
        [w, h],
        [0, h * number(g, 0.05, 1, 2)],
      ];
    default:
      return [
        [0, 0],
        [w, 0],
        [w, h],
        [0, h],
      ];
  }
}

/** The walls as taped: compass words where a wall runs along an axis, bearings elsewhere. */
function wallRun(g: Draw, corners: Corners, unit: Plan["unit"]): string {
  return corners
    .map(([x, y], k) => {
      const [nextX, nextY] = corners[(k + 1) % corners.length]!;
      const [dx, dy] = [nextX - x, nextY - y];
      const length = spelled(g, Math.hypot(dx, dy), unit);
      if (Math.abs(dx) < 1e-9) return `${dy > 0 ? "N" : "S"} ${length}`;
      if (Math.abs(dy) < 1e-9) return `${dx > 0 ? "E" : "W"} ${length}`;
      const bearing = ((Math.atan2(Math.abs(dx), Math.abs(dy)) * 180) / Math.PI).toFixed(4);
      return `${dy > 0 ? "N" : "S"} ${bearing} ${dx > 0 ? "E" : "W"} ${length}`;
    })
    .join(", ");
}

function obstacles(g: Draw, name: string, corners: Corners, unit: Plan["unit"]): Value[] {
  const xs = corners.map(([x]) => x);
  const ys = corners.map(([, y]) => y);
  const [west, east, south, north] = [Math.min(...xs), Math.max(...xs), Math.min(...ys), Math.max(...ys)];
  return Array.from({ length: g(fc.nat, 2) }, (_, k): Value => {
    const at: [number, number] = [number(g, west, east, 2), number(g, south, north, 2)];
    const size = number(g, 0.05, 0.6, 2);
    const one = { id: `${name}${k + 1}` };
    const [x, y] = at;
    return pick<Value>(g, [
      { ...one, center: spot(g, at, unit), size: spelled(g, size, unit) },
      { ...one, center: spot(g, at, unit), diameter: spelled(g, size, unit) },
      {
        ...one,
        vertices: [
          [x, y],
          [x + size, y],
          [x, y + size],
        ].map(([e, n]) => spot(g, [e!, n!], unit)),
      },
    ]);
  });
}

const insideOf = (corners: readonly (readonly [number, number])[], [x, y]: readonly [number, number]): boolean =>
  corners.reduce((inside, [x1, y1], k) => {
    const [x2, y2] = corners[(k + 1) % corners.length]!;
    return y1 > y !== y2 > y && x < ((x2 - x1) * (y - y1)) / (y2 - y1) + x1 ? !inside : inside;
  }, false);

/** Rooms, their tree and what the rest of the job may refer to. */
function rooms(g: Draw, unit: Plan["unit"], heightUnit: Plan["heightUnit"]): { tree: Value; plan: Plan } {
  const snap = unit === "ft-in" ? 0.1524 : 0.05;
  const size = (least: number, greatest: number) => snap * Math.round(number(g, least, greatest, 2) / snap);
  const count = pick(g, [1, 1, 1, 2, 2, 3]);
  const wall = pick(g, [0.1, 0.15, 0.2]);
  const height = size(1.2, 6);
  const doorIds: string[] = [];
  const list: { id: string; outline: Corners }[] = [];
  let hasFinishLevels = false;
  let east = 0;
  const tree = Array.from({ length: count }, (_, k): Value => {
    const width = size(1.2, 7);
    const id = ["hall", "store", "bath"][k]!;
    const west = east;
    const local: Corners =
      count === 1
        ? shape(g, width, height)
        : [
            [0, 0],
            [width, 0],
            [width, height],
            [0, height],
          ];
    const corners = local.map(([x, y]): [number, number] => [x + west, y]);
    east += width + wall;
    list.push({ id, outline: corners });
    const doors: Value[] = [];
    const doorWidth = Math.min(pick(g, [0.6, 0.9, 1.2]), height / 2);
    if (k + 1 < count) {
      doorIds.push(`DR${k + 1}`);
      doors.push({
        id: `DR${k + 1}`,
        wall: 2,
        from: spelled(g, number(g, 0, height - doorWidth, 1), unit),
        width: spelled(g, doorWidth, unit),
        joins: ["hall", "store", "bath"][k + 1]!,
      });
    }
    if (k === 0 && !once(g, 5)) {
      doorIds.push("DR9");
      hasFinishLevels = once(g, 2);
      doors.push({
        id: "DR9",
        wall: 1,
        from: spelled(g, number(g, 0, Math.max(0.1, width - doorWidth), 1), unit),
        width: spelled(g, Math.min(doorWidth, width / 2), unit),
        joins: "street",
        ...(once(g, 2) ? { thickness: spelled(g, wall, unit) } : {}),
        ...(hasFinishLevels ? { finish_level: spelledHeight(g, number(g, -5, 15, 1)) } : {}),
        ...(once(g, 3) ? {} : { entrance: true }),
      });
    }
    const columns = once(g, 3) ? obstacles(g, `COL${k}`, corners, unit) : [];
    const openings = once(g, 5) ? obstacles(g, `OP${k}`, corners, unit) : [];
    const byVertices = once(g, 3);
    return {
      id,
      ...(once(g, 2) ? { name: pick(g, ["Hall", "Salle d’été", "Küche 2 & 3", "浴室", "A".repeat(60)]) } : {}),
      ...(byVertices
        ? { vertices: corners.map((corner) => spot(g, corner, unit)) }
        : { start: spot(g, corners[0]!, unit), walls: wallRun(g, corners, unit) }),
      ...(columns.length === 0 ? {} : { columns }),
      ...(openings.length === 0 ? {} : { openings }),
      ...(doors.length === 0 ? {} : { doors }),
    };
  });
  const north = Math.max(...list.flatMap(({ outline }) => outline.map(([, y]) => y)));
  const benchMarkIds = once(g, 2) ? ["BM1"] : [];
  return {
    tree,
    plan: { unit, heightUnit, rooms: list, doorIds, benchMarkIds, hasFinishLevels, east: east - wall, north },
  };
}

/** Which points of a grid lie in a room, row by row. */
function gridOf(plan: Plan, origin: [number, number], spacing: [number, number]): Sheet {
  const all = plan.rooms.flatMap(({ outline }) => outline);
  const reach = [Math.max(...all.map(([x]) => x)), Math.max(...all.map(([, y]) => y))] as const;
  const columns = Math.max(1, Math.min(40, Math.floor((reach[0] - origin[0]) / spacing[0]) + 1));
  const rows = Math.max(1, Math.min(40, Math.floor((reach[1] - origin[1]) / spacing[1]) + 1));
  return Array.from({ length: rows }, (_, row) => ({
    letters: rowLetters(row),
    inRoom: Array.from({ length: columns }, (__, column) => {
      const at: [number, number] = [origin[0] + column * spacing[0], origin[1] + row * spacing[1]];
      return plan.rooms.some(({ outline }) => insideOf(outline, at));
    }),
  }));
}

/** The tree of one job. */
function nearTree(g: Draw, id: string): Tree {
  const unit = pick(g, ["ft-in", "m"] as const);
  const heightUnit = pick(g, ["mm", "in"] as const);
  const { tree, plan } = rooms(g, unit, heightUnit);
  const spacing: [number, number] = [number(g, 0.5, 2.4, 1), number(g, 0.5, 2.4, 1)];
  const isSquare = once(g, 2);
  if (isSquare) spacing[1] = spacing[0];
  const origin: [number, number] = [number(g, 0, 0.6, 1), number(g, 0, 0.6, 1)];
  const extra: Value[] = once(g, 4)
    ? [{ id: "drain", at: spot(g, [plan.east * number(g, 0, 1, 2), plan.north * number(g, 0, 1, 2)], unit) }]
    : [];
  const sheet = gridOf(plan, origin, spacing);
  const labels = extra.length > 0 ? ["drain"] : [];
  const setUps = Array.from({ length: pick(g, [1, 1, 1, 2, 3, 0]) }, (_, k) => setUp(g, plan, sheet, labels, k));
  const material = pick(g, ["cement-50lb", "cement-25kg", "gypsum-50lb", "stiff-25kg"]);
  return {
    job: id,
    title: pick(g, ["A floor", "Étage 2 — «nord»", "x", "Very long title ".repeat(20).trim()]),
    ...(once(g, 3) ? { dated: pick(g, ["2027-03-01", "2028-02-29", "2026-12-31"]) } : {}),
    units: { plan: unit, height: heightUnit },
    ...(once(g, 2) ? { paper: pick(g, ["letter", "a4"]) } : {}),
    ...(once(g, 3) ? { languages: pick(g, [["en"], ["es"], ["en", "es"], ["es", "en"]]) } : {}),
    rooms: tree,
    ...(plan.benchMarkIds.length === 0
      ? {}
      : {
          bench_marks: [
            {
              id: "BM1",
              at: spot(g, [0, 0], unit),
              level: spelledHeight(g, number(g, -5, 15, 1)),
              ...(once(g, 3) ? { sd: "0.5 mm" } : {}),
            },
          ],
        }),
    floor: {
      support: pick(g, ["on-ground", "on-ground", "suspended"]),
      substrate: pick(g, ["concrete", "concrete", "old-tile", "old-adhesive", "wood"]),
      absorbency: pick(g, ["porous", "dense"]),
      ...(once(g, 4) ? { accepted_by: { name: "R. Ashdown, PE", date: "2027-02-20" } } : {}),
    },
    survey: {
      grid: {
        origin: spot(g, origin, unit),
        ...(isSquare
          ? { spacing: spelled(g, spacing[0], unit) }
          : { spacing_east: spelled(g, spacing[0], unit), spacing_north: spelled(g, spacing[1], unit) }),
      },
      ...(once(g, 4)
        ? { planning: { instrument: pick(g, ["hose-level", "optical-level"]), slack: "1 m", tie_spread: "1 m" } }
        : {}),
      ...(extra.length === 0 ? {} : { points: extra }),
      ...(setUps.length === 0 ? {} : { set_ups: setUps }),
      ...(once(g, 4) ? { adjustment: adjustment(g) } : {}),
    },
    target: target(g, plan),
    material,
    ...(once(g, 2) ? { crew: pick(g, ["one-barrel", "two-barrel", "four-barrel", "small-pump", "pump"]) } : {}),
    ...(once(g, 2) ? { pour: pour(g, plan) } : {}),
    ...(once(g, 2) ? { contract: contract(g, plan) } : {}),
    ...(once(g, 3) ? record(g, plan, sheet) : {}),
    ...(once(g, 5) ? { notes: ["Freight lift holds 4,000 lb.", "{{ 7 * 7 }} <b>&amp;"] } : {}),
  };
}

/** The text of a job that is right or nearly. */
export function nearJob(g: Draw, id: string): string {
  const tree = nearTree(g, id);
  slipped(g, tree);
  const text = yamlOf(tree);
  return once(g, 20) ? text.replaceAll("\n", "\r\n") : text;
}

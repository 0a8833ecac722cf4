/** A scanned floor made up: two rooms joined by a door, a column, and as many points as are asked for. */
import { randomFrom } from "../../src/numeric/random.ts";

/** Rooms of the plan, metres: east of each other, the store behind a wall of 0.1 m with a door in it. */
export const HALL = { width: 12, depth: 8 } as const;
export const STORE = { west: 12.1, width: 6, depth: 8 } as const;
/** The column stands in the hall, its middle at (4, 4). */
export const COLUMN_M = 0.4;

export const scanJob = (
  keys = "",
  target = "top: 0 mm",
  grid = "origin: [1, 1], spacing: 1.5 m",
): string => `job: scanned-hall
title: Scanned hall
units: { plan: m, height: mm }
paper: a4
rooms:
  - id: hall
    name: Hall
    vertices: [[0, 0], [${HALL.width}, 0], [${HALL.width}, ${HALL.depth}], [0, ${HALL.depth}]]
    columns: [{ id: K1, center: [4, 4], size: ${COLUMN_M} m x ${COLUMN_M} m }]
    doors:
      - { id: DR1, wall: 2, from: 3 m, width: 1 m, joins: store, thickness: 0.1 m }
      - { id: DR2, wall: 4, from: 3 m, width: 1 m, joins: yard, entrance: true }
  - id: store
    name: Store
    vertices: [[${STORE.west}, 0], [${STORE.west + STORE.width}, 0], [${STORE.west + STORE.width}, ${STORE.depth}], [${STORE.west}, ${STORE.depth}]]
floor: { support: on-ground, substrate: concrete, absorbency: porous }
survey:
  grid: { ${grid} }
  scan:
    file: scan.csv
    file_zero: 100 m
    sd: 0.5 mm
${keys}target: { ${target} }
material: cement-25kg
crew: two-barrel
`;

/** Rows strewn evenly over both rooms and the wall between them, heights in metres above 100 m less what `depthMm` says. */
export function scanCsv(count: number, depthMm: (x: number, y: number) => number, places = 12, seed = 9): string {
  const random = randomFrom(seed);
  const rows = ["number,north (m),east (m),height (m),description"];
  const east = STORE.west + STORE.width;
  for (let k = 0; k < count; k++) {
    const x = Number((random.uniform() * east).toFixed(4));
    const y = Number((random.uniform() * HALL.depth).toFixed(4));
    rows.push(`${k + 1},${y},${x},${(100 - depthMm(x, y) / 1000).toFixed(places)},floor`);
  }
  return `${rows.join("\n")}\n`;
}

/** Floor of both rooms with the doorway, less the column, m². */
export const FLOOR_M2 = HALL.width * HALL.depth + STORE.width * STORE.depth + 0.1 * 1 - COLUMN_M ** 2;

export const besideScan = (text: string) => [{ name: "scan.csv", file: "jobs/scanned-hall/scan.csv", text }];

export const SCAN_FILE = "jobs/scanned-hall.yaml";

/** Job files of floors that no shipped job has: tiny, vast, narrow, with names that are hard to set. Invented. */
import { rowLetters } from "../../src/job/grid-names.ts";

export interface FloorOrder {
  readonly id: string;
  readonly eastM: number;
  readonly northM: number;
  readonly spacingM: number;
  readonly family: "letter" | "a4";
  readonly title?: string;
  readonly roomName?: string;
  readonly columnId?: string;
  readonly pointId?: string;
  readonly notes?: readonly string[];
  /** The last point of the last row is not read. */
  readonly lastNotRead?: boolean;
}

/** Readings below zero that rise and fall by a few millimetres, so that contours, bands and pins have work. */
const reading = (row: number, column: number): string =>
  (14 + 5 * Math.sin(row / 3) + 3 * Math.cos(column / 4)).toFixed(1);

/** A room read at every grid point, half a spacing from its walls. */
export function generatedFloor(order: FloorOrder): string {
  const { id, eastM, northM, spacingM, family } = order;
  const columns = Math.max(1, Math.round(eastM / spacingM));
  const rows = Math.max(1, Math.round(northM / spacingM));
  const [dx, dy] = [eastM / columns, northM / rows];
  const lines = Array.from({ length: rows }, (_, row) =>
    [
      rowLetters(row),
      ...Array.from({ length: columns }, (__, column) =>
        order.lastNotRead && row === rows - 1 && column === columns - 1 ? "-" : reading(row, column),
      ),
    ].join(" "),
  );
  const point = order.pointId === undefined ? undefined : { id: order.pointId, at: [dx, northM / 2 + dy / 4] };
  return `job: ${id}
title: ${JSON.stringify(order.title ?? id)}
dated: 2027-05-10
units: { plan: m, height: mm }
paper: ${family}
languages: [en, es]
rooms:
  - id: floor
    name: ${JSON.stringify(order.roomName ?? "Floor")}
    walls: E ${eastM} m, N ${northM} m, W ${eastM} m, S ${northM} m
${order.columnId === undefined ? "" : `    columns:\n      - { id: ${order.columnId}, center: [${2 * dx}, ${northM / 2}], size: 300 mm x 300 mm }\n`}    doors:
      - { id: D1, wall: 4, from: ${Math.min(0.5, (northM - 0.8) / 2).toFixed(3)}, width: 0.8, joins: outside, entrance: true }
floor: { support: on-ground, substrate: concrete, absorbency: porous }
survey:
  grid: { origin: [${dx / 2}, ${dy / 2}], spacing_east: ${dx} m, spacing_north: ${dy} m }
${point === undefined ? "" : `  points:\n    - { id: ${point.id}, at: [${point.at.join(", ")}], note: Edge of a drain }\n`}  set_ups:
    - id: S1
      instrument: hose-level
      numbers_are: below zero
      readings: |
${[...lines, ...(point ? [`${point.id} 12.5`] : [])].map((line) => `        ${line}`).join("\n")}
target: { top: 0 mm }
material: cement-25kg
crew: pump
${order.notes === undefined ? "" : `notes: ${JSON.stringify(order.notes)}\n`}`;
}

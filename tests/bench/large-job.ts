/** A hall of 400 pins, read on a grid of 20 by 20, with doors and columns. Invented. */
import { rowLetters } from "../../src/job/grid-names.ts";

const ACROSS = 20;
const SPACING_M = 2.4;
const SIDE_M = ACROSS * SPACING_M;

/** Waves of a few millimetres, told from each other by `shift`, on a floor some 12 mm low. */
const readingMm = (column: number, row: number, shift: number): number =>
  Math.round(14 + 4 * Math.sin((column + shift) / 3) * Math.cos(row / 4));

/** @param changed the reading of the first point in mm, so that two texts differ in one number */
export function largeJobText(id: string, changed?: number, shift = 0): string {
  const rows = Array.from({ length: ACROSS }, (_, row) => {
    const readings = Array.from({ length: ACROSS }, (_, column) =>
      row === 0 && column === 0 && changed !== undefined ? changed : readingMm(column, row, shift),
    );
    return `        ${rowLetters(row)}  ${readings.join("  ")}`;
  });
  return `job: ${id}
title: Large hall
units: { plan: m, height: mm }
paper: a4
languages: [en]
rooms:
  - id: hall
    name: Hall
    walls: E ${SIDE_M} m, N ${SIDE_M} m, W ${SIDE_M} m, S ${SIDE_M} m
    columns:
      - { id: COL1, center: [12.1, 12.3], size: 400 mm x 400 mm }
      - { id: COL2, center: [36.1, 12.3], size: 400 mm x 400 mm }
      - { id: COL3, center: [12.1, 36.3], size: 400 mm x 400 mm }
      - { id: COL4, center: [36.1, 36.3], size: 400 mm x 400 mm }
    doors:
      - { id: GATE, wall: 1, from: 20, width: 3, joins: yard, thickness: 250 mm, entrance: true }
floor: { support: on-ground, substrate: concrete, absorbency: porous }
survey:
  grid: { origin: [1.2, 1.2], spacing: ${SPACING_M} m }
  set_ups:
    - id: S1
      instrument: hose-level
      numbers_are: below zero
      readings: |
${rows.join("\n")}
target: { top: 0 mm }
material: cement-50lb
crew: pump
`;
}

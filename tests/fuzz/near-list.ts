/** A small job whose readings lie in a CSV file beside it, right or nearly. */
import fc from "fast-check";
import type { BesideFile } from "../../src/job/job-reader.ts";
import { JOB_ID } from "./judge.ts";
import { type Draw, number, once, pick } from "./written.ts";

const CELLS = [
  "",
  "-",
  "=1+1",
  "@x",
  "1e9",
  "NaN",
  "99,5",
  "+3.5",
  "−4",
  "x",
  '"a',
  "12 mm",
  "0x10",
  "1.",
  ".5",
  "-0",
] as const;

export function nearList(g: Draw): { readonly text: string; readonly beside: readonly BesideFile[] } {
  const below = once(g, 2);
  const unit = pick(g, ["mm", "in", "m", "ft"] as const);
  const perMm = { mm: 1, in: 1 / 25.4, m: 0.001, ft: 1 / 304.8 }[unit];
  const parting = pick(g, [",", ";", "\t"]);
  const hasPlace = once(g, 2);
  const hasNote = once(g, 3);
  const value = below ? pick(g, ["rod", "reading", "staff"]) : pick(g, ["height", "level", "z", "elevation"]);
  const zero = once(g, 3) ? 100 : 0;
  const header = [
    pick(g, ["point", "Point No.", "id", "Name"]),
    ...(hasPlace ? [pick(g, ["north (m)", "N_m", "y [m]"]), pick(g, ["east (m)", "E_m", "x [m]"])] : []),
    `${value} (${unit})`,
    ...(hasNote ? ["description"] : []),
  ];
  const rows: string[][] = [];
  for (let row = 0; row < 3; row++) {
    for (let column = 0; column < 4; column++) {
      const typed = ((below ? 1 : -1) * (12 + number(g, -4, 4, 1)) + zero * 1000) * perMm;
      const isGrid = !hasPlace || once(g, 2);
      rows.push([
        isGrid ? `${"ABC"[row]}${column + 1}` : `P${4 * row + column}`,
        ...(hasPlace ? [String(0.4 + row), String(0.4 + column)] : []),
        typed.toFixed(pick(g, [1, 3, 5])),
        ...(hasNote ? [pick(g, ["", "by the door", '=HYPERLINK("x")', '"quoted, with a comma"', "{{ 1 }}"])] : []),
      ]);
    }
  }
  const slips = pick(g, [0, 0, 0, 1, 2]);
  for (let k = 0; k < slips; k++) {
    const row = pick(g, rows);
    if (once(g, 4)) row.pop();
    else row[g(fc.nat, Math.max(0, row.length - 1))] = pick(g, CELLS);
    if (once(g, 5)) rows.push([...row]);
  }
  const lines = [header, ...rows].map((cells) => cells.join(parting));
  if (once(g, 4)) lines.splice(g(fc.nat, lines.length), 0, pick(g, ["# a remark", "", "   "]));
  const list = `${once(g, 5) ? "\ufeff" : ""}${lines.join(pick(g, ["\n", "\r\n"]))}\n`;
  const zeroKey = zero === 0 ? "" : `file_zero: ${pick(g, ["100 m", "100000 mm", "100"])}`;
  const known = `known_points: [{ point: a, in_file: [0, 0], on_plan: [0, 0] }, { point: b, in_file: [${pick(g, ["4, 0.01", "4, 0", "0, 4", "4000, 1"])}], on_plan: [4, 0] }]`;
  // Heights with places may be a scan too.
  const survey =
    hasPlace && !below && once(g, 2)
      ? `  scan:
    file: points.csv
    sd: ${pick(g, ["1 mm", "0.2 mm", "0 mm"])}
    ${zeroKey}
    ${once(g, 3) ? known : ""}
`
      : `  set_ups:
    - id: S1
      instrument: total-station
      numbers_are: ${below ? "below" : "above"} zero, minus is ${below ? "above" : "below"}
      readings_file: ${once(g, 20) ? "others.csv" : "points.csv"}
      ${zeroKey}
      ${hasPlace && once(g, 5) ? known : ""}
`;
  const text = `job: ${JOB_ID}
title: Read with a total station
units: { plan: m, height: mm }
rooms:
  - id: hall
    walls: E 4 m, N 3 m, W 4 m, S 3 m
floor: { support: on-ground, substrate: concrete, absorbency: porous }
survey:
  grid: { origin: [0.4, 0.4], spacing: 1 m }
${survey}target: { top: 0 mm }
material: cement-25kg
`;
  return { text, beside: [{ name: "points.csv", file: `jobs/${JOB_ID}/points.csv`, text: list }] };
}

/**
 * Sections of the floor: what is poured wet into wet. A room is one, unless moving joints or planned dams
 * cut it; between two sections a dam can stand, and in a doorway it usually does.
 */

import { distance, pointAlong } from "../geometry/point.ts";
import { crossingOf, polygonContains } from "../geometry/polygon.ts";
import type { FloorLine, Job } from "../job/model.ts";
import type { Plan } from "../layout/model.ts";
import { edgesOf, longestOf, middleOf, PASSABLE_M, sharedStretches } from "./borders.ts";
import { type Cell, lineThrough, splitCell } from "./cells.ts";
import type { FillPiece } from "./fill.ts";
import type { PlannedDam, Segment } from "./model.ts";
import type { Opening } from "./openings.ts";

export interface Section {
  readonly index: number;
  readonly roomIndex: number;
  readonly cell: Cell;
}

/** A line that parts a room. */
export interface PartingLine extends FloorLine {
  readonly kind: "moving-joint" | "dam";
}

/** A place where one goes from a section to another, or out. */
export interface Portal {
  readonly section: number;
  /** Absent where it leads out. */
  readonly other?: number;
  readonly stretches: readonly Segment[];
  readonly through:
    | { readonly kind: "opening"; readonly opening: Opening }
    | { readonly kind: "line"; readonly line: PartingLine };
}

export function partingLines({ pour }: Job, extra: readonly PlannedDam[]): PartingLine[] {
  return [
    ...(pour.movingJoints ?? []).map((line): PartingLine => ({ ...line, kind: "moving-joint" })),
    ...(pour.dams ?? []).map((line): PartingLine => ({ ...line, kind: "dam" })),
    ...extra.map(({ from, to }, k): PartingLine => ({ id: `dam-${k + 1}`, from, to, kind: "dam" })),
  ];
}

/**
 * Cuts every room along the lines that cross it. A line that ends inside a room is carried on to the next
 * wall: floor on both sides of a joint's end cannot be poured as one.
 */
export function sectionsOf(
  plan: Plan,
  pieces: readonly (readonly FillPiece[])[],
  lines: readonly PartingLine[],
): Section[] {
  const sections: Section[] = [];
  for (const [roomIndex, { polygon }] of plan.floors.entries()) {
    let cells: Cell[] = [{ floor: polygon, pieces: pieces[roomIndex]! }];
    for (const line of lines) {
      cells = cells.flatMap((cell) => {
        if (!runsThrough(cell, line)) return [cell];
        const { left, right } = splitCell(cell, lineThrough(line.from, line.to));
        return [...left, ...right];
      });
    }
    for (const cell of cells) sections.push({ index: sections.length, roomIndex, cell });
  }
  return sections;
}

/** Whether a stretch of the line that a person could not step over lies inside the cell. */
function runsThrough({ floor }: Cell, { from, to }: Segment): boolean {
  const length = distance(from, to);
  const cuts = edgesOf(floor)
    .flatMap((edge) => crossingOf(from, to, edge.from, edge.to) ?? [])
    .map((p) => distance(from, p));
  const places = [0, ...cuts.sort((p, q) => p - q), length];
  return places.some((at, k) => {
    const next = places[k + 1];
    if (next === undefined || next - at < PASSABLE_M / 2) return false;
    const middle = pointAlong(from, to, (at + next) / 2);
    if (!polygonContains(floor, middle)) return false;
    // A line along a wall parts nothing.
    return edgesOf(floor).every((edge) => sharedStretches([edge], [{ from, to }]).length === 0);
  });
}

/** Where one goes from section to section and out. */
export function portalsOf(
  sections: readonly Section[],
  openings: readonly Opening[],
  lines: readonly PartingLine[],
): Portal[] {
  const portals: Portal[] = [];
  const edges = sections.map(({ cell }) => edgesOf(cell.floor));
  for (const opening of openings) {
    const { beyond } = opening;
    for (const here of sections.filter(({ roomIndex }) => roomIndex === opening.roomIndex)) {
      const stretches = sharedStretches(edges[here.index]!, [opening.edge]);
      if (stretches.length === 0) continue;
      const through = { kind: "opening" as const, opening };
      if (beyond.kind === "out") {
        if (beyond.exit) portals.push({ section: here.index, stretches, through });
        continue;
      }
      for (const there of sections.filter(({ roomIndex }) => roomIndex === beyond.roomIndex)) {
        const across = sharedStretches(edges[there.index]!, [beyond.edge]);
        if (across.length === 0) continue;
        portals.push({ section: here.index, other: there.index, stretches, through });
        portals.push({ section: there.index, other: here.index, stretches: across, through });
      }
    }
  }
  for (const a of sections) {
    for (const b of sections) {
      if (b.index <= a.index || b.roomIndex !== a.roomIndex) continue;
      const stretches = sharedStretches(edges[a.index]!, edges[b.index]!);
      const longest = longestOf(stretches);
      if (!longest) continue;
      const line = lines.find(({ from, to }) => {
        const along = lineThrough(from, to);
        const p = middleOf(longest);
        return Math.abs(along.along.x * (p.y - from.y) - along.along.y * (p.x - from.x)) < 1e-3;
      });
      if (!line) throw new Error(`sections ${a.index} and ${b.index} share an edge that no joint or dam runs along`);
      const through = { kind: "line" as const, line };
      portals.push({ section: a.index, other: b.index, stretches, through });
      portals.push({ section: b.index, other: a.index, stretches, through });
    }
  }
  return portals;
}

/** The whole width of an opening, or of an edge along a joint: where it is narrow, people step over. */
export const widthOf = ({ through, stretches }: Portal): number =>
  through.kind === "opening"
    ? distance(through.opening.edge.from, through.opening.edge.to)
    : Math.max(...stretches.map(({ from, to }) => distance(from, to)));

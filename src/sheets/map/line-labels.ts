/** Running offsets at the ends of grid lines, and the walls that they are measured from. */
import { planLength } from "../../format.ts";
import type { Point } from "../../geometry/point.ts";
import type { PlanUnit } from "../../job/model.ts";
import type { GridLine, Plan } from "../../layout/model.ts";
import { box, type Mark, type PaperPoint, pathThrough, text } from "../drawing.ts";
import { CAP_HEIGHT, textWidthMm } from "../type/text-metrics.ts";
import { KNEELING_MM } from "../type/type-sizes.ts";
import type { Words } from "../words/en.ts";
import type { Projection } from "./map-scale.ts";
import { type Box, boxAround, boxWithin, clipToBox, grown, type Occupancy } from "./occupancy.ts";
import { PIN_RADIUS_MM } from "./pin-labels.ts";

const PADDING_MM = 0.6;
const LINE_MM = Math.round(KNEELING_MM * 1.26 * 100) / 100;
const CAP_MM = KNEELING_MM * CAP_HEIGHT;
const WALL_CLEAR_MM = 0.9;
const SLIDE_MM = 2;

interface Run {
  readonly text: string;
  readonly weight: 400 | 700;
}

/** Lines of text in a box that stands upright or runs uphill; a line has one run or more. */
interface TextBlock {
  readonly lines: readonly (readonly Run[])[];
  readonly width: number;
  readonly height: number;
}

const RUN_GAP_MM = 1.6;
const lineWidth = (runs: readonly Run[]): number =>
  runs.reduce((sum, run) => sum + textWidthMm(run.text, KNEELING_MM, run.weight), (runs.length - 1) * RUN_GAP_MM);

function textBlock(lines: TextBlock["lines"]): TextBlock {
  return {
    lines,
    width: Math.max(...lines.map(lineWidth)) + 2 * PADDING_MM,
    height: CAP_MM + (lines.length - 1) * LINE_MM + 2 * PADDING_MM + 0.5,
  };
}

function blockMarks(block: TextBlock, place: Box, uphill: boolean): Mark[] {
  const marks: Mark[] = [box(place.minX, place.minY, place.maxX - place.minX, place.maxY - place.minY, "label-box")];
  block.lines.forEach((runs, index) => {
    const down = PADDING_MM + CAP_MM + index * LINE_MM;
    let along = PADDING_MM;
    for (const run of runs) {
      marks.push(
        uphill
          ? text(place.minX + down, place.maxY - along, run.text, KNEELING_MM, "start", run.weight, 90)
          : text(place.minX + along, place.minY + down, run.text, KNEELING_MM, "start", run.weight),
      );
      along += textWidthMm(run.text, KNEELING_MM, run.weight) + RUN_GAP_MM;
    }
  });
  return marks;
}

/** A stretch of a grid line on this map, with what stands at its ends. */
export interface LineOnPaper {
  readonly name: string;
  readonly uphill: boolean;
  /** West to east, or south to north. */
  readonly from: PaperPoint;
  readonly to: PaperPoint;
  /** True where the end is the line's own and not where the map stops. */
  readonly fromIsEnd: boolean;
  readonly toIsEnd: boolean;
  readonly distance: number;
  readonly roomIndex: number;
  readonly wallIndex: number;
}

export function linesOnPaper(lines: readonly GridLine[], projection: Projection, frame: Box): LineOnPaper[] {
  return lines.flatMap((gridLine) =>
    gridLine.offsets.flatMap((offset): LineOnPaper[] => {
      const ends = offset.ends.map((at) => projection.toPaper(at)) as [PaperPoint, PaperPoint];
      const uphill = gridLine.axis === "numbered";
      const inside = uphill
        ? ends[0].x >= frame.minX && ends[0].x <= frame.maxX
        : ends[0].y >= frame.minY && ends[0].y <= frame.maxY;
      if (!inside) return [];
      const clamp = (at: PaperPoint): PaperPoint => ({
        x: Math.min(Math.max(at.x, frame.minX), frame.maxX),
        y: Math.min(Math.max(at.y, frame.minY), frame.maxY),
      });
      const [from, to] = [clamp(ends[0]), clamp(ends[1])];
      if (Math.hypot(to.x - from.x, to.y - from.y) < 1) return [];
      const same = (p: PaperPoint, q: PaperPoint): boolean => Math.hypot(p.x - q.x, p.y - q.y) < 1e-6;
      return [
        {
          name: gridLine.name,
          uphill,
          from,
          to,
          fromIsEnd: same(from, ends[0]),
          toIsEnd: same(to, ends[1]),
          distance: offset.distance,
          roomIndex: offset.roomIndex,
          wallIndex: offset.wallIndex,
        },
      ];
    }),
  );
}

/** A line shorter than this many label lengths carries its offset once, between its ends. */
const LENGTHS_FOR_TWO = 2;

/** An end of a line, which carries the line's running offset. */
export interface LineEnd {
  /** Index among the lines of the map. */
  readonly line: number;
  readonly end: "from" | "to";
}

/** The ends that carry an offset: both of a line, or one that speaks for a short line. */
export const endsOf = (lines: readonly LineOnPaper[], plan: PlanUnit): LineEnd[] =>
  lines.flatMap((line, index) =>
    isLong(line, plan)
      ? [
          { line: index, end: "from" },
          { line: index, end: "to" },
        ]
      : [{ line: index, end: "from" }],
  );

const lengthOf = ({ from, to }: LineOnPaper): number => Math.hypot(to.x - from.x, to.y - from.y);
const isLong = (line: LineOnPaper, plan: PlanUnit): boolean =>
  lengthOf(line) > LENGTHS_FOR_TWO * blocksOf(line, plan)[0].width;

/** Two lines where there is room, else one long one, which needs less room beside the line. */
function blocksOf(line: LineOnPaper, plan: PlanUnit): readonly [TextBlock, TextBlock] {
  const printed = planLength(line.distance, plan);
  const large: Run = { text: `${line.name}  ${printed.large.text}`, weight: 700 };
  const small: Run = { text: printed.small.text, weight: 400 };
  return [textBlock([[large], [small]]), textBlock([[large, small]])];
}

/** Where a label of a line may stand. */
export interface LineHome {
  /** Whether a box lies off every floor. */
  readonly isOutside: (box: Box) => boolean;
  /** Whether a box lies in the room. */
  readonly isInside: (box: Box, roomIndex: number) => boolean;
}

/**
 * Labels ends of lines: outside the building where there is paper, else beside the line near its end, else on a leader
 * from there.
 * @returns the marks, and the ends that found no room.
 */
export function placeLineLabels(
  ends: readonly LineEnd[],
  lines: readonly LineOnPaper[],
  plan: PlanUnit,
  taken: Occupancy,
  frame: Box,
  home: LineHome,
): { readonly marks: Mark[]; readonly without: LineEnd[] } {
  const marks: Mark[] = [];
  const without: LineEnd[] = [];
  for (const end of ends) {
    const line = lines[end.line] as LineOnPaper;
    const blocks = blocksOf(line, plan);
    const isFree = (candidate: Box): boolean =>
      boxWithin(candidate, frame) && taken.boxIsFree(grown(candidate, BREATHING_MM));
    const place =
      blocks
        .flatMap((block) => endCandidates(line, end.end, block, lengthOf(line), isLong(line, plan)))
        .find(({ box: candidate, outside }) => (!outside || home.isOutside(candidate)) && isFree(candidate)) ??
      firstOnLeader(
        line,
        end.end,
        blocks,
        (candidate, [a, b]) =>
          isFree(candidate) &&
          (home.isInside(candidate, line.roomIndex)
            ? taken.lineIsFree(a, b, false)
            : home.isOutside(candidate) && taken.lineIsFree(a, b, true)),
      );
    if (!place) {
      without.push(end);
      continue;
    }
    taken.addBox(place.box);
    if ("leader" in place) {
      const [a, b] = place.leader;
      taken.addSegment(a, b, "leader");
      marks.push({ kind: "path", d: pathThrough([a, b], false), style: "leader" });
    }
    marks.push(...blockMarks(place.block, place.box, line.uphill && !("leader" in place)));
  }
  return { marks, without };
}

const BREATHING_MM = 0.4;
/** A leader starts on the line so far from its end, clear of the wall and of the other room's line. */
const LEADER_STARTS_MM = [2.5, 5, 8, 12, 16];
const LEADER_LENGTHS_MM = [3, 5, 8, 11, 14, 18, 23, 29, 36, 44];
/** Unit vectors, sixteen round the circle, none along the paper's edges. */
const LEADER_DIRECTIONS = Array.from({ length: 16 }, (_, k) => {
  const angle = ((k + 0.5) / 16) * 2 * Math.PI;
  return [Math.cos(angle), -Math.sin(angle)] as const;
});

interface PlaceOnLeader {
  readonly box: Box;
  readonly block: TextBlock;
  readonly leader: readonly [PaperPoint, PaperPoint];
}

/** The first place off the line that will do, nearest first, with its leader from the line to the box. */
function firstOnLeader(
  line: LineOnPaper,
  end: "from" | "to",
  blocks: readonly TextBlock[],
  willDo: (box: Box, leader: PlaceOnLeader["leader"]) => boolean,
): PlaceOnLeader | undefined {
  const [at, other] = end === "from" ? [line.from, line.to] : [line.to, line.from];
  const length = lengthOf(line);
  for (const block of blocks) {
    const [w, h] = [block.width / 2, block.height / 2];
    for (const reach of LEADER_LENGTHS_MM) {
      for (const along of LEADER_STARTS_MM) {
        if (along >= length / 2) continue;
        const start = {
          x: at.x + ((other.x - at.x) * along) / length,
          y: at.y + ((other.y - at.y) * along) / length,
        };
        for (const [ux, uy] of LEADER_DIRECTIONS) {
          const box = boxAround(start.x + ux * (reach + w), start.y + uy * (reach + h), w, h);
          const tip = {
            x: Math.min(Math.max(start.x, box.minX), box.maxX),
            y: Math.min(Math.max(start.y, box.minY), box.maxY),
          };
          const leader = [start, tip] as const;
          if (willDo(box, leader)) return { box, block, leader };
        }
      }
    }
  }
  return undefined;
}

/** A label that stands farther from the end of its line is not read as the end's. */
const AT_END_MM = 24;

function endCandidates(
  line: LineOnPaper,
  end: "from" | "to",
  block: TextBlock,
  length: number,
  twice: boolean,
): { readonly box: Box; readonly outside: boolean; readonly block: TextBlock }[] {
  const made: { box: Box; outside: boolean; block: TextBlock }[] = [];
  const [w, h] = [block.width, block.height];
  const at = end === "from" ? line.from : line.to;
  const into = end === "from" ? 1 : -1;
  const add = (along: number, across: number, outside: boolean): void => {
    made.push({
      box: line.uphill
        ? boxAround(at.x + across, at.y - into * along, h / 2, w / 2)
        : boxAround(at.x + into * along, at.y + across, w / 2, h / 2),
      outside,
      block,
    });
  };
  const isEnd = end === "from" ? line.fromIsEnd : line.toIsEnd;
  if (isEnd) for (const shift of [0, 6, 12]) add(-(WALL_CLEAR_MM + 1 + w / 2 + shift), 0, true);
  // Labels of pins stand to the upper right of them: below a line, and to the left of one that runs uphill, is room.
  const sides = line.uphill ? [-1, 1] : [1, -1];
  const farthest = twice ? Math.min(length / 2 - w / 2, AT_END_MM + w / 2) : length - w / 2 - WALL_CLEAR_MM;
  for (let along = WALL_CLEAR_MM + w / 2; along <= farthest; along += SLIDE_MM) {
    for (const side of sides) add(along, side * (h / 2 + 0.3), false);
    add(along, 0, false);
    // A long label passes a pin at its side.
    for (const side of sides) add(along, side * (h / 2 + PIN_RADIUS_MM + 0.6), false);
  }
  return made;
}

/**
 * Names the walls from which the lines on this map are measured, with a 0 at each.
 * @returns the marks, and the walls that lie off the map or have no room for their name: the panel names those.
 */
export function placeZeroWalls(
  lines: readonly LineOnPaper[],
  plan: Pick<Plan, "floors">,
  projection: Projection,
  words: Pick<Words, "wall">,
  taken: Occupancy,
  frame: Box,
): { readonly marks: Mark[]; readonly beyond: string[] } {
  const marks: Mark[] = [];
  const beyond: string[] = [];
  const seen = new Set<string>();
  for (const { roomIndex, wallIndex } of lines) {
    const key = `${roomIndex} ${wallIndex}`;
    if (seen.has(key)) continue;
    seen.add(key);
    const wall = plan.floors[roomIndex]?.walls[wallIndex];
    if (!wall) continue;
    const name = `0  ${words.wall(wall.side, wall.ordinal, wall.onlyOne)}`;
    const block = textBlock([[{ text: name, weight: 700 }]]);
    const [a, b] = [projection.toPaper(wall.from), projection.toPaper(wall.to)];
    if (!clipToBox(a, b, grown(frame, 1))) {
      beyond.push(`${plan.floors[roomIndex]!.name}: ${name}`);
      continue;
    }
    const place = alongWall(wall.from, wall.to, block, projection).find(
      ({ box: candidate }) => boxWithin(candidate, frame) && taken.boxIsFree(grown(candidate, 0.3)),
    );
    if (!place) {
      beyond.push(`${plan.floors[roomIndex]!.name}: ${name}`);
      continue;
    }
    taken.addBox(place.box);
    marks.push(...blockMarks(block, place.box, place.uphill));
  }
  return { marks, beyond };
}

/** Places along a wall, inside the room first, from its middle outward. */
function alongWall(
  from: Point,
  to: Point,
  block: TextBlock,
  projection: Projection,
): { readonly box: Box; readonly uphill: boolean }[] {
  const [a, b] = [projection.toPaper(from), projection.toPaper(to)];
  const length = Math.hypot(b.x - a.x, b.y - a.y);
  const [ux, uy] = [(b.x - a.x) / length, (b.y - a.y) / length];
  const uphill = Math.abs(uy) > Math.abs(ux);
  const half = block.width / 2;
  const made: { box: Box; uphill: boolean }[] = [];
  // The room is to the left of its walls on the floor; on paper, y down, that is (uy, −ux).
  for (const side of [1, -1]) {
    const across = side * (block.height / 2 + WALL_CLEAR_MM);
    const steps = Math.max(0, Math.floor((length / 2 - half) / SLIDE_MM));
    for (let step = 0; step <= steps; step++) {
      for (const sign of step === 0 ? [0] : [1, -1]) {
        const along = length / 2 + sign * step * SLIDE_MM;
        const x = a.x + ux * along + uy * across;
        const y = a.y + uy * along - ux * across;
        made.push({
          box: uphill ? boxAround(x, y, block.height / 2, half) : boxAround(x, y, half, block.height / 2),
          uphill,
        });
      }
    }
  }
  return made;
}

/** Where the lines between lanes are struck: even in what they ask of the crew, no lane wider than it rakes. */
import type { Obstacle } from "../job/model.ts";
import { type Litres, type Metres, metres } from "../units.ts";
import { edgesOf } from "./borders.ts";
import type { Cell } from "./cells.ts";
import type { Segment } from "./model.ts";
import { extentAlong, type LaneDirection } from "./parts.ts";
import { litresBefore, placeAfter, totalLitres, type VolumeProfile, volumeProfile } from "./volume-profile.ts";

/** A part of a section with the lanes that could run in it one way. */
export interface LaneField {
  readonly cell: Cell;
  readonly direction: LaneDirection;
  /** How far the part reaches across the lanes. */
  readonly from: Metres;
  readonly to: Metres;
  readonly profile: VolumeProfile;
  /** Places across of walls that run along the lanes inside the part: a line close to one is struck on it. */
  readonly walls: readonly Metres[];
  /** Places across that a line should not cut: columns a little off it, doors. */
  readonly keepOff: readonly { readonly from: Metres; readonly to: Metres }[];
}

/** A strip left between a line and a column that no tool gets into (common practice). */
const STRIP_M: Metres = 0.3;
/** Lines are struck at whole steps from the wall: an inch, or 20 mm. */
const STEP_M = { "ft-in": 0.0254, m: 0.02 } as const;

export function laneField(
  cell: Cell,
  direction: LaneDirection,
  obstacles: readonly Obstacle[],
  doors: readonly Segment[],
): LaneField {
  const { across } = direction;
  const [from, to] = extentAlong(cell.floor, across);
  const reach = (points: readonly { readonly x: number; readonly y: number }[]) => {
    const places = points.map((p) => across.x * p.x + across.y * p.y);
    return { from: Math.min(...places), to: Math.max(...places) };
  };
  const keepOff = [
    ...obstacles.map(({ ring }) => reach(ring)).map((span) => ({ from: span.from - STRIP_M, to: span.to + STRIP_M })),
    ...doors.map((door) => reach([door.from, door.to])),
  ].filter((span) => span.to > from && span.from < to && span.to - span.from > 1e-3);
  const walls = edgesOf(cell.floor)
    .map((edge) => reach([edge.from, edge.to]))
    .filter((span) => span.to - span.from < 1e-3 && span.from > from + 1e-3 && span.to < to - 1e-3)
    .map((span) => span.from);
  return { cell, direction, from, to, profile: volumeProfile(cell.pieces, across.x, across.y), walls, keepOff };
}

/** Fewest lanes that are no wider than allowed and hold no more than the cap; undefined where one would be too narrow to rake. */
export function fewestLanes(field: LaneField, widest: Metres, narrowest: Metres, cap: Litres): number | undefined {
  const widths = greedyLanes(field, { widest, cap, taper: undefined }, narrowest);
  return widths?.length;
}

/** True where one lane is wide enough for the whole part. */
export const isOneLane = ({ from, to }: LaneField, widest: Metres): boolean => to - from <= widest + 1e-9;

/** The lane at one end asked for less than the others: the one that is left through a door in its side. */
export interface Taper {
  readonly at: "from" | "to";
  readonly share: number;
}

interface Limits {
  readonly widest: Metres;
  readonly cap: Litres;
  readonly taper: Taper | undefined;
}

/**
 * The lines of so many lanes, as places across. Each lane takes the same share of what it may: of the
 * width or of the volume, whichever is nearer its limit. First struck clear of columns and doors, then as
 * they fall; none where so many cannot be laid, or would be too narrow to rake.
 */
export function laneLines(
  field: LaneField,
  count: number,
  { widest, cap, taper }: Limits,
  narrowest: Metres,
  unit: "ft-in" | "m",
): Metres[][] {
  // One lane alone has no lane beside it that could come late.
  if (count === 1) return isOneLane(field, widest) ? [[]] : [];
  const lanesAt = (share: number): Metres[] =>
    greedyLanes(field, { widest: share * widest, cap: share * cap, taper }, 0) as Metres[];
  if (lanesAt(1).length > count) return [];
  let low = 0;
  let high = 1;
  // 24 halvings: the last differ by less than a millionth of a lane.
  for (let round = 0; round < 24; round++) {
    const share = (low + high) / 2;
    if (lanesAt(share).length <= count) high = share;
    else low = share;
  }
  const widths = lanesAt(high);
  if (widths.length < count) return [];
  const even: Metres[] = [];
  for (const width of widths.slice(0, -1)) even.push(metres((even.at(-1) ?? field.from) + width));
  const step = STEP_M[unit];
  const whole = stepped(field, even, step);
  const clear = struck(field, whole);
  const kept = [clear, whole, even].filter((lines) => {
    const laid = [...lines, field.to].map((at, k) => at - (lines[k - 1] ?? field.from));
    return laid.every((width) => width <= widest + 1e-9 && width >= narrowest - 1e-9);
  });
  // Lines between whole steps are no choice beside lines at them.
  return kept.filter((lines, k) => (lines !== even || k === 0) && (k === 0 || lines.join() !== kept[0]!.join()));
}

/** More lanes than any floor has. */
const MOST_LANES = 400;

/**
 * Widths of lanes laid one after the other from `from`, each as far as width and volume let it; undefined
 * where one falls below the narrowest. A taper at `to` is laid from that end.
 */
function greedyLanes(field: LaneField, limits: Limits, narrowest: Metres): Metres[] | undefined {
  const { profile } = field;
  const { widest, cap, taper } = limits;
  const whole = totalLitres(profile);
  const fromTop = taper?.at === "to";
  const widths: Metres[] = [];
  let done: Metres = 0;
  const across = field.to - field.from;
  for (let k = 0; k < MOST_LANES; k++) {
    const share = k === 0 && taper ? taper.share : 1;
    const at = fromTop ? field.to - done : field.from + done;
    const before = litresBefore(profile, at);
    const left = fromTop ? before : whole - before;
    let width = share * widest;
    // What is left goes in, but for a billionth of a lane's volume.
    if (left > share * cap * (1 + 1e-9)) {
      const end = placeAfter(profile, fromTop ? before - share * cap : before + share * cap);
      width = Math.min(width, fromTop ? at - end : end - at);
    }
    if (done + width >= across - 1e-6) {
      widths.push(metres(across - done));
      return fromTop ? widths.reverse() : widths;
    }
    if (width < narrowest - 1e-9) return undefined;
    widths.push(metres(width));
    done += width;
  }
  return fromTop ? widths.reverse() : widths;
}

/** Lines at whole steps from the wall at which the lanes begin, or on a wall that stands close by. */
const stepped = (field: LaneField, lines: readonly Metres[], step: Metres): Metres[] =>
  lines.map((at) => {
    const wall = field.walls.find((place) => Math.abs(place - at) < STRIP_M);
    return metres(wall ?? field.from + Math.round((at - field.from) / step) * step);
  });

/** The same, moved off columns and doors that they would graze. */
function struck(field: LaneField, lines: readonly Metres[]): Metres[] {
  return lines.map((at) => {
    const graze = field.keepOff.find((span) => at > span.from + 1e-6 && at < span.to - 1e-6);
    if (!graze) return at;
    return at - graze.from < graze.to - at ? graze.from : graze.to;
  });
}

/** Values of the pour as its sheets print them. */
import { clockTime, count, decimal, duration, elapsed, frontLength } from "../../format.ts";
import type { Job } from "../../job/model.ts";
import type { Plan } from "../../layout/model.ts";
import type { Bay } from "../../pour/model.ts";
import { type Minutes, minutes } from "../../units.ts";
import type { Words } from "../words/en.ts";
import type { FrontPlace } from "./bay-places.ts";

/** An age or a dam's setting time: to 0.1 min and never less than it is. */
export const ageText = (age: Minutes): string => duration(minutes(Math.ceil(age * 10 - 1e-6) / 10)).text;
/** What is left of a time: to 0.1 min and never more than it is; of what is late, how late. */
export const leftText = (left: Minutes): string => duration(minutes(Math.floor(Math.abs(left) * 10 + 1e-6) / 10)).text;

/** The time of day where the start is fixed, else the time since the first powder met water. */
export const startText = ({ pour }: Job, at: Minutes): string =>
  pour.start === undefined ? elapsed(at) : clockTime(pour.start, at).text;

/** A rate in bags a minute. */
export const rateText = (bagsPerMinute: number): string => decimal(bagsPerMinute, 2);

/** A wall of a room by its name. */
export function wallText(plan: Plan, roomIndex: number, wallIndex: number, words: Words): string {
  const wall = plan.floors[roomIndex]?.walls[wallIndex];
  if (!wall) throw new Error(`room ${roomIndex} has no wall ${wallIndex}`);
  return words.wall(wall.side, wall.ordinal, wall.onlyOne);
}

export interface LineText {
  /** In the leading unit, and in the other one. */
  readonly large: string;
  /** In the leading unit, which stands elsewhere. */
  readonly bare: string;
  readonly small: string;
  /** The other unit, and from where it is measured. */
  readonly from: string;
}

/** The line that a front must have reached. */
export function lineText(job: Job, plan: Plan, bay: Bay, line: FrontPlace, words: Words): LineText {
  const { large, small } = frontLength(line.distance, job.units.plan);
  if (line.wallIndex !== undefined && line.distance === 0) {
    const wall = wallText(plan, bay.roomIndex, line.wallIndex, words);
    return { large: words.clock.wall, bare: words.clock.wall, small: words.clock.wall, from: wall };
  }
  const from =
    line.wallIndex === undefined
      ? words.clock.lineFromBeginning(small.text)
      : words.clock.lineFrom(small.text, wallText(plan, bay.roomIndex, line.wallIndex, words));
  return { large: large.text, bare: large.number, small: small.text, from };
}

/** `12–16`, or `12` alone. */
export const rangeText = (first: number, last: number, words: Words): string =>
  first === last ? count(first) : words.clock.range(count(first), count(last));

/** Hours and minutes of a long time: `2:30`. */
export const hoursText = (time: Minutes): string => elapsed(minutes(Math.max(0, time)));

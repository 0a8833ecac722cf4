/** Wishes and refusals in the office's words. */
import type { Diagnostic } from "../diagnostics.ts";
import { count, fall, fineHeight, floorLoad, planLength, smallArea, volume as volumeText } from "../format.ts";
import type { Point } from "../geometry/point.ts";
import type { Material } from "../job/library-model.ts";
import type { Job } from "../job/model.ts";
import type { Plan } from "../layout/model.ts";
import type { Litres, Metres, Millimetres, MillimetresPerMetre, SquareMetres } from "../units.ts";
import type { Relaxation } from "./relax.ts";
import type { VolumeLimit, Wish } from "./wishes.ts";

/** A problem at a key of the job's target. */
export const problemAt = (
  job: Job,
  path: readonly (string | number)[],
  problem: Omit<Diagnostic, "severity" | "place">,
): Diagnostic => ({ severity: "error", ...problem, place: job.source.place(["target", ...path]) });

/** Values in a message stand in the unit that the job leads with. */
export type Units = Job["units"];

export const inHeight = (value: Millimetres, { height }: Units): string => fineHeight(value, height).large.text;
export const inFall = (value: MillimetresPerMetre, { plan }: Units): string => fall(value, plan).large.text;
export const inLength = (value: Metres, { plan }: Units): string => planLength(value, plan).large.text;
const inArea = (value: SquareMetres, { plan }: Units): string => smallArea(value, plan).large.text;
const inVolume = (value: Litres, { plan }: Units): string => volumeText(value, plan).large.text;

export const oneOf = (ids: readonly string[], what: string): string =>
  ids.length === 0 ? `there are no ${what} in this job` : `one of ${ids.join(", ")}`;

const at = ({ x, y }: Point, units: Units): string => `(${inLength(x, units)}, ${inLength(y, units)})`;

export const roomNames = (plan: Plan, roomIndices: readonly number[]): string =>
  roomIndices.map((index) => plan.floors[index]!.name).join(" and ");

export function wishInWords(wish: Wish, plan: Plan, units: Units): string {
  switch (wish.kind) {
    case "least-depth": {
      const where = `the high place at ${at(wish.at, units)} in ${roomNames(plan, wish.roomIndices)} (slab at ${inHeight(wish.slabLevel, units)})`;
      return wish.grinding > 0
        ? `at most ${inHeight(wish.grinding, units)} ground off ${where} to keep ${inHeight(wish.depth + wish.grinding, units)} of depth`
        : `at least ${inHeight(wish.depth, units)} over ${where}`;
    }
    case "greatest-depth":
      return `at most ${inHeight(wish.depth, units)} over the low place at ${at(wish.at, units)} in ${roomNames(plan, wish.roomIndices)} (slab at ${inHeight(wish.slabLevel, units)})`;
    case "place-held":
      return `the top at ${inHeight(wish.level, units)} at door ${wish.place}`;
    case "place-at-least":
      return `the top not under ${inHeight(wish.level, units)} at door ${wish.place}`;
    case "place-at-most":
      return `the top not over ${inHeight(wish.level, units)} at door ${wish.place}`;
    case "greatest-fall":
      return wish.fall === 0 ? "a level top" : `a fall of at most ${inFall(wish.fall, units)}`;
    case "ground-area":
      return `at most ${inArea(wish.area, units)} ground`;
    case "volume": {
      const { limit } = wish;
      const where = limit.roomIndex === undefined ? "" : ` in ${roomNames(plan, [limit.roomIndex])}`;
      // Less than nothing is left where the roughness of the slab swallows more than the limit.
      const inPlace = inVolume(Math.max(0, limit.greatest), units);
      return limit.reason === "bags"
        ? `at most ${count(limit.stated)} bags${where} (${inPlace} in place)`
        : `a dead load of at most ${floorLoad(limit.stated, units.plan).large.text}${where} (${inPlace} in place)`;
    }
  }
}

/** Free-flowing material seeks level: a steeper fall than its data sheet gives is refused with that reason. */
export const fallPastMaterial = (
  asked: MillimetresPerMetre,
  { name, greatestFall }: Material,
  units: Units,
): Omit<Diagnostic, "severity" | "place"> => ({
  code: "fall-past-material",
  message:
    greatestFall === 0
      ? `a fall of ${inFall(asked, units)} is asked for, but ${name} seeks level: its data sheet gives no fall that it keeps`
      : `a fall of ${inFall(asked, units)} is asked for, but the data sheet of ${name} allows ${inFall(greatestFall, units)}`,
  expected: `a fall of at most ${inFall(greatestFall, units)}`,
  hint: "make it a zone of its own in a stiff, trowelled material, or seek a level",
});

/** Volumes in the office's terms: bags for a volume in place, and how much more of a limit so many litres are. */
export interface LimitWords {
  readonly bagsFor: (litres: Litres) => number;
  readonly moreOf: (limit: VolumeLimit, litres: Litres) => string;
}

/** Less is rounding. */
const WORTH_TELLING_MM = 0.05;

/** What giving up one wish of a contradiction would take and give. */
export function relaxationInWords(relaxation: Relaxation, plan: Plan, units: Units, limits: LimitWords): string {
  const { wish } = relaxation;
  const name = wishInWords(wish, plan, units);
  if (relaxation.kind === "not-enough") return `giving up "${name}" alone does not help`;
  const { by, volume, ground } = relaxation;
  const grinding =
    ground.height >= WORTH_TELLING_MM
      ? `, grinding ${inHeight(ground.height, units)} at most over ${inArea(ground.area, units)}`
      : "";
  return `${howFar(wish, by, units, limits)} ("${name}") gives ${inVolume(volume, units)}, ${count(limits.bagsFor(volume))} bags${grinding}`;
}

function howFar(wish: Wish, by: number, units: Units, { moreOf }: LimitWords): string {
  switch (wish.kind) {
    case "least-depth":
      return `grinding ${inHeight(by, units)} more`;
    case "greatest-depth":
      return `${inHeight(by, units)} more of depth`;
    case "place-held":
    case "place-at-least":
    case "place-at-most":
      return `${inHeight(by, units)} of play at door ${wish.place}`;
    case "greatest-fall":
      return `${inFall(by, units)} more of fall`;
    case "ground-area":
      return `${inArea(by, units)} more of ground area`;
    case "volume":
      return moreOf(wish.limit, by);
  }
}

/** Wishes and refusals in the office's words. */
import type { Diagnostic } from "../diagnostics.ts";
import type { Point } from "../geometry/point.ts";
import type { Job, Material } from "../job/model.ts";
import type { Plan } from "../layout/model.ts";
import type { Millimetres } from "../units.ts";
import type { Relaxation } from "./relax.ts";
import type { Wish } from "./wishes.ts";

/** A problem at a key of the job's target. */
export const problemAt = (
  job: Job,
  path: readonly (string | number)[],
  problem: Omit<Diagnostic, "severity" | "place">,
): Diagnostic => ({ severity: "error", ...problem, place: job.source.place(["target", ...path]) });

/** A height in a message: a tenth of a millimetre is as fine as anyone reads. */
export const mm = (value: Millimetres): string => `${rounded(value, 1)} mm`;
export const mmPerM = (value: number): string => `${rounded(value, 2)} mm/m`;
export const inMetres = (value: number): string => `${rounded(value, 3)} m`;

/** Adding 0 turns -0 into 0. */
const rounded = (value: number, digits: number): number => Number(value.toFixed(digits)) + 0;

export const oneOf = (ids: readonly string[], what: string): string =>
  ids.length === 0 ? `there are no ${what} in this job` : `one of ${ids.join(", ")}`;

const at = ({ x, y }: Point): string => `(${rounded(x, 2)}, ${rounded(y, 2)}) m`;

export const roomNames = (plan: Plan, roomIndices: readonly number[]): string =>
  roomIndices.map((index) => plan.floors[index]!.name).join(" and ");

export function wishInWords(wish: Wish, plan: Plan, materialName: string): string {
  switch (wish.kind) {
    case "least-depth": {
      const where = `the high place at ${at(wish.at)} in ${roomNames(plan, wish.roomIndices)} (slab at ${mm(wish.slabLevel)})`;
      return wish.grinding > 0
        ? `at most ${mm(wish.grinding)} ground off ${where} to keep ${mm(wish.depth + wish.grinding)} of depth`
        : `at least ${mm(wish.depth)} over ${where}`;
    }
    case "greatest-depth":
      return `at most ${mm(wish.depth)} over the low place at ${at(wish.at)} in ${roomNames(plan, wish.roomIndices)} (slab at ${mm(wish.slabLevel)})`;
    case "place-held":
      return `the top at ${mm(wish.level)} at door ${wish.place}`;
    case "place-at-least":
      return `the top not under ${mm(wish.level)} at door ${wish.place}`;
    case "place-at-most":
      return `the top not over ${mm(wish.level)} at door ${wish.place}`;
    case "greatest-fall":
      return wish.fall === 0 ? `a level top (${materialName} seeks level)` : `a fall of at most ${mmPerM(wish.fall)}`;
    case "ground-area":
      return `at most ${rounded(wish.area, 2)} m² ground`;
    case "volume": {
      const { limit } = wish;
      const where = limit.roomIndex === undefined ? "" : ` in ${roomNames(plan, [limit.roomIndex])}`;
      return `at most ${rounded(limit.greatest, 0)} L${where}, by the limit on ${limit.reason === "bags" ? "bags" : "dead load"}`;
    }
  }
}

/** Free-flowing material seeks level: a steeper fall than its data sheet gives is refused with that reason. */
export const fallPastMaterial = (
  fall: number,
  { name, greatestFall }: Material,
): Omit<Diagnostic, "severity" | "place"> => ({
  code: "fall-past-material",
  message:
    greatestFall === 0
      ? `a fall of ${mmPerM(fall)} is asked for, but ${name} seeks level: its data sheet gives no fall that it keeps`
      : `a fall of ${mmPerM(fall)} is asked for, but the data sheet of ${name} allows ${mmPerM(greatestFall)}`,
  expected: `a fall of at most ${mmPerM(greatestFall)}`,
  hint: "make it a zone of its own in a stiff, trowelled material, or seek a level",
});

/** What giving up one wish of a contradiction would take and give. */
export function relaxationInWords(relaxation: Relaxation, plan: Plan, materialName: string): string {
  const { wish } = relaxation;
  const name = wishInWords(wish, plan, materialName);
  if (relaxation.kind === "not-enough") return `giving up "${name}" alone does not help`;
  const { by, volume, ground } = relaxation;
  const grinding = ground.area > 0 ? `, grinding ${mm(ground.height)} at most over ${rounded(ground.area, 2)} m²` : "";
  return `${howFar(wish, by)} ("${name}") gives ${rounded(volume, 0)} L${grinding}`;
}

function howFar(wish: Wish, by: number): string {
  switch (wish.kind) {
    case "least-depth":
      return `grinding ${mm(by)} more`;
    case "greatest-depth":
      return `${mm(by)} more of depth`;
    case "place-held":
    case "place-at-least":
    case "place-at-most":
      return `${mm(by)} of play at door ${wish.place}`;
    case "greatest-fall":
      return `${mmPerM(by)} more of fall`;
    case "ground-area":
      return `${rounded(by, 2)} m² more of ground area`;
    case "volume":
      return `${rounded(by, 0)} L more`;
  }
}

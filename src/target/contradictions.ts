/** Wishes that contradict each other, each set with what giving up one of them takes and gives. */
import type { Diagnostic } from "../diagnostics.ts";
import { count, floorLoad } from "../format.ts";
import type { Job } from "../job/model.ts";
import type { SoughtTop } from "../job/target-model.ts";
import { type Litres, M2_PER_SQUARE_FOOT, type Millimetres, MM_PER_INCH, type SquareMetres } from "../units.ts";
import { problemAt, relaxationInWords, roomNames, wishInWords } from "./in-words.ts";
import type { Contradiction } from "./least-plane.ts";
import { type Steps as GivingUpSteps, relaxations } from "./relax.ts";
import type { Plane, PlaneWishes, VolumeLimit, Wish } from "./wishes.ts";
import type { ZoneFloor } from "./zone-floor.ts";
import type { ZoneQuestion } from "./zone-question.ts";

/** Step of the trade's rules: 1 mm, or 1/16 in. */
export const ruleStep = ({ units }: Job): Millimetres => (units.height === "in" ? MM_PER_INCH / 16 : 1);

/** Area given up at a time: 0.1 m², or a square foot. */
export const areaStep = ({ units }: Job): SquareMetres => (units.plan === "m" ? 0.1 : M2_PER_SQUARE_FOOT);

type Solver = (
  floor: ZoneFloor,
  wishes: PlaneWishes,
) => { readonly kind: "found"; readonly plane: Plane } | Contradiction;

/**
 * One problem for each set of wishes that contradict each other: once the doors, limits and areas of one set are set
 * aside, the rest may still hold another. What giving up a wish takes is told with those of the other sets set aside.
 */
export function contradictionsInWords(
  question: ZoneQuestion,
  wishes: PlaneWishes,
  first: Contradiction,
  spec: SoughtTop,
  solve: Solver,
): readonly Diagnostic[] {
  const sets = [first];
  for (let left = setAside(question, wishes, first); left !== undefined; ) {
    const result = solve(question.floor, left);
    if (result.kind === "found") break;
    sets.push(result);
    left = setAside(question, left, result);
  }
  return sets.map((set, index) => {
    const others = sets.filter((_, other) => other !== index);
    const around = others.reduce((left, other) => setAside(question, left, other) ?? left, wishes);
    const problem = contradictionInWords(question, around, set, spec, solve);
    if (sets.length === 1) return problem;
    return {
      ...problem,
      hint: `this is one of ${sets.length} contradictions, and each has to be resolved: ${problem.hint}`,
    };
  });
}

/** The wishes without those of a set that the office can do without; undefined where all of them come from slab and material. */
function setAside(
  { greatestDepth: mostOfMaterial }: ZoneQuestion,
  wishes: PlaneWishes,
  { wishes: set }: Contradiction,
): PlaneWishes | undefined {
  const doors = new Set(set.flatMap((wish) => ("place" in wish ? [wish.place] : [])));
  const limits = new Set(set.flatMap((wish) => (wish.kind === "volume" ? [wish.limit] : [])));
  const area = set.some(({ kind }) => kind === "ground-area");
  // The office may want less depth than the material allows.
  const depth = set.some(({ kind }) => kind === "greatest-depth") && wishes.greatestDepth! < mostOfMaterial;
  if (doors.size === 0 && limits.size === 0 && !area && !depth) return undefined;
  const { groundArea, ...rest } = wishes;
  return {
    ...rest,
    ...(depth && { greatestDepth: mostOfMaterial }),
    ...(groundArea === undefined || area ? {} : { groundArea }),
    places: wishes.places.filter(({ name }) => !doors.has(name)),
    limits: wishes.limits.filter((limit) => !limits.has(limit)),
  };
}

/** Keys of the first wish of the set that the office typed, doors first; none where all of them come from slab and material. */
function whereAsked({ wishes }: Contradiction, spec: SoughtTop): readonly (string | number)[] {
  const keys = wishes.map((wish) => keysOf(wish, spec)).filter((key) => key.length > 0);
  return keys.find(([first]) => first === "at_doors") ?? keys[0] ?? [];
}

function keysOf(wish: Wish, spec: SoughtTop): readonly (string | number)[] {
  switch (wish.kind) {
    case "place-held":
    case "place-at-least":
    case "place-at-most": {
      const index = spec.atDoors.findIndex(({ doorId }) => doorId === wish.place);
      return index < 0 ? [] : ["at_doors", index];
    }
    case "volume": {
      const { reason, roomIndex } = wish.limit;
      return ["limits", reason === "bags" ? "bags" : roomIndex === undefined ? "dead_load" : "room_dead_load"];
    }
    case "greatest-depth":
      return wish.depth === spec.limits.greatestDepth ? ["limits", "depth"] : [];
    case "ground-area":
      return ["grinding", "area"];
    case "greatest-fall":
      return spec.greatestFall === undefined ? [] : ["greatest_fall"];
    case "least-depth":
      return wish.grinding > 0 ? ["grinding", "height"] : [];
  }
}

function contradictionInWords(
  question: ZoneQuestion,
  wishes: PlaneWishes,
  contradiction: Contradiction,
  spec: SoughtTop,
  solve: Solver,
): Diagnostic {
  const { job, plan, floor, material, path } = question;
  const steps: GivingUpSteps = {
    height: ruleStep(job),
    fall: 1,
    volume: material.yieldPerBag,
    area: areaStep(job),
  };
  const { lossAllowance, profileAllowance } = job.pour;
  const bagsFor = (litres: Litres): number =>
    Math.ceil(((litres + profileAllowance * floor.whole.area) * (1 + lossAllowance)) / material.yieldPerBag);
  const moreOf = ({ reason, roomIndex }: VolumeLimit, litres: Litres): string => {
    if (reason === "bags")
      return `${count(Math.ceil((litres * (1 + lossAllowance)) / material.yieldPerBag))} bags more`;
    const { area } = roomIndex === undefined ? floor.whole : floor.rooms.get(roomIndex)!;
    return `${floorLoad((litres * material.wetDensity) / area, job.units.plan).large.text} more of dead load`;
  };
  const names = contradiction.wishes.map((wish) => wishInWords(wish, plan, job.units));
  // A level top stays level: its fall is no wish that could be given up.
  const ways = relaxations(
    floor,
    wishes,
    {
      ...contradiction,
      wishes: contradiction.wishes.filter(({ kind }) => spec.shape === "plane" || kind !== "greatest-fall"),
    },
    steps,
    solve,
  );
  return problemAt(job, [...path, ...whereAsked(contradiction, spec)], {
    code: "target-contradiction",
    message: `no ${spec.shape === "level" ? "level" : "plane"} over ${roomNames(plan, question.roomIndices)} can keep these together: ${names.join("; ")}`,
    expected: "wishes that one top can keep",
    hint: `give up one of them: ${ways.map((way) => relaxationInWords(way, plan, job.units, { bagsFor, moreOf })).join("; or ")}`,
  });
}

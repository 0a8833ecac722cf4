/** What a top has to keep, said in the sheet's language. */
import {
  type BothUnits,
  count,
  decimal,
  fall,
  fineHeight,
  floorLoad,
  interval,
  limit,
  planLength,
  smallArea,
  volume,
} from "../format.ts";
import type { Point } from "../geometry/point.ts";
import type { Material } from "../job/library-model.ts";
import type { Job } from "../job/model.ts";
import type { Plan } from "../layout/model.ts";
import { areaStep } from "../target/contradictions.ts";
import type { Binding } from "../target/least-plane.ts";
import type { GrindingTrial } from "../target/relax.ts";
import type { Wish } from "../target/wishes.ts";
import type { Words } from "./words/en.ts";

export interface WishReader {
  readonly job: Job;
  readonly plan: Plan;
  readonly words: Words;
}

const bothOf =
  (words: Words) =>
  ({ large, small }: BothUnits): string =>
    words.both(large.text, small.text);

function placeText({ job, plan, words }: WishReader, at: Point, roomIndices: readonly number[], high: boolean): string {
  const both = bothOf(words);
  const place = high ? words.topOfPour.place : words.topOfPour.lowPlace;
  return place(
    both(planLength(at.x, job.units.plan)),
    both(planLength(at.y, job.units.plan)),
    words.listOf(roomIndices.map((index) => plan.floors[index]!.name)),
  );
}

export function wishText(reader: WishReader, wish: Wish): string {
  const { job, words } = reader;
  const both = bothOf(words);
  const w = words.topOfPour.wishes;
  const { plan, height } = job.units;
  switch (wish.kind) {
    case "least-depth": {
      const place = placeText(reader, wish.at, wish.roomIndices, true);
      return wish.grinding > 0
        ? w.grinding(both(limit(wish.grinding, "greatest", height)), place)
        : w.leastDepth(both(limit(wish.depth, "least", height)), place);
    }
    case "greatest-depth":
      return w.greatestDepth(
        both(limit(wish.depth, "greatest", height)),
        placeText(reader, wish.at, wish.roomIndices, false),
      );
    case "place-held":
      return w.held(both(fineHeight(wish.level, height)), wish.place);
    case "place-at-least":
      return w.atLeast(both(fineHeight(wish.level, height)), wish.place);
    case "place-at-most":
      return w.atMost(both(fineHeight(wish.level, height)), wish.place);
    case "greatest-fall":
      return wish.fall === 0 ? w.level : w.fall(both(fall(wish.fall, plan)));
    case "ground-area":
      return w.groundArea(both(smallArea(wish.area, plan)));
    case "volume":
      return wish.limit.reason === "bags"
        ? w.bags(words.bags(count(wish.limit.stated)))
        : w.deadLoad(both(floorLoad(wish.limit.stated, plan)));
  }
}

/** Bags for a volume in place, losses included, to a tenth. */
export const bagsOfVolume = ({ pour }: Job, { yieldPerBag }: Material, litres: number): string =>
  decimal((litres * (1 + pour.lossAllowance)) / yieldPerBag, 1);

/** Why the top cannot lie lower, and what giving that up would save. */
export function bindingText(reader: WishReader, { wish, price }: Binding, material: Material, stepMm: number): string {
  const { job, words } = reader;
  const w = words.topOfPour;
  const binds = w.binds(wishText(reader, wish));
  if (wish.kind === "volume" || !(price > 0)) return binds;
  const both = bothOf(words);
  if (wish.kind === "ground-area") {
    const step = areaStep(job);
    return `${binds} ${w.price(both(smallArea(step, job.units.plan)), bagsOfVolume(job, material, price * step))}`;
  }
  const [unit, litres] =
    wish.kind === "greatest-fall"
      ? [both(fall(1, job.units.plan)), price]
      : [both(interval(stepMm, job.units.height)), price * stepMm];
  return `${binds} ${w.price(unit, bagsOfVolume(job, material, litres))}`;
}

export function trialText(reader: WishReader, trial: GrindingTrial, material: Material): string {
  const { job, words } = reader;
  const { wish, height, ground, savedVolume } = trial;
  if (wish.kind !== "least-depth") throw new Error(`grinding was tried for a wish of the kind ${wish.kind}`);
  const both = bothOf(words);
  return words.topOfPour.trial(
    both(interval(height, job.units.height)),
    placeText(reader, wish.at, wish.roomIndices, true),
    both(smallArea(ground.area, job.units.plan)),
    both(volume(ground.volume, job.units.plan)),
    bagsOfVolume(job, material, savedVolume),
  );
}

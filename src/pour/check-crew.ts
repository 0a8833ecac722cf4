/** What no crew can pour by: times that contradict each other, rates of nothing, a lift that bears no bag. */
import type { Diagnostic } from "../diagnostics.ts";
import { bagWeight, duration } from "../format.ts";
import type { Job } from "../job/model.ts";

export function checkCrew(job: Job): Diagnostic[] {
  const { crew, material, source } = job;
  const ofCrew = crew.place ?? source.place(["crew"]);
  const ofMaterial = material.place ?? source.place(["material"]);
  const problems: Diagnostic[] = [];
  const needsSome = (value: number, what: string, whose: string, place: typeof ofCrew): void => {
    if (value > 0 && Number.isFinite(value)) return;
    problems.push({
      code: "rate-of-nothing",
      severity: "error",
      message: `${whose} has no ${what}: nothing would ever be poured`,
      expected: `${what} above zero`,
      hint: "type the value as it is on site or on the data sheet",
      place,
    });
  };
  const named = `crew ${crew.id}`;
  needsSome(crew.people, "people", named, ofCrew);
  needsSome(crew.barrels, "barrels", named, ofCrew);
  needsSome(crew.bagsPerBarrel, "bags in a barrel", named, ofCrew);
  needsSome(crew.barrelCycle, "barrel cycle", named, ofCrew);
  needsSome(crew.mixTime, "mixing time", named, ofCrew);
  needsSome(crew.laneWidth, "lane width", named, ofCrew);
  if (crew.carryingPace !== undefined) needsSome(crew.carryingPace, "carrying pace", named, ofCrew);
  if (crew.pump) needsSome(crew.pump.rate, "pump rate", named, ofCrew);
  needsSome(material.yieldPerBag, "yield of a bag", material.name, ofMaterial);
  needsSome(material.flowTime, "flow time", material.name, ofMaterial);
  if (problems.length > 0) return problems;
  if (crew.mixTime >= material.flowTime) {
    problems.push({
      code: "mix-outlasts-flow",
      severity: "error",
      message: `crew ${crew.id} mixes for ${duration(crew.mixTime).text}, but ${material.name} flows for ${duration(material.flowTime).text} from the moment when powder meets water`,
      expected: "a mixing time well inside the flow time",
      hint: "check both against the data sheet and the crew's entry in the library",
      place: ofCrew,
    });
  }
  if (crew.barrelCycle < crew.mixTime) {
    problems.push({
      code: "cycle-shorter-than-mix",
      severity: "error",
      message: `crew ${crew.id} has a barrel cycle of ${duration(crew.barrelCycle).text}, shorter than the ${duration(crew.mixTime).text} of mixing in it`,
      expected: "a cycle that holds measuring, charging, mixing, carrying, emptying and rinsing",
      place: ofCrew,
    });
  }
  if (crew.pump?.mixesItself && crew.barrels > 1) {
    problems.push({
      code: "barrels-beside-mixing-pump",
      severity: "error",
      message: `crew ${crew.id} has ${crew.barrels} barrels, but its pump mixes by itself`,
      expected: "one barrel: what is emptied into the hopper at a time, with the cycle in which that is done",
      hint: "take `mixes_itself` out where barrels feed the pump",
      place: ofCrew,
    });
  }
  return problems;
}

export function checkGoodsLift(job: Job): Diagnostic[] {
  const { material, source } = job;
  const { goodsLift } = job.pour;
  if (!goodsLift || goodsLift.load >= material.bag) return [];
  return [
    {
      code: "lift-bears-no-bag",
      severity: "error",
      message: `the lift bears ${bagWeight(goodsLift.load, job.units.plan).large.text}, less than one bag of ${material.name}`,
      expected: `${bagWeight(material.bag, job.units.plan).large.text} at least`,
      hint: "type what may be loaded besides the person who rides along, with its unit",
      place: source.place(["pour", "goods_lift", "load"]),
    },
  ];
}

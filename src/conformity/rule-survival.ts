/** Whether the verdict of a whole rule survives the uncertainty of what it rests on. */
import type { PartVerdict, RuleVerdict, Survival } from "./model.ts";

/** One that survives is enough: the others can turn without turning the verdict. */
const anyOf = (found: readonly Survival[]): Survival =>
  found.includes("survives")
    ? "survives"
    : found.includes("does-not-survive")
      ? "does-not-survive"
      : "uncertainty-not-known";

/** Every one must survive: a single one that turns turns the verdict. */
const allOf = (found: readonly Survival[]): Survival =>
  found.includes("does-not-survive")
    ? "does-not-survive"
    : found.includes("uncertainty-not-known") || found.length === 0
      ? "uncertainty-not-known"
      : "survives";

/** Of the findings that say what the part says: a floor is outside by any of them, and within by all. */
function survivalOfPart({ result, findings }: PartVerdict): Survival {
  const saying = findings.flatMap((one) => (one.result === result && one.worst ? [one.worst.survives] : []));
  return result === "outside" ? anyOf(saying) : allOf(saying);
}

/** Undefined where nothing was decided. */
export function survivalOfRule({ rule, result, parts }: RuleVerdict): Survival | undefined {
  if (result === "not-decidable") return undefined;
  const saying = parts.filter((part) => part.result === result).map(survivalOfPart);
  const oneIsEnough = (rule.needs === "all") === (result === "outside");
  return oneIsEnough ? anyOf(saying) : allOf(saying);
}

/** The vocabulary of the contract: tolerance, rules of acceptance, what the price includes. */
import { z } from "zod";
import { TRADE_RULES } from "./contract-model.ts";
import { choice, count, measure, planSize, thickness, words } from "./schema-leaves.ts";
import { LIMITS } from "./schema-limits.ts";
import { contractTermsKeys } from "./schema-record.ts";

const source = () => words("Where the contract says so.", "Section 03 54 16, 3.4");

const kind = <K extends string>(name: K, meaning: string) =>
  z.literal(name).meta({ description: meaning, example: name, measure: name });

const number = (description: string, example: number) =>
  count(description, example, { least: 0, greatest: 1000, whole: false });

const tradeRule = z
  .strictObject({
    kind: kind("trade-rule", "A rule of the trade by its name."),
    name: choice(TRADE_RULES, "The rule.", "resilient-covering"),
    source: source(),
  })
  .meta({ description: "A rule of the trade." });

const straightedge = z
  .strictObject({
    kind: kind("straightedge", "The greatest gap under a straightedge."),
    edge: planSize("Length of the straightedge.", "10 ft"),
    gap: thickness("Greatest gap.", "3/16 in"),
    contact: choice(
      ["between-contacts", "whole-edge"],
      "Whether gaps count between the places where it rests, or over its whole length.",
      "between-contacts",
    ),
    most: z
      .strictObject({
        share: measure("share", "Share of all places.", "90 %", { least: 0, greatest: 1 }),
        gap: thickness("Gap that they keep.", "1/8 in"),
      })
      .optional()
      .meta({ description: "A tighter gap that a share of all places must keep." }),
    source: source(),
  })
  .meta({ description: "A straightedge rule." });

const fNumbers = z
  .strictObject({
    kind: kind("f-numbers", "Flatness and levelness numbers."),
    flatness: number("Least overall flatness number.", 35).optional(),
    levelness: number("Least overall levelness number.", 25).optional(),
    section_flatness: number("Least flatness number of one section.", 21).optional(),
    section_levelness: number("Least levelness number of one section.", 15).optional(),
    least_readings: count("Least number of readings.", 100, { least: 1, greatest: 1_000_000, whole: true }).optional(),
    within_days: count("Days after the pour within which lines are read.", 3, {
      least: 0,
      greatest: 3650,
      whole: true,
    }).optional(),
    source: source(),
  })
  .meta({ description: "Flatness and levelness numbers." });

const din = z
  .strictObject({
    kind: kind("din-18202", "A row of DIN 18202, Table 3."),
    row: choice(["unfinished", "for-screed-or-tile-bed", "finished", "finished-increased"], "The row.", "finished"),
    source: source(),
  })
  .meta({ description: "A row of DIN 18202, Table 3." });

const level = z
  .strictObject({
    kind: kind("level", "How far the floor may be off its level."),
    plus_minus: thickness("Greatest difference from the target, up or down.", "3 mm"),
    source: source(),
  })
  .meta({ description: "A rule of level." });

export const ruleSchema = z
  .discriminatedUnion("kind", [tradeRule, straightedge, fNumbers, din, level])
  .meta({ description: "One rule of acceptance." });

export const contractSchema = z
  .strictObject({
    tolerance: z
      .strictObject({
        text: words("The tolerance as the contract states it.", "3/16 in in 10 ft"),
        source: words("Where it is stated.", "Section 03 54 16, 3.4"),
      })
      .optional()
      .meta({ description: "Tolerance of the finished floor." }),
    rules: z
      .array(ruleSchema)
      .max(LIMITS.rules)
      .optional()
      .meta({ description: "What the finished floor is accepted by, in figures." }),
    allowed_bags: count("Bags that the price includes.", 140, {
      least: 0,
      greatest: 1_000_000,
      whole: true,
    }).optional(),
    allowed_depth: thickness("Mean depth that the price includes.", "3/8 in").optional(),
    allowed_dead_load: measure("load", "Dead load that the structure may take on.", "15 psf", {
      least: 0,
      greatest: 10_000,
    }).optional(),
    ...contractTermsKeys,
  })
  .meta({ description: "What was agreed." });

export type ContractText = z.output<typeof contractSchema>;
export type RuleText = z.output<typeof ruleSchema>;

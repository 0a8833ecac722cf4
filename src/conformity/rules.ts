/**
 * Rules of acceptance: those of the trade that a job can name, and the contract's own figures.
 * Each says where it was read. What is from memory, or taken here because the source is silent,
 * says so, and is never printed as a standard's requirement.
 */
import type { ContractRule, TradeRuleName } from "../job/contract-model.ts";
import { M_PER_FOOT, MM_PER_INCH } from "../units.ts";
import { DIN_FLOOR_ROWS } from "./din.ts";
import type { Rule, RulePart, RuleSource } from "./model.ts";

const feet = (count: number): number => count * M_PER_FOOT;
const inch = (count: number): number => count * MM_PER_INCH;

/** The sources say nothing of how the edge is laid: it rests under its own weight, and the gap counts between contacts. */
const under = (edge: number, gap: number): RulePart => ({
  kind: "straightedge",
  edge,
  gap,
  contact: "between-contacts",
  contactFrom: "taken-here",
});

/** "From the required plane": a crown counts as much as a dip, so the gap counts past the contacts too. */
const fromPlane = (edge: number, gap: number): RulePart => ({
  kind: "straightedge",
  edge,
  gap,
  contact: "whole-edge",
  contactFrom: "taken-here",
});

/** The edge rests under its own weight and the greatest gap between points of contact counts: the standard's own words. */
const britishTwoMetres = (gap: number): RulePart => ({
  kind: "straightedge",
  edge: 2,
  gap,
  contact: "between-contacts",
  contactFrom: "rule",
});

const tenFeetTwoLimits = (most: number, all: number): RulePart => ({
  kind: "straightedge",
  edge: feet(10),
  gap: inch(all),
  contact: "between-contacts",
  contactFrom: "taken-here",
  most: { share: 0.9, gap: inch(most) },
});

type TradeRule = Pick<Rule, "title" | "source" | "needs" | "parts">;

/** Figures of a standard, or of the trade without one, as test houses, handbooks and the trade press quote them. */
const quoted = (standard = ""): RuleSource => ({ text: standard, standing: "second-hand" });

/** Two limits under a 10 ft straightedge, as the tolerances of concrete floors have them. */
const twoLimits = (title: string, part: RulePart): TradeRule => ({
  title,
  source: { text: "ACI 117", standing: "from-memory" },
  needs: "all",
  parts: [part],
});

export const TRADE_RULE: Record<TradeRuleName, TradeRule> = {
  "resilient-covering": {
    title: "substrate of a resilient covering",
    source: quoted("ASTM F710"),
    needs: "all",
    parts: [under(feet(10), inch(3 / 16)), under(feet(1), inch(1 / 32))],
  },
  "wood-flooring": {
    title: "substrate of wood flooring",
    source: quoted(),
    needs: "any",
    parts: [under(feet(10), inch(3 / 16)), under(feet(6), inch(1 / 8))],
  },
  "tile-under-15-in": {
    title: "substrate of tile with all edges shorter than 15 in",
    source: quoted(),
    needs: "all",
    parts: [under(feet(10), inch(1 / 4)), under(feet(1), inch(1 / 16))],
  },
  "tile-15-in-and-over": {
    title: "substrate of tile with any edge of 15 in or more",
    source: quoted(),
    needs: "all",
    parts: [fromPlane(feet(10), inch(1 / 8)), fromPlane(feet(2), inch(1 / 16))],
  },
  "bs-8204-sr1": {
    title: "surface regularity SR1",
    source: quoted("BS 8204"),
    needs: "all",
    parts: [britishTwoMetres(3)],
  },
  "bs-8204-sr2": {
    title: "surface regularity SR2",
    source: quoted("BS 8204"),
    needs: "all",
    parts: [britishTwoMetres(5)],
  },
  "bs-8204-sr3": {
    title: "surface regularity SR3",
    source: quoted("BS 8204"),
    needs: "all",
    parts: [britishTwoMetres(10)],
  },
  "two-limits-conventional": twoLimits("two limits, conventional", tenFeetTwoLimits(1 / 2, 3 / 4)),
  "two-limits-moderately-flat": twoLimits("two limits, moderately flat", tenFeetTwoLimits(3 / 8, 5 / 8)),
  "two-limits-flat": twoLimits("two limits, flat", tenFeetTwoLimits(1 / 4, 3 / 8)),
};

/** Least value of one section: three fifths of the specified overall (ACI 117-10), where the contract states none. */
export const SECTION_SHARE = 3 / 5;

/** The contract's rules with their figures, in its order. Ids are `rule-1`, or `rule-1-` and the name of the trade's rule. */
export const rulesOf = (rules: readonly ContractRule[]): Rule[] => rules.map(ruleOf);

function ruleOf(rule: ContractRule, index: number): Rule {
  const contract: RuleSource = { text: rule.source, standing: "contract" };
  const own = { id: `rule-${index + 1}`, askedBy: rule.source, needs: "all" as const };
  switch (rule.kind) {
    case "trade-rule":
      return { id: `rule-${index + 1}-${rule.name}`, name: rule.name, askedBy: rule.source, ...TRADE_RULE[rule.name] };
    case "straightedge": {
      const { edge, gap, contact, most } = rule;
      return {
        ...own,
        name: rule.kind,
        title: "straightedge, the contract's own figures",
        source: contract,
        parts: [{ kind: "straightedge", edge, gap, contact, contactFrom: "rule", ...(most && { most }) }],
      };
    }
    case "f-numbers":
      return {
        ...own,
        name: rule.kind,
        title: "flatness and levelness numbers",
        source: contract,
        parts: [
          ...fNumberPart("flatness", rule.flatness, rule.sectionFlatness),
          ...fNumberPart("levelness", rule.levelness, rule.sectionLevelness),
        ],
      };
    case "din-18202":
      return {
        ...own,
        name: rule.kind,
        title: `DIN 18202 Table 3, ${DIN_FLOOR_ROWS[rule.row].title}`,
        source: quoted("DIN 18202"),
        parts: [{ kind: "din-18202", row: rule.row }],
      };
    case "level":
      return {
        ...own,
        name: rule.kind,
        title: "level against the target",
        source: contract,
        parts: [{ kind: "level", plusMinus: rule.plusMinus }],
      };
  }
}

const fNumberPart = (
  number: "flatness" | "levelness",
  overall: number | undefined,
  section: number | undefined,
): RulePart[] =>
  overall === undefined ? [] : [{ kind: "f-number", number, overall, section: section ?? SECTION_SHARE * overall }];

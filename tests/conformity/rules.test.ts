import { describe, expect, it } from "vitest";
import { rulesOf, TRADE_RULE } from "../../src/conformity/rules.ts";
import { TRADE_RULES, type TradeRuleName } from "../../src/job/contract-model.ts";
import { asked } from "./made-evidence.ts";

const inFt = 304.8;

describe("the trade's rules", () => {
  /** As published (trade press, handbook excerpt, test houses): edge in ft or m, gap in inches or mm. */
  const published: [TradeRuleName, string[]][] = [
    ["resilient-covering", ["10 ft 3/16 in", "1 ft 1/32 in"]],
    ["wood-flooring", ["10 ft 3/16 in", "6 ft 1/8 in"]],
    ["tile-under-15-in", ["10 ft 1/4 in", "1 ft 1/16 in"]],
    ["tile-15-in-and-over", ["10 ft 1/8 in", "2 ft 1/16 in"]],
    ["bs-8204-sr1", ["2 m 3 mm"]],
    ["bs-8204-sr2", ["2 m 5 mm"]],
    ["bs-8204-sr3", ["2 m 10 mm"]],
    ["two-limits-conventional", ["10 ft 3/4 in"]],
    ["two-limits-moderately-flat", ["10 ft 5/8 in"]],
    ["two-limits-flat", ["10 ft 3/8 in"]],
  ];
  const read = (text: string): { edge: number; gap: number } => {
    const [edge, edgeUnit, gap, gapUnit] = text.split(" ") as [string, string, string, string];
    const [upper, lower = "1"] = gap.split("/") as [string, string?];
    return {
      edge: Number(edge) * (edgeUnit === "ft" ? inFt / 1000 : 1),
      gap: (Number(upper) / Number(lower)) * (gapUnit === "in" ? inFt / 12 : 1),
    };
  };
  it.each(published)("%s: %j", (name, figures) => {
    const parts = TRADE_RULE[name].parts;
    expect(parts).toHaveLength(figures.length);
    for (const [k, figure] of figures.entries()) {
      const part = parts[k]!;
      if (part.kind !== "straightedge") throw new Error(part.kind);
      const { edge, gap } = read(figure);
      expect(part.edge).toBeCloseTo(edge, 12);
      expect(part.gap).toBeCloseTo(gap, 12);
    }
  });
  it("are all there", () => {
    expect(published.map(([name]) => name)).toEqual([...TRADE_RULES]);
  });
  it("what is from memory says so, and names no standard as its title", () => {
    for (const name of TRADE_RULES) {
      const { source, title, parts } = TRADE_RULE[name];
      const fromMemory = name.startsWith("two-limits");
      expect(source.standing === "from-memory").toBe(fromMemory);
      if (fromMemory) expect(title).not.toMatch(/ACI|ASTM/);
      for (const part of parts) {
        if (part.kind !== "straightedge") continue;
        // Only the British rule says itself which gap counts.
        expect(part.contactFrom).toBe(name.startsWith("bs-8204") ? "rule" : "taken-here");
      }
    }
  });
});

describe("the contract's own figures", () => {
  it("a section must reach three fifths of the overall where the contract states none (ACI 117-10)", () => {
    const [stated, given] = rulesOf([
      asked({ kind: "f-numbers", flatness: 35, levelness: 25 }),
      asked({ kind: "f-numbers", flatness: 35, sectionFlatness: 24 }),
    ]);
    expect(stated!.parts).toEqual([
      { kind: "f-number", number: "flatness", overall: 35, section: 21 },
      { kind: "f-number", number: "levelness", overall: 25, section: 15 },
    ]);
    expect(given!.parts).toEqual([{ kind: "f-number", number: "flatness", overall: 35, section: 24 }]);
  });
  it("carry the contract's words and an id of their own", () => {
    const rules = rulesOf([
      asked({ kind: "trade-rule", name: "bs-8204-sr2" }),
      asked({ kind: "level", plusMinus: 3 }),
      asked({ kind: "din-18202", row: "unfinished" }),
    ]);
    expect(rules.map(({ id }) => id)).toEqual(["rule-1-bs-8204-sr2", "rule-2", "rule-3"]);
    for (const { askedBy } of rules) expect(askedBy).toBe("contract, section 7");
  });
});

/** The contract's rules of acceptance: what each asks for, how it is measured and when. */
import type { Rule } from "../../conformity/model.ts";
import { count } from "../../format.ts";
import type { ContractRule } from "../../job/contract-model.ts";
import { type FloorText, partText } from "../flatness-text.ts";
import type { Findings } from "../model.ts";
import type { Block } from "../page/blocks.ts";
import { cell, heading, table } from "../page/make-blocks.ts";
import { DESK_MM } from "../type/type-sizes.ts";
import type { Words } from "../words/en.ts";

/** None where the contract gives no rule in figures. */
export function criteriaBlocks(findings: Findings, words: Words, width: number): Block[] {
  const { job, plan } = findings;
  const { criteria: w } = words.record;
  const asked = job.contract.rules ?? [];
  if (asked.length === 0) return [];
  const judged = findings.finished.kind === "ready" ? findings.finished.value.conformity : undefined;
  const rules = judged?.rules ?? (findings.rawSlab.kind === "ready" ? findings.rawSlab.value.rules : []);
  const floor: FloorText = { job, plan, words };
  return [
    heading(w.title, width),
    table(
      w.caption,
      [
        { heading: w.columns.rule, widthMm: width * 0.44, namesRow: true },
        { heading: w.columns.measured, widthMm: width * 0.32 },
        { heading: w.columns.when, widthMm: width * 0.24 },
      ],
      asked.map((rule, k) => ({
        cells: [
          lines([...ruleText(floor, rule, rules[k]?.rule), w.asked(rule.source)]),
          cell(w.methods[rule.kind], DESK_MM),
          cell(whenText(rule, words), DESK_MM),
        ],
      })),
      DESK_MM,
    ),
  ];
}

const lines = (contents: readonly string[]) => ({
  runs: contents.map((content, k) => ({
    text: content,
    sizeMm: DESK_MM,
    weight: k === 0 ? (700 as const) : (400 as const),
  })),
});

function ruleText(floor: FloorText, rule: ContractRule, judged: Rule | undefined): string[] {
  const name = floor.words.flatness.rules[rule.kind === "trade-rule" ? rule.name : rule.kind];
  return [name, ...(judged?.parts ?? []).map((part) => partText(floor, part))];
}

function whenText(rule: ContractRule, words: Words): string {
  const { criteria: w } = words.record;
  return rule.kind === "f-numbers" && rule.withinDays !== undefined ? w.days(count(rule.withinDays)) : w.before;
}

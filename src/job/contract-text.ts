/** The contract: tolerance, rules of acceptance, and what the price includes. */
import type { KilogramsPerSquareMetre, Share } from "../units.ts";
import type { Contract, ContractRule } from "./contract-model.ts";
import { type JobReader, objectAt, toMetres, toMillimetres } from "./job-reader.ts";
import { buildTerms } from "./record-text.ts";
import { type ContractText, contractSchema, type RuleText, ruleSchema } from "./schema-contract.ts";
import { type At, part, parts } from "./schema-parts.ts";
import { placeOf } from "./yaml-places.ts";

export function buildContract(reader: JobReader): Contract {
  const rules = parts(reader.document, ["contract", "rules"], ruleSchema).flatMap((rule) => buildRule(reader, rule));
  const text: ContractText | undefined = part(reader.document, ["contract"], contractSchema);
  if (text === undefined) return {};
  const { tolerance, allowed_bags, allowed_depth, allowed_dead_load } = text;
  return {
    ...(tolerance === undefined ? {} : { tolerance }),
    ...(rules.length === 0 ? {} : { rules }),
    ...(allowed_bags === undefined ? {} : { allowedBags: allowed_bags }),
    ...(allowed_depth === undefined ? {} : { allowedDepth: toMillimetres(reader, allowed_depth) }),
    ...(allowed_dead_load === undefined ? {} : { allowedDeadLoad: allowed_dead_load as KilogramsPerSquareMetre }),
    ...buildTerms(reader, text),
  };
}

function buildRule(reader: JobReader, { text, path }: At<RuleText>): ContractRule[] {
  const place = placeOf(reader.document, path);
  const { source } = text;
  switch (text.kind) {
    case "trade-rule":
      return [{ kind: text.kind, name: text.name, source, place }];
    case "din-18202":
      return [{ kind: text.kind, row: text.row, source, place }];
    case "level":
      return [{ kind: text.kind, plusMinus: toMillimetres(reader, text.plus_minus), source, place }];
    case "straightedge": {
      const gap = toMillimetres(reader, text.gap);
      const most = text.most && { share: text.most.share as Share, gap: toMillimetres(reader, text.most.gap) };
      if (most !== undefined && most.gap > gap) {
        objectAt(reader, [...path, "most", "gap"], {
          code: "rule-turned-round",
          message: "The gap that most places keep is wider than the one that all keep.",
          expected: "a tighter gap for the share, such as 90 % within 1/8 in where all are within 3/16 in",
        });
      }
      const edge = toMetres(reader, text.edge);
      return [
        { kind: text.kind, edge, gap, contact: text.contact, ...(most === undefined ? {} : { most }), source, place },
      ];
    }
    case "f-numbers": {
      const { flatness, levelness, section_flatness, section_levelness, least_readings, within_days } = text;
      if (flatness === undefined && levelness === undefined) {
        objectAt(reader, path, {
          code: "rule-without-number",
          message: "The rule of flatness and levelness numbers gives neither.",
          expected: "flatness: 35, levelness: 25, or one of them",
        });
      }
      return [
        {
          kind: text.kind,
          ...(flatness === undefined ? {} : { flatness }),
          ...(levelness === undefined ? {} : { levelness }),
          ...(section_flatness === undefined ? {} : { sectionFlatness: section_flatness }),
          ...(section_levelness === undefined ? {} : { sectionLevelness: section_levelness }),
          ...(least_readings === undefined ? {} : { leastReadings: least_readings }),
          ...(within_days === undefined ? {} : { withinDays: within_days }),
          source,
          place,
        },
      ];
    }
  }
}

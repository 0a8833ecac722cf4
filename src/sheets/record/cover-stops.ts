/** What the record puts on the cover: each hold with its reason and who owes, and the count at which bags stop. */
import { count } from "../../format.ts";
import type { Findings } from "../model.ts";
import type { Block } from "../page/blocks.ts";
import { paragraph, READING, signal } from "../page/make-blocks.ts";
import type { Words } from "../words/en.ts";
import { recordHoldText } from "./test-text.ts";

export function recordStops(
  { job, record }: Findings,
  words: Words,
  width: number,
): { readonly holds: readonly Block[]; readonly stop: readonly Block[] } {
  if (record.kind !== "ready") return { holds: [], stop: [] };
  const { holds, stop } = record.value;
  return {
    holds: holds.map((hold) => signal("danger", words.hold, recordHoldText(hold, job, words), width)),
    stop:
      stop === undefined
        ? []
        : [
            paragraph(words.record.stop.cover(words.bags(count(stop.bags))), width, { ...READING, weight: 700 }),
            paragraph(words.record.stop.from[stop.from], width, READING),
          ],
  };
}

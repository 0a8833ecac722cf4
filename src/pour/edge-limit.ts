/** How old a fresh edge may grow, by the data sheet. */
import type { Material } from "../job/library-model.ts";
import type { Job } from "../job/model.ts";
import type { Celsius, Minutes } from "../units.ts";
import type { EdgeLimit } from "./model.ts";

/** Taken off where the job states no margin: what one slow barrel costs. Our own choice, printed with the limit. */
export const USUAL_MARGIN: Minutes = 1;

/**
 * The least of the data sheet's times, less the margin. A time that the data sheet was not read for is
 * named as missing and leaves no limit at all: nothing stands in for it, so leaving one out never
 * lengthens the limit. Where the data sheet tabulates times by temperature, the shorter row of the two
 * around the one that the job expects counts, beside the time at the top of the sheet; a temperature that
 * is not stated or lies beyond the table has no times.
 */
export function edgeLimit({ material, pour }: Pick<Job, "material" | "pour">): EdgeLimit {
  const margin = pour.edgeMargin ?? USUAL_MARGIN;
  const rows = rowsAround(material, pour.slabTemperature);
  if (rows === "beyond") return { times: [], margin, missing: ["times-at-temperature"] };
  const stated = [material, ...rows];
  const flow = Math.min(...stated.map(({ flowTime }) => flowTime));
  const healing = stated.map(({ healingTime }) => healingTime);
  if (healing.some((time) => time === undefined)) {
    return { times: [{ name: "flow-time", time: flow }], margin, missing: ["healing-time"] };
  }
  const heals = Math.min(...healing.map((time) => time as Minutes));
  const least = Math.min(flow, heals);
  return {
    times: [
      { name: "flow-time", time: flow },
      { name: "healing-time", time: heals },
    ],
    margin,
    least,
    limit: least - margin,
    missing: [],
  };
}

type Times = Pick<Material, "flowTime" | "healingTime">;

/** Rows of the table on both sides of the expected temperature. */
function rowsAround(material: Material, expected: Celsius | undefined): readonly Times[] | "beyond" {
  const table = [...(material.timesAt ?? [])].sort((p, q) => p.temperature - q.temperature);
  if (table.length === 0) return [];
  if (expected === undefined) return "beyond";
  const above = table.findIndex(({ temperature }) => temperature >= expected);
  if (above < 0) return "beyond";
  const warmer = table[above]!;
  if (warmer.temperature === expected) return [warmer];
  return above === 0 ? "beyond" : [table[above - 1]!, warmer];
}

/** The pour in a few figures for the job's page: bays, batches and time, or that this crew cannot pour this floor. */
import { count, decimal, duration, elapsed } from "../format.ts";
import type { PourPlan } from "../pour/model.ts";

export interface PourFigure {
  readonly name: string;
  readonly value: string;
  readonly note?: string;
}

export function pourFigures(pour: PourPlan): PourFigure[] {
  const { bagsPerMinute, bagsPerMinuteNeeded, bottleneck } = pour.pace;
  const rate: PourFigure = {
    name: "Bags a minute",
    value: decimal(bagsPerMinute, 2),
    note: `${decimal(bagsPerMinuteNeeded, 2)} needed; what holds the crew back first: ${BOTTLENECKS[bottleneck]}`,
  };
  if (pour.kind === "cannot-be-poured")
    return [
      { name: "Pour", value: "cannot be poured by this crew", note: "the pour plan says why, and what would do" },
      rate,
    ];
  const ages = pour.edges.map(({ age }) => age);
  const { limit } = pour.edgeLimit;
  return [
    { name: "Bays", value: count(pour.bays.length) },
    { name: "Batches", value: count(pour.batches.length) },
    { name: "First powder to last placing, h:min", value: elapsed(pour.batches.at(-1)?.placed ?? 0) },
    ...(ages.length > 0 && limit !== undefined
      ? [
          {
            name: "Oldest edge",
            value: duration(Math.ceil(Math.max(...ages) * 10 - 1e-6) / 10).text,
            note: `renewed within ${duration(limit).text}`,
          },
        ]
      : []),
    rate,
  ];
}

const BOTTLENECKS = {
  mixers: "the mixers",
  pump: "the pump",
  carrying: "the carrying",
  people: "too few people",
} as const;

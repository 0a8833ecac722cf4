/**
 * Yes-or-no programs: choose as few (or as cheap) of n things as rows of conditions allow. Solved
 * exactly by the HiGHS library, which the caller loads and hands in, so that nothing here waits or touches a file.
 */
import type { Highs } from "highs";

export interface BinaryProgram {
  /** Cost of each thing; the sum over the chosen ones is made least. */
  readonly costs: readonly number[];
  readonly rows: readonly Row[];
}

/** Σ factor·x ≥ least, over pairs of a thing and its factor. */
export interface Row {
  readonly terms: readonly (readonly [thing: number, factor: number])[];
  readonly least: number;
}

export type BinarySolution =
  /** `bound`: no choice costs less. `proved`: this one costs no more than that. */
  | { readonly kind: "solved"; readonly chosen: readonly boolean[]; readonly bound: number; readonly proved: boolean }
  | { readonly kind: "impossible" }
  /** Stopped by the count of nodes before any choice was found. */
  | { readonly kind: "cut-short"; readonly bound: number };

/** Solves a program, looking at no more than `mostNodes` nodes of the search. */
export type SolveBinary = (program: BinaryProgram, mostNodes: number) => BinarySolution;

/** The solver made from the loaded library: `solverBy(await loadHighs())`. */
export const solverBy =
  (highs: Highs): SolveBinary =>
  (program, mostNodes) =>
    highs.withModel({ format: "lp", data: asText(program) }, (model): BinarySolution => {
      // A fixed seed, and no limit of time: the same program gives the same choice.
      model.options.set({ output_flag: false, random_seed: 0, mip_max_nodes: mostNodes, mip_rel_gap: 0 });
      model.run();
      const status = model.getModelStatus();
      if (status === IMPOSSIBLE) return { kind: "impossible" };
      const bound = Number(model.info.get("mip_dual_bound"));
      if (Number(model.info.get("primal_solution_status")) !== FEASIBLE) return { kind: "cut-short", bound };
      // The library's integers are near whole numbers, not on them.
      const chosen = Array.from(model.getSolution().colValue, (value) => Math.round(value) === 1);
      return { kind: "solved", chosen, bound, proved: status === OPTIMAL };
    });

/** HiGHS' numbers of a model's status and of a solution's. */
const OPTIMAL = 7;
const IMPOSSIBLE = 8;
const FEASIBLE = 2;

/** The program in the LP format, which names every thing x0, x1 … in order. */
function asText({ costs, rows }: BinaryProgram): string {
  const sum = (terms: readonly (readonly [number, number])[]): string =>
    terms.map(([thing, factor]) => `${factor < 0 ? "-" : "+"} ${Math.abs(factor)} x${thing}`).join("\n  ");
  return [
    "Minimize",
    ` cost: ${sum(costs.map((cost, thing) => [thing, cost]))}`,
    "Subject To",
    ...rows.map((row, k) => ` r${k}: ${sum(row.terms)} >= ${row.least}`),
    "Binary",
    ...costs.map((_, thing) => ` x${thing}`),
    "End",
    "",
  ].join("\n");
}

/** Loads the library that solves integer programs: once, at the rim, since loading waits. */
import highsLoader, { type Highs } from "highs";
import { type SolveBinary, solverBy } from "../numeric/integer-program.ts";

// The package's types describe its CommonJS form; at run time its default export is the loader itself.
const loadHighs = highsLoader as unknown as () => Promise<Highs>;

export const loadSolver = async (): Promise<SolveBinary> => solverBy(await loadHighs());

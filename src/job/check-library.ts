/** The library by itself, whether a job uses an entry or not. */
import type { Diagnostic } from "../diagnostics.ts";
import { type LibraryFiles, readEntry, readLibrary } from "./library.ts";
import { readCrew, readInstrument, readPins, readPrimer } from "./library-entries.ts";
import { readMaterial } from "./library-material.ts";
import { learnedSchema } from "./schema-learned.ts";
import { companySchema, usualSchema } from "./schema-library.ts";

/** Everything that is wrong with the library. */
export function checkLibrary(files: LibraryFiles): Diagnostic[] {
  const { library, diagnostics } = readLibrary(files);
  const problems = [...diagnostics];
  if (library.company) readEntry(library.company, companySchema, "the company", problems);
  if (library.usual) readEntry(library.usual, usualSchema, '"usual"', problems);
  if (library.learned) readEntry(library.learned, learnedSchema, '"learned"', problems);
  for (const entry of library.materials.values()) readMaterial(entry, problems);
  for (const entry of library.primers.values()) readPrimer(entry, problems);
  for (const entry of library.pins.values()) readPins(entry, problems);
  for (const entry of library.instruments.values()) readInstrument(entry, problems);
  for (const entry of library.crews.values()) readCrew(entry, problems);
  return problems;
}

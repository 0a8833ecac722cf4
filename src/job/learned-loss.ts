/** The loss that a job asks of what the archive taught: for its material and its crew. */
import type { z } from "zod";
import { share } from "../units.ts";
import { type JobReader, objectAt } from "./job-reader.ts";
import { type Library, readEntry } from "./library.ts";
import type { LearnedLoss } from "./model.ts";
import { learnedSchema } from "./schema-learned.ts";

/**
 * @param usual the loss that would hold without it
 * @param materialIds of the job, its own first
 * @returns undefined after objecting to a library that has none for this job
 */
export function buildLearnedLoss(
  reader: JobReader,
  library: Library,
  usual: number,
  materialIds: readonly string[] | undefined,
  crewId: string | undefined,
): LearnedLoss | undefined {
  const object = (message: string, expected: string, hint?: string) =>
    objectAt(reader, ["pour", "learned_loss"], { code: "nothing-learned", message, expected, hint });
  if (library.learned === undefined) {
    object(
      "The job asks for the loss that the archive taught, but the library holds none.",
      'a library file with "learned"',
      "npm start -- learn --write jobs/_library/learned.yaml writes one; read it before you use it.",
    );
    return undefined;
  }
  const text = readEntry(library.learned, learnedSchema, '"learned"', reader.problems);
  const [material, ...others] = materialIds ?? [];
  if (text === undefined || material === undefined || crewId === undefined) return undefined;
  if (others.length > 0) {
    object(
      `The loss that the archive taught is of one material, and this job has ${materialIds?.length}: ${materialIds?.join(", ")}.`,
      "learned_loss: false, and a loss for all of them under loss",
    );
    return undefined;
  }
  return ofMaterial(text.loss, material, crewId, usual, object);
}

function ofMaterial(
  { depth, per_10_mm = 0, per_10_mm_sd = 0, spread, materials, crews = [] }: z.output<typeof learnedSchema>["loss"],
  material: string,
  crewId: string,
  usual: number,
  object: (message: string, expected: string) => void,
): LearnedLoss | undefined {
  const known = materials.find((one) => one.material === material);
  if (known === undefined) {
    object(
      `The archive taught nothing of ${material}.`,
      `one of the materials that it knows: ${materials.map((one) => one.material).join(", ")}`,
    );
    return undefined;
  }
  const crew = crews.find((one) => one.crew === crewId);
  return {
    usual: share(usual),
    loss: known.loss + (crew?.more ?? 0),
    depth,
    perMm: per_10_mm / 10,
    sd: Math.hypot(spread, known.sd, crew?.sd ?? 0),
    perMmSd: per_10_mm_sd / 10,
    jobs: known.jobs,
    crewKnown: crew !== undefined,
  };
}

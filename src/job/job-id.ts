/** The job's id against the name of its file. */
import { type JobReader, objectAt } from "./job-reader.ts";
import { idProblem } from "./schema-leaves.ts";
import { valueAt } from "./yaml-places.ts";

/** The id that a job file's name stands for: `jobs/tern-street-clinic.yaml` → `tern-street-clinic`. */
export const jobIdOfFile = (file: string): string =>
  file
    .split(/[/\\]/)
    .at(-1)!
    .replace(/\.ya?ml$/i, "");

/** The folder of a packet is named by the id and found by the file: both have to be one. */
export function checkJobId(reader: JobReader): void {
  const id = valueAt(reader.document, ["job"]);
  if (typeof id !== "string" || idProblem(id, "job")) return;
  const ofFile = jobIdOfFile(reader.document.source.file);
  if (ofFile === id) return;
  objectAt(reader, ["job"], {
    code: "job-id-not-file-name",
    message: `The job is called "${id}", but its file "${ofFile}.yaml".`,
    expected: `job: ${ofFile}`,
    hint: `Change the id, or rename the file to ${id}.yaml.`,
  });
}

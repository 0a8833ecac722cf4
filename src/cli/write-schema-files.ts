/** `npm run schemas`: writes the JSON Schemas by which editors complete and check job and library files. */
import { readFileSync, statSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { LIBRARY_FOLDER } from "../job/files.ts";
import { SCHEMA_FILES, schemaFileText } from "../job/schema-files.ts";

/**
 * Writes the JSON Schemas of job and library files into the library folder.
 * @returns the names of the files that changed
 */
export function writeSchemaFiles(jobsFolder: string): string[] {
  return (["job", "library"] as const).flatMap((of) => {
    const path = join(jobsFolder, LIBRARY_FOLDER, SCHEMA_FILES[of]);
    const text = schemaFileText(of);
    if (statSync(path, { throwIfNoEntry: false }) !== undefined && readFileSync(path, "utf8") === text) return [];
    writeFileSync(path, text);
    return [`jobs/${LIBRARY_FOLDER}/${SCHEMA_FILES[of]}`];
  });
}

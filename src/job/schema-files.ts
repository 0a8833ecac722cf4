/** JSON Schemas of the job file and of the library files, for completion and checks in editors. */
import { z } from "zod";
import { jobSchema } from "./schema.ts";
import { librarySchema } from "./schema-library.ts";

/** Names below `jobs/_library`; a job file wires its own by the comment `# yaml-language-server: $schema=./_library/job.schema.json`. */
export const SCHEMA_FILES = { job: "job.schema.json", library: "library.schema.json" } as const;

/** The text of a schema file, JSON Schema draft 2020-12, with a line end at its end. */
export function schemaFileText(of: keyof typeof SCHEMA_FILES): string {
  const schema = z.toJSONSchema(of === "job" ? jobSchema : librarySchema, {
    io: "input",
    override: ({ zodSchema, jsonSchema }) => {
      const { example } = (z.globalRegistry.get(zodSchema) ?? {}) as { example?: unknown };
      // Editors show `examples`; `measure` and `unit` are ours and would only puzzle them.
      delete jsonSchema.example;
      delete jsonSchema.measure;
      delete jsonSchema.unit;
      if (example !== undefined && jsonSchema.type !== "array" && jsonSchema.type !== "object")
        jsonSchema.examples = [example as string];
    },
  });
  return `${JSON.stringify(schema, null, 2)}\n`;
}

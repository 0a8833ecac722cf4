/** Every place of the job file where the office may write words of its own, found in the schema itself. */
import type { z } from "zod";
import { jobSchema } from "../../src/job/schema.ts";

interface Definition {
  readonly type: string;
  readonly innerType?: z.ZodType;
  readonly element?: z.ZodType;
  readonly options?: readonly z.ZodType[];
  readonly shape?: Readonly<Record<string, z.ZodType>>;
}

/** Paths with `[]` for the entries of a list, such as `rooms[].name`; each once. */
export function textLeaves(schema: z.ZodType = jobSchema, path = ""): string[] {
  const { type, innerType, element, options, shape } = schema.def as unknown as Definition;
  // Words of the library's own entries stand in the job too, where an entry is written out in it.
  if (schema.meta()?.measure === "text") return [path];
  if (type === "optional" && innerType) return textLeaves(innerType, path);
  if (type === "array" && element) return textLeaves(element, `${path}[]`);
  if (type === "union" && options) return [...new Set(options.flatMap((option) => textLeaves(option, path)))];
  if (type === "object" && shape)
    return Object.entries(shape).flatMap(([key, of]) => textLeaves(of, path === "" ? key : `${path}.${key}`));
  return [];
}

/** Paths of the same form at which a value has text that `isMine` knows. */
export function pathsOf(value: unknown, isMine: (text: string) => boolean, path = ""): string[] {
  if (typeof value === "string") return isMine(value) ? [path] : [];
  if (Array.isArray(value)) return value.flatMap((one) => pathsOf(one, isMine, `${path}[]`));
  if (value === null || typeof value !== "object") return [];
  return Object.entries(value).flatMap(([key, of]) => pathsOf(of, isMine, path === "" ? key : `${path}.${key}`));
}

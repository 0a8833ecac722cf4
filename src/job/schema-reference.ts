/** The vocabulary as a plain list, for the reference page of the site. */
import { z } from "zod";
import { jobSchema } from "./schema.ts";
import { librarySchema } from "./schema-library.ts";
import { kindsOfUnion, metadataOf, unwrapped } from "./schema-shape.ts";

export interface ReferenceEntry {
  /** Keys from the top, lists marked: `rooms[].doors[].width`. */
  readonly path: string;
  readonly key: string;
  /** 0 for a key at the top. */
  readonly depth: number;
  /** What kind of value it is: "plan length", "weight with its unit", "keys", "list of keys" … */
  readonly type: string;
  /** The unit that the program works in, where the value has one. */
  readonly unit?: string;
  readonly required: boolean;
  readonly meaning: string;
  readonly example?: string;
}

/** Every key of the job file, or of a library file, each after the key that holds it. */
export function schemaReference(of: "job" | "library"): ReferenceEntry[] {
  const entries: ReferenceEntry[] = [];
  addKeys(of === "job" ? jobSchema : librarySchema, "", 0, entries);
  return entries;
}

function addKeys(schema: z.core.$ZodType, prefix: string, depth: number, entries: ReferenceEntry[]): void {
  if (schema instanceof z.ZodUnion && !(unwrapped(schema) instanceof z.ZodObject)) {
    for (const option of schema.options) addKeys(option as z.core.$ZodType, prefix, depth, entries);
    return;
  }
  const map = unwrapped(schema);
  if (!(map instanceof z.ZodObject)) return;
  for (const [key, value] of Object.entries<z.core.$ZodType>(map.shape)) addKey(key, value, prefix, depth, entries);
}

function addKey(key: string, schema: z.core.$ZodType, prefix: string, depth: number, entries: ReferenceEntry[]): void {
  const { description, example, measure, unit } = metadataOf(schema);
  const inner = unwrapped(schema);
  const isList = inner instanceof z.ZodArray;
  const element = isList ? unwrapped(inner.element as z.core.$ZodType) : undefined;
  const held = element ?? inner;
  const holdsKeys = held instanceof z.ZodObject || kindsOfUnion(held).length > 0;
  const path = `${prefix}${key}${isList && holdsKeys ? "[]" : ""}`;
  entries.push({
    path,
    key,
    depth,
    type: measure ?? (isList ? (holdsKeys ? "list of entries" : "list") : "keys"),
    ...(unit === undefined ? {} : { unit }),
    required: !(schema instanceof z.ZodOptional),
    meaning: description ?? "",
    ...(example === undefined ? {} : { example: String(example) }),
  });
  if (holdsKeys) addKeys(isList ? (inner.element as z.core.$ZodType) : schema, `${path}.`, depth + 1, entries);
}

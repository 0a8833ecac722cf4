/** Walks a zod schema: what keys, kinds and metadata stand at a path. */
import { z } from "zod";

export interface SchemaShape {
  readonly kind: "map" | "list" | "value";
  /** Keys of a map, in the order of the schema. */
  readonly keys: readonly string[];
  readonly description?: string;
  readonly example?: string;
  readonly measure?: string;
}

/** What a schema holds under its optional, default, pipe and union wrappings; of a union its first map or list. */
export function unwrapped(schema: z.core.$ZodType): z.core.$ZodType {
  if (schema instanceof z.ZodOptional) return unwrapped(schema.unwrap());
  if (schema instanceof z.ZodPipe) return unwrapped(schema.in);
  if (schema instanceof z.ZodUnion) {
    return schema.options.map(unwrapped).find((option) => option instanceof z.ZodObject) ?? schema;
  }
  return schema;
}

/** Metadata of a schema or of what it wraps, the outermost first. */
export function metadataOf(schema: z.core.$ZodType): { description?: string; example?: string; measure?: string } {
  const own = z.globalRegistry.get(schema) ?? {};
  const inner = schema instanceof z.ZodOptional ? metadataOf(schema.unwrap()) : {};
  return { ...inner, ...own } as { description?: string; example?: string; measure?: string };
}

/** The schema at a path of keys and indices; undefined where the path leaves the schema. */
export function schemaAt(schema: z.core.$ZodType, path: readonly (string | number)[]): z.core.$ZodType | undefined {
  let current: z.core.$ZodType | undefined = schema;
  for (const step of path) {
    if (current === undefined) return undefined;
    const inner = unwrapped(current);
    if (inner instanceof z.ZodObject) {
      current = typeof step === "string" && Object.hasOwn(inner.shape, step) ? inner.shape[step] : undefined;
    } else if (inner instanceof z.ZodArray) {
      current = inner.element as z.core.$ZodType;
    } else if (inner instanceof z.ZodTuple && typeof step === "number") {
      current = inner.def.items[step];
    } else {
      return undefined;
    }
  }
  return current;
}

export function describeSchema(schema: z.core.$ZodType, path: readonly (string | number)[]): SchemaShape | undefined {
  const at = schemaAt(schema, path);
  if (at === undefined) return undefined;
  const inner = unwrapped(at);
  const { description, example, measure } = metadataOf(at);
  return {
    kind: inner instanceof z.ZodObject ? "map" : inner instanceof z.ZodArray ? "list" : "value",
    keys: inner instanceof z.ZodObject ? Object.keys(inner.shape) : [],
    ...(description === undefined ? {} : { description }),
    ...(example === undefined ? {} : { example: String(example) }),
    ...(measure === undefined ? {} : { measure }),
  };
}

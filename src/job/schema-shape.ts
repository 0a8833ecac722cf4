/** Walks a zod schema: what keys, kinds and metadata stand at a path. */
import { z } from "zod";
import type { Path } from "./yaml-places.ts";

export interface SchemaShape {
  readonly kind: "map" | "list" | "value";
  /** Keys of a map, in the order of the schema. */
  readonly keys: readonly string[];
  readonly description?: string;
  readonly example?: string;
  readonly measure?: string;
}

export interface Metadata {
  readonly description?: string;
  readonly example?: string;
  readonly measure?: string;
  readonly unit?: string;
}

/**
 * What a schema holds under its optional, pipe and union wrappings. Of a union it is the map where
 * there is one; of a union of maps the one whose `kind` the value has.
 */
export function unwrapped(schema: z.core.$ZodType, value?: unknown): z.core.$ZodType {
  if (schema instanceof z.ZodOptional) return unwrapped(schema.unwrap(), value);
  if (schema instanceof z.ZodPipe) return unwrapped(schema.in, value);
  if (schema instanceof z.ZodUnion) {
    const maps = schema.options
      .map((option) => unwrapped(option as z.core.$ZodType))
      .filter((option) => option instanceof z.ZodObject);
    if (maps.length < 2) return maps[0] ?? schema;
    const kind = isRecord(value) ? value.kind : undefined;
    return maps.find((map) => kindsOf(map).has(kind)) ?? schema;
  }
  return schema;
}

const isRecord = (value: unknown): value is Record<string, unknown> =>
  value !== null && typeof value === "object" && !Array.isArray(value);

const kindsOf = (map: z.ZodObject): ReadonlySet<unknown> => {
  const kind = map.shape.kind;
  return kind instanceof z.ZodLiteral ? kind.values : new Set();
};

/** The words that `kind` may be in a union of maps. */
export const kindsOfUnion = (schema: z.core.$ZodType): string[] =>
  schema instanceof z.ZodUnion
    ? schema.options.flatMap((option) => {
        const map = unwrapped(option as z.core.$ZodType);
        return map instanceof z.ZodObject ? [...kindsOf(map)].map(String) : [];
      })
    : [];

/** Metadata of a schema or of what it wraps, the outermost first. */
export function metadataOf(schema: z.core.$ZodType): Metadata {
  const own = (z.globalRegistry.get(schema) ?? {}) as Metadata;
  return schema instanceof z.ZodOptional ? { ...metadataOf(schema.unwrap()), ...own } : own;
}

/** The schema at a path of keys and indices; undefined where the path leaves the schema. */
export function schemaAt(schema: z.core.$ZodType, path: Path, value?: unknown): z.core.$ZodType | undefined {
  let current: z.core.$ZodType | undefined = schema;
  let at = value;
  for (const step of path) {
    if (current === undefined) return undefined;
    const inner = unwrapped(current, at);
    if (inner instanceof z.ZodObject) {
      current = typeof step === "string" && Object.hasOwn(inner.shape, step) ? inner.shape[step] : undefined;
    } else if (inner instanceof z.ZodArray) {
      current = inner.element as z.core.$ZodType;
    } else if (inner instanceof z.ZodTuple && typeof step === "number") {
      current = inner.def.items[step];
    } else {
      return undefined;
    }
    at =
      at !== null && typeof at === "object" && Object.hasOwn(at, step)
        ? (at as Record<string, unknown>)[step]
        : undefined;
  }
  return current;
}

/** @param value of the whole, by which unions are told apart */
export function describeSchema(schema: z.core.$ZodType, path: Path, value: unknown): SchemaShape | undefined {
  const at = schemaAt(schema, path, value);
  if (at === undefined) return undefined;
  const inner = unwrapped(at, valueBelow(value, path));
  const { description, example, measure } = metadataOf(at);
  return {
    kind: inner instanceof z.ZodObject ? "map" : inner instanceof z.ZodArray ? "list" : "value",
    keys: inner instanceof z.ZodObject ? Object.keys(inner.shape) : [],
    ...(description === undefined ? {} : { description }),
    ...(example === undefined ? {} : { example: String(example) }),
    ...(measure === undefined ? {} : { measure }),
  };
}

const valueBelow = (value: unknown, path: Path): unknown =>
  path.reduce<unknown>(
    (at, step) =>
      at !== null && typeof at === "object" && Object.hasOwn(at, step)
        ? (at as Record<string, unknown>)[step]
        : undefined,
    value,
  );

/** Parts of a document that pass their schema, so that they can be checked further where others do not. */
import { z } from "zod";
import { LIMITS } from "./schema-limits.ts";
import { nearName } from "./suggest.ts";
import { type Path, valueAt } from "./yaml-places.ts";
import type { YamlDocument } from "./yaml-text.ts";

/** An entry as the schema let it through, with where it stands in the file. */
export interface At<T> {
  readonly text: T;
  readonly path: Path;
}

/** No list of a job is longer than this; a longer one was objected to, and is not looked into. */
const MOST_ENTRIES = LIMITS.points;

/**
 * A part of the document against its schema, in silence: what is wrong with it was said once for the whole.
 * @param droppable keys that the rest can be checked without: where only they are wrong, or keys that
 *   are no slip of a known one, the part is given without them
 */
export function part<T extends z.ZodType>(
  document: YamlDocument,
  path: Path,
  schema: T,
  droppable: readonly string[] = [],
): z.output<T> | undefined {
  const value = valueAt(document, path);
  if (value === undefined) return undefined;
  const result = schema.safeParse(value);
  if (result.success) return result.data;
  if (!(schema instanceof z.ZodObject) || value === null || typeof value !== "object") return undefined;
  const known = Object.keys(schema.shape);
  const wrong = result.error.issues.flatMap(({ path: at, ...issue }) =>
    issue.code === "unrecognized_keys" && at.length === 0 ? issue.keys : at.slice(0, 1).map(String),
  );
  const absent = known.filter((key) => !Object.hasOwn(value, key));
  const canDrop = (key: string) =>
    droppable.includes(key) || (!known.includes(key) && nearName(key, absent) === undefined);
  if (wrong.length === 0 || !wrong.every(canDrop)) return undefined;
  const rest = Object.entries(value).filter(([key]) => !wrong.includes(key));
  const again = schema.safeParse(Object.fromEntries(rest));
  return again.success ? again.data : undefined;
}

/** Entries of a list that pass their schema. */
export function parts<T extends z.ZodType>(
  document: YamlDocument,
  path: Path,
  schema: T,
  droppable: readonly string[] = [],
): At<z.output<T>>[] {
  const list = valueAt(document, path);
  if (!Array.isArray(list) || list.length > MOST_ENTRIES) return [];
  return list.flatMap((_, k) => {
    const text = part(document, [...path, k], schema, droppable);
    return text === undefined ? [] : [{ text, path: [...path, k] }];
  });
}

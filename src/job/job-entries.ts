/** Library entries as a job names them: by id, or written out in the job itself. */
import type { Diagnostic } from "../diagnostics.ts";
import { type JobReader, objectAt } from "./job-reader.ts";
import type { Entry } from "./library.ts";
import { nearName } from "./suggest.ts";
import { type Path, valueAt } from "./yaml-places.ts";

type ReadEntry<T> = (entry: Entry, problems: Diagnostic[]) => T | undefined;

/** The entry of an id; objects where the library has none, with the near name where there is one. */
export function readEntryOf<T>(
  reader: JobReader,
  entries: ReadonlyMap<string, Entry>,
  id: string,
  what: string,
  path: Path,
  read: ReadEntry<T>,
): T | undefined {
  const entry = entries.get(id);
  if (entry !== undefined) return read(entry, reader.problems);
  const near = nearName(id, [...entries.keys()]);
  objectAt(reader, path, {
    code: "not-in-library",
    message: `The library has no ${what} "${id}".`,
    expected: entries.size === 0 ? `an entry for it in jobs/_library` : `one of ${[...entries.keys()].join(", ")}`,
    hint: near === undefined ? undefined : `Did you mean "${near}"?`,
  });
  return undefined;
}

/** The same for a key that may hold an id or the entry itself. */
export function readIdOrEntry<T>(
  reader: JobReader,
  entries: ReadonlyMap<string, Entry>,
  what: string,
  path: Path,
  read: ReadEntry<T>,
): T | undefined {
  const value = valueAt(reader.document, path);
  if (typeof value === "string") return readEntryOf(reader, entries, value, what, path, read);
  // What is neither was objected to with the rest of the job.
  if (value === null || typeof value !== "object") return undefined;
  return read({ document: reader.document, path, value, inJob: true }, reader.problems);
}

/** What jobs share: materials, primers, pins, instruments, crews, the company, from the library files. */
import type { z } from "zod";
import type { Diagnostic, SourcePlace } from "../diagnostics.ts";
import { librarySchema } from "./schema-library.ts";
import { schemaProblems } from "./schema-problems.ts";
import { nodeAt, type Path, placeOf, valueAt } from "./yaml-places.ts";
import { parseYaml, type YamlDocument } from "./yaml-text.ts";

/** The library as read from disk: each file by the name that the office knows it by. */
export interface LibraryFiles {
  readonly files: readonly { readonly file: string; readonly text: string }[];
}

/** Raw entries by their id, not checked yet: only those that a job uses have to be right for it. */
export interface Library {
  readonly company?: Entry;
  readonly usual?: Entry;
  readonly learned?: Entry;
  readonly materials: ReadonlyMap<string, Entry>;
  readonly primers: ReadonlyMap<string, Entry>;
  readonly pins: ReadonlyMap<string, Entry>;
  readonly instruments: ReadonlyMap<string, Entry>;
  readonly crews: ReadonlyMap<string, Entry>;
}

/** Something that stands in a file: in the library, or written out in the job. */
export interface Entry {
  readonly document: YamlDocument;
  readonly path: Path;
  readonly value: unknown;
  /** True for one written out in a job: what the schema objects to was said with the rest of the job. */
  readonly inJob?: boolean;
}

const LISTS = ["materials", "primers", "pins", "instruments", "crews"] as const;
type ListName = (typeof LISTS)[number];

/**
 * Reads the library files as far as finding their entries.
 * @returns the entries, and what is wrong with the files themselves: syntax, unknown keys, an id given twice
 */
export function readLibrary(library: LibraryFiles): { readonly library: Library; readonly diagnostics: Diagnostic[] } {
  const diagnostics: Diagnostic[] = [];
  const lists = Object.fromEntries(LISTS.map((name) => [name, new Map<string, Entry>()])) as Record<
    ListName,
    Map<string, Entry>
  >;
  const single: { company?: Entry; usual?: Entry; learned?: Entry } = {};
  const files = [...library.files].sort((a, b) => (a.file < b.file ? -1 : a.file > b.file ? 1 : 0));
  for (const { file, text } of files) {
    const parsed = parseYaml(text.replace(/^\ufeff/, ""), file);
    diagnostics.push(...parsed.diagnostics);
    if (parsed.document === undefined) continue;
    const { document } = parsed;
    diagnostics.push(...fileProblems(document));
    for (const name of ["company", "usual", "learned"] as const) {
      const entry = entryAt(document, [name]);
      if (entry === undefined) continue;
      const earlier = single[name];
      if (earlier === undefined) single[name] = entry;
      else diagnostics.push(givenTwice(name, earlier, entry));
    }
    for (const name of LISTS) {
      const { node } = nodeAt(document.root, [name]);
      if (node === document.root || node.kind !== "list") continue;
      for (const k of node.items.keys()) {
        const entry = entryAt(document, [name, k])!;
        const id = idOf(entry);
        if (id === undefined) continue;
        const earlier = lists[name].get(id);
        if (earlier === undefined) lists[name].set(id, entry);
        else diagnostics.push(givenTwice(id, earlier, entry));
      }
    }
  }
  return { library: { ...single, ...lists }, diagnostics };
}

function entryAt(document: YamlDocument, path: Path): Entry | undefined {
  const value = valueAt(document, path);
  return value === undefined ? undefined : { document, path, value };
}

function idOf(entry: Entry): string | undefined {
  const { value } = entry;
  if (value === null || typeof value !== "object" || !Object.hasOwn(value, "id")) return undefined;
  const { id } = value as { id: unknown };
  return typeof id === "string" ? id : undefined;
}

/** Problems of the file itself; those inside of an entry are left to whoever uses it. */
function fileProblems(document: YamlDocument): Diagnostic[] {
  const result = librarySchema.safeParse(document.value);
  if (result.success) return [];
  const ofFile = result.error.issues.filter((issue) => {
    const [key] = issue.path;
    const isEntry = key === "company" || key === "usual" || key === "learned" || issue.path.length > 1;
    return !isEntry || (issue.path.length === 2 && issue.code === "invalid_type");
  });
  return schemaProblems(ofFile, librarySchema, document, [], "the library file");
}

const givenTwice = (id: string, earlier: Entry, later: Entry): Diagnostic => {
  const first = placeOf(earlier.document, earlier.path);
  return {
    code: "duplicate-id",
    severity: "error",
    message: `"${id}" is given twice in the library, first in ${first.file} on line ${first.line}.`,
    expected: "one entry for each id, over all library files",
    place: placeOf(later.document, later.path),
  };
};

/** The entry against its schema; undefined after adding what is wrong with it. */
export function readEntry<T extends z.ZodType>(
  entry: Entry,
  schema: T,
  where: string,
  problems: Diagnostic[],
): z.output<T> | undefined {
  const result = schema.safeParse(entry.value);
  if (result.success) return result.data;
  if (entry.inJob !== true)
    problems.push(...schemaProblems(result.error.issues, schema, entry.document, entry.path, where));
  return undefined;
}

export const placeOfEntry = (entry: Entry): SourcePlace => placeOf(entry.document, [...entry.path, "id"]);

/** An entry in messages: what it is, and its id. */
export const namedEntry = (what: string, entry: Entry): string => `${what} ${idOf(entry) ?? "without an id"}`;

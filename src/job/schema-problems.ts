/** What the schema objects to, as the office reads it. */
import type { z } from "zod";
import type { Diagnostic } from "../diagnostics.ts";
import type { IssueParams } from "./schema-leaves.ts";
import { describeSchema, kindsOfUnion, type SchemaShape, schemaAt } from "./schema-shape.ts";
import { nearName } from "./suggest.ts";
import { nodeAt, type Path, placeOf, placeOfKey, valueAt } from "./yaml-places.ts";
import type { YamlDocument } from "./yaml-text.ts";

type Issue = z.core.$ZodIssue;

interface Context {
  readonly schema: z.ZodType;
  readonly document: YamlDocument;
  /** Path of the value in the document; issues carry paths below it. */
  readonly base: Path;
  /** What the value is called in messages, such as "the job". */
  readonly where: string;
}

interface Problem {
  readonly diagnostic: Diagnostic;
  /** Path of the map concerned, and the key that is missing from it or that a misspelt one seems to mean. */
  readonly map?: string;
  readonly missing?: string;
  readonly meant?: string;
}

/** Of more nobody reads, and each takes its time to word. */
const MOST_ISSUES = 500;

/** All problems of a value against a schema, in the order of the schema. */
export function schemaProblems(
  issues: readonly Issue[],
  schema: z.ZodType,
  document: YamlDocument,
  base: Path,
  where: string,
): Diagnostic[] {
  const context = { schema, document, base, where };
  const problems = issues.slice(0, MOST_ISSUES).flatMap((issue) => problemsOf(issue, context));
  // A misspelt key is one problem, not an unknown key and a missing one besides.
  const meant = new Set(problems.flatMap(({ map, meant }) => (meant === undefined ? [] : [`${map} ${meant}`])));
  return problems
    .filter(({ map, missing }) => missing === undefined || !meant.has(`${map} ${missing}`))
    .map(({ diagnostic }) => diagnostic);
}

function problemsOf(issue: Issue, context: Context): Problem[] {
  const { base, document, schema } = context;
  const steps = issue.path.map((step) => (typeof step === "symbol" ? String(step) : step));
  const path: Path = [...base, ...steps];
  const shape = describeSchema(schema, steps, valueAt(document, base));
  if (issue.code === "unrecognized_keys")
    return issue.keys.slice(0, MOST_ISSUES).map((key) => unknownKey(key, path, shape, context));
  if (issue.code === "custom") return [customProblem(issue, path, context)];
  if (isMissing(document, path)) return [missingKey(path, shape, context)];
  switch (issue.code) {
    case "invalid_union":
      if (issue.errors.length === 0) return [wrongChoice(kindsOf(schema, path, context), path, context)];
      return unionProblems(issue, path, shape, context);
    case "invalid_value":
      return [wrongChoice(issue.values, path, context)];
    case "too_big":
    case "too_small":
      return [sizeProblem(issue, path, shape, context)];
    default:
      return [wrongKind(path, shape, issue.message, context)];
  }
}

/** Of a union that is told apart by `kind`, the words that can stand there; `path` is that of the kind. */
function kindsOf(schema: z.ZodType, path: Path, { base, document }: Context): string[] {
  const union = schemaAt(schema, path.slice(base.length, -1), valueAt(document, base));
  return union === undefined ? [] : kindsOfUnion(union);
}

function customProblem(issue: z.core.$ZodIssueCustom, path: Path, context: Context): Problem {
  const params = issue.params as IssueParams | undefined;
  return {
    diagnostic: {
      code: params?.code ?? "bad-value",
      severity: "error",
      message: `${sentenceAt(path, context)}: ${issue.message}`,
      ...(params?.expected === undefined ? {} : { expected: params.expected }),
      ...(params?.hint === undefined ? {} : { hint: params.hint }),
      place: placeOf(context.document, path),
    },
  };
}

/** The branch that the value was meant for is the one that does not fail on its kind at once. */
function unionProblems(
  issue: z.core.$ZodIssueInvalidUnion,
  path: Path,
  shape: SchemaShape | undefined,
  context: Context,
): Problem[] {
  const meant = issue.errors.find(
    (branch) => branch.length > 0 && !branch.some((inner) => inner.path.length === 0 && isKindMismatch(inner)),
  );
  if (!meant) return [wrongKind(path, shape, issue.message, context)];
  return meant.flatMap((inner) => problemsOf({ ...inner, path: [...issue.path, ...inner.path] } as Issue, context));
}

const isKindMismatch = (issue: Issue): boolean =>
  issue.code === "invalid_type" ||
  (issue.code === "invalid_union" && issue.errors.every((branch) => branch.some(isKindMismatch)));

function unknownKey(key: string, path: Path, shape: SchemaShape | undefined, context: Context): Problem {
  const { document } = context;
  const keys = shape?.keys ?? [];
  const { node } = nodeAt(document.root, path);
  const near = nearName(
    key,
    keys.filter((name) => node.kind !== "map" || !node.byKey.has(name)),
  );
  // In braces a comma ends the value, so `from: 4,5 m` leaves a key `5 m` without a value.
  const entry = node.kind === "map" ? node.byKey.get(key) : undefined;
  if (/^\d/.test(key) && entry?.value.kind === "scalar" && entry.value.value === null) {
    return {
      diagnostic: {
        code: "decimal-comma",
        severity: "error",
        message: `${sentenceAt(path, context)}: a comma stands inside a number before "${clipped(key)}".`,
        expected: "decimals with a point, thousands without a mark",
        place: placeOfKey(document, [...path, key]),
      },
    };
  }
  return {
    map: path.join("."),
    ...(near === undefined ? {} : { meant: near }),
    diagnostic: {
      code: "unknown-key",
      severity: "error",
      message: `${sentenceAt(path, context)} has a key that is not known: "${clipped(key)}".`,
      ...(keys.length === 0 ? {} : { expected: `one of ${keys.join(", ")}` }),
      ...(near === undefined ? {} : { hint: `Did you mean "${near}"?` }),
      place: placeOfKey(document, [...path, key]),
    },
  };
}

function isMissing(document: YamlDocument, path: Path): boolean {
  const key = path.at(-1);
  if (typeof key !== "string") return false;
  const { node } = nodeAt(document.root, path.slice(0, -1));
  return node.kind === "map" && !node.byKey.has(key);
}

function missingKey(path: Path, shape: SchemaShape | undefined, context: Context): Problem {
  const key = String(path.at(-1));
  const map = path.slice(0, -1);
  const example = shape?.example ?? (shape?.kind === "map" ? `(${shape.keys.join(", ")})` : "a list");
  return {
    map: map.join("."),
    missing: key,
    diagnostic: {
      code: "missing-key",
      severity: "error",
      message: `${sentenceAt(map, context)} has no "${key}".`,
      expected: `${key}: ${example}`,
      ...(shape?.description === undefined ? {} : { hint: `Add it: ${lowerFirst(shape.description)}` }),
      place: placeOf(context.document, map),
    },
  };
}

function wrongChoice(values: readonly z.core.util.Primitive[], path: Path, context: Context): Problem {
  const names = values.map(String);
  const { node } = nodeAt(context.document.root, path);
  const typed = node.kind === "scalar" && node.value !== null ? String(node.value) : undefined;
  if (typed === undefined) return wrongKind(path, undefined, inWords(names), context);
  const near = nearName(typed, names);
  return {
    diagnostic: {
      code: "unknown-value",
      severity: "error",
      message: `${sentenceAt(path, context)}: "${clipped(typed)}" is not one of the words that can stand here.`,
      expected: inWords(names),
      ...(near === undefined ? {} : { hint: `Did you mean "${near}"?` }),
      place: placeOf(context.document, path),
    },
  };
}

/** Words as a choice; those of several words in quotes, so that it is plain where one ends. */
const inWords = (names: readonly string[]): string =>
  names.map((name) => (/[ ,]/.test(name) ? `"${name}"` : name)).join(" or ");

const lowerFirst = (text: string): string => text.charAt(0).toLowerCase() + text.slice(1);

const clipped = (text: string): string => (text.length > 40 ? `${text.slice(0, 40)} …` : text);

function wrongKind(path: Path, shape: SchemaShape | undefined, message: string, context: Context): Problem {
  const { node } = nodeAt(context.document.root, path);
  const found =
    node.kind === "list"
      ? "a list stands here"
      : node.kind === "map"
        ? "keys stand here"
        : node.value === null
          ? "there is no value"
          : `"${clipped(String(node.value))}" stands here`;
  // Leaves say in their error message what they take; of maps and lists the shape tells.
  const wanted =
    shape?.kind === "map"
      ? `keys: ${shape.keys.join(", ")}`
      : shape?.kind === "list"
        ? `a list${shape.example === undefined ? "" : `, such as ${shape.example}`}`
        : message.startsWith("Invalid")
          ? (shape?.measure ?? "another kind of value")
          : message;
  return {
    diagnostic: {
      code: node.kind === "scalar" && node.value === null ? "missing-value" : "wrong-kind",
      severity: "error",
      message: `${sentenceAt(path, context)}: ${found}.`,
      expected: wanted,
      place: placeOf(context.document, path),
    },
  };
}

function sizeProblem(
  issue: z.core.$ZodIssueTooBig | z.core.$ZodIssueTooSmall,
  path: Path,
  shape: SchemaShape | undefined,
  context: Context,
): Problem {
  const { node } = nodeAt(context.document.root, path);
  const isText = issue.origin === "string";
  const isPair = shape?.measure === "[east, north]";
  const limit = issue.code === "too_big" ? `at most ${issue.maximum}` : `at least ${issue.minimum}`;
  const count = node.kind === "list" ? node.items.length : 0;
  return {
    diagnostic: {
      code: isPair ? "not-a-point" : issue.code === "too_big" ? "too-many" : "too-few",
      severity: "error",
      message: `${sentenceAt(path, context)}: ${isText ? "the text is too long" : `${count} ${count === 1 ? "entry stands" : "entries stand"} here`}.`,
      expected: isPair
        ? `two lengths, east and north, such as ${shape?.example ?? "[12', 9']"}`
        : `${limit}${isText ? " characters" : ""}`,
      ...(isPair && count > 2 ? { hint: "Decimals are written with a point: a comma parts the two lengths." } : {}),
      place: placeOf(context.document, path),
    },
  };
}

const SINGULAR: Readonly<Record<string, string>> = {
  rooms: "room",
  columns: "column",
  openings: "opening",
  doors: "door",
  bench_marks: "bench mark",
  set_ups: "set-up",
  points: "point",
  build_up: "layer",
  materials: "material",
  primers: "primer",
  pins: "pins",
  instruments: "instrument",
  crews: "crew",
  vertices: "corner",
  walls: "part",
  notes: "note",
  languages: "language",
  porous: "coat",
  dense: "coat",
};

/** The id of the entry at a path, where it has a short one. */
function idAt(document: YamlDocument, path: Path): string | undefined {
  const { node } = nodeAt(document.root, path);
  if (node.kind !== "map") return undefined;
  const id = node.byKey.get("id")?.value;
  return id?.kind === "scalar" && typeof id.value === "string" && id.value.length <= 40 ? id.value : undefined;
}

/** What stands at a path, in words: `rooms, 2, columns, 1` → "column C2 of room hall", by count where it has no id. */
function nameAt(path: Path, context: Context): string {
  if (path.length <= context.base.length) return context.where;
  const last = path.at(-1)!;
  const list = path.at(-2);
  const isEntry = typeof last === "number" && typeof list === "string";
  const name = isEntry
    ? `${SINGULAR[list] ?? `entry of "${list}"`} ${idAt(context.document, path) ?? last + 1}`
    : typeof last === "number"
      ? last === 0
        ? "the distance east"
        : "the distance north"
      : `"${last}"`;
  const parent = path.slice(0, isEntry ? -2 : -1);
  return parent.length === 0 ? name : `${name} of ${nameAt(parent, context)}`;
}

function sentenceAt(path: Path, context: Context): string {
  const name = nameAt(path, context);
  return name.charAt(0).toUpperCase() + name.slice(1);
}

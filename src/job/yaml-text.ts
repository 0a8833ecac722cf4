/**
 * YAML text as a tree in which every value knows where it stands. All scalars stay text as typed
 * (but true, false and null), so that the schema alone decides what a number or a length is.
 * Anchors, aliases, merge keys, tags and several documents in one file are refused: a job says
 * everything once, where it is read.
 */
import { EVENT_ID, type Event, getScalarValue, parseEvents, SCALAR_STYLE, YAMLException } from "js-yaml";
import type { Diagnostic, SourcePlace } from "../diagnostics.ts";

export interface YamlScalar {
  readonly kind: "scalar";
  readonly value: string | boolean | null;
  /** Offsets in the text, quotes left out; for an empty value the place where it should stand. */
  readonly start: number;
  readonly end: number;
  readonly isBlock: boolean;
}
export interface YamlList {
  readonly kind: "list";
  readonly start: number;
  readonly items: readonly YamlNode[];
}
export interface YamlMap {
  readonly kind: "map";
  readonly start: number;
  readonly entries: readonly YamlEntry[];
  readonly byKey: ReadonlyMap<string, YamlEntry>;
}
export interface YamlEntry {
  readonly key: string;
  readonly keyStart: number;
  readonly keyEnd: number;
  readonly value: YamlNode;
}
export type YamlNode = YamlScalar | YamlList | YamlMap;

/** Deeper than any job or library file goes. */
const GREATEST_DEPTH = 16;

/** A text and the means to say where in it something stands. */
export interface SourceText {
  readonly file: string;
  readonly text: string;
  /** The run from an offset, cut at the end of its line. */
  placeAt(offset: number, length: number): SourcePlace;
}

export function sourceText(file: string, text: string): SourceText {
  const lineStarts = [0];
  for (let i = text.indexOf("\n"); i !== -1; i = text.indexOf("\n", i + 1)) lineStarts.push(i + 1);
  return {
    file,
    text,
    placeAt(offset, length) {
      const at = Math.min(Math.max(offset, 0), text.length);
      let low = 0;
      let high = lineStarts.length - 1;
      while (low < high) {
        const middle = (low + high + 1) >> 1;
        if (lineStarts[middle]! <= at) low = middle;
        else high = middle - 1;
      }
      const lineStart = lineStarts[low]!;
      // A mark of the encoding before the first letter is drawn by no editor: columns begin after it.
      const begins = low === 0 && text.startsWith("\ufeff") ? 1 : lineStart;
      let lineEnd = low + 1 < lineStarts.length ? lineStarts[low + 1]! - 1 : text.length;
      if (text[lineEnd - 1] === "\r" && lineEnd > lineStart) lineEnd -= 1;
      return {
        file,
        line: low + 1,
        column: Math.max(at - begins, 0) + 1,
        length: Math.max(1, Math.min(length, lineEnd - at)),
        lineText: text.slice(begins, lineEnd),
      };
    },
  };
}

export interface YamlDocument {
  readonly source: SourceText;
  readonly root: YamlNode;
  /** The value as plain data; maps have no prototype, so that no key can reach one. */
  readonly value: unknown;
}

/**
 * Parses one YAML document.
 * @returns the document where it could be read at all, and everything that is not allowed in it
 */
export function parseYaml(
  text: string,
  file: string,
): { readonly document?: YamlDocument; readonly diagnostics: Diagnostic[] } {
  const source = sourceText(file, text);
  let events: Event[];
  try {
    events = parseEvents(text, { maxDepth: GREATEST_DEPTH });
  } catch (error) {
    if (!(error instanceof YAMLException)) throw error;
    return { diagnostics: [syntaxProblem(error, source)] };
  }
  const diagnostics: Diagnostic[] = [];
  const root = treeOf(events, source, diagnostics);
  if (root === undefined) {
    diagnostics.push({
      code: "empty-file",
      severity: "error",
      message: `${file} is empty.`,
      expected: "a job",
      hint: "Start one with the command that makes a new job file.",
      place: source.placeAt(0, 1),
    });
    return { diagnostics };
  }
  return { document: { source, root, value: plainValue(root) }, diagnostics };
}

function syntaxProblem(error: YAMLException, source: SourceText): Diagnostic {
  const { reason } = error;
  if (reason.includes("null byte")) {
    return {
      code: "nul-byte",
      severity: "error",
      message: "The file holds a NUL byte: it is no text, or was damaged.",
      expected: "UTF-8 text",
      hint: "Save it again as plain text, or take it from its last good copy.",
      place: source.placeAt(error.mark?.position ?? 0, 1),
    };
  }
  const position = error.mark?.position ?? 0;
  // At the end of the file there is no character to point at: step back to the last one.
  const stopped = source.placeAt(Math.min(position, Math.max(0, source.text.trimEnd().length - 1)), 1);
  const opened = unclosedQuote(source, position);
  if (opened !== undefined) {
    return {
      code: "yaml-quote-not-closed",
      severity: "error",
      message: `The quote that opens here is not closed; the file cannot be read from line ${stopped.line} on.`,
      expected: "quotes in pairs",
      hint: "Close the quote. A length such as 24' 6\" needs none around it.",
      place: opened,
    };
  }
  return {
    code: "yaml-syntax",
    severity: "error",
    message: `The file cannot be read as YAML from here on: ${reason}.`,
    expected: "keys with a colon and a space, indented with spaces, brackets in pairs",
    hint: syntaxHint(reason, stopped),
    place: stopped,
  };
}

/** The last value before the position that begins with a quote which its line does not close. */
function unclosedQuote(source: SourceText, position: number): SourcePlace | undefined {
  let lineStart = 0;
  let found: SourcePlace | undefined;
  for (const line of source.text.slice(0, position + 1).split("\n")) {
    const value = /^(\s*(?:- )*(?:[\w-]+:\s+)?)(["'])(.*)$/.exec(line);
    if (value) {
      const [, lead, quote, rest] = value as unknown as [string, string, string, string];
      if (!rest.includes(quote)) found = source.placeAt(lineStart + lead.length, rest.trimEnd().length + 1);
    }
    lineStart += line.length + 1;
  }
  return found;
}

/** The usual slips, told by the line on which the parser stopped. */
function syntaxHint(reason: string, place: SourcePlace): string {
  const { lineText } = place;
  if (/depth|nesting/.test(reason)) return "Nothing in a job is nested this deep.";
  if (/^\s*\t/.test(lineText)) return "Indent with spaces: this line starts with a tab.";
  const value = /^\s*(?:- )?[\w-]+:\s+(.*)$/.exec(lineText)?.[1];
  if (value !== undefined && !/^[{[]/.test(value) && /: /.test(value)) {
    return "A colon and a space inside a value start a new key: put the whole value in quotes.";
  }
  if (/^\s*(?:- )?[\w-]+:[^\s]/.test(lineText)) return "Put a space after the colon.";
  return "Look at this line and the one above it: the indentation, or a bracket that is not closed.";
}

/** Walks the events once, keeping a stack of open lists and maps. */
function treeOf(events: readonly Event[], source: SourceText, diagnostics: Diagnostic[]): YamlNode | undefined {
  let index = 0;
  let root: YamlNode | undefined;
  let documents = 0;
  /** End of what was read last: where an empty value is said to stand. */
  let lastEnd = 0;

  const refuse = (code: string, message: string, hint: string, start: number, end: number): void => {
    diagnostics.push({ code, severity: "error", message, hint, place: source.placeAt(start, end - start) });
  };

  const refuseProperties = (event: { anchorStart: number; anchorEnd: number; tagStart: number; tagEnd: number }) => {
    if (event.anchorStart >= 0) {
      refuse(
        "yaml-anchor",
        "Anchors (&name) are not read in a job file.",
        "Remove it, and type the value again where it is needed.",
        event.anchorStart - 1,
        event.anchorEnd,
      );
    }
    if (event.tagStart >= 0) {
      refuse(
        "yaml-tag",
        `The tag ${source.text.slice(event.tagStart, event.tagEnd)} is not read in a job file.`,
        "Remove it: the value alone says what it is.",
        event.tagStart,
        event.tagEnd,
      );
    }
  };

  const readNode = (): YamlNode => {
    const event = events[index++]!;
    switch (event.type) {
      case EVENT_ID.SCALAR: {
        refuseProperties(event);
        if (event.valueStart < 0) {
          return { kind: "scalar", value: null, start: lastEnd, end: lastEnd, isBlock: false };
        }
        const text = getScalarValue(source.text, event);
        const isPlain = event.style === SCALAR_STYLE.PLAIN;
        const isBlock = event.style === SCALAR_STYLE.LITERAL_BLOCK || event.style === SCALAR_STYLE.FOLDED_BLOCK;
        lastEnd = Math.max(lastEnd, event.valueEnd);
        return {
          kind: "scalar",
          value: isPlain ? plainScalar(text) : text,
          start: event.valueStart,
          end: event.valueEnd,
          isBlock,
        };
      }
      case EVENT_ID.SEQUENCE: {
        refuseProperties(event);
        const items: YamlNode[] = [];
        while (events[index]!.type !== EVENT_ID.POP) items.push(readNode());
        index += 1;
        return { kind: "list", start: event.start, items };
      }
      case EVENT_ID.MAPPING: {
        refuseProperties(event);
        return readMap(event.start);
      }
      case EVENT_ID.ALIAS: {
        refuse(
          "yaml-alias",
          `The alias *${source.text.slice(event.anchorStart, event.anchorEnd)} is not read in a job file.`,
          "Type the value again in its place.",
          event.anchorStart - 1,
          event.anchorEnd,
        );
        lastEnd = Math.max(lastEnd, event.anchorEnd);
        return { kind: "scalar", value: null, start: event.anchorStart - 1, end: event.anchorEnd, isBlock: false };
      }
      default:
        throw new Error(`${source.file}: the YAML parser gave event ${event.type} where a value stands`);
    }
  };

  /** Reads the entries of a map that was opened, to its end. */
  const readMap = (start: number): YamlMap => {
    const entries: YamlEntry[] = [];
    const byKey = new Map<string, YamlEntry>();
    while (events[index]!.type !== EVENT_ID.POP) {
      const key = readNode();
      if (key.kind === "scalar") lastEnd = Math.max(lastEnd, key.end + 1);
      const value = readNode();
      if (key.kind !== "scalar" || key.value === null) {
        refuse("key-not-text", "A key has to be a word.", "Put a word before the colon.", key.start, key.start + 1);
        continue;
      }
      const name = String(key.value);
      if (name === "<<") {
        refuse(
          "yaml-merge",
          "Merge keys (<<) are not read in a job file.",
          "Type the keys out in their place.",
          key.start,
          key.end,
        );
        continue;
      }
      const earlier = byKey.get(name);
      if (earlier !== undefined) {
        refuse(
          "duplicate-key",
          `The key "${name}" stands twice, first on line ${source.placeAt(earlier.keyStart, 1).line}.`,
          "Keep one of them.",
          key.start,
          key.end,
        );
        continue;
      }
      const entry = { key: name, keyStart: key.start, keyEnd: key.end, value };
      byKey.set(name, entry);
      entries.push(entry);
    }
    index += 1;
    return { kind: "map", start, entries, byKey };
  };

  while (index < events.length) {
    const event = events[index++]!;
    if (event.type !== EVENT_ID.DOCUMENT) {
      throw new Error(`${source.file}: the YAML parser gave event ${event.type} where a document starts`);
    }
    documents += 1;
    if (events[index]!.type === EVENT_ID.POP) {
      index += 1;
      continue;
    }
    const node = readNode();
    index += 1;
    if (documents === 1) root = node;
    else if (documents === 2) {
      refuse(
        "several-documents",
        "The file holds more than one YAML document.",
        "Keep one job to a file, without a line of three dashes inside it.",
        node.start,
        node.start + 1,
      );
    }
  }
  return root;
}

function plainScalar(text: string): string | boolean | null {
  if (text === "" || text === "~" || text === "null") return null;
  if (text === "true") return true;
  if (text === "false") return false;
  return text;
}

function plainValue(node: YamlNode): unknown {
  if (node.kind === "scalar") return node.value;
  if (node.kind === "list") return node.items.map(plainValue);
  const map: Record<string, unknown> = Object.create(null);
  for (const { key, value } of node.entries) {
    Object.defineProperty(map, key, {
      value: plainValue(value),
      enumerable: true,
      configurable: true,
      writable: true,
    });
  }
  return map;
}

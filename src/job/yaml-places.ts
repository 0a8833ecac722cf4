/** Where a value stands in its file, by its path of keys and indices. */
import type { SourcePlace } from "../diagnostics.ts";
import type { SourceText, YamlDocument, YamlEntry, YamlNode, YamlScalar } from "./yaml-text.ts";

export type Path = readonly (string | number)[];

/** The plain value at a path; undefined where there is none. */
export function valueAt(document: YamlDocument, path: Path): unknown {
  let value: unknown = document.value;
  for (const step of path) {
    if (value === null || typeof value !== "object" || !Object.hasOwn(value, step)) return undefined;
    value = (value as Record<string | number, unknown>)[step];
  }
  return value;
}

/** The node at a path, or the nearest parent that there is, with the entry under which it stands. */
export function nodeAt(root: YamlNode, path: Path): { readonly node: YamlNode; readonly entry?: YamlEntry } {
  let node = root;
  let entry: YamlEntry | undefined;
  for (const step of path) {
    if (node.kind === "map") {
      const next = node.byKey.get(String(step));
      if (!next) break;
      node = next.value;
      entry = next;
    } else if (node.kind === "list" && typeof step === "number" && node.items[step] !== undefined) {
      node = node.items[step];
      entry = undefined;
    } else {
      break;
    }
  }
  return entry === undefined ? { node } : { node, entry };
}

/** The place of a value: of the scalar itself, or of the key or first entry that opens a list, map or block. */
export function placeOf(document: YamlDocument, path: Path): SourcePlace {
  const { node, entry } = nodeAt(document.root, path);
  return placeOfNode(document.source, node, entry);
}

export function placeOfNode(source: SourceText, node: YamlNode, entry?: YamlEntry): SourcePlace {
  if (node.kind === "scalar" && !node.isBlock) return source.placeAt(node.start, node.end - node.start);
  if (entry) return source.placeAt(entry.keyStart, entry.keyEnd - entry.keyStart);
  if (node.kind === "map") {
    const first = node.entries[0];
    if (first) {
      const end = first.value.kind === "scalar" && !first.value.isBlock ? first.value.end : first.keyEnd;
      return source.placeAt(first.keyStart, Math.max(end, first.keyEnd) - first.keyStart);
    }
  }
  return source.placeAt(node.start, 1);
}

/** The place of the key of the last step of a path. */
export function placeOfKey(document: YamlDocument, path: Path): SourcePlace {
  const { node, entry } = nodeAt(document.root, path);
  return entry
    ? document.source.placeAt(entry.keyStart, entry.keyEnd - entry.keyStart)
    : placeOfNode(document.source, node);
}

/**
 * Where each character of a scalar's decoded text stands in the file. Indentation, folded line ends
 * and escapes are stepped over; undefined where the text cannot be followed (`\x41` and the like).
 */
export function offsetsInFile(source: SourceText, scalar: YamlScalar): Uint32Array | undefined {
  const decoded = scalar.value;
  if (typeof decoded !== "string") return undefined;
  const offsets = new Uint32Array(decoded.length + 1);
  let raw = scalar.start;
  for (let i = 0; i < decoded.length; i++) {
    const wanted = decoded[i];
    // A folded line end is read as a space.
    while (raw < scalar.end && source.text[raw] !== wanted && !(wanted === " " && source.text[raw] === "\n")) raw += 1;
    if (raw >= scalar.end) {
      // Chomping may add a last line end that the file does not have.
      if (i === decoded.length - 1 && wanted === "\n") offsets[i] = scalar.end;
      else return undefined;
    } else {
      offsets[i] = raw++;
    }
  }
  offsets[decoded.length] = Math.max(raw, scalar.start);
  return offsets;
}

/** The place of a run inside a scalar's text; of the whole scalar where the run cannot be followed. */
export function placeInScalar(document: YamlDocument, path: Path, offset: number, length: number): SourcePlace {
  const { node } = nodeAt(document.root, path);
  if (node.kind === "scalar") {
    const offsets = offsetsInFile(document.source, node);
    if (offsets && offset < offsets.length) {
      const start = offsets[offset]!;
      const last = offsets[Math.min(offset + Math.max(1, length), offsets.length - 1) - (length > 0 ? 1 : 0)]!;
      return document.source.placeAt(start, Math.max(1, last - start + 1));
    }
  }
  return placeOf(document, path);
}

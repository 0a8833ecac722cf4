/** Text of values that does not depend on the order in which their keys were written, and hashes of it. */
import { createHash } from "node:crypto";

/** Text of a value with the keys of every object in order, so that equal values have equal text. */
export function canonicalJson(value: unknown): string {
  return JSON.stringify(value, (_, part: unknown) =>
    part !== null && typeof part === "object" && !Array.isArray(part)
      ? Object.fromEntries(Object.entries(part).sort(([p], [q]) => (p < q ? -1 : 1)))
      : part,
  );
}

/** SHA-256 of a text in hex. Line ends count as LF: a checkout may have turned them, and says the same. */
export const textHash = (text: string): string =>
  createHash("sha256").update(text.replaceAll("\r\n", "\n")).digest("hex");

/** First eight hex digits of the SHA-256 of a value's canonical JSON. */
export const shortHash = (value: unknown): string =>
  createHash("sha256").update(canonicalJson(value)).digest("hex").slice(0, 8);

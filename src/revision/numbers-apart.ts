/** Every number of one packet that another does not have, whatever stage it comes from. */

/** A number, or printed text, that differs; a side on which it is not there says so by being absent. */
export interface NumberApart {
  /** Such as `depths.result.pins[B3].cutMm`. */
  readonly path: string;
  readonly issued?: string;
  readonly now?: string;
}

/** Far above the rounding of sums of doubles, far below any print; relative to the larger, and to one. */
const AGREEMENT = 1e-9;

/** What names an item of a list, in this order of preference. */
const NAMES = ["id", "number", "name", "room", "material", "kind"] as const;

/**
 * Differences between the packet.json of a record and one computed now from the same job file, in the
 * order of the record. A quantity that prints as it did is the same; what only one has is a difference
 * where it is a number.
 */
export function numbersApart(issued: unknown, now: unknown): NumberApart[] {
  const apart: NumberApart[] = [];
  visit(issued, now, "", apart);
  return apart;
}

function visit(issued: unknown, now: unknown, path: string, apart: NumberApart[]): void {
  if (isQuantity(issued) && isQuantity(now)) {
    const [a, b] = [issued.printed.join(" = "), now.printed.join(" = ")];
    if (a !== b) apart.push({ path, issued: a, now: b });
    return;
  }
  if (typeof issued === "number" && typeof now === "number") {
    if (Math.abs(issued - now) > AGREEMENT * Math.max(1, Math.abs(issued), Math.abs(now)))
      apart.push({ path, issued: String(issued), now: String(now) });
    return;
  }
  if (Array.isArray(issued) && Array.isArray(now)) {
    const [before, after] = [byName(issued), byName(now)];
    for (const name of new Set([...before.keys(), ...after.keys()]))
      visit(before.get(name), after.get(name), `${path}[${name}]`, apart);
    return;
  }
  if (isRecord(issued) && isRecord(now)) {
    // Which sheets differ is told by their hashes.
    for (const key of new Set([...Object.keys(issued), ...Object.keys(now)]))
      if (!(path === "" && (key === "sheets" || key === "revision")))
        visit(issued[key], now[key], path === "" ? key : `${path}.${key}`, apart);
    return;
  }
  if (issued === now) return;
  const [a, b] = [leaf(issued), leaf(now)];
  // A key that another version of the program writes or no longer writes is no number of the floor.
  if (a === undefined || b === undefined) {
    if (isRecord(issued) || isRecord(now) || Array.isArray(issued) || Array.isArray(now)) {
      if (issued !== undefined && now !== undefined) apart.push({ path, issued: shape(issued), now: shape(now) });
      else if (/\]$/.test(path)) apart.push(issued === undefined ? { path, now: "there" } : { path, issued: "there" });
    }
    return;
  }
  apart.push({ path, issued: a, now: b });
}

const shape = (value: unknown): string => leaf(value) ?? "there";
const leaf = (value: unknown): string | undefined =>
  value === null ? "none" : typeof value === "object" || value === undefined ? undefined : String(value);

const isRecord = (value: unknown): value is Record<string, unknown> =>
  typeof value === "object" && value !== null && !Array.isArray(value);

const isQuantity = (value: unknown): value is { readonly printed: readonly string[] } =>
  isRecord(value) && typeof value.value === "number" && Array.isArray(value.printed);

/** Items by their names where each has one of its own, else by their place. */
function byName(items: readonly unknown[]): Map<string, unknown> {
  const key = NAMES.find((name) =>
    items.every((item) => isRecord(item) && ["string", "number"].includes(typeof item[name])),
  );
  const named = new Map(
    key === undefined ? [] : items.map((item) => [String((item as Record<string, unknown>)[key]), item]),
  );
  return named.size === items.length && key !== undefined
    ? named
    : new Map(items.map((item, index) => [String(index), item]));
}

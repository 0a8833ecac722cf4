/** Calendar dates as typed, `2027-03-05` or `2027-03-05 14:30`, without clock or time zone. */

const DAY_MS = 86_400_000;

/** The calendar day of a typed date; undefined where it is none. */
function dayOf(typed: string): number | undefined {
  const found = /^(\d{4})-(\d{2})-(\d{2})(?:$|[ T])/.exec(typed);
  if (!found) return undefined;
  const [year, month, day] = [Number(found[1]), Number(found[2]), Number(found[3])];
  const ms = Date.UTC(year, month - 1, day);
  const back = new Date(ms);
  return back.getUTCMonth() === month - 1 && back.getUTCDate() === day ? ms / DAY_MS : undefined;
}

/** Whole calendar days from one date to another, below zero where the second is earlier; undefined where one is no date. */
export function daysBetween(from: string, to: string): number | undefined {
  const [first, last] = [dayOf(from), dayOf(to)];
  return first === undefined || last === undefined ? undefined : last - first;
}

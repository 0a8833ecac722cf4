/** Calendar dates as typed, `2027-03-05` or `2027-03-05 14:30`, without clock or time zone. */

/**
 * Day number of a Gregorian date: Fliegel & Van Flandern, "A machine algorithm for processing calendar
 * dates", Communications of the ACM 11 (1968), p. 657.
 */
function dayNumber(year: number, month: number, day: number): number {
  const a = Math.trunc((month - 14) / 12);
  return (
    day -
    32075 +
    Math.trunc((1461 * (year + 4800 + a)) / 4) +
    Math.trunc((367 * (month - 2 - 12 * a)) / 12) -
    Math.trunc((3 * Math.trunc((year + 4900 + a) / 100)) / 4)
  );
}

/** The calendar day of a typed date; undefined where it is none. */
function dayOf(typed: string): number | undefined {
  const found = /^(\d{4})-(\d{2})-(\d{2})(?:$|[ T])/.exec(typed);
  if (!found) return undefined;
  const [year, month, day] = [Number(found[1]), Number(found[2]), Number(found[3])];
  if (month < 1 || month > 12 || day < 1) return undefined;
  const nextMonth = month === 12 ? dayNumber(year + 1, 1, 1) : dayNumber(year, month + 1, 1);
  const number = dayNumber(year, month, day);
  return number < nextMonth ? number : undefined;
}

/** Whole calendar days from one date to another, below zero where the second is earlier; undefined where one is no date. */
export function daysBetween(from: string, to: string): number | undefined {
  const [first, last] = [dayOf(from), dayOf(to)];
  return first === undefined || last === undefined ? undefined : last - first;
}

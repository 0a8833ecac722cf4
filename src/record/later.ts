/** Local dates and times as typed: no time zone is known or used. */

const DAY_MIN = 1440;

/** Days since 1970-01-01 of an ISO date; undefined where it is none. */
function dayOf(date: string): number | undefined {
  const match = /^(\d{4})-(\d{2})-(\d{2})/.exec(date);
  return match ? Date.UTC(Number(match[1]), Number(match[2]) - 1, Number(match[3])) / 86_400_000 : undefined;
}

/** The date and time some minutes after the midnight that begins `date`: `2027-03-04 14:12`. */
export function laterThan(date: string, minutesAfterMidnight: number): string {
  const day = dayOf(date);
  if (day === undefined) throw new RangeError(`"${date}" is not a date such as 2027-03-04`);
  const total = Math.round(minutesAfterMidnight);
  const days = day + Math.floor(total / DAY_MIN);
  const minute = ((total % DAY_MIN) + DAY_MIN) % DAY_MIN;
  const at = new Date(Date.UTC(1970, 0, 1 + days, 0, minute));
  return at.toISOString().slice(0, 16).replace("T", " ");
}

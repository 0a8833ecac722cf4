/** A straightedge on a profile the slow way: every pair of places is tried as contacts. */

export interface Sample {
  readonly s: number;
  readonly h: number;
}

/** Samples under the edge, its two ends read off the profile. */
export function underEdge(profile: readonly Sample[], start: number, length: number): Sample[] {
  const at = (s: number): number => {
    for (let k = 1; k < profile.length; k++) {
      const [a, b] = [profile[k - 1]!, profile[k]!];
      if (a.s <= s && s <= b.s && b.s > a.s) return a.h + ((b.h - a.h) * (s - a.s)) / (b.s - a.s);
    }
    throw new Error(`no floor at ${s}`);
  };
  const inside = profile.filter(({ s }) => s > start && s < start + length);
  return [{ s: start, h: at(start) }, ...inside, { s: start + length, h: at(start + length) }];
}

/**
 * The worst gap over every stable rest: contacts with the middle between them or over one of them, and
 * the line through them nowhere below the floor.
 */
export function bruteForceGap(under: readonly Sample[], start: number, length: number): { gap: number; whole: number } {
  const middle = start + length / 2;
  let gap = 0;
  let whole = 0;
  for (const [i, a] of under.entries()) {
    if (a.s > middle + 1e-12) continue;
    for (const [j, b] of under.entries()) {
      if (j <= i || b.s < middle - 1e-12 || b.s === a.s) continue;
      const gaps = under.map(({ s, h }) => a.h + ((b.h - a.h) * (s - a.s)) / (b.s - a.s) - h);
      if (gaps.some((one) => one < -1e-9)) continue;
      gap = Math.max(gap, ...gaps.slice(i + 1, j));
      whole = Math.max(whole, ...gaps);
    }
  }
  return { gap, whole };
}

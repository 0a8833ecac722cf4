/** "Did you mean": the near name, or none where it would be a guess. */

/**
 * Edits from one word to another: insertions, deletions, substitutions and swaps of neighbours
 * (Damerau–Levenshtein distance, optimal string alignment form; Damerau 1964, Levenshtein 1966).
 */
export function editDistance(a: string, b: string): number {
  let beforeLast: number[] = [];
  let last = Array.from({ length: b.length + 1 }, (_, j) => j);
  for (let i = 1; i <= a.length; i++) {
    const row = [i];
    for (let j = 1; j <= b.length; j++) {
      const substitution = last[j - 1]! + (a[i - 1] === b[j - 1] ? 0 : 1);
      let best = Math.min(last[j]! + 1, row[j - 1]! + 1, substitution);
      if (i > 1 && j > 1 && a[i - 1] === b[j - 2] && a[i - 2] === b[j - 1]) {
        best = Math.min(best, beforeLast[j - 2]! + 1);
      }
      row.push(best);
    }
    beforeLast = last;
    last = row;
  }
  return last[b.length]!;
}

/** Letters and digits only, lower case: `contractReference`, `contract-reference` and `contract_reference` are one word. */
const bareWord = (word: string): string => word.toLowerCase().replace(/[^\p{L}\p{N}]/gu, "");

const withoutDigits = (word: string): string => word.replace(/\p{N}/gu, "");

/** Longer than any name that we know: not worth comparing, and slow. */
const LONGEST_COMPARED = 64;

/**
 * The one name near to `typed`: the one that it begins, or that a few slips away. Silent when nothing is near (more than a third of the word would have
 * to change) and when two names are equally near.
 */
export function nearName(typed: string, names: readonly string[]): string | undefined {
  if (typed.length > LONGEST_COMPARED) return undefined;
  const word = bareWord(typed);
  if (word === "") return undefined;
  const begun = [...names].filter((name) => word.length >= 3 && bareWord(name).startsWith(word));
  const shortest = begun.toSorted((a, b) => a.length - b.length)[0];
  if (shortest !== undefined && begun.every((name) => name.startsWith(shortest))) return shortest;
  let best: string | undefined;
  let bestDistance = Number.POSITIVE_INFINITY;
  let tied = false;
  for (const name of names) {
    if (name.length > LONGEST_COMPARED) continue;
    const candidate = bareWord(name);
    const distance = editDistance(word, candidate);
    if (distance > Math.max(1, Math.floor(Math.max(word.length, candidate.length) / 3))) continue;
    // A word of one or two letters is near to too many others, and names that differ in their
    // numbers alone (bay 3, bay 4) are different things.
    if (distance > 0 && Math.min(word.length, candidate.length) < 3) continue;
    if (distance > 0 && withoutDigits(word) === withoutDigits(candidate)) continue;
    if (distance < bestDistance) {
      best = name;
      bestDistance = distance;
      tied = false;
    } else if (distance === bestDistance) {
      tied = true;
    }
  }
  return tied ? undefined : best;
}

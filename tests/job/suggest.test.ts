import { describe, expect, test } from "vitest";
import { editDistance, nearName } from "../../src/job/suggest.ts";

test.each([
  ["", "", 0],
  ["kitten", "sitting", 3],
  ["abcd", "acbd", 1],
  ["", "abc", 3],
  // Optimal string alignment: no letter is edited twice, so CA to ABC takes 3 (Boytsov, ACM J. Exp. Algorithmics 16, 2011).
  ["ca", "abc", 3],
])("%s to %s takes %d edits", (a, b, edits) => {
  expect(editDistance(a, b)).toBe(edits);
  expect(editDistance(b, a)).toBe(edits);
});

describe("did you mean", () => {
  test.each([
    ["titel", ["title", "target"], "title"],
    ["contractReference", ["contract_reference", "contract"], "contract_reference"],
    ["hoselevel", ["hose-level", "optical-level"], "hose-level"],
    ["below", ["below zero", "above zero", "below zero, minus is above"], "below zero"],
    ["cement-50kg", ["cement-50lb", "cement-25kg", "gypsum-50lb"], "cement-50lb"],
  ])("%s", (typed, names, expected) => {
    expect(nearName(typed, names)).toBe(expected);
  });

  test.each([
    ["nothing near", "lobby", ["hall", "store"]],
    ["two equally near", "haal", ["hall", "haul"]],
    ["numbers alone differ", "bay 3", ["bay-4"]],
    ["two letters", "D9", ["D1", "E9"]],
    ["no letters", "---", ["title"]],
    ["far too long", "x".repeat(5000), ["title"]],
  ])("silent: %s", (_, typed, names) => {
    expect(nearName(typed, names)).toBeUndefined();
  });
});

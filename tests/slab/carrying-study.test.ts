/** A short run of the study against the committed table, and what the table must show for the method in use. */
import { readFileSync } from "node:fs";
import { describe, expect, it } from "vitest";
import { carryingStudy, SHORT, type StudyTable, USED } from "./carrying-study.ts";

const tables = JSON.parse(readFileSync(new URL("./carrying-study.json", import.meta.url), "utf8")) as {
  whole: StudyTable;
  short: StudyTable;
};
const scores = ["volumeMm", "deepestMm", "wallMm"] as const;
const row = (table: StudyTable, method: string, over: string) => {
  const found = table.rows.find((r) => r.method === method && r.over === over);
  if (!found) throw new Error(`no row for ${method} over ${over}`);
  return found;
};

describe("the study of carrying levels to walls", () => {
  it("comes out again as the table has it", () => {
    const again = carryingStudy(SHORT);
    expect(again.rows.length).toBe(tables.short.rows.length);
    for (const due of tables.short.rows) {
      const found = row(again, due.method, due.over);
      expect(found.cases).toBe(due.cases);
      // The last printed digit, for machines whose sines end in another bit.
      for (const score of scores) expect(Math.abs(found[score] - due[score])).toBeLessThan(0.0015);
    }
  });

  const methods = [...new Set(tables.whole.rows.map(({ method }) => method))];
  const rivals = ["nearest reading", "plane over all", "plane over the nearest 8"];

  it("compares the method in use with planes and the nearest reading", () => {
    expect(methods).toEqual(expect.arrayContaining([USED, ...rivals]));
  });

  it.each(["all", "noise 0 mm", "noise 0.5 mm", "noise 1 mm"])(
    "finds it best for walls and the deepest place, over %s",
    (over) => {
      const used = row(tables.whole, USED, over);
      for (const rival of rivals) {
        expect(used.deepestMm).toBeLessThan(row(tables.whole, rival, over).deepestMm);
        expect(used.wallMm).toBeLessThan(row(tables.whole, rival, over).wallMm);
      }
    },
  );

  it("finds no method better for the volume by as much as 0.03 mm of mean depth", () => {
    const best = Math.min(...methods.map((method) => row(tables.whole, method, "all").volumeMm));
    expect(row(tables.whole, USED, "all").volumeMm - best).toBeLessThan(0.03);
  });
});

/** The tables of the studies as the documentation prints them, against what the studies found. */
import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { interval, type Score } from "../mutation/score.ts";
import type { StudyTable } from "../slab/carrying-study.ts";

const read = (path: string): string => readFileSync(new URL(path, import.meta.url), "utf8");
const page = read("../../templates/docs/studies.njk");
const carrying = (JSON.parse(read("../slab/carrying-study.json")) as { whole: StudyTable }).whole;
const volume = (JSON.parse(read("../target/volume-study.json")) as { whole: Record<string, Record<string, number>> })
  .whole;

/** The cells of a table of the page: its first column by row, its head by column. */
function tableOf(id: string): { columns: string[]; rows: [string, string[]][] } {
  const table = page.slice(page.indexOf(`<table id="${id}">`)).split("</table>")[0]!;
  const texts = (html: string, tag: string): string[] =>
    [...html.matchAll(new RegExp(`<${tag}[^>]*>([^<]*)</t.>`, "g"))].map((found) => found[1]!);
  const columns = texts(table.split("</thead>")[0]!, "th scope=.col.").slice(1);
  const rows = table
    .split("<tbody>")[1]!
    .split("</tr>")
    .filter((row) => row.includes("<td>"))
    .map((row): [string, string[]] => [texts(row, "th scope=.row.")[0]!, texts(row, "td")]);
  return { columns, rows };
}

const found = (method: string, over: string) => carrying.rows.find((row) => row.method === method && row.over === over);

test("every method's errors over all cases", () => {
  const { rows } = tableOf("carried-by");
  expect(rows.map(([method]) => method)).toEqual([...new Set(carrying.rows.map(({ method }) => method))]);
  for (const [method, cells] of rows) {
    const { volumeMm, deepestMm, wallMm } = found(method, "all")!;
    expect(cells).toEqual([volumeMm, deepestMm, wallMm].map((mm) => mm.toFixed(3)));
  }
});

test.each([
  ["volume-over", "volumeMm"],
  ["wall-over", "wallMm"],
] as const)("%s: by noise, slab and room", (id, score) => {
  const { columns, rows } = tableOf(id);
  expect(rows.map(([over]) => over).sort()).toEqual(
    [...new Set(carrying.rows.map(({ over }) => over))].filter((over) => over !== "all").sort(),
  );
  for (const [over, cells] of rows)
    expect(cells).toEqual(columns.map((method) => found(method, over)![score].toFixed(3)));
});

test("how often the volume was enough", () => {
  const { rows } = tableOf("nine-in-ten");
  expect(rows.map(([kind]) => kind)).toEqual(Object.keys(volume));
  const percent = (share: number): string => `${(100 * share).toFixed(1)} %`;
  for (const [kind, cells] of rows) {
    const { floors, nineInTen, evenOdds, plain, added } = volume[kind]! as Record<string, number>;
    const shares = [nineInTen!, evenOdds!, plain!].map((count) => percent(count / floors!));
    expect(cells).toEqual([String(floors), ...shares, percent(added!)]);
  }
});

test("which faults the tests noticed, with the interval of so small a sample", () => {
  const { rows } = tableOf("noticed");
  const scores = JSON.parse(read("../mutation/score.json")) as Score[];
  expect(scores.length).toBeGreaterThan(0);
  const percent = (share: number): string => (100 * share).toFixed(0);
  expect(rows).toEqual(
    scores.map(({ date, seed, possible, drawn, equivalent, noticed, low, high }) => {
      const counted = drawn - equivalent;
      expect([low, high]).toEqual(interval(noticed, counted).map((end) => expect.closeTo(end, 9)));
      return [
        `${date}, seed ${seed}`,
        [
          ...[possible, drawn, equivalent, noticed].map(String),
          `${percent(noticed / counted)} %`,
          `${percent(low)} to ${percent(high)} %`,
        ],
      ];
    }),
  );
});

test("the interval of a share is that of the textbook", () => {
  // Newcombe, "Two-sided confidence intervals for the single proportion", Statistics in Medicine 17 (1998), table I,
  // score method without continuity correction; from memory.
  const round = ([low, high]: readonly [number, number]) => [low, high].map((share) => Math.abs(share).toFixed(4));
  expect(round(interval(81, 263))).toEqual(["0.2553", "0.3662"]);
  expect(round(interval(15, 148))).toEqual(["0.0624", "0.1605"]);
  expect(round(interval(0, 20))).toEqual(["0.0000", "0.1611"]);
  expect(round(interval(1, 29))).toEqual(["0.0061", "0.1718"]);
});

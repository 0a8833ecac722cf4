/** What a run of the benchmarks found, as a template of the docs. */
import nunjucks from "nunjucks";
import { expect, test } from "vitest";
import { speedTable } from "../bench/speed-table.ts";

test("says machine and day, a table a benchmark, and nothing of it is taken for markup or template", () => {
  const text = speedTable(
    [
      {
        caption: "Printing",
        rows: [
          { what: "  31 PDFs", found: "4.70 s", against: "1.02 × the browser alone", aim: "1.10" },
          { what: "a < b {{ 7 * 7 }} & {% if %}", found: "1 s", against: "", aim: "" },
        ],
      },
    ],
    "Node 20.20.2, 2 × a processor",
    new Date("2026-12-01T23:59:00Z"),
  );
  const html = nunjucks.renderString(text, {});
  expect(html).toContain("found it on 1 December 2026 with Node 20.20.2, 2 × a processor");
  expect(html).toContain(
    '<tr><th scope="row">31 PDFs</th><td>4.70 s</td><td>1.02 × the browser alone</td><td>1.10</td></tr>',
  );
  expect(html).toContain("a &lt; b &#123;&#123; 7 * 7 }} &amp; &#123;% if %}");
  expect(html.match(/<table>/g)).toHaveLength(1);
});

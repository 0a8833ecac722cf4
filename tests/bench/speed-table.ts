/** What a run of all benchmarks found, as the docs print it. */
import type { Told } from "./tell.ts";

const escaped = (text: string): string =>
  text.replaceAll("&", "&amp;").replaceAll("<", "&lt;").replaceAll("{", "&#123;");

/** The template's text: the sentence on machine and day, and a table for each benchmark. */
export function speedTable(
  tables: readonly { readonly caption: string; readonly rows: readonly Told[] }[],
  machine: string,
  when: Date,
): string {
  const day = when.toLocaleDateString("en-GB", { day: "numeric", month: "long", year: "numeric", timeZone: "UTC" });
  const rowOf = ({ what, found, against, aim }: Told) =>
    `<tr><th scope="row">${escaped(what.trim())}</th>${[found, against, aim].map((text) => `<td>${escaped(text)}</td>`).join("")}</tr>`;
  return [
    `<p>As <code>npm run bench</code> found it on ${day} with ${escaped(machine)}.</p>`,
    ...tables.flatMap(({ caption, rows }) => [
      "<table>",
      `<caption>${escaped(caption)}</caption>`,
      '<thead><tr><th scope="col">what</th><th scope="col">found</th><th scope="col">against its floor</th><th scope="col">aim</th></tr></thead>',
      "<tbody>",
      ...rows.map(rowOf),
      "</tbody>",
      "</table>",
    ]),
    "",
  ].join("\n");
}

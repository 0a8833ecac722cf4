import { readdirSync, readFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import nunjucks from "nunjucks";
import { beforeAll, describe, expect, test } from "vitest";
import { composeSheets } from "../../src/sheets/compose-sheets.ts";
import { en } from "../../src/sheets/words/en.ts";
import { findings } from "./fixtures/small-clinic.ts";
import { textsOf } from "./sheet-rules.ts";

const folder = fileURLToPath(new URL("../../templates/", import.meta.url));
const environment = new nunjucks.Environment(new nunjucks.FileSystemLoader(folder), {
  autoescape: true,
  throwOnUndefined: true,
  trimBlocks: true,
  lstripBlocks: true,
});
const render = (sheet: { readonly id: string }): string => environment.render(`sheets/${sheet.id}.njk`, { sheet });
const textOf = (html: string): string =>
  html
    .replace(/<[^>]+>/g, " ")
    .replaceAll("&quot;", '"')
    .replaceAll("&#39;", "'")
    .replaceAll("&amp;", "&")
    .replace(/\s+/g, " ");

describe("templates", () => {
  const sheets = [...composeSheets(findings, "en"), ...composeSheets(findings, "es")];
  let html: string[];
  beforeAll(() => {
    html = sheets.map(render);
  });

  test("there is one for every sheet that has a title, and no other", () => {
    const templates = readdirSync(`${folder}sheets`).map((name) => name.replace(/\.njk$/, ""));
    for (const id of Object.keys(en.titles)) expect(templates).toContain(id);
  });

  test("every line of every sheet is in its page, in a page of its own size", () => {
    sheets.forEach((sheet, index) => {
      const page = html[index] as string;
      const text = textOf(page).replaceAll("\u00a0", " ");
      for (const { text: line } of textsOf(sheet)) {
        expect(text).toContain(line.replaceAll("\u00a0", " ").replace(/\s+/g, " ").trim());
      }
      expect(page.match(/<section class="page /g)).toHaveLength(sheet.pages.length);
      for (const { paper, orientation } of sheet.pages) expect(page).toContain(`page ${paper}-${orientation}`);
    });
  });

  test("every table names its columns and its rows, every drawing its content", () => {
    for (const page of html) {
      expect(page.match(/<table/g)?.length ?? 0).toBe(page.match(/<caption/g)?.length ?? 0);
      for (const [head] of page.matchAll(/<th[^e][^>]*>/g)) expect(head).toMatch(/scope="(col|row)"/);
      const drawings = page.match(/<svg class="drawing"/g)?.length ?? 0;
      expect(page.match(/<title id=/g)?.length ?? 0).toBe(drawings);
    }
  });

  test("what a job file says is text and never markup", () => {
    const job = { ...findings.job, title: '<script>alert("1")</script>' };
    const [cover] = composeSheets({ ...findings, job }, "en");
    const page = render(cover as { id: string });
    expect(page).not.toContain("<script");
    expect(page).toContain("&lt;script&gt;");
  });

  test("they hold no words of their own, and do no arithmetic", () => {
    const files = ["sheets", "partials"].flatMap((part) =>
      readdirSync(`${folder}${part}`).map((name) => ({
        name: `${part}/${name}`,
        text: readFileSync(`${folder}${part}/${name}`, "utf8"),
      })),
    );
    const mine = files.filter(({ name }) => name.startsWith("sheets/") || /drawing|blocks|pages\.njk/.test(name));
    expect(mine.length).toBeGreaterThan(15);
    for (const { name, text } of mine) {
      const bare = text
        .replace(/\{#[\s\S]*?#\}/g, "")
        .replace(/\{%[\s\S]*?%\}/g, "")
        .replace(/\{\{[\s\S]*?\}\}/g, "")
        .replace(/<[^>]*>/g, "")
        .replace(/(?:font-size|line-height|font-weight):|mm|[;\s]/g, "");
      expect(bare, name).toBe("");
      for (const [code] of text.matchAll(/\{[{%][\s\S]*?[%}]\}/g)) {
        expect(code.replace(/"[^"]*"/g, ""), name).not.toMatch(/[*]|[^-]\s[-+/]\s/);
      }
    }
  });
});

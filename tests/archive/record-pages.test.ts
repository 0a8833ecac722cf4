/** Pages as a record stores them, and what stands across one that was superseded. */
import { describe, expect, test } from "vitest";
import { acrossPages, restorePages, storePages } from "../../src/archive/record-pages.ts";

const FACES = '@font-face{font-family:"Noto Sans";src:url(data:font/woff2;base64,AAAA$&$1) format("woff2")}';
const article = (id: string, text: string) =>
  `<article class="sheet sheet-${id}"><section class="page a4-portrait">${text}<footer></footer>\n<!--across-->\n</section></article>`;
const page = (language: string, body: string) =>
  `<!doctype html>\n<html lang="${language}"><head><style>${FACES}</style></head><body>${body}</body></html>`;
const map = { path: "en/pin-map.html", html: page("en", article("pin-map", "pins $& $1")) };
const table = { path: "en/cut-table.html", html: page("en", article("cut-table", "lengths")) };
const set = {
  path: "en/crew-set.html",
  html: page("en", article("pin-map", "pins $& $1") + article("cut-table", "lengths")),
};
const lone = { path: "en/survey-set.html", html: page("en", article("cut-table", "lengths")) };

describe("storing", () => {
  const stored = storePages([map, table], [set, lone]);

  test("keeps fonts once, and in a set marks for its sheets", () => {
    expect(stored.filter(({ text }) => text.includes("@font-face"))).toHaveLength(1);
    expect(stored.find(({ path }) => path === set.path)?.text).toMatch(
      /<!--sheet en\/pin-map.html--><!--sheet en\/cut-table.html-->/,
    );
  });

  test("gives every page back word for word, also from files whose line ends were turned", () => {
    expect(restorePages(stored)).toEqual([map, table, set, lone]);
    const turned = stored.map(({ path, text }) => ({ path, text: text.replaceAll("\n", "\r\n") }));
    expect(restorePages(turned)).toEqual([map, table, set, lone]);
  });

  test("says what is not there", () => {
    expect(() => restorePages(stored.filter(({ path }) => path !== map.path))).toThrow(/no en\/pin-map\.html/);
  });
});

describe("across a superseded page", () => {
  const textOf = (language: string) =>
    language === "es" ? { word: "SUSTITUIDA", line: "x" } : { word: "SUPERSEDED", line: `<by & "2">` };

  test("stands a word on every paper page, in the sheet's language, as text", () => {
    const { html } = acrossPages(set, textOf);
    expect(html.match(/class="across"/g)).toHaveLength(2);
    expect(html).toContain("SUPERSEDED. &lt;by &amp; &quot;2&quot;&gt;");
    expect(acrossPages({ ...set, html: set.html.replace('lang="en"', 'lang="es"') }, textOf).html).toContain(
      "SUSTITUIDA",
    );
  });

  test("a page that has no place for it is not printed as if it were valid", () => {
    expect(() => acrossPages({ path: "en/x.html", html: page("en", "") }, textOf)).toThrow(/no place to say/);
  });
});

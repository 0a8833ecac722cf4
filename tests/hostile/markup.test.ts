/**
 * Markup, templates, scripts, addresses outside and quotes in every place where the office may write words: they
 * stand on the pages as they were typed; nothing of them is carried out, and no page asks anything of anyone.
 */
import { mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { afterAll, beforeAll, expect, test } from "vitest";
import { openBuilder } from "../../src/build/open-builder.ts";
import { defaultCacheFolder } from "../../src/print/cache-folder.ts";
import { findBrowser } from "../../src/print/find-browser.ts";
import { temporaryOffice } from "../build/small-job.ts";
import { yamlOf } from "../fuzz/written.ts";
import { readPdf } from "../print/read-pdf.ts";
import { BESIDE, doorJob, soughtJob, zonedJob } from "./markup-jobs.ts";
import { pathsOf, textLeaves } from "./text-leaves.ts";

const BAIT = [
  "{{ 7*7 }}",
  "{% raw %}",
  "{# remark #}",
  "<script>window.hit = 1</script>",
  '" onload="window.hit = 2" \'',
  "<img src=https://outside.example/a.png onerror='window.hit = 3'>",
  "<a href=https://outside.example/>x</a>",
  "]]></style></title></script><!--",
  "&amp;lt; `$1` $& =1+1",
].join(" ");

const isMine = (text: string): boolean => text.includes("{{ 7*7 }}");

let count = 0;
/** A leaf's own words: a number by which it is found again, and the bait. */
const say = (): string => {
  count += 1;
  return `Q${count}Q ${BAIT}`;
};
const jobs = [zonedJob, soughtJob, doorJob].map((make) => make(say));
const office = temporaryOffice(Object.fromEntries(jobs.map((tree) => [String(tree.job), yamlOf(tree)])));
for (const [id, files] of Object.entries(BESIDE)) {
  mkdirSync(join(office.jobs, id));
  for (const [name, text] of Object.entries(files)) writeFileSync(join(office.jobs, id, name), text);
}

interface Seen {
  readonly hit: unknown;
  readonly odd: readonly string[];
  readonly outside: readonly string[];
  readonly text: string;
}

/** What a page has become: what ran, what stands in it that no template of ours has, and its text without blanks. */
const LOOK = `(() => {
  const all = [...document.querySelectorAll("*")];
  const handlers = all.flatMap((one) => [...one.attributes].filter(({ name }) => name.startsWith("on")).map(({ name }) => one.tagName + " " + name));
  const odd = all.filter((one) => ["IMG", "IFRAME", "OBJECT", "EMBED", "LINK", "BASE", "FORM", "VIDEO", "AUDIO"].includes(one.tagName)).map((one) => one.outerHTML.slice(0, 200));
  const addresses = all.flatMap((one) => [one.getAttribute("href"), one.getAttribute("src"), one.getAttribute("xlink:href"), one.getAttribute("action")]);
  return {
    hit: window.hit ?? null,
    odd: [...handlers, ...odd],
    outside: addresses.filter((one) => one !== null && /^\\s*(\\w+:)?\\/\\/|^\\s*(javascript|data|vbscript):/i.test(one)),
    text: [...document.querySelectorAll("body, title, svg text")].map((one) => one.textContent).join("\\n").replace(/\\s+/g, ""),
  };
})()`;

const complaints: string[] = [];
const seen = new Map<string, Seen>();
let pdfTexts: string[] = [];

beforeAll(async () => {
  const builder = openBuilder({
    jobsFolder: office.jobs,
    outputFolder: office.output,
    cacheFolder: defaultCacheFolder,
    pdfFolder: join(office.folder, "pdf"),
    fresh: false,
    limits: { seconds: 200, megabytes: 2000 },
    lanes: 1,
  });
  const report = await builder.build("all", "no-pdfs", () => undefined);
  await builder.close();
  complaints.push(...report.jobs.filter(({ outcome }) => outcome !== "built").map(({ jobId }) => `${jobId} not built`));
  const { browser } = await findBrowser(defaultCacheFolder);
  const tab = await browser.newPage();
  tab.on("console", (message) => complaints.push(`console: ${message.text()}`));
  tab.on("pageerror", (error) => complaints.push(`error: ${String(error)}`));
  tab.on("request", (request) => {
    if (!request.isNavigationRequest() && !request.url().startsWith("data:"))
      complaints.push(`request: ${request.url()}`);
  });
  const pages = readdirSync(office.output, { recursive: true, encoding: "utf8" }).filter(
    (name) => name.endsWith(".html") && !name.startsWith("docs") && !name.includes(join("/", "es", "/")),
  );
  for (const name of pages.sort()) {
    await tab.goto(pathToFileURL(join(office.output, name)).href);
    seen.set(name, (await tab.evaluate(LOOK)) as Seen);
    if (!/zones.*(cover|data-sheets)/.test(name)) continue;
    const { pages: printed } = await readPdf(await tab.pdf({ preferCSSPageSize: true, printBackground: true }));
    pdfTexts = [...pdfTexts, ...printed.map(({ text }) => text.replace(/\s+/g, ""))];
  }
  await browser.close();
}, 300_000);
afterAll(() => rmSync(office.folder, { recursive: true, force: true }));

test("the jobs have words in every place of the schema that takes any", () => {
  // These are read as a measured value, or as the name of something in the job, and refused as anything else.
  const measured = [
    "readiness.tests[].limits[].at_least",
    "readiness.tests[].limits[].at_most",
    "readiness.results[].value",
  ];
  const given = new Set(jobs.flatMap((tree) => pathsOf(tree, isMine)));
  expect(textLeaves().filter((leaf) => !given.has(leaf) && !measured.includes(leaf))).toEqual([]);
  expect(textLeaves().length).toBeGreaterThan(80);
});

test("every job is built, and every page is quiet and asks nothing", () => {
  expect(complaints).toEqual([]);
  expect(seen.size).toBeGreaterThan(40);
});

test("nothing of it runs or becomes a part of a page", () => {
  for (const [name, { hit, odd, outside }] of seen)
    expect({ name, hit, odd, outside }).toEqual({ name, hit: null, odd: [], outside: [] });
});

const WHOLE = BAIT.replace(/\s+/g, "");
const placesOf = (texts: readonly string[]): Set<number> =>
  new Set(texts.flatMap((text) => [...text.matchAll(/Q(\d+)Q/g)].map((found) => Number(found[1]))));
/** Places whose words stand there whole, or up to where a title block shortens them with its mark. */
const rightIn = (texts: readonly string[]): Set<number> =>
  new Set(
    texts.flatMap((text) =>
      [...text.matchAll(/Q(\d+)Q/g)].flatMap((found) => {
        const rest = text.slice(found.index + found[0].length, found.index + found[0].length + WHOLE.length);
        const same = [...rest].findIndex((letter, k) => letter !== WHOLE[k]);
        return same < 0 || rest[same] === "…" ? [Number(found[1])] : [];
      }),
    ),
  );

test("what stands on a page stands there as it was typed", () => {
  const texts = [...seen.values()].map(({ text }) => text);
  const shown = placesOf(texts);
  const right = rightIn(texts);
  expect(shown.size).toBeGreaterThan(count * 0.6);
  expect([...shown].filter((place) => !right.has(place))).toEqual([]);
});

test("and on paper too", () => {
  expect(rightIn(pdfTexts).size).toBeGreaterThan(5);
  expect([...placesOf(pdfTexts)].filter((place) => !rightIn(pdfTexts).has(place))).toEqual([]);
});

test("no cell of a CSV file is a formula", () => {
  const files = readdirSync(office.output, { recursive: true, encoding: "utf8" }).filter((name) =>
    name.endsWith(".csv"),
  );
  expect(files.length).toBeGreaterThan(0);
  for (const name of files) {
    const text = readFileSync(join(office.output, name), "utf8");
    const cells = [...text.matchAll(/(?:^|,|\n)("(?:[^"]|"")*"|[^",\r\n]*)/g)].map(([, cell]) =>
      cell!.replace(/^"/, ""),
    );
    // A number below zero begins with a minus, and is none.
    expect(cells.filter((cell) => /^[=+@\t\r]|^-(?![\d.]+(e-?\d+)?$)/.test(cell))).toEqual([]);
  }
});

/** Every page in a real browser, from the file system, as wide as a phone: what a reader and a checker see. */
import { readdirSync, readFileSync, rmSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { HtmlValidate } from "html-validate";
import type { Browser, Page } from "puppeteer";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { openBuilder } from "../../src/build/open-builder.ts";
import { defaultCacheFolder } from "../../src/print/cache-folder.ts";
import { findBrowser } from "../../src/print/find-browser.ts";
import { projectFolder, smallJobText, temporaryOffice } from "../build/small-job.ts";

const clinic = readFileSync(join(projectFolder, "jobs", "tern-street-clinic.yaml"), "utf8");
const office = temporaryOffice({
  "tern-street-clinic": clinic,
  "not-read-yet": smallJobText("not-read-yet", { readings: [], title: "Not read yet" }),
  "bad-room": smallJobText("bad-room").replace("N 12'", "N 11'"),
});
const axeSource = readFileSync(createRequire(import.meta.url).resolve("axe-core/axe.min.js"), "utf8");

let browser: Browser;
let pages: string[];
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
  await builder.build("all", "no-pdfs", () => undefined);
  await builder.close();
  pages = readdirSync(office.output, { recursive: true, encoding: "utf8" })
    .filter((name) => name.endsWith(".html"))
    .sort();
  browser = (await findBrowser(defaultCacheFolder)).browser;
}, 300_000);
afterAll(async () => {
  await browser?.close();
  rmSync(office.folder, { recursive: true, force: true });
});

/** What is asked of each page, in the page. */
const LOOK = `({
  wider: document.documentElement.scrollWidth - window.innerWidth,
  title: document.title,
  language: document.documentElement.lang,
  links: [...document.querySelectorAll("a[href]")].map((a) => a.href),
})`;

interface Look {
  readonly wider: number;
  readonly title: string;
  readonly language: string;
  readonly links: readonly string[];
}

interface AxeReport {
  readonly violations: readonly { readonly id: string; readonly nodes: readonly { readonly html: string }[] }[];
}

const PHONE = { width: 360, height: 740, isMobile: true, hasTouch: true };
const addressOf = (name: string) => pathToFileURL(join(office.output, name)).href;

/** A page with everything noted that it says on the console or asks of anyone but itself. */
async function openTab(viewport = PHONE): Promise<{ tab: Page; complaints: string[] }> {
  const tab = await browser.newPage();
  const complaints: string[] = [];
  tab.on("console", (message) => complaints.push(`console: ${message.text()}`));
  tab.on("pageerror", (error) => complaints.push(`error: ${String(error)}`));
  tab.on("request", (request) => {
    if (!request.isNavigationRequest() && !request.url().startsWith("data:"))
      complaints.push(`request: ${request.url()}`);
  });
  await tab.setViewport(viewport);
  return { tab, complaints };
}

test("there are pages of every kind", () => {
  expect(pages).toEqual(
    expect.arrayContaining([
      "index.html",
      "job-file.html",
      join("docs", "index.html"),
      join("tern-street-clinic", "index.html"),
      join("tern-street-clinic", "en", "pin-map.html"),
      join("tern-street-clinic", "es", "pin-map.html"),
      join("not-read-yet", "index.html"),
    ]),
  );
  expect(pages.length).toBeGreaterThan(30);
});

describe("every page", () => {
  const missing: string[] = [];
  const wrong: string[] = [];
  const violations: string[] = [];
  let heard: readonly string[] = [];
  // One walk over all pages serves the tests below: opening them is what takes the time.
  beforeAll(async () => {
    const { tab, complaints } = await openTab();
    heard = complaints;
    const there = new Set(readdirSync(office.output, { recursive: true, encoding: "utf8" }).map(addressOf));
    for (const name of pages) {
      await tab.goto(addressOf(name));
      const seen = (await tab.evaluate(LOOK)) as Look;
      if (seen.wider > 0) wrong.push(`${name} is ${seen.wider} px wider than the screen`);
      if (seen.title === "" || !/^(en|es)$/.test(seen.language)) wrong.push(`${name} has no title or language`);
      for (const link of seen.links) if (!there.has(link.split("#")[0] as string)) missing.push(`${name} → ${link}`);
      // The sheets of the second language have the structure of the first: a few stand for all.
      if (name.includes(join("es", "")) && !/cover|pin-map|cut-table/.test(name)) continue;
      await tab.evaluate(axeSource);
      const report = (await tab.evaluate('axe.run(document, { resultTypes: ["violations"] })')) as AxeReport;
      violations.push(...report.violations.map(({ id, nodes }) => `${name}: ${id}: ${nodes[0]?.html.slice(0, 150)}`));
    }
    await tab.close();
  }, 300_000);

  test("has a title and a language, and no sideways scroll on a phone", () => {
    expect(wrong).toEqual([]);
  });
  test("keeps the console quiet and asks nothing of anyone", () => {
    expect(heard).toEqual([]);
  });
  test("links to files that are there", () => {
    expect(missing).toEqual([]);
  });
  test("is clean for the accessibility checker", () => {
    expect(violations).toEqual([]);
  });
});

test("every page is valid HTML", async () => {
  const validator = new HtmlValidate({
    root: true,
    extends: ["html-validate:recommended"],
    rules: {
      // Sheets place every block by its own height; the doctype is lower case; titles carry sheet and job.
      "no-inline-style": "off",
      "doctype-style": "off",
      "long-title": "off",
    },
  });
  const wrong: string[] = [];
  for (const name of pages) {
    const report = await validator.validateString(readFileSync(join(office.output, name), "utf8"));
    for (const { messages } of report.results)
      wrong.push(...messages.map(({ line, ruleId, message }) => `${name}:${line} ${ruleId}: ${message}`));
  }
  expect(wrong).toEqual([]);
}, 120_000);

const isTicked = (tab: Page, pin: string) =>
  tab.evaluate(`document.querySelector('tr[data-pin="${pin}"] input').checked`);

describe("the page of a job, used", () => {
  test("finds a pin by its name, however it is typed, and shows its cut in both units", async () => {
    const { tab, complaints } = await openTab();
    await tab.goto(addressOf(join("tern-street-clinic", "index.html")));
    await tab.type("#find", " c2 ");
    const answer = await tab.$eval("#answer", (box) => box.textContent);
    const row = await tab.$eval('tr[data-pin="C2"] .cut', (cell) => cell.textContent?.trim());
    expect(answer).toContain("C2:");
    expect(answer).toContain(row?.split(/\s{2,}/)[0]);
    // As read: 12.5 mm below zero, zero at the top of the pour.
    expect(row).toMatch(/1[23]\u00a0mm/);
    expect(row).toMatch(/1\/2\u00a0in/);
    await tab.evaluate(`document.getElementById("find").value = ""`);
    await tab.type("#find", "Z99");
    expect(await tab.$eval("#answer", (box) => box.textContent)).toBe("No pin is called Z99.");
    expect(complaints).toEqual([]);
    await tab.close();
  });

  test("remembers ticked pins and the unit on this device, and forgets a tick whose cut has changed", async () => {
    const { tab } = await openTab();
    const address = addressOf(join("tern-street-clinic", "index.html"));
    await tab.goto(address);
    await tab.click('tr[data-pin="A1"] input');
    await tab.click('tr[data-pin="A2"] input');
    await tab.click('input[name="units"][value="metric"]');
    expect(await tab.$eval("#progress", (line) => line.textContent)).toMatch(/^2 of \d+ pins placed\.$/);
    await tab.reload();
    expect(await isTicked(tab, "A1")).toBe(true);
    expect(await tab.$eval("html", (html) => html.dataset.units)).toBe("metric");
    expect(await tab.evaluate(`getComputedStyle(document.querySelector('tr[data-pin="A1"] .inch')).display`)).toBe(
      "none",
    );

    // As after a new packet with another cut for A2.
    await tab.evaluate(`{
      const name = "pour-packet/tern-street-clinic/placed";
      localStorage.setItem(name, JSON.stringify({ ...JSON.parse(localStorage.getItem(name)), A2: "99 mm" }));
    }`);
    await tab.reload();
    expect(await isTicked(tab, "A2")).toBe(false);
    expect(await tab.$eval("#progress", (line) => line.textContent)).toContain("place again: A2.");
    await tab.close();
  });

  test("the map zooms and moves by its buttons and by the keyboard alone, and never leaves the floor", async () => {
    const { tab } = await openTab({ ...PHONE, width: 1280, height: 900, isMobile: false, hasTouch: false });
    await tab.goto(addressOf(join("tern-street-clinic", "index.html")));
    const view = () => tab.$eval("#map", (map) => (map.getAttribute("viewBox") ?? "").split(" ").map(Number));
    const whole = await view();
    await tab.focus('[data-map="in"]');
    await tab.keyboard.press("Enter");
    const zoomed = await view();
    await tab.keyboard.press("Enter");
    // The frame is measured in whole dots of the screen, or nearly.
    expect((zoomed[2] as number) / ((await view())[2] as number)).toBeCloseTo(1.6, 3);
    for (let press = 0; press < 20; press += 1) await tab.click('[data-map="right"]');
    const [x, , width] = (await view()) as [number, number, number, number];
    expect(x + width).toBeCloseTo(whole[2] as number, 6);
    await tab.focus('[data-map="whole"]');
    await tab.keyboard.press("Enter");
    expect(await view()).toEqual(whole);
    await tab.click('#map [data-pin="B2"] circle');
    expect(await tab.$eval("#answer", (box) => box.textContent)).toContain("B2:");
    await tab.close();
  });

  test("a pin that is looked up comes into the middle of the map, large enough to read; a print has the whole floor", async () => {
    const { tab } = await openTab();
    await tab.goto(addressOf(join("tern-street-clinic", "index.html")));
    const view = () => tab.$eval("#map", (map) => map.getAttribute("viewBox"));
    const whole = await view();
    await tab.type("#find", "C2");
    const seen = (await tab.evaluate(`(() => {
      const map = document.getElementById("map").getBoundingClientRect();
      const pin = document.querySelector('#map [data-pin="C2"]');
      const dot = pin.querySelector("circle").getBoundingClientRect();
      return {
        letterPx: pin.querySelector("text").getBoundingClientRect().height,
        across: (dot.left + dot.right) / 2 - map.left, down: (dot.top + dot.bottom) / 2 - map.top,
        width: map.width, height: map.height,
      };
    })()`)) as Record<"letterPx" | "across" | "down" | "width" | "height", number>;
    expect(seen.letterPx).toBeGreaterThanOrEqual(15);
    // In the middle, or as near to it as the edge of the floor lets it.
    expect(seen.across).toBeGreaterThan(0);
    expect(seen.across).toBeLessThan(seen.width);
    expect(seen.down).toBeGreaterThan(0);
    expect(seen.down).toBeLessThan(seen.height);
    const zoomed = await view();
    expect(zoomed).not.toBe(whole);
    await tab.evaluate(`dispatchEvent(new Event("beforeprint"))`);
    expect(await view()).toBe(whole);
    await tab.evaluate(`dispatchEvent(new Event("afterprint"))`);
    expect(await view()).toBe(zoomed);
    await tab.close();
  });

  test("what is tapped on a phone is 40 px high: links, buttons, ticks", async () => {
    const { tab } = await openTab();
    for (const name of ["index.html", join("tern-street-clinic", "index.html")]) {
      await tab.goto(addressOf(name));
      // Links in running text may be as low as their line (WCAG 2.2, 2.5.8, exception for inline targets).
      const low = await tab.evaluate(`[...document.querySelectorAll("a:not(.skip), button, input, select")]
        .filter((one) => one.closest("p") === null || one.tagName === "BUTTON")
        .map((one) => one.closest("label") ?? one)
        .map((one) => ({ text: one.textContent.trim(), height: one.getBoundingClientRect().height }))
        .filter(({ height }) => height > 0 && height < 40)`);
      expect(low).toEqual([]);
    }
    await tab.close();
  });

  test("reads without scripts: the map, every pin, the way to every sheet", async () => {
    const { tab } = await openTab();
    await tab.setJavaScriptEnabled(false);
    await tab.goto(addressOf(join("tern-street-clinic", "index.html")));
    expect(await tab.$$eval("#pins tbody tr", (rows) => rows.length)).toBeGreaterThan(40);
    const displays = await tab.evaluate(
      `["finder", "pin-tools", "units", "map-buttons"].map((id) => getComputedStyle(document.getElementById(id)).display)`,
    );
    expect(displays).toEqual(["none", "none", "none", "none"]);
    await tab.close();
  });
});

test("the index finds a job by place, client or room, and says what was not built", async () => {
  const { tab, complaints } = await openTab();
  await tab.goto(addressOf("index.html"));
  const shown = () => tab.$$eval("#jobs tbody tr:not([hidden]) a", (links) => links.map((link) => link.textContent));
  await tab.type("#search", "port ellery  LABORATORY");
  expect(await shown()).toEqual(["Tern Street Clinic, ground floor"]);
  expect(await tab.$eval("#found", (line) => line.textContent)).toBe("1 of 2 jobs");
  await tab.type("#search", " nowhere");
  expect(await shown()).toEqual([]);
  expect(await tab.$eval("main", (main) => main.textContent)).toContain("bad-room: its job file has a problem");
  expect(complaints).toEqual([]);
  await tab.close();
});

test("a page that was tampered with runs no script and asks for nothing", async () => {
  const { tab, complaints } = await openTab();
  const page = readFileSync(join(office.output, "tern-street-clinic", "index.html"), "utf8");
  await tab.setContent(
    page.replace(
      "</main>",
      '<script>document.title = "taken"</script><img src="https://outside.example/x.png" alt=""></main>',
    ),
  );
  expect(await tab.title()).toBe("Tern Street Clinic, ground floor");
  expect(complaints.filter((each) => each.startsWith("console:")).join(" ")).toContain("Content Security Policy");
  await tab.close();
});

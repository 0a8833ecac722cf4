import { existsSync, mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import type { BuildReport, BuildSettings } from "../../src/build/model.ts";
import { openBuilder } from "../../src/build/open-builder.ts";
import { exitCodeOf } from "../../src/cli/build-verb.ts";
import { defaultCacheFolder } from "../../src/print/cache-folder.ts";
import { readPdf } from "../print/read-pdf.ts";
import { smallJobText, temporaryOffice } from "./small-job.ts";

const HOSTILE = `</title><script>alert(1)</script>{{ 7*7 }}{% include "x" %}<img src=http://x.example/a>`;
const office = temporaryOffice({
  "small-room": smallJobText("small-room"),
  "other-room": smallJobText("other-room", { title: HOSTILE, note: HOSTILE, readings: [] }),
  "bad-room": smallJobText("bad-room").replace("N 12'", "N 11'"),
});
const settings: BuildSettings = {
  jobsFolder: office.jobs,
  outputFolder: office.output,
  cacheFolder: defaultCacheFolder,
  pdfFolder: join(office.folder, "pdf"),
  fresh: false,
  limits: { seconds: 120, megabytes: 2000 },
  lanes: 1,
};
const below = (...parts: string[]) => join(office.output, ...parts);
const read = (...parts: string[]) => readFileSync(below(...parts), "utf8");
const job = (report: BuildReport, id: string) => report.jobs.find(({ jobId }) => jobId === id);

let builder: ReturnType<typeof openBuilder>;
let first: BuildReport;
beforeAll(async () => {
  builder = openBuilder(settings);
  first = await builder.build("all", "pdfs", () => undefined);
}, 300_000);
afterAll(async () => {
  await builder.close();
  rmSync(office.folder, { recursive: true, force: true });
});

describe("a build of three jobs, one of them wrong", () => {
  test("builds the two, refuses the third with its line, and says so by its exit code", () => {
    expect(job(first, "small-room")).toMatchObject({ outcome: "built" });
    expect(job(first, "other-room")).toMatchObject({ outcome: "built" });
    const bad = job(first, "bad-room");
    expect(bad?.outcome).toBe("refused");
    expect(bad?.diagnostics[0]).toMatchObject({ code: "walls-do-not-close", place: { file: "jobs/bad-room.yaml" } });
    expect(existsSync(below("bad-room"))).toBe(false);
    expect(exitCodeOf(first)).toBe(1);
  });

  test("each packet has its page, every sheet as HTML and PDF, the sets, the numbers", async () => {
    const packet = JSON.parse(read("small-room", "packet.json")) as { sheets: { id: string; hash: string }[] };
    expect(packet.sheets.length).toBeGreaterThan(10);
    const files = readdirSync(below("small-room"), { recursive: true, encoding: "utf8" });
    for (const { id, hash } of packet.sheets) {
      expect(files).toContain(join("en", `${id}.html`));
      expect(files).toContain(join("en", `small-room-${id}-en-${hash}.pdf`));
    }
    expect(files).toContain("small-room-crew-set-en-draft.pdf");
    expect(files).toContain("pins.csv");
    const crew = await readPdf(readFileSync(below("small-room", "small-room-crew-set-en-draft.pdf")));
    expect(crew).toMatchObject({ title: "Crew set, Small room", language: "en", tagged: true, fontsEmbedded: true });
    expect(crew.outline.length).toBeGreaterThan(0);
    // Nothing on a sheet may fall back to a font that this machine happens to have.
    expect(crew.fonts.filter((name) => !name.startsWith("NotoSans"))).toEqual([]);
    expect(crew.pages.every(({ widthPt, heightPt }) => Math.min(widthPt, heightPt) >= 611)).toBe(true);
  });

  test("the index lists what is there and says what was not built", () => {
    const index = read("index.html");
    expect(index).toContain('href="small-room/index.html"');
    expect(index).toMatch(/NOT BUILT<\/span>bad-room: its job file has a problem/);
    expect(existsSync(below("job-file.html"))).toBe(true);
    expect(existsSync(below("docs", "index.html"))).toBe(true);
  });

  test("what a job file says is text everywhere: no markup, no template, no address", () => {
    const files = readdirSync(below("other-room"), { recursive: true, encoding: "utf8" });
    const pages = [
      ...files.filter((name) => name.endsWith(".html")).map((name) => read("other-room", name)),
      read("index.html"),
    ];
    expect(pages.length).toBeGreaterThan(2);
    for (const page of pages) {
      expect(page).not.toContain("<script>alert(1)");
      expect(page).not.toContain("<img src=http");
      expect(page).not.toContain("49{%");
    }
    expect(pages.join("")).toContain("{{ 7*7 }}");
  });
});

describe("the next build", () => {
  test("does nothing where nothing changed", async () => {
    const again = await builder.build(["small-room", "other-room"], "pdfs", () => undefined);
    expect(again.jobs.map(({ outcome }) => outcome)).toEqual(["unchanged", "unchanged"]);
    expect(exitCodeOf(again)).toBe(0);
  });

  test("after one reading changed, prints the sheets that say something else and names them", async () => {
    const path = join(office.jobs, "small-room.yaml");
    writeFileSync(path, smallJobText("small-room", { readings: ["A  9  10  8", "B  11 13  9", "C  10 11  10"] }));
    const report = job(await builder.build(["small-room"], "pdfs", () => undefined), "small-room");
    const changed = report?.changed.map(({ id }) => id) ?? [];
    expect(changed).toEqual(expect.arrayContaining(["pin-map", "cut-table"]));
    expect(changed).not.toContain("safety");
    expect(report?.pdfs.kept).toBeGreaterThan(0);
    expect(report?.pdfs.printed).toBeGreaterThanOrEqual(changed.length);
    writeFileSync(path, smallJobText("small-room"));
    const back = job(await builder.build(["small-room"], "pdfs", () => undefined), "small-room");
    // What was printed before comes from the cache, to the byte.
    expect(back?.pdfs.printed).toBe(0);
  });

  test("one that is out of date while it prints leaves the packet as it was, and the next prints it", async () => {
    const path = join(office.jobs, "small-room.yaml");
    const before = read("small-room", "packet.json");
    writeFileSync(path, smallJobText("small-room", { readings: ["A  9  10  8", "B  11 13  9", "C  10 11  11"] }));
    let printed = 0;
    const stopped = await builder.build(
      ["small-room"],
      "pdfs",
      ({ kind }) => {
        if (kind === "printing") printed += 1;
      },
      undefined,
      () => printed > 0,
    );
    expect(job(stopped, "small-room")).toBeUndefined();
    expect(read("small-room", "packet.json")).toBe(before);
    expect(read("index.html")).toContain("small-room: its job file or the library has changed since");
    const report = job(await builder.build(["small-room"], "pdfs", () => undefined), "small-room");
    expect(report?.outcome).toBe("built");
    expect(read("small-room", "packet.json")).not.toBe(before);
    writeFileSync(path, smallJobText("small-room"));
    await builder.build(["small-room"], "pdfs", () => undefined);
  });

  test("a job that went wrong keeps its old packet, and the index says that it is old", async () => {
    const path = join(office.jobs, "small-room.yaml");
    const before = read("small-room", "packet.json");
    writeFileSync(path, smallJobText("small-room").replace("material: cement-50lb", "material: cement-50b"));
    const report = await builder.build(["small-room"], "pdfs", () => undefined);
    expect(job(report, "small-room")?.outcome).toBe("refused");
    expect(read("small-room", "packet.json")).toBe(before);
    expect(read("index.html")).toMatch(
      /small-room: its job file has a problem[^<]*<a href="small-room\/index.html">The packet from before<\/a> is older/,
    );
    writeFileSync(path, smallJobText("small-room"));
  });

  test("a packet whose job file is gone is left alone and named", async () => {
    mkdirSync(below("long-gone"));
    writeFileSync(below("long-gone", "summary.json"), "{}");
    const report = await builder.build(["small-room"], "pdfs", () => undefined);
    expect(report.withoutJobFile).toEqual(["long-gone"]);
    expect(existsSync(below("long-gone", "summary.json"))).toBe(true);
    rmSync(below("long-gone"), { recursive: true });
  });
});

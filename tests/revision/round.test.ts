/**
 * Issue, change, issue again, print the old one again, in a scratch repository of an office; then the same
 * by a program whose way of carrying levels across the floor was changed in between.
 */
import { execFileSync } from "node:child_process";
import {
  cpSync,
  existsSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { COMPUTE_LIMITS } from "../../src/build/compute-pool.ts";
import type { JobReport } from "../../src/build/model.ts";
import { type Builder, openBuilder } from "../../src/build/open-builder.ts";
import { runCommand } from "../build/run-command.ts";
import { projectFolder, smallJobText, temporaryOffice } from "../build/small-job.ts";
import { readPdf } from "../print/read-pdf.ts";

const ID = "small-room";
const first = ["A  9  10  8", "B  11 -  9", "C  10 11  10"];
const second = ["A  9  10  8", "B  11 -  9", "C  10 13  10"];
const textOf = (readings: readonly string[]) =>
  smallJobText(ID, { readings }).replace("units:", "dated: 2027-02-20\nunits:");

const office = temporaryOffice({ [ID]: textOf(first) });
const path = join(office.jobs, `${ID}.yaml`);
const below = (...parts: string[]) => join(office.output, ...parts);
const words = ["--jobs", office.jobs, "--output", office.output];
const git = (...args: string[]) =>
  execFileSync("git", ["-c", "user.name=Office", "-c", "user.email=office@example.org", ...args], {
    cwd: office.folder,
    encoding: "utf8",
  });
const record = (number: number, ...parts: string[]) => join(office.jobs, ID, `revision-${number}`, ...parts);
const foot = (file: string) =>
  [...(/<footer>(.*?)<\/footer>/.exec(readFileSync(file, "utf8"))?.[1] ?? "").matchAll(/<span>(.*?)<\/span>/g)].map(
    (m) => m[1],
  );

let builder: Builder;
const build = async (): Promise<JobReport> => {
  const { jobs } = await builder.build([ID], "no-pdfs", () => undefined);
  return jobs[0] as JobReport;
};
const issue = (date: string, reason: string) => builder.issue(ID, { date, reason }, () => undefined);

beforeAll(() => {
  git("init", "-q");
  builder = openBuilder({
    jobsFolder: office.jobs,
    outputFolder: office.output,
    cacheFolder: join(projectFolder, "node_modules", ".cache", "pour-packet"),
    pdfFolder: join(office.folder, "pdf"),
    fresh: false,
    limits: COMPUTE_LIMITS,
    lanes: 1,
  });
});
afterAll(async () => {
  await builder.close();
  rmSync(office.folder, { recursive: true, force: true });
});

describe("the round", () => {
  test("before anything is issued every page says DRAFT", async () => {
    await build();
    expect(foot(below(ID, "en", "pin-map.html")).slice(2, 5)).toEqual(["Revision 0", "2027-02-20", "DRAFT"]);
  });

  test("issuing writes a record that git takes, and the packet becomes that revision", async () => {
    const report = await issue("2027-03-01", "For the pour");
    expect(report).toMatchObject({ kind: "issued", number: 1 });
    git("add", "jobs");
    git("commit", "-qm", "Revision 1");
    expect(git("show", "--stat", "--format=", "HEAD")).toMatch(/revision-1\/record\.json/);
    expect((await build()).outcome).toBe("built");
    for (const sheet of ["cover", "pin-map", "safety"])
      expect(foot(below(ID, "en", `${sheet}.html`)).slice(2, 5), sheet).toEqual(["Revision 1", "2027-03-01", "ISSUED"]);
    expect(existsSync(below(ID, "en", "changes.html"))).toBe(false);
    expect(JSON.parse(readFileSync(below(ID, "packet.json"), "utf8")).revision).toEqual({
      standing: "issued",
      last: 1,
      date: "2027-03-01",
      reason: "For the pour",
      changes: null,
    });
  });

  test("nothing that differs is nothing to issue, and the next day of issuing is not before the last", async () => {
    expect(await issue("2027-03-02", "Again")).toMatchObject({
      kind: "refused",
      problems: [{ code: "nothing-to-issue" }],
    });
    writeFileSync(path, textOf(second));
    expect(await issue("2027-02-28", "C2 read again")).toMatchObject({
      kind: "refused",
      problems: [{ code: "issued-before-the-last" }],
    });
    expect(readdirSync(join(office.jobs, ID))).toEqual(["revision-1"]);
  });

  test("after a change the packet is a draft after revision 1 and lists the pins that change, the others not", async () => {
    const report = await build();
    expect(report.sinceIssued?.revision).toBe(1);
    const changed = report.sinceIssued?.sheets.map(({ id }) => id) ?? [];
    expect(changed).toEqual(expect.arrayContaining(["cover", "changes", "pin-map", "cut-table"]));
    expect(changed).not.toContain("safety");
    expect(foot(below(ID, "en", "cut-table.html")).slice(2, 5)).toEqual(["After revision 1", "2027-02-20", "DRAFT"]);
    expect(foot(below(ID, "en", "safety.html")).slice(2, 5)).toEqual(["Revision 1", "2027-03-01", "ISSUED"]);
    const sheet = readFileSync(below(ID, "en", "changes.html"), "utf8");
    const rows = [...sheet.matchAll(/<tr[^>]*>(.*?)<\/tr>/gs)].map((row) =>
      [...(row[1] as string).matchAll(/<t[hd][^>]*>(.*?)<\/t[hd]>/gs)].map((one) =>
        (one[1] as string).replace(/<[^>]+>/g, "").trim(),
      ),
    );
    const pin = rows.find(([id]) => id === "C2");
    // Read at 11 mm below the top, then at 13 mm: common practice, a pin is cut to the depth read.
    expect(pin?.slice(1, 3)).toEqual(["11\u00a0mm", "13\u00a0mm"]);
    expect(rows.some(([id]) => id === "A1")).toBe(false);
    const { changes } = JSON.parse(readFileSync(below(ID, "packet.json"), "utf8")).revision;
    expect(changes.since).toBe(1);
    expect(changes.pins.map(({ id }: { id: string }) => id)).toEqual(
      rows.map(([id]) => id).filter((id) => /^[A-C]\d$/.test(id ?? "")),
    );
    expect(readFileSync(below(ID, "index.html"), "utf8")).toContain("DRAFT after revision 1");
  });

  test("the second revision gives its number to the sheets that it brings; the others keep theirs", async () => {
    expect(await issue("2027-03-04", "C2 read again")).toMatchObject({ kind: "issued", number: 2 });
    git("add", "jobs");
    git("commit", "-qm", "Revision 2");
    await build();
    expect(foot(below(ID, "en", "cut-table.html")).slice(2, 5)).toEqual(["Revision 2", "2027-03-04", "ISSUED"]);
    expect(foot(below(ID, "en", "safety.html")).slice(2, 5)).toEqual(["Revision 1", "2027-03-01", "ISSUED"]);
    // Rule 10 of the sheets: all agree with the cover's list.
    const { sheets } = JSON.parse(readFileSync(below(ID, "packet.json"), "utf8")) as {
      sheets: { id: string; language: string; hash: string; revision: number; date: string }[];
    };
    for (const { id, language, hash, revision, date } of sheets) {
      const at = foot(below(ID, language, `${id}.html`));
      expect([at[2]?.replace(/\D/g, ""), at[3], at[5]], id).toEqual([String(revision), date, hash]);
    }
    expect((await build()).outcome).toBe("unchanged");
  });

  test("a person who puts the old readings back has a draft again, not revision 1", async () => {
    writeFileSync(path, textOf(first));
    await build();
    expect(foot(below(ID, "en", "cut-table.html")).slice(2, 5)).toEqual(["After revision 2", "2027-02-20", "DRAFT"]);
    writeFileSync(path, textOf(second));
    await build();
    expect(foot(below(ID, "en", "cut-table.html"))[4]).toBe("ISSUED");
  });
});

describe("a program whose formula was changed in between", () => {
  const clone = mkdtempSync(join(tmpdir(), "later-version-"));
  afterAll(() => rmSync(clone, { recursive: true, force: true }));
  beforeAll(() => {
    for (const part of ["src", "templates", ".eleventy.js", "package.json", "package-lock.json", "tsconfig.json"])
      cpSync(join(projectFolder, part), join(clone, part), { recursive: true });
    symlinkSync(join(projectFolder, "node_modules"), join(clone, "node_modules"), "junction");
    const formula = join(clone, "src", "slab", "carry-levels.ts");
    const text = readFileSync(formula, "utf8");
    const later = text.replace(/const SMOOTHINGS = \[[^\]]*\]/, "const SMOOTHINGS = [0]");
    if (later === text) throw new Error("there is nothing left to change in carry-levels.ts");
    writeFileSync(formula, later);
  });

  test("prints revision 1 as it was issued, with SUPERSEDED across it, and tells what it would compute otherwise", async () => {
    const ran = await runCommand(["reprint", ID, "--revision", "1", ...words], { project: clone });
    expect([ran.errors, ran.code]).toEqual(["", 0]);
    expect(ran.out).toMatch(/superseded by revision 2 of 2027-03-04/);
    expect(ran.out).toMatch(/numbers? would come out differently today\. Revision 1 stands as it was issued/);
    expect(ran.out).toMatch(/volumeToOrderL: issued .* today /);
    const folder = below("_issued", ID, "revision-1");
    const page = readFileSync(join(folder, "en", "pin-map.html"), "utf8");
    expect(page).toContain("SUPERSEDED");
    // Word for word what was issued, under what stands across it.
    const without = page.replace(/<div class="across">.*?<\/div>/gs, "<!--across-->");
    const article = (html: string) => /<article[\s\S]*<\/article>/.exec(html)?.[0];
    expect(article(without)).toBe(article(readFileSync(record(1, "en", "pin-map.html"), "utf8")));
    const set = `${ID}-crew-set-en-revision-1-superseded.pdf`;
    expect(readdirSync(folder).filter((name) => name.endsWith(".pdf"))).toContain(set);
    // Read off the finished file: every page says so, and by which revision.
    const { pages } = await readPdf(readFileSync(join(folder, set)));
    expect(pages.length).toBeGreaterThan(3);
    expect(pages.filter(({ text }) => !/SUPERSEDED.*[Rr]evision 2/.test(text))).toEqual([]);
    expect(readFileSync(join(folder, "packet.json"), "utf8")).toBe(readFileSync(record(1, "packet.json"), "utf8"));
    expect(git("status", "--porcelain", "jobs")).toBe("");
  });

  test("calls the packet a draft, says that the program and not the job file differs, and leaves the record alone", async () => {
    const ran = await runCommand([ID, "--no-pdf", ...words], { project: clone });
    expect(ran.code).toBe(0);
    expect(ran.out).toMatch(/DRAFT after revision 2/);
    expect(readFileSync(below(ID, "en", "cover.html"), "utf8")).toMatch(/another version of/);
    expect(git("status", "--porcelain", "jobs")).toBe("");
  });
});

describe("a record that somebody touched", () => {
  test("is refused by build, issue and reprint, with the file and what to do; brought back, all is well", async () => {
    const sheet = record(1, "en", "pin-map.html");
    const text = readFileSync(sheet, "utf8");
    writeFileSync(sheet, text.replace("</h1>", " </h1>"));
    writeFileSync(path, textOf(first));
    const tampered = {
      code: "record-tampered",
      message: expect.stringContaining(`jobs/${ID}/revision-1/en/pin-map.html`),
      hint: expect.stringContaining("git checkout"),
    };
    expect(await build()).toMatchObject({ outcome: "refused", diagnostics: [tampered] });
    expect(await issue("2027-03-09", "x")).toMatchObject({ kind: "refused", problems: [tampered] });
    expect(await builder.reprint(ID, 2, "no-pdfs", () => undefined)).toMatchObject({
      kind: "refused",
      problems: [tampered],
    });
    git("checkout", "-q", "--", "jobs");
    expect((await build()).outcome).not.toBe("refused");
  });

  test("is found though job and packet are as they were, also by a build that knows them", async () => {
    // A file of the moment is looked at in any case: known is what has settled.
    await new Promise((resolve) => setTimeout(resolve, 2_500));
    await build();
    expect((await build()).outcome).toBe("unchanged");
    const sheet = record(1, "en", "pin-map.html");
    const text = readFileSync(sheet, "utf8");
    writeFileSync(sheet, text.replace("</h1>", " </h1>"));
    expect(await build()).toMatchObject({ outcome: "refused", diagnostics: [{ code: "record-tampered" }] });
    writeFileSync(sheet, text);
    expect((await build()).outcome).not.toBe("refused");
  });

  test("two records with one number are refused", async () => {
    cpSync(record(2), join(office.jobs, ID, "revision-2 copy"), { recursive: true });
    expect(await builder.reprint(ID, "last", "no-pdfs", () => undefined)).toMatchObject({
      kind: "refused",
      problems: [{ code: "record-number-twice" }],
    });
    rmSync(join(office.jobs, ID, "revision-2 copy"), { recursive: true });
  });

  test("a record cut off by a stop is none: the next issue takes its number", async () => {
    renameSync(record(2), join(office.jobs, ID, ".revision-2.part"));
    writeFileSync(path, textOf(second));
    expect(await issue("2027-03-05", "C2 read again")).toMatchObject({ kind: "issued", number: 2 });
    expect(readdirSync(join(office.jobs, ID))).toEqual(["revision-1", "revision-2"]);
  });

  test("a revision that was never issued is named", async () => {
    expect(await builder.reprint(ID, 7, "no-pdfs", () => undefined)).toMatchObject({
      kind: "refused",
      problems: [{ code: "revision-not-issued" }],
    });
  });
});

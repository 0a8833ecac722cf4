import { mkdirSync, mkdtempSync, renameSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { expect, onTestFinished, test } from "vitest";
import { watchFolders } from "../../src/cli/watch-folders.ts";

test("a file is told of as often as an editor puts another in its place, also in folders that came later", async () => {
  const folder = mkdtempSync(join(tmpdir(), "watched-"));
  onTestFinished(() => rmSync(folder, { recursive: true, force: true }));
  const jobs = join(folder, "jobs");
  mkdirSync(join(jobs, "clinic"), { recursive: true });
  writeFileSync(join(jobs, "clinic.yaml"), "0");
  const told: string[] = [];
  const watched = watchFolders(
    jobs,
    (path) => told.push(path),
    (error) => told.push(error.message),
  );
  onTestFinished(() => watched.close());
  const saved = async (path: string, text: string) => {
    told.length = 0;
    writeFileSync(join(folder, "saved"), text);
    renameSync(join(folder, "saved"), join(jobs, path));
    await expect.poll(() => told, { timeout: 10_000 }).toContain(path);
  };
  await saved("clinic.yaml", "1");
  await saved("clinic.yaml", "2");
  await saved("clinic.yaml", "3");
  await saved(join("clinic", "slab.csv"), "1");
  await saved(join("clinic", "slab.csv"), "2");
  told.length = 0;
  mkdirSync(join(jobs, "bath"));
  await expect.poll(() => told, { timeout: 10_000 }).toContain("bath");
  await saved(join("bath", "slab.csv"), "1");
  await saved(join("bath", "slab.csv"), "2");
  rmSync(join(jobs, "bath"), { recursive: true });
  mkdirSync(join(jobs, "bath"));
  await saved(join("bath", "slab.csv"), "3");
});

import { existsSync, mkdtempSync, rmSync, utimesSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, expect, test } from "vitest";
import { openPdfCache, pdfKey } from "../../src/print/pdf-cache.ts";
import { prunePdfs } from "../../src/print/prune-pdfs.ts";

const folder = mkdtempSync(join(tmpdir(), "prune-"));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

test("what nobody asked for in half a year goes; what was asked for yesterday stays, however old it is", async () => {
  const cache = openPdfCache(folder);
  const keys = ["old", "old but used", "new"].map((text) => pdfKey(text, "B/1", {}));
  for (const key of keys) await cache.put(key, Buffer.from("pdf"));
  const [old, used, fresh] = keys.map((key) => join(folder, key.slice(0, 2), `${key}.pdf`)) as [string, string, string];
  const longAgo = new Date(Date.now() - 200 * 24 * 60 * 60 * 1000);
  for (const path of [old, used]) utimesSync(path, longAgo, longAgo);
  expect(await cache.get(keys[1] as string)).toEqual(Buffer.from("pdf"));
  expect(await prunePdfs(folder)).toBe(1);
  expect([old, used, fresh].map((path) => existsSync(path))).toEqual([false, true, true]);
  // Looked through a moment ago: not again now.
  utimesSync(fresh, longAgo, longAgo);
  expect(await prunePdfs(folder)).toBe(0);
  writeFileSync(join(folder, "last-looked-through"), "");
  utimesSync(join(folder, "last-looked-through"), longAgo, longAgo);
  expect(await prunePdfs(folder)).toBe(1);
});

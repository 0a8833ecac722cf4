import { existsSync, mkdtempSync, rmSync, utimesSync, writeFileSync } from "node:fs";
import { hostname, tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, expect, test, vi } from "vitest";
import { LOCK, takeBuildLock } from "../../src/archive/build-lock.ts";

let output: string;
beforeEach(() => {
  output = mkdtempSync(join(tmpdir(), "build-lock-"));
});
afterEach(() => rmSync(output, { recursive: true, force: true }));
const quiet = () => undefined;

test("one at a time: the second is told who holds it, and gets it when the first lets go", async () => {
  const first = await takeBuildLock(output, 0, quiet);
  await expect(takeBuildLock(output, 0, quiet)).rejects.toThrow(`process ${process.pid}`);
  let said = "";
  const second = takeBuildLock(output, 5_000, (holder) => {
    said = holder;
  });
  await new Promise((later) => setTimeout(later, 50));
  await first.release();
  await (await second).release();
  expect(said).toContain(String(process.pid));
});

test("the lock of a process that is gone is taken over, by one of two that want it", async () => {
  // Larger than any process number that a kernel gives out.
  writeFileSync(join(output, LOCK), JSON.stringify({ process: 2 ** 30, machine: hostname() }));
  const tries = await Promise.allSettled([takeBuildLock(output, 0, quiet), takeBuildLock(output, 400, quiet)]);
  const taken = tries.filter((each) => each.status === "fulfilled");
  expect(taken).toHaveLength(1);
});

test("a lock of another machine is respected, and one that was never filled is not", async () => {
  const path = join(output, LOCK);
  writeFileSync(path, JSON.stringify({ process: 1, machine: `not-${hostname()}` }));
  await expect(takeBuildLock(output, 0, quiet)).rejects.toThrow(`not-${hostname()}`);
  writeFileSync(path, "");
  await expect(takeBuildLock(output, 0, quiet)).rejects.toThrow("just starting");
  const longAgo = new Date(Date.now() - 60_000);
  utimesSync(path, longAgo, longAgo);
  await (await takeBuildLock(output, 400, quiet)).release();
});

test("what a process left that was killed while it moved a dead lock aside is gone after the next build; a fresh one stays", async () => {
  const [left, fresh] = [join(output, `${LOCK}.0000abcd`), join(output, `${LOCK}.0000ef01`)];
  writeFileSync(left, "{}");
  const later = Date.now() + 60_000;
  const clock = vi.spyOn(Date, "now").mockReturnValue(later);
  await (await takeBuildLock(output, 0, quiet)).release();
  clock.mockRestore();
  expect(existsSync(left)).toBe(false);
  writeFileSync(fresh, "{}");
  await (await takeBuildLock(output, 0, quiet)).release();
  expect(existsSync(fresh)).toBe(true);
});

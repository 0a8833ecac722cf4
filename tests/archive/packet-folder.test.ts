import { spawn } from "node:child_process";
import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  renameSync,
  rmSync,
  writeFileSync,
} from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import { afterEach, beforeEach, describe, expect, test } from "vitest";
import { MAKING, mendOutput, putPacket } from "../../src/archive/packet-folder.ts";

let output: string;
beforeEach(() => {
  output = mkdtempSync(join(tmpdir(), "packet-folder-"));
});
afterEach(() => rmSync(output, { recursive: true, force: true }));

const packet = (version: string) => [
  { path: "index.html", content: version },
  { path: "en/pin-map.html", content: version },
  { path: "packet.json", content: version },
];
/** The version of each file of a job's folder, in path order. */
const versionsIn = (folder: string): string[] => packet("").map(({ path }) => readFileSync(join(folder, path), "utf8"));
const stage = (state: string) => join(output, MAKING, `clinic.${state}`);
const write = (folder: string, version: string) => {
  for (const { path, content } of packet(version)) {
    mkdirSync(join(folder, path, ".."), { recursive: true });
    writeFileSync(join(folder, path), content);
  }
};

describe("a packet in its place", () => {
  test("the first appears whole; the next replaces every file, and nothing of the old one stays", async () => {
    await putPacket(output, "clinic", [...packet("1"), { path: "gone-later.txt", content: "1" }]);
    expect(versionsIn(join(output, "clinic"))).toEqual(["1", "1", "1"]);
    await putPacket(output, "clinic", packet("2"));
    expect(versionsIn(join(output, "clinic"))).toEqual(["2", "2", "2"]);
    expect(existsSync(join(output, "clinic", "gone-later.txt"))).toBe(false);
    expect(existsSync(join(output, MAKING))).toBe(false);
  });

  test("a file that cannot be written leaves the old packet as it was", async () => {
    await putPacket(output, "clinic", packet("1"));
    // A file and a folder of one name cannot both be written.
    const clash = [...packet("2"), { path: "index.html/below", content: "2" }];
    await expect(putPacket(output, "clinic", clash)).rejects.toThrow();
    expect(versionsIn(join(output, "clinic"))).toEqual(["1", "1", "1"]);
    expect(readdirSync(join(output, MAKING))).toEqual([]);
  });
});

describe("mending what a stopped run left", () => {
  test("half-written files are thrown away, the old packet stays", async () => {
    write(join(output, "clinic"), "1");
    write(stage("part"), "2");
    expect(await mendOutput(output)).toEqual([]);
    expect(versionsIn(join(output, "clinic"))).toEqual(["1", "1", "1"]);
    expect(existsSync(join(output, MAKING))).toBe(false);
  });

  test("a whole packet that was not moved in yet is moved in", async () => {
    write(join(output, "clinic"), "1");
    write(stage("whole"), "2");
    expect(await mendOutput(output)).toEqual(["clinic"]);
    expect(versionsIn(join(output, "clinic"))).toEqual(["2", "2", "2"]);
  });

  test("stopped between the two renames: the new packet is moved in", async () => {
    write(stage("old"), "1");
    write(stage("whole"), "2");
    expect(await mendOutput(output)).toEqual(["clinic"]);
    expect(versionsIn(join(output, "clinic"))).toEqual(["2", "2", "2"]);
  });

  test("only the old packet is there, moved aside: it is moved back", async () => {
    write(join(output, "clinic"), "1");
    mkdirSync(join(output, MAKING));
    renameSync(join(output, "clinic"), stage("old"));
    expect(await mendOutput(output)).toEqual(["clinic"]);
    expect(versionsIn(join(output, "clinic"))).toEqual(["1", "1", "1"]);
  });

  test("moved in, and stopped before the old one was deleted", async () => {
    write(join(output, "clinic"), "2");
    write(stage("old"), "1");
    expect(await mendOutput(output)).toEqual([]);
    expect(versionsIn(join(output, "clinic"))).toEqual(["2", "2", "2"]);
  });

  test("nothing to mend in a new place", async () => {
    expect(await mendOutput(join(output, "not-there"))).toEqual([]);
  });
});

test("killed at ten moments, a packet is the old or the new one, never a mixture", async () => {
  const script = join(output, "put.mjs");
  const module = pathToFileURL(fileURLToPath(new URL("../../src/archive/packet-folder.ts", import.meta.url))).href;
  // Puts one version after the other until it is killed, from the one that it is told; says when the first is in.
  writeFileSync(
    script,
    `import { putPacket } from ${JSON.stringify(module)};
     for (let version = Number(process.argv[2]); ; version += 1) {
       await putPacket(${JSON.stringify(output)}, "clinic", ["a", "b/c", "d"].map((path) => ({ path, content: String(version) + "x".repeat(20000) })));
       process.stdout.write(".");
     }`,
  );
  const seen = new Set<string>();
  for (let round = 0; round < 10; round += 1) {
    const child = spawn(process.execPath, ["--import", "tsx", script, String((round + 1) * 1000)], {
      cwd: fileURLToPath(new URL("../..", import.meta.url)),
      stdio: ["ignore", "pipe", "inherit"],
    });
    await new Promise((started) => child.stdout.once("data", started));
    const ended = new Promise((closed) => child.once("close", closed));
    await new Promise((later) => setTimeout(later, round * 4));
    child.kill("SIGKILL");
    await ended;
    await mendOutput(output);
    const versions = ["a", "b/c", "d"].map((path) => readFileSync(join(output, "clinic", path), "utf8"));
    expect(new Set(versions).size).toBe(1);
    expect(versions[0]).toMatch(/^\d+x{20000}$/);
    seen.add(versions[0] as string);
  }
  // Every round left a packet of its own.
  expect(seen.size).toBe(10);
});

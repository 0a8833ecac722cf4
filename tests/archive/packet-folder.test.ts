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
import { afterEach, beforeEach, describe, expect, test } from "vitest";
import { MAKING, mendOutput, putPacket } from "../../src/archive/packet-folder.ts";
import { killedRounds } from "./killed-rounds.ts";

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

test("killed at twenty random moments, a packet is the old or the new one whole, and the next run says what it put right", async () => {
  expect((await killedRounds(output, 20)).wrong).toEqual([]);
});

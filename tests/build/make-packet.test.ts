import { afterAll, describe, expect, test } from "vitest";
import { openComputePool } from "../../src/build/compute-pool.ts";
import { loadSolver } from "../../src/build/load-solver.ts";
import { makePacket } from "../../src/build.ts";
import { loadLibrary } from "../../src/job/files.ts";
import { projectFolder, smallJobText } from "./small-job.ts";

const solve = await loadSolver();
const { library } = loadLibrary(`${projectFolder}jobs`);
const request = (text: string) => ({ jobId: "small-room", file: "jobs/small-room.yaml", text, library });

describe("a job's text into its packet", () => {
  test("a read floor gives sheets, pins and figures; the same text gives the same packet", () => {
    const made = makePacket(request(smallJobText("small-room")), solve);
    expect(made.kind).toBe("made");
    if (made.kind !== "made") return;
    const { packet } = made;
    expect(packet.page.phase).toBe("surveyed");
    // Three by three grid points, each a pin.
    expect(packet.page.pins).toHaveLength(9);
    expect(packet.pinsCsv?.split("\r\n").filter((line) => line !== "")).toHaveLength(10);
    expect(packet.summary.sheets.length).toBe(packet.sheets.length);
    expect(packet.page.figures.find((figure) => figure.name === "Bags to order")?.value).toMatch(/^\d+$/);
    expect(makePacket(request(smallJobText("small-room")), solve)).toEqual(made);
  });

  test("numbers are written with twelve digits: in the last ones versions of Node differ", () => {
    const made = makePacket(request(smallJobText("small-room")), solve);
    if (made.kind !== "made") throw new Error("refused");
    const { packetJson, summary } = made.packet;
    const numbers = [
      ...`${packetJson}${JSON.stringify(summary)}`.matchAll(/[:[ ]-?(\d+\.\d+)(?:e-?\d+)?(?=[,\n}\]])/g),
    ];
    const digits = numbers.map(([, number = ""]) => number.replace(".", "").replace(/^0+/, "").length);
    expect(numbers.length).toBeGreaterThan(100);
    expect(Math.max(...digits)).toBe(12);
  });

  test("a floor that was not read yet gives what can be printed before, and says why the rest is not there", () => {
    const made = makePacket(request(smallJobText("small-room", { readings: [] })), solve);
    expect(made.kind).toBe("made");
    if (made.kind !== "made") return;
    expect(made.packet.page.phase).toBe("planned");
    expect(made.packet.page.notYet).not.toEqual([]);
    expect(made.packet.page.figures).toEqual([]);
    expect(made.packet.pinsCsv).toBeUndefined();
    expect(made.packet.sheets.map((sheet) => sheet.id)).toContain("survey-plan");
  });

  test("a job that cannot be built gives its problems, all of them with their lines", () => {
    const text = smallJobText("small-room")
      .replace("material: cement-50lb", "material: cement-50b")
      .replace("N 12'", "N 11'");
    const made = makePacket(request(text), solve);
    expect(made.kind).toBe("refused");
    if (made.kind !== "refused") return;
    expect(made.problems.map(({ code }) => code)).toEqual(expect.arrayContaining(["walls-do-not-close"]));
    expect(made.problems.length).toBeGreaterThanOrEqual(2);
    expect(made.problems.every(({ place }) => place !== undefined)).toBe(true);
  });
});

describe("the thread that computes", () => {
  const pool = openComputePool({ seconds: 60, megabytes: 1000 });
  afterAll(() => pool.close());

  test("gives what computing here gives", async () => {
    const text = smallJobText("small-room");
    const [there, again] = await Promise.all([pool.compute(request(text)), pool.compute(request(text))]);
    expect(there).toEqual(makePacket(request(text), solve));
    expect(again).toEqual(there);
  });

  test("is stopped after the limit, says so, and the next job is computed all the same", async () => {
    const hasty = openComputePool({ seconds: 0.01, megabytes: 1000 });
    try {
      const stopped = await hasty.compute(request(smallJobText("small-room")));
      expect(stopped).toMatchObject({ kind: "refused", problems: [{ code: "computing-took-too-long" }] });
    } finally {
      await hasty.close();
    }
    expect((await pool.compute(request(smallJobText("small-room")))).kind).toBe("made");
  });

  test("a library that breaks the program is an answer too, not an end", async () => {
    const broken = { ...request(smallJobText("small-room")), library: undefined as never };
    const answer = await pool.compute(broken);
    expect(answer).toMatchObject({ kind: "refused", problems: [{ code: "computing-broke-down" }] });
    expect((await pool.compute(request(smallJobText("small-room")))).kind).toBe("made");
  });
});

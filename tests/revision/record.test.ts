/** Records of issued revisions: sealed, read back, and refused where anybody touched them. */
import { createHash } from "node:crypto";
import { describe, expect, test } from "vitest";
import { readRecords, sealRecord } from "../../src/revision/record.ts";
import type { FoundRecord, RecordFile } from "../../src/revision/record-files.ts";
import { packetStanding, sheetStanding } from "../../src/revision/standing.ts";

const NUMBERS = {
  packetFormat: 1,
  job: { id: "room", dated: null, material: { id: "m", name: "Material" } },
  plan: { rooms: [] },
  depths: { kind: "not-yet", why: "not read" },
  quantities: { kind: "not-yet", why: "not read" },
  schedule: { kind: "not-yet", why: "not read" },
};

const seal = (revision: number, previous: string | null, text = "<p>pins</p>") =>
  sealRecord(
    {
      job: "room",
      revision,
      date: `2027-03-0${revision}`,
      reason: "For the pour",
      program: { version: "0.1.0", hash: "p" },
      inputHash: "i",
      previous,
      sheets: [
        { id: "pin-map", title: "Pin map", language: "en", hash: "h1", revision: 1, date: "2027-03-01" },
        {
          id: "cut-table",
          title: "Cut table",
          language: "en",
          hash: `c${revision}`,
          revision,
          date: `2027-03-0${revision}`,
        },
      ],
    },
    [
      { path: "packet.json", text: JSON.stringify(NUMBERS) },
      { path: "en/pin-map.html", text },
    ],
  );
const first = seal(1, null);
const second = seal(2, first.record.digest);
const found = (folder: string, files: readonly RecordFile[]): FoundRecord => ({
  folder,
  place: `jobs/room/${folder}`,
  files,
});
const sound = [found("revision-1", first.files), found("revision-2", second.files)];
const changed = (files: readonly RecordFile[], path: string, change: (text: string) => string): RecordFile[] =>
  files.map((file) => (file.path === path ? { path, text: change(file.text) } : file));
const codesOf = (records: readonly FoundRecord[]) =>
  readRecords("room", records).problems?.map(({ code, message }) => `${code} ${message}`) ?? [];

test("sound records are read in the order of their numbers, wherever they stood", () => {
  const { issued } = readRecords("room", [...sound].reverse());
  expect(issued?.map(({ number, date, reason }) => [number, date, reason])).toEqual([
    [1, "2027-03-01", "For the pour"],
    [2, "2027-03-02", "For the pour"],
  ]);
});

test("the hashes in a record are plain SHA-256 of its files, so that anybody can check them", () => {
  const text = first.files.find(({ path }) => path === "en/pin-map.html")?.text ?? "";
  expect(first.record.files["en/pin-map.html"]).toBe(createHash("sha256").update(text).digest("hex"));
});

test("line ends that a checkout turned are no tampering", () => {
  const turned = first.files.map(({ path, text }) => ({ path, text: text.replaceAll("\n", "\r\n") }));
  expect(codesOf([found("revision-1", turned)])).toEqual([]);
});

describe("is refused, with the file named", () => {
  const json = (change: (record: Record<string, unknown>) => void) => (text: string) => {
    const record = JSON.parse(text) as Record<string, unknown>;
    change(record);
    return JSON.stringify(record);
  };
  test.each<[string, readonly FoundRecord[], RegExp]>([
    [
      "one letter of a sheet",
      [
        found(
          "revision-1",
          changed(first.files, "en/pin-map.html", (t) => t.replace("pins", "pinz")),
        ),
      ],
      /^record-tampered .*revision-1\/en\/pin-map\.html/,
    ],
    [
      "a number of the packet",
      [
        found(
          "revision-1",
          changed(first.files, "packet.json", (t) => t.replace('"m"', '"n"')),
        ),
      ],
      /^record-tampered .*packet\.json/,
    ],
    [
      "the reason",
      [
        found(
          "revision-1",
          changed(
            first.files,
            "record.json",
            json((r) => {
              r.reason = "none";
            }),
          ),
        ),
      ],
      /^record-tampered .*record\.json/,
    ],
    [
      "a file taken away",
      [
        found(
          "revision-1",
          first.files.filter(({ path }) => path !== "en/pin-map.html"),
        ),
      ],
      /^record-tampered .*en\/pin-map\.html/,
    ],
    [
      "a file added",
      [found("revision-1", [...first.files, { path: "en/other.html", text: "" }])],
      /^record-tampered .*en\/other\.html/,
    ],
    [
      "a sheet and its hash, but not the digest",
      [
        found(
          "revision-1",
          changed(
            changed(first.files, "en/pin-map.html", () => "x"),
            "record.json",
            json((r) => {
              (r.files as Record<string, string>)["en/pin-map.html"] = createHash("sha256").update("x").digest("hex");
            }),
          ),
        ),
      ],
      /^record-tampered .*record\.json/,
    ],
    [
      "the first record exchanged for another whole one",
      [found("revision-1", seal(1, null, "<p>other</p>").files), found("revision-2", second.files)],
      /^record-tampered .*revision-1 is not the record/,
    ],
    [
      "a record that is no JSON",
      [
        found(
          "revision-1",
          changed(first.files, "record.json", () => "{"),
        ),
      ],
      /^record-unreadable .*record\.json/,
    ],
    [
      "marks of a merge in it",
      [
        found(
          "revision-1",
          changed(first.files, "record.json", (t) => `<<<<<<< ours\n${t}`),
        ),
      ],
      /^record-unreadable/,
    ],
    [
      "a record without a digest",
      [
        found(
          "revision-1",
          changed(
            first.files,
            "record.json",
            json((r) => {
              delete r.digest;
            }),
          ),
        ),
      ],
      /^record-unreadable .*digest/,
    ],
    [
      "two records with one number",
      [sound[0] as FoundRecord, found("revision-1 (copy)", first.files)],
      /^record-number-twice .*revision-1 .*revision-1 \(copy\)/,
    ],
    ["a revision left out", [found("revision-2", second.files)], /^record-missing .*revision 1/],
  ])("%s", (_, records, message) => {
    const codes = codesOf(records);
    expect(codes).toHaveLength(1);
    expect(codes[0]).toMatch(message);
  });

  test("a record of another job", () => {
    expect(readRecords("hall", sound).problems?.[0]?.code).toBe("record-of-another-job");
  });
});

describe("standing", () => {
  const { issued = [] } = readRecords("room", sound);
  const revisions = { issued, changesSince: [], inputAsIssued: false };
  const sheet = (id: string, hash: string) => ({ id, title: id, language: "en", hash });

  test("a sheet keeps the revision in which it last said something new", () => {
    expect(sheetStanding(sheet("pin-map", "h1"), revisions)).toEqual({
      kind: "issued",
      revision: 1,
      date: "2027-03-01",
    });
    expect(sheetStanding(sheet("cut-table", "c2"), revisions)).toEqual({
      kind: "issued",
      revision: 2,
      date: "2027-03-02",
    });
  });

  test("what says something else is a draft after the last revision, or the next one while it is issued", () => {
    expect(sheetStanding(sheet("cut-table", "c1"), revisions)).toEqual({ kind: "draft-after", revision: 2 });
    const issuing = { ...revisions, issuing: { date: "2027-03-09", reason: "x" } };
    expect(sheetStanding(sheet("cut-table", "c3"), issuing)).toEqual({
      kind: "issued",
      revision: 3,
      date: "2027-03-09",
    });
  });

  test("one sheet that differs makes the packet a draft", () => {
    const standings = ["h1", "h2"].map((hash) => sheetStanding(sheet("pin-map", hash), revisions));
    expect(packetStanding(standings, revisions)).toEqual({ kind: "draft-after", revision: 2 });
    expect(packetStanding(standings.slice(0, 1), revisions)).toEqual({
      kind: "issued",
      revision: 2,
      date: "2027-03-02",
    });
  });
});

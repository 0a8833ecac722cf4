/** The sheet on the top of the pour, read off the shipped job whose tops are sought. */
import { readFileSync } from "node:fs";
import { beforeAll, describe, expect, test } from "vitest";
import { findingsOf, type MadePacket } from "../../src/build.ts";
import { verifyPacket } from "../../src/check/verify-packet.ts";
import { loadLibrary } from "../../src/job/files.ts";
import { readJob } from "../../src/job/read-job.ts";
import { jobPage } from "../../src/pages/job-page.ts";
import { composeSheets } from "../../src/sheets/compose-sheets.ts";
import type { Findings, Sheet } from "../../src/sheets/model.ts";
import { MADE_FLOORS } from "../../src/sheets/order-risk.ts";
import { toPacket } from "../../src/sheets/packet.ts";
import { packetSchema } from "../../src/sheets/packet-schema.ts";
import { roundAxis } from "../../src/sheets/trade-off-plot.ts";
import { kilograms, litres, millimetres } from "../../src/units.ts";
import { ALL_RULES, textsOf } from "./sheet-rules.ts";

const FILE = "jobs/alder-court-laundry.yaml";
const noPlan = () => {
  throw new Error("no survey is planned here");
};

let findings: Findings;
let sheets: readonly Sheet[];
let page: MadePacket["page"];
beforeAll(() => {
  const { job } = readJob(readFileSync(FILE, "utf8"), FILE, loadLibrary("jobs").library);
  const found = job ? findingsOf(job, noPlan) : undefined;
  if (found?.kind !== "ready") throw new Error(JSON.stringify(found));
  findings = found.value;
  sheets = found.value.job.languages.flatMap((language) => composeSheets(found.value, language));
  page = jobPage(findings, { sheets, notYet: [], packetHash: "0", printed: true });
}, 30_000);

const plain = (text: string) => text.replaceAll("\u00a0", " ").replace(/ +/g, " ");
const sheetText = (id: string, language: "en" | "es" = "en"): string => {
  const sheet = sheets.find((one) => one.id === id && one.language === language) as Sheet;
  return plain(
    textsOf(sheet)
      .map(({ text }) => text)
      .join(" "),
  );
};
const ready = <T>(outcome: { kind: string; value?: T }): T => {
  if (outcome.kind !== "ready") throw new Error(outcome.kind);
  return outcome.value as T;
};

describe("the sheet on the top of the pour", () => {
  test("keeps the rules of sheets in both languages", () => {
    for (const sheet of sheets.filter(({ id }) => id === "top-of-pour" || id === "quantities"))
      for (const [rule, breachesOf] of Object.entries(ALL_RULES)) expect(breachesOf(sheet), rule).toEqual([]);
  });

  test("says what stretching the deep places with aggregate saves, where the data sheet allows it", () => {
    expect(sheetText("top-of-pour")).not.toContain("pea gravel");
    const { job } = readJob(readFileSync(FILE, "utf8"), FILE, loadLibrary("jobs").library);
    // 25 kg of gravel a bag add 10 L to its yield and a litre to its water: no data sheet, round numbers.
    const aggregate = {
      name: "pea gravel, damp",
      perBag: kilograms(25),
      yieldPerBag: litres(job!.material.yieldPerBag + 10),
      waterPerBag: litres(job!.material.waterPerBag + 1),
      leastDepth: millimetres(4),
      neatOnTop: millimetres(3),
    };
    const found = findingsOf({ ...job!, material: { ...job!.material, aggregate } }, noPlan);
    if (found.kind !== "ready") throw new Error(found.kind);
    for (const [language, saves] of [
      ["en", /pea gravel, damp.*saves? \d+ bags/],
      ["es", /pea gravel, damp.*\d+ sacos/],
    ] as const) {
      const sheet = composeSheets(found.value, language).find(({ id }) => id === "top-of-pour")!;
      for (const [rule, breachesOf] of Object.entries(ALL_RULES)) expect(breachesOf(sheet), rule).toEqual([]);
      const text = textsOf(sheet).map((one) => one.text);
      expect(plain(text.join(" "))).toMatch(saves);
    }
  });

  test("names what keeps each top from lying lower, and the way that the plane falls", () => {
    const text = sheetText("top-of-pour");
    expect(text).toContain("because of the 1.50 m² (16.1 ft²) at most that may be ground");
    expect(text).toMatch(/because of the least depth of 6 mm \(1\/4 in\) over the high place in Drying room/);
    const zone = ready(findings.target).zones[1]!;
    // The gully is in the south-east corner, so the slab and the plane over it are lower in the east.
    expect(zone.fallEast).toBeLessThan(0);
    expect(text).toMatch(/falls \d+\.\d mm\/m \([\d/]+ in\/ft\) to the east/);
  });

  test("lists the ramp with its material and what lies in it", () => {
    const [meet] = ready(findings.target).meets!;
    expect(meet!.how.kind).toBe("ramp");
    expect(sheetText("top-of-pour")).toContain("Ramp in Stiff cement-based repair mix");
    const [order] = ready(findings.quantities).otherMaterials!;
    expect(order!.doorIds).toEqual(["DR2"]);
    expect(order!.bags.wedgeVolume).toBeCloseTo(meet!.how.kind === "ramp" ? meet!.how.volume : Number.NaN, 9);
  });

  test("the number that is ordered is the same on every sheet and on the page, for each material", () => {
    const { bags, otherMaterials } = ready(findings.quantities);
    const orders = [bags.toOrder, otherMaterials![0]!.bags.toOrder];
    for (const language of ["en", "es"] as const) {
      const top = sheetText("top-of-pour", language);
      const cover = sheetText("cover", language);
      for (const order of orders) {
        expect(top).toMatch(new RegExp(`\\) ${order} \\d`));
        expect(cover).toContain(` ${order} `);
      }
    }
    expect(sheetText("quantities")).toContain(`To order, whole bags ${orders[0]}`);
    expect(sheetText("quantities")).toMatch(new RegExp(`Drying room, at DR2 .* ${orders[1]} `));
    const figures = page.figures.filter(({ name }) => name.startsWith("Bags to order"));
    expect(figures.map(({ value }) => value)).toEqual(orders.map(String));
    expect(page.topTradeOff!.rows.find(({ isHere }) => isHere)!.bags).toEqual(orders.map(String));
    expect(page.topTradeOff!.rows).toHaveLength(21);
  });

  test("is in the packet, which its schema and the check before printing accept; bags left out of a ramp are found", () => {
    const packet = toPacket(findings, sheets);
    expect(packetSchema.safeParse(JSON.parse(JSON.stringify(packet))).error?.issues ?? []).toEqual([]);
    const evidence = { file: FILE, jobText: readFileSync(FILE, "utf8"), findings, packet, sheets };
    expect(verifyPacket(evidence)).toEqual([]);
    const quantities = ready(findings.quantities);
    const [order] = quantities.otherMaterials!;
    const withoutRamp = { ...order!, bags: { ...order!.bags, sum: order!.bags.sum - 0.2 } };
    const wrong = [
      { ...quantities, otherMaterials: [withoutRamp] },
      { ...quantities, otherMaterials: [] },
    ].map((value) => ({ ...findings, quantities: { ...findings.quantities, value } }) as Findings);
    expect(verifyPacket({ ...evidence, findings: wrong[0]! }).map(({ code }) => code)).toContain("quantity-differs");
    expect(verifyPacket({ ...evidence, findings: wrong[1]! }).map(({ code }) => code)).toContain("bags-differ");
  });
});

test("what the sheet says of made floors is what the study found", () => {
  const study = JSON.parse(readFileSync("tests/target/volume-study.json", "utf8")) as {
    whole: Record<string, { floors: number; nineInTen: number }>;
  };
  const kinds = Object.values(study.whole);
  expect(kinds.map(({ floors }) => floors)).toEqual(kinds.map(() => MADE_FLOORS.ofEach));
  expect(MADE_FLOORS).toEqual({
    floors: kinds.length * MADE_FLOORS.ofEach,
    ofEach: MADE_FLOORS.ofEach,
    least: Math.min(...kinds.map(({ nineInTen }) => nineInTen)),
    most: Math.max(...kinds.map(({ nineInTen }) => nineInTen)),
  });
});

test("axes have round ticks that hold every value", () => {
  expect(roundAxis(39, 201).ticks).toEqual([0, 50, 100, 150, 200, 250]);
  expect(roundAxis(9.2, 19.4).ticks).toEqual([5, 10, 15, 20]);
  expect(roundAxis(9.2, 18.4).ticks).toEqual([8, 10, 12, 14, 16, 18, 20]);
  expect(roundAxis(0, 0).ticks.length).toBeGreaterThan(1);
  expect(roundAxis(5, 5).least).toBeLessThanOrEqual(5);
  for (const [least, greatest] of [
    [0, 0.3],
    [460, 1992],
    [11, 13],
  ] as const) {
    const { ticks } = roundAxis(least, greatest);
    expect(ticks[0]).toBeLessThanOrEqual(least);
    expect(ticks.at(-1)).toBeGreaterThanOrEqual(greatest);
    expect(ticks.length).toBeLessThanOrEqual(8);
  }
});

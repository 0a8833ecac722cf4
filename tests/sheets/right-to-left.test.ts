/** Names in letters that run from right to left: their widths beside a browser's own shaping, and their places. */
import type { Browser, Page } from "puppeteer";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { defaultCacheFolder } from "../../src/print/cache-folder.ts";
import { findBrowser } from "../../src/print/find-browser.ts";
import { fontFacesFor } from "../../src/print/font-faces.ts";
import {
  END_OF_ISOLATE,
  isolated,
  LEFT_TO_RIGHT_ISOLATE,
  RIGHT_TO_LEFT_ISOLATE,
  withIsolatedTexts,
} from "../../src/sheets/type/isolate.ts";
import { fitText, textWidthMm, uncoveredCharacters, wrapText } from "../../src/sheets/type/text-metrics.ts";

const LETTERS = [..."ءآأؤإئابةتثجحخدذرزسشصضطظعغفقكلمنهوىيپچژکگی"];
const WORDS = [
  ..."الطابق السفلي مختبر الممر الرئيسي لالا محمد سِجِلّ قَهْوَة الله إلى لأن پنجره کارگاه گچ غرفة١٢".split(" "),
  ..."חדר מכתב מרתף שָׁלוֹם בניין מסדרון".split(" "),
  ...LETTERS.flatMap((a) => LETTERS.map((b) => a + b)),
  ...LETTERS.flatMap((a, k) => LETTERS.map((b, m) => `${a}${LETTERS[(k * 7 + m * 3) % LETTERS.length]}${b}`)),
];

let browser: Browser;
let tab: Page;
beforeAll(async () => {
  ({ browser } = await findBrowser(defaultCacheFolder));
  tab = await browser.newPage();
  await tab.setContent(`<style>${fontFacesFor(WORDS.join(" "))}</style><body style="font-family:'Noto Sans'">`);
}, 60_000);
afterAll(async () => {
  await browser.close();
});

/** Widths as the browser shapes the lines, at a type size of one unit. */
const widthsInBrowser = (lines: readonly string[], weight: number): Promise<number[]> =>
  tab.evaluate(`(async () => {
    const texts = ${JSON.stringify(lines)};
    const font = '${weight} 1000px "Noto Sans"';
    await document.fonts.load(font, texts.join(""));
    const context = document.createElement("canvas").getContext("2d");
    context.font = font;
    return texts.map((text) => context.measureText(text).width / 1000);
  })()`) as Promise<number[]>;

/** Left edge of each character of a line. */
const placesOf = (line: string): Promise<number[]> =>
  tab.evaluate(`(() => {
    document.body.textContent = "";
    const paragraph = document.body.appendChild(document.createElement("p"));
    const node = paragraph.appendChild(document.createTextNode(${JSON.stringify(line)}));
    return Array.from(node.data, (_, k) => {
      const range = document.createRange();
      range.setStart(node, k);
      range.setEnd(node, k + 1);
      return range.getBoundingClientRect().left;
    });
  })()`) as Promise<number[]>;

describe.each([400, 700] as const)("widths at weight %i", (weight) => {
  test("are no less than a browser draws, but for kerning, and not much more", { timeout: 60_000 }, async () => {
    const drawn = await widthsInBrowser(WORDS, weight);
    const MOST_KERNING_EM = 0.051;
    WORDS.forEach((word, k) => {
      const widthEm = textWidthMm(word, 1, weight);
      const pairs = [...word].length - 1;
      expect(widthEm, word).toBeGreaterThan((drawn[k] as number) - MOST_KERNING_EM * pairs);
      // A heh after a letter that does not join it is kerned under its tail: by a third of an em, at most once a pair.
      expect(widthEm, word).toBeLessThan((drawn[k] as number) + 0.36 * pairs);
    });
    const sum = (widths: readonly number[]): number => widths.reduce((total, width) => total + width, 0);
    const ratio = sum(WORDS.map((word) => textWidthMm(word, 1, weight))) / sum(drawn);
    expect(ratio).toBeGreaterThan(0.99);
    expect(ratio).toBeLessThan(1.03);
  });
});

test("Hebrew, Arabic and Persian letters are in the embedded fonts, and an isolate draws nothing", () => {
  expect(uncoveredCharacters(WORDS.join(""))).toEqual([]);
  expect(uncoveredCharacters(isolated("חדר 7"))).toEqual([]);
  expect(textWidthMm(isolated("חדר 7"), 4)).toBe(textWidthMm("חדר 7", 4));
});

describe("isolating", () => {
  test("texts that run from left to right stay as they are, to the object", () => {
    const job = { title: "Şehir Żółć", rooms: [{ name: "Ground floor" }] };
    expect(withIsolatedTexts(job, job)).toBe(job);
  });

  test("names are isolated in a copy in which one object stays one; addresses, numbers and the original are left", () => {
    const room = { name: "מרתף 2" };
    const findings = {
      rooms: [room],
      byRoom: new Map([[room, "Lab مختبر"]]),
      heights: new Float64Array([1]),
      address: "https://example.org/מרתף",
    };
    const copy = withIsolatedTexts(findings, findings);
    expect(copy.rooms[0]?.name).toBe(`${RIGHT_TO_LEFT_ISOLATE}מרתף 2${END_OF_ISOLATE}`);
    expect(copy.byRoom.get(copy.rooms[0] as typeof room)).toBe(`${LEFT_TO_RIGHT_ISOLATE}Lab مختبر${END_OF_ISOLATE}`);
    expect(copy.heights).toBe(findings.heights);
    expect(copy.address).toBe(findings.address);
    expect(room.name).toBe("מרתף 2");
  });

  test("an isolate that is broken over lines, or cut, is whole on each", () => {
    const isWhole = (line: string): boolean =>
      [...line].filter((one) => one === RIGHT_TO_LEFT_ISOLATE).length ===
      [...line].filter((one) => one === END_OF_ISOLATE).length;
    const name = isolated("חדר מכתב ארוך מאוד בקומה הראשונה");
    const lines = wrapText(`Room ${name} holds 12 pins`, 22, 4);
    expect(lines.length).toBeGreaterThan(3);
    expect(lines.every(isWhole)).toBe(true);
    expect(lines.join(" ").replace(/[\u2066-\u2069]/g, "")).toBe("Room חדר מכתב ארוך מאוד בקומה הראשונה holds 12 pins");
    expect(fitText(name, 20, 4)).toMatch(new RegExp(`^${RIGHT_TO_LEFT_ISOLATE}.*…${END_OF_ISOLATE}$`));
  });

  test("a number beside a name stands where a sheet that runs from left to right has it", async () => {
    const name = isolated("מרתף 2");
    const withIsolate = `${name}, 12 pins`;
    const places = await placesOf(withIsolate);
    const at = (character: string): number => places[withIsolate.indexOf(character)] as number;
    // The name runs from right to left, its own number at its left; the count stands at the right of both.
    expect(at("2")).toBeLessThan(at("ף"));
    expect(at("ף")).toBeLessThan(at("מ"));
    expect(at("1")).toBeGreaterThan(at("מ"));
    // Without the isolate a browser draws the count between: that is what this is for.
    const without = "מרתף, 12 pins";
    const bare = await placesOf(without);
    expect(bare[without.indexOf("1")] as number).toBeLessThan(bare[without.indexOf("מ")] as number);
  });
});

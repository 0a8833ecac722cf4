import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { createServer } from "node:http";
import type { AddressInfo } from "node:net";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { defaultCacheFolder } from "../../src/print/cache-folder.ts";
import { NoBrowserError } from "../../src/print/find-browser.ts";
import { embedFonts, FONT_FACES_MARK } from "../../src/print/font-faces.ts";
import { openPdfCache, pdfKey } from "../../src/print/pdf-cache.ts";
import { openPrinter, type Printer } from "../../src/print/print-pages.ts";
import { FIXED_DATE, settlePdf } from "../../src/print/settle-pdf.ts";
import { readPdf } from "./read-pdf.ts";

const page = (title: string, body: string) =>
  embedFonts(`<!doctype html><html lang="es"><head><title>${title}</title><style>${FONT_FACES_MARK}
    body { font-family: "Noto Sans"; margin: 0 }
    @page upright { size: letter } @page wide { size: A3 landscape }
    .upright { page: upright } .wide { page: wide }</style></head><body>${body}</body></html>`);
const TWO_SIZES =
  '<section class="upright"><h1>Tapa</h1><p>Señal 35 mm</p></section><section class="wide"><h1>Plano</h1></section>';

let folder: string;
let printer: Printer;
beforeAll(() => {
  folder = mkdtempSync(join(tmpdir(), "print-"));
  printer = openPrinter(defaultCacheFolder, undefined, 1);
});
afterAll(async () => {
  await printer.close();
  rmSync(folder, { recursive: true, force: true });
});

describe("a printed page", () => {
  test("has the sizes that its CSS asks for, its font in it, its title, language, tags and outline", async () => {
    const { pdf, cached } = await printer.print("test", page("Clínica", TWO_SIZES));
    const read = await readPdf(pdf);
    expect(cached).toBe(false);
    // ISO 216 A3 is 297 × 420 mm; US letter is 8.5 × 11 in. A point is 1/72 in.
    expect(read.pages.map(({ widthPt, heightPt }) => [Math.round(widthPt), Math.round(heightPt)])).toEqual([
      [612, 792],
      [1191, 842],
    ]);
    expect(read.pages[0]?.text).toContain("Señal 35 mm");
    expect(read).toMatchObject({ title: "Clínica", language: "es", tagged: true, outline: ["Tapa", "Plano"] });
    expect(read.fontsEmbedded).toBe(true);
    expect(read.fonts.every((name) => name.startsWith("NotoSans"))).toBe(true);
  });

  test("is the same to the byte whatever the browser printed before, and dates itself nowhere", async () => {
    const table = (head: string) =>
      `<table><thead><tr><th scope="col">${head}</th></tr></thead><tbody><tr><td>1</td></tr></tbody></table>`;
    const html = page("Same", `${TWO_SIZES}${table("Pin")}`);
    const first = await printer.print("a", html);
    await printer.print("between", page("Between", table("Bags").repeat(9)));
    const second = await printer.print("b", html);
    expect(Buffer.compare(first.pdf, second.pdf)).toBe(0);
    const text = Buffer.from(first.pdf).toString("latin1");
    expect(text.match(/D:\d{14}[^)]*/g)).toEqual([FIXED_DATE, FIXED_DATE]);
  });

  test("asks nothing of the network or the disk, and runs no script", async () => {
    const asked: string[] = [];
    const server = createServer((request, response) => {
      asked.push(request.url ?? "");
      response.end();
    });
    await new Promise<void>((ready) => server.listen(0, "127.0.0.1", ready));
    const { port } = server.address() as AddressInfo;
    const secret = join(folder, "secret.txt");
    writeFileSync(secret, "do not print this");
    const { pdf } = await printer.print(
      "hostile",
      page(
        "Hostile",
        `<p id="p">untouched</p><script>document.getElementById("p").textContent = "scripted"</script>
         <img src="http://127.0.0.1:${port}/image" alt=""><link rel="stylesheet" href="http://127.0.0.1:${port}/style">
         <iframe src="file://${secret}"></iframe><iframe src="http://127.0.0.1:${port}/frame"></iframe>`,
      ),
    );
    server.close();
    const text = (await readPdf(pdf)).pages.map((each) => each.text).join(" ");
    expect(asked).toEqual([]);
    expect(text).toContain("untouched");
    expect(text).not.toContain("do not print this");
  });
});

describe("what was printed before", () => {
  test("is taken from the cache, by content, browser and options; a damaged entry is printed again", async () => {
    const cacheFolder = join(folder, "pdf");
    const other = openPrinter(defaultCacheFolder, openPdfCache(cacheFolder), 2);
    try {
      const htmls = ["one", "two", "three"].map((word) => page(word, `<p>${word}</p>`));
      const first = await Promise.all(htmls.map((html) => other.print("x", html)));
      expect(first.map((each) => each.cached)).toEqual([false, false, false]);
      const again = await Promise.all(htmls.map((html) => other.print("x", html)));
      expect(again.map((each) => each.cached)).toEqual([true, true, true]);
      expect(again.map(({ pdf }, index) => Buffer.compare(pdf, first[index]?.pdf as Uint8Array))).toEqual([0, 0, 0]);

      const entry = readdirSync(cacheFolder, { recursive: true, encoding: "utf8" }).filter((name) =>
        name.endsWith(".pdf"),
      );
      for (const name of entry) {
        const bytes = readFileSync(join(cacheFolder, name));
        bytes[bytes.length - 100] = (bytes[bytes.length - 100] as number) ^ 1;
        writeFileSync(join(cacheFolder, name), bytes);
      }
      const mended = await other.print("x", htmls[0] as string);
      expect(mended.cached).toBe(false);
      expect(Buffer.compare(mended.pdf, first[0]?.pdf as Uint8Array)).toBe(0);
    } finally {
      await other.close();
    }
  });

  test("has another key for another text, browser or option", () => {
    const keys = [
      pdfKey("<p>a", "B/1", { tagged: true }),
      pdfKey("<p>b", "B/1", { tagged: true }),
      pdfKey("<p>a", "B/2", { tagged: true }),
      pdfKey("<p>a", "B/1", { tagged: false }),
    ];
    expect(new Set(keys).size).toBe(4);
  });
});

test("a browser that was named and does not run is an error that says so, and no other is taken", async () => {
  const before = process.env.PUPPETEER_EXECUTABLE_PATH;
  process.env.PUPPETEER_EXECUTABLE_PATH = join(folder, "no-such-browser");
  const other = openPrinter(folder, undefined, 1);
  try {
    const failure = await other.print("x", page("x", "")).catch((error: unknown) => error);
    expect(failure).toBeInstanceOf(NoBrowserError);
    expect((failure as Error).message).toContain("no-such-browser");
    expect((failure as Error).message).toMatch(/To do: run `[^`]+`/);
  } finally {
    await other.close();
    if (before === undefined) delete process.env.PUPPETEER_EXECUTABLE_PATH;
    else process.env.PUPPETEER_EXECUTABLE_PATH = before;
  }
});

test("dates of another form are refused rather than left in", () => {
  const short = Buffer.from("/CreationDate (D:2026)\n/ModDate (D:2026)");
  expect(() => settlePdf(short)).toThrow("CreationDate");
});

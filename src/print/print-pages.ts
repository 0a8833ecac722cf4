/**
 * HTML → PDF through one warm browser, one page kept open: JavaScript off, network off, the text handed
 * over as it is, so that what a job file says can reach neither the network nor the disk.
 */
import type { Browser, Page, PDFOptions } from "puppeteer";
import { type FoundBrowser, findBrowser, launchBrowser } from "./find-browser.ts";

import { type PdfCache, pdfKey } from "./pdf-cache.ts";
import { rememberBrowser, rememberedBrowser } from "./remembered-browser.ts";
import { settlePdf } from "./settle-pdf.ts";

/** Paper sizes and margins come from `@page` in the HTML; the rest makes the PDF readable by tools and people. */
const PRINT_OPTIONS = {
  preferCSSPageSize: true,
  printBackground: true,
  tagged: true,
  outline: true,
  waitForFonts: true,
  timeout: 120_000,
} as const satisfies PDFOptions;

/** A browser's memory grows with what it prints; a fresh one costs a third of a second. */
const PRINTS_A_BROWSER = 400;

export interface Printed {
  readonly pdf: Uint8Array;
  /** True where it came from the cache and nothing was printed. */
  readonly cached: boolean;
}

/** What was being printed is out of date: something was saved in the meantime. */
export class PrintingStopped extends Error {}

export interface Printer {
  /** Of the browser that prints; one is started only where the last one is not remembered. @throws NoBrowserError */
  browserVersion(): Promise<string>;
  /**
   * @param isStopped asked before the page goes to a browser: whether nobody wants it any more
   * @throws PrintingStopped, NoBrowserError, or an Error naming `name` where the browser fails twice on it.
   */
  print(name: string, html: string, isStopped?: () => boolean): Promise<Printed>;
  close(): Promise<void>;
}

/**
 * A printer with up to `lanes` browsers side by side. A browser starts with the first page that is
 * not in the cache; the second with the first page that finds the first one busy.
 */
export function openPrinter(cacheFolder: string, cache: PdfCache | undefined, lanes: number): Printer {
  const idle: Lane[] = [];
  const waiting: ((lane: Lane) => void)[] = [];
  let opened = 0;
  let first: Promise<FoundBrowser> | undefined;
  let version: Promise<string> | undefined;

  /** Finds the browser once, however many ask; it goes to work in the first lane. */
  const startFirst = (): Promise<FoundBrowser> => {
    first ??= (async () => {
      const found = await findBrowser(cacheFolder);
      await rememberBrowser(cacheFolder, found);
      opened += 1;
      giveBack(openLane(found.path, found.browser));
      return found;
    })();
    return first;
  };
  const takeLane = async (): Promise<Lane> => {
    const { path } = await startFirst();
    const lane = idle.pop();
    if (lane) return lane;
    if (opened < lanes) {
      opened += 1;
      return openLane(path, undefined);
    }
    return new Promise((resolve) => waiting.push(resolve));
  };
  const giveBack = (lane: Lane) => {
    const next = waiting.shift();
    if (next) next(lane);
    else idle.push(lane);
  };
  const browserVersion = (): Promise<string> => {
    // The browser that runs knows best; before one runs, the memory will do.
    if (first) return first.then((found) => found.version);
    version ??= rememberedBrowser(cacheFolder).then(async (kept) => (kept ?? (await startFirst())).version);
    return version;
  };

  return {
    browserVersion,
    async print(name, html, isStopped = () => false) {
      const kept = await cache?.get(pdfKey(html, await browserVersion(), PRINT_OPTIONS));
      if (kept) return { pdf: kept, cached: true };
      const lane = await takeLane();
      try {
        if (isStopped()) throw new PrintingStopped(`${name} was not printed: it is out of date`);
        const pdf = await lane.print(name, html);
        await cache?.put(pdfKey(html, await browserVersion(), PRINT_OPTIONS), pdf);
        return { pdf, cached: false };
      } finally {
        giveBack(lane);
      }
    },
    async close() {
      await Promise.all(idle.map((lane) => lane.close()));
    },
  };
}

interface Lane {
  print(name: string, html: string): Promise<Uint8Array>;
  close(): Promise<void>;
}

function openLane(path: string, running: Browser | undefined): Lane {
  let browser = running;
  let page: Page | undefined;
  let printed = 0;

  const shut = async () => {
    const old = browser;
    browser = undefined;
    page = undefined;
    printed = 0;
    // A browser that crashed cannot be closed politely; its process is gone or goes with ours.
    await old?.close().catch(() => old.process()?.kill("SIGKILL"));
  };
  const openPage = async (): Promise<Page> => {
    if (page !== undefined && printed < PRINTS_A_BROWSER) return page;
    if (printed >= PRINTS_A_BROWSER) await shut();
    browser ??= await launchBrowser(path);
    page = await browser.newPage();
    await page.setJavaScriptEnabled(false);
    await page.setOfflineMode(true);
    return page;
  };
  const printOnce = async (html: string): Promise<Uint8Array> => {
    const open = await openPage();
    await open.setContent(html, { waitUntil: "load", timeout: 60_000 });
    const pdf = await open.pdf(PRINT_OPTIONS);
    printed += 1;
    settlePdf(pdf);
    return pdf;
  };

  return {
    async print(name, html) {
      try {
        return await printOnce(html);
      } catch {
        // Once more in a new browser: a crash of the old one says nothing about this page.
        await shut();
      }
      try {
        return await printOnce(html);
      } catch (error) {
        await shut();
        throw new Error(`${name} could not be printed: ${error instanceof Error ? error.message : String(error)}`);
      }
    },
    close: shut,
  };
}

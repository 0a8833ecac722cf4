/** Prints the pages of one packet that become PDFs. */
import type { PacketFile } from "../archive/packet-folder.ts";
import type { Printer } from "../print/print-pages.ts";
import type { PacketPage } from "./packet-pages.ts";

export interface PrintedPdfs {
  readonly files: readonly PacketFile[];
  readonly printed: number;
  /** Taken from the cache: nothing on them has changed. */
  readonly kept: number;
}

/** @throws PrintingStopped, NoBrowserError, or an Error that names the page. */
export async function printPages(
  printer: Printer,
  pages: readonly PacketPage[],
  html: ReadonlyMap<string, string>,
  onPage: (done: number, of: number) => void,
  isStopped: () => boolean,
): Promise<PrintedPdfs> {
  const toPrint = pages.flatMap(({ path, pdf }) => (pdf === undefined ? [] : [{ path, pdf }]));
  let done = 0;
  const printed = await Promise.all(
    toPrint.map(async ({ path, pdf }) => {
      const result = await printer.print(path, html.get(path) as string, isStopped);
      done += 1;
      onPage(done, toPrint.length);
      return { file: { path: pdf, content: result.pdf }, cached: result.cached };
    }),
  );
  return {
    files: printed.map((each) => each.file),
    printed: printed.filter((each) => !each.cached).length,
    kept: printed.filter((each) => each.cached).length,
  };
}

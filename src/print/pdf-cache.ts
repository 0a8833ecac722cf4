/**
 * Printed pages by content: the key is a hash of the final HTML (fonts are in it), of the browser's
 * version and of the print options, so nothing is printed twice and nothing stale is taken.
 */
import { createHash, randomBytes } from "node:crypto";
import { mkdir, readFile, rename, rm, writeFile } from "node:fs/promises";
import { dirname, join } from "node:path";
import { noteUse } from "./prune-pdfs.ts";

/** Changes when what this program does to a PDF after printing changes. */
const FORM = "2";

export interface PdfCache {
  get(key: string): Promise<Uint8Array | undefined>;
  put(key: string, pdf: Uint8Array): Promise<void>;
}

export function pdfKey(html: string, browserVersion: string, printOptions: object): string {
  return createHash("sha256")
    .update(JSON.stringify([FORM, browserVersion, printOptions]))
    .update("\0")
    .update(html)
    .digest("hex");
}

/** A cache in `folder`, safe for several processes: entries appear by rename, and carry their own checksum. */
export function openPdfCache(folder: string): PdfCache {
  const pathOf = (key: string) => join(folder, key.slice(0, 2), `${key}.pdf`);
  return {
    async get(key) {
      let stored: Buffer;
      try {
        stored = await readFile(pathOf(key));
      } catch (error) {
        if ((error as NodeJS.ErrnoException).code === "ENOENT") return undefined;
        throw error;
      }
      const pdf = stored.subarray(CHECKSUM_BYTES);
      // A disk that lost a block must not put half a pin map into a packet.
      if (!stored.subarray(0, CHECKSUM_BYTES).equals(checksum(pdf))) return undefined;
      await noteUse(pathOf(key)).catch(() => undefined);
      return pdf;
    },
    async put(key, pdf) {
      const path = pathOf(key);
      const partial = `${path}.${randomBytes(6).toString("hex")}.partial`;
      await mkdir(dirname(path), { recursive: true });
      try {
        await writeFile(partial, Buffer.concat([checksum(pdf), pdf]));
        await rename(partial, path);
      } catch (error) {
        await rm(partial, { force: true });
        throw error;
      }
    },
  };
}

const CHECKSUM_BYTES = 32;
const checksum = (bytes: Uint8Array): Buffer => createHash("sha256").update(bytes).digest();

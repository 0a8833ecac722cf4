/**
 * Where things are kept between runs that can be made again: `node_modules/.cache/pour-packet/`.
 * It holds `pdf/` (printed pages by content), `browser/` (the unpacked bundled browser) and
 * `tried-browsers.json`. Deleting it costs time and nothing else.
 */
import { join } from "node:path";
import { fileURLToPath } from "node:url";

export const projectFolder = fileURLToPath(new URL("../..", import.meta.url));
export const defaultCacheFolder = join(projectFolder, "node_modules", ".cache", "pour-packet");

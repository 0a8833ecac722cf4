/** `npm start`: loads the command line from the cache, or as it stands in src/. */
import { fileURLToPath } from "node:url";
import { programBundle } from "./build/program-bundle.mjs";

const project = fileURLToPath(new URL("..", import.meta.url));
const bundle = await programBundle(project, "cli");
if (bundle === undefined) {
  const { register } = await import("tsx/esm/api");
  register();
}
await import(bundle?.href ?? new URL("./cli.ts", import.meta.url).href);

/**
 * The program as a few files in the cache: loading them takes a fraction of the time that loading the several hundred
 * files of src/ one by one takes. They are made from what stands in src/ and lie in a folder that carries the
 * program's hash, so that a changed program is another folder; where they cannot be made, src/ is loaded as it is.
 * Plain JavaScript: it runs before anything that reads TypeScript is loaded.
 */
import { createHash } from "node:crypto";
import { existsSync, mkdirSync, readdirSync, readFileSync, renameSync, rmSync, statSync } from "node:fs";
import { createRequire } from "node:module";
import { join } from "node:path";
import { pathToFileURL } from "node:url";
import { programHash } from "./program-hash.mjs";

/** Changes when what is made here is made otherwise. */
const FORM = "2";
/** Packages of plain JavaScript that most runs need: as parts of the bundle they load in a third less time. */
const BUNDLED = new Set([
  "@kninnug/constrainautor",
  "clipper2-ts",
  "csv-parse",
  "delaunator",
  "flatbush",
  "js-yaml",
  "ml-matrix",
  "robust-predicates",
  "uqr",
  "zod",
]);
/** Those of programs that are gone. */
const KEPT_MS = 7 * 24 * 60 * 60 * 1000;

/**
 * @param {string} project the project's folder
 * @param {"cli" | "compute-worker"} part
 * @returns {Promise<URL | undefined>} what to load; undefined where there is no bundler, or the cache cannot be written
 */
export async function programBundle(project, part) {
  const root = join(project, "node_modules", ".cache", "pour-packet", "program");
  // The files know where the project lies: a moved or copied one has its own.
  const place = createHash("sha256").update(`${FORM}\0${project}`).digest("hex").slice(0, 8);
  const folder = join(root, `${place}-${programHash(project).slice(0, 24)}`);
  if (!existsSync(folder)) {
    try {
      await makeBundle(project, root, folder);
    } catch {
      return undefined;
    }
  }
  return pathToFileURL(join(folder, `${part}.mjs`));
}

async function makeBundle(project, root, folder) {
  // The bundler that the loader of TypeScript brings along.
  const ofLoader = createRequire(createRequire(join(project, "package.json")).resolve("tsx/package.json"));
  const { build } = ofLoader("esbuild");
  mkdirSync(root, { recursive: true });
  const partial = `${folder}.${process.pid}.partial`;
  await build({
    entryPoints: {
      cli: join(project, "src", "cli.ts"),
      "compute-worker": join(project, "src", "build", "compute-worker.ts"),
    },
    outdir: partial,
    outExtension: { ".js": ".mjs" },
    bundle: true,
    splitting: true,
    external: loadedFromTheirPlace(project),
    platform: "node",
    format: "esm",
    target: "node20",
    logLevel: "silent",
    plugins: [{ name: "own-place", setup: keepOwnPlace }],
  });
  try {
    renameSync(partial, folder);
  } catch (error) {
    // Another process made it in the same moment.
    rmSync(partial, { recursive: true, force: true });
    if (!existsSync(folder)) throw error;
  }
  for (const name of readdirSync(root)) {
    const other = join(root, name);
    const age = Date.now() - (statSync(other, { throwIfNoEntry: false })?.mtimeMs ?? Date.now());
    if (age > KEPT_MS && other !== folder) rmSync(other, { recursive: true, force: true });
  }
}

/** All other packages: they look for files beside their own, or are loaded when there is something to render or print. */
function loadedFromTheirPlace(project) {
  const { dependencies, optionalDependencies } = JSON.parse(readFileSync(join(project, "package.json"), "utf8"));
  return Object.keys({ ...dependencies, ...optionalDependencies }).filter((name) => !BUNDLED.has(name));
}

/** In a bundle a file still says its own address. */
function keepOwnPlace(build) {
  build.onLoad({ filter: /[\\/]src[\\/].*\.(ts|mjs)$/ }, ({ path }) => ({
    contents: readFileSync(path, "utf8").replace(/import\.meta\.url/g, () => JSON.stringify(pathToFileURL(path).href)),
    loader: path.endsWith(".ts") ? "ts" : "js",
  }));
}

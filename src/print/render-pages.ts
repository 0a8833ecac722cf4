/**
 * View models → HTML, through Eleventy and the templates. Eleventy is handed the pages to render as
 * data and gives their text back; it writes nothing.
 */
import { readdirSync, readFileSync } from "node:fs";
import { basename, join } from "node:path";
import { projectFolder } from "./cache-folder.ts";
import { contentPolicies } from "./content-policy.ts";
import { embedFonts, FONT_FACES_MARK } from "./font-faces.ts";

/** The templates that render one page for each view that they are handed. Their file is the name in kebab case. */
export type PageTemplate = "sheet" | "set" | "jobPage" | "index" | "reference" | "past";

export interface PageToRender {
  readonly template: PageTemplate;
  /** Where it goes below output/, with forward slashes. */
  readonly path: string;
  readonly view: object;
}

interface RenderedByEleventy {
  readonly outputPath: string | false;
  readonly content: string;
}

interface EleventyConfiguration {
  addGlobalData(name: string, value: unknown): void;
  readonly ignores: { add(glob: string): void };
}

const OUT = "./output/";
const SCRIPTS = join(projectFolder, "templates", "scripts");

/**
 * Renders pages, each a whole document with its fonts and its content policy in it; with `docs`,
 * the pages of templates/docs/ as well.
 * @returns the HTML by path below output/.
 * @throws Error naming template and line where a template fails.
 */
export function renderPages(pages: readonly PageToRender[], docs: "docs" | "no-docs"): Promise<Map<string, string>> {
  // One after the other: while Eleventy works, the process stands in the project's folder.
  const rendered = rendering.then(() => renderNow(pages, docs));
  rendering = rendered.catch(() => undefined);
  return rendered;
}

let rendering: Promise<unknown> = Promise.resolve();

async function renderNow(pages: readonly PageToRender[], docs: "docs" | "no-docs"): Promise<Map<string, string>> {
  const pagesOf: Record<PageTemplate, PageToRender[]> = {
    sheet: [],
    set: [],
    jobPage: [],
    index: [],
    reference: [],
    past: [],
  };
  for (const page of pages) pagesOf[page.template].push(page);
  const scripts = readScripts();
  // Loaded with the first page: a build that finds nothing to render is done sooner.
  const { default: Eleventy } = await import("@11ty/eleventy");

  // Eleventy takes its folders from the one that it runs in.
  const before = process.cwd();
  process.chdir(projectFolder);
  try {
    const eleventy = new Eleventy("templates", "output", {
      configPath: ".eleventy.js",
      quietMode: true,
      config(configuration: EleventyConfiguration) {
        configuration.addGlobalData("pagesOf", pagesOf);
        configuration.addGlobalData("fontFaces", FONT_FACES_MARK);
        configuration.addGlobalData("scripts", scripts);
        configuration.addGlobalData("contentPolicy", contentPolicies(Object.values(scripts)));
        if (docs === "no-docs") configuration.ignores.add("templates/docs/**");
      },
    });
    const rendered: RenderedByEleventy[] = await eleventy.toJSON();
    const html = new Map<string, string>();
    for (const { outputPath, content } of rendered)
      if (outputPath !== false) html.set(outputPath.slice(OUT.length), embedFonts(content));
    for (const { path, template } of pages)
      if (!html.has(path)) throw new Error(`The template for ${template} did not render ${path}.`);
    return html;
  } finally {
    process.chdir(before);
  }
}

/** The scripts that pages carry, by the name of their file in camel case: `jobPage` from `job-page.js`. */
function readScripts(): Record<string, string> {
  const names = readdirSync(SCRIPTS)
    .filter((name) => name.endsWith(".js"))
    .sort();
  return Object.fromEntries(
    names.map((name) => [
      basename(name, ".js").replace(/-(\w)/g, (_, letter: string) => letter.toUpperCase()),
      // A browser hashes what it parsed, and a parser turns CR LF into LF.
      readFileSync(join(SCRIPTS, name), "utf8").replaceAll("\r\n", "\n"),
    ]),
  );
}

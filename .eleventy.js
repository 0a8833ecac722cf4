/**
 * Where the templates lie and how they are read. Data comes from src/print/render-pages.ts, which
 * drives Eleventy; nothing is computed here, and templates only loop, place and label.
 *
 * `pagesOf.<template>` holds the pages to render, each with `path` and `view`; `fontFaces`,
 * `contentPolicy` and `scripts` go into the head of every page.
 */
export default function (eleventyConfig) {
  eleventyConfig.setNunjucksEnvironmentOptions({
    // What a job file says is text, never markup.
    autoescape: true,
    // A misspelt name in a template is an error, not a blank on a sheet.
    throwOnUndefined: true,
    trimBlocks: true,
    lstripBlocks: true,
  });
  // Parts of pages, not pages.
  for (const parts of ["sheets", "partials", "styles", "scripts"]) eleventyConfig.ignores.add(`templates/${parts}/**`);
  return {
    dir: { input: "templates", includes: ".", output: "output" },
    templateFormats: ["njk"],
  };
}

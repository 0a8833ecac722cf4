/** The page of licences, made from the lock file: `npm run licences` writes it, a test holds it against the lock file. */
import { readFileSync, writeFileSync } from "node:fs";
import { fileURLToPath } from "node:url";

interface Locked {
  readonly version: string;
  readonly license?: string;
  readonly dev?: boolean;
  readonly hasInstallScript?: boolean;
}

export const PAGE = fileURLToPath(new URL("../../templates/docs/licences.njk", import.meta.url));

/** Every package that the program is made of when it runs, by its path in the lock file; those for tests alone left out. */
export function locked(): readonly (readonly [string, Locked])[] {
  const lock = JSON.parse(readFileSync(new URL("../../package-lock.json", import.meta.url), "utf8")) as {
    readonly packages: Readonly<Record<string, Locked>>;
  };
  return Object.entries(lock.packages).filter(([path, { dev }]) => path !== "" && dev !== true);
}

const nameOf = (path: string): string => path.split("node_modules/").at(-1) as string;

/** The page's text. */
export function licencesPage(): string {
  const byLicence = new Map<string, Set<string>>();
  for (const [path, { version, license = "none stated" }] of locked()) {
    const names = byLicence.get(license) ?? new Set();
    byLicence.set(license, names.add(`${nameOf(path)} ${version}`));
  }
  const rows = [...byLicence]
    .sort(([a], [b]) => (a < b ? -1 : 1))
    .map(([licence, names]) => `<tr><th scope="row">${licence}</th><td>${[...names].sort().join(", ")}</td></tr>`);
  return `---
permalink: docs/licences.html
title: What it is made of
---
{% extends "partials/page.njk" %}
{% block way %}<a href="../index.html">All jobs</a> · <a href="index.html">How it works</a> · <a href="../job-file.html">Job file reference</a>{% endblock %}
{% block content %}
<h1>What it is made of</h1>
<p>The packages that the lock file installs to build and print packets, those for tests alone left out, by the licence that each states.</p>
<table>
<caption>Packages by licence</caption>
<thead><tr><th scope="col">licence</th><th scope="col">packages</th></tr></thead>
<tbody>
${rows.join("\n")}
</tbody>
</table>
{% endblock %}
`;
}

if (process.argv[1] === fileURLToPath(import.meta.url)) writeFileSync(PAGE, licencesPage());

/** What is installed: exact versions, stated licences, and scripts of packages only where they are allowed by name. */
import { readFileSync } from "node:fs";
import { expect, test } from "vitest";
import { licencesPage, locked, PAGE } from "./licences.ts";

const manifest = JSON.parse(readFileSync(new URL("../../package.json", import.meta.url), "utf8")) as {
  readonly [kind in "dependencies" | "optionalDependencies" | "devDependencies"]: Readonly<Record<string, string>>;
} & { readonly allowScripts: Readonly<Record<string, boolean>> };

test("the page of licences is that of the lock file", () => {
  expect(readFileSync(PAGE, "utf8")).toBe(licencesPage());
});

test("every package states a licence", () => {
  expect(locked().filter(([, { license }]) => license === undefined)).toEqual([]);
});

test("every version is exact", () => {
  const { dependencies, optionalDependencies, devDependencies } = manifest;
  const versions = Object.entries({ ...dependencies, ...optionalDependencies, ...devDependencies });
  expect(versions.filter(([, version]) => !/^\d+\.\d+\.\d+$/.test(version))).toEqual([]);
});

/** Those for tests too: they are installed by the same command. */
const everything = Object.entries(
  (
    JSON.parse(readFileSync(new URL("../../package-lock.json", import.meta.url), "utf8")) as {
      readonly packages: Readonly<
        Record<string, { readonly integrity?: string; readonly link?: boolean; readonly hasInstallScript?: boolean }>
      >;
    }
  ).packages,
).filter(([path]) => path !== "");

test("a package that would run a script at its installation is decided on by name, and no other is", () => {
  const withScript = everything.flatMap(([path, { hasInstallScript }]) =>
    hasInstallScript === true ? [path.split("node_modules/").at(-1)] : [],
  );
  expect(withScript.sort()).toEqual(Object.keys(manifest.allowScripts).sort());
});

test("every package that is installed is held by the hash of its content", () => {
  expect(everything.length).toBeGreaterThan(100);
  expect(everything.filter(([, { integrity, link }]) => link === true || !integrity?.startsWith("sha512-"))).toEqual(
    [],
  );
});

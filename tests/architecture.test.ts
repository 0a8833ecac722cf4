/**
 * Reads the imports and the words of src/ and fails where the shape of the program is left: a stage
 * that imports one to its right, a pure room that looks at the clock, a number made into text twice.
 */
import { execFileSync } from "node:child_process";
import { readdirSync, readFileSync } from "node:fs";
import { dirname, join, relative, resolve, sep } from "node:path";
import { fileURLToPath } from "node:url";
import { describe, expect, test } from "vitest";

const root = fileURLToPath(new URL("..", import.meta.url));

/** Left to right. A room may import from itself and from every room to its left. */
const LINE = [
  "job",
  "layout",
  "survey",
  "slab",
  "target",
  "depths",
  "quantities",
  "pour",
  "conformity",
  "record",
  "revision",
  "sheets",
  "pages",
  "print",
  "archive",
];
/** Know nothing of jobs or floors: they may import each other and nothing else. */
const GROUND = ["units", "diagnostics", "format", "geometry", "numeric"];
/** Where the line is run from: may import everything. Nothing may import these. */
const RIM = ["build", "cli"];
/** Says again what was found, by another way: shares nothing but types with what it checks. */
const REFEREE = "check";
/** Files, clock, environment and processes are touched in these only. */
const MAY_TOUCH_THE_WORLD = ["print/", "archive/", "cli/", "cli.ts", "build/", "build.ts", "job/files.ts"];

interface SourceFile {
  /** Below src/, with forward slashes. */
  readonly path: string;
  readonly room: string;
  readonly imports: readonly { readonly from: string; readonly typeOnly: boolean }[];
  /** The text without comments and without what stands in strings. */
  readonly bare: string;
}

function filesBelow(folder: string): string[] {
  return readdirSync(folder, { withFileTypes: true }).flatMap((entry) =>
    entry.isDirectory() ? filesBelow(join(folder, entry.name)) : [join(folder, entry.name)],
  );
}

/** Comments and the insides of strings become blanks; template literals keep only their expressions' frame. */
function withoutCommentsAndStrings(text: string): string {
  return text.replace(/\/\*[\s\S]*?\*\/|\/\/[^\n]*|"(?:[^"\\\n]|\\.)*"|'(?:[^'\\\n]|\\.)*'/g, (match) =>
    match.startsWith("/") ? " " : '""',
  );
}

function importsOf(text: string): { from: string; typeOnly: boolean }[] {
  const withoutComments = text.replace(/\/\*[\s\S]*?\*\/|^\s*\/\/[^\n]*/gm, " ");
  const found: { from: string; typeOnly: boolean }[] = [];
  const statement = /\b(?:import|export)\s+(type\s+)?([^;"']*?\s+from\s+)?["']([^"']+)["']/g;
  for (const [, type, names, from] of withoutComments.matchAll(statement)) {
    // `import { type A, type B } from` brings in no code either.
    const inner = /^\s*\{([^}]*)\}/.exec(names ?? "")?.[1];
    const allTypes = inner?.split(",").every((name) => name.trim() === "" || /^type\s/.test(name.trim()));
    found.push({ from: from as string, typeOnly: type !== undefined || allTypes === true });
  }
  for (const [, from] of withoutComments.matchAll(/\bimport\(\s*["']([^"']+)["']/g))
    found.push({ from: from as string, typeOnly: false });
  return found;
}

const roomOf = (path: string): string => (path.split("/")[0] as string).replace(/\.(ts|mjs)$/, "");

function readSource(): SourceFile[] {
  const src = join(root, "src");
  return filesBelow(src)
    .filter((path) => /\.ts$/.test(path) && !path.endsWith(".d.ts"))
    .map((absolute) => {
      const path = relative(src, absolute).split(sep).join("/");
      const text = readFileSync(absolute, "utf8");
      const imports = importsOf(text).map(({ from, typeOnly }) => ({
        from: from.startsWith(".")
          ? relative(src, resolve(dirname(absolute), from))
              .split(sep)
              .join("/")
          : from,
        typeOnly,
      }));
      return { path, room: roomOf(path), imports, bare: withoutCommentsAndStrings(text) };
    });
}

/** Imports that the rule forbids, each as `file → what it imports`. */
function wrongWay(files: readonly SourceFile[]): string[] {
  const wrong: string[] = [];
  for (const file of files) {
    for (const { from, typeOnly } of file.imports) {
      if (!/\.(ts|mjs|js|json)$/.test(from) || from.startsWith("node:")) continue;
      const target = roomOf(from);
      if (target === file.room) continue;
      const say = () => wrong.push(`${file.path} → ${from}`);
      if (RIM.includes(file.room)) continue;
      if (file.room === REFEREE) {
        if (!typeOnly) say();
      } else if (GROUND.includes(file.room)) {
        if (!GROUND.includes(target)) say();
      } else if (!GROUND.includes(target)) {
        const here = LINE.indexOf(file.room);
        const there = LINE.indexOf(target);
        if (here < 0 || there < 0 || there > here) say();
      }
    }
  }
  return wrong;
}

const files = readSource();
const isPure = ({ path }: SourceFile) => !MAY_TOUCH_THE_WORLD.some((place) => path === place || path.startsWith(place));

describe("the shape of src", () => {
  test("there is something to look at, and every room is known", () => {
    expect(files.length).toBeGreaterThan(40);
    const known = new Set([...LINE, ...GROUND, ...RIM, REFEREE]);
    expect(files.filter((file) => !known.has(file.room)).map((file) => file.path)).toEqual([]);
  });

  test("no import points to the right", () => {
    expect(wrongWay(files)).toEqual([]);
  });

  test("the stages are called from one file, in the order of the line", () => {
    const build = files.find((file) => file.path === "build.ts") as SourceFile;
    const body = build.bare.slice(build.bare.indexOf("function findingsOf"));
    const calls = [
      "layOut(",
      "adjustLevels(",
      "surfaceOf(",
      "placeTarget(",
      "measureDepths(",
      "countQuantities(",
      "planPour(",
    ];
    const places = calls.map((call) => body.indexOf(call));
    expect(places.every((place) => place >= 0)).toBe(true);
    expect([...places].sort((a, b) => a - b)).toEqual(places);
    const others = files.filter(
      (file) => !RIM.includes(file.room) && calls.some((call) => file.bare.includes(` = ${call}`)),
    );
    expect(others.map((file) => file.path)).toEqual([]);
  });

  test("pure rooms touch no file, clock, environment, process or unseeded random number", () => {
    const forbidden =
      /\b(Date\.now|new Date(?!\(Date\.UTC)\b|Math\.random|process\.|performance\.|setTimeout|setInterval|fetch\(|globalThis|randomBytes|randomUUID|import\.meta)/;
    const worldly =
      /^(node:)?(fs|fs\/promises|child_process|os|worker_threads|process|http|https|net|timers.*|perf_hooks)$/;
    const guilty = files.filter(isPure).flatMap((file) => {
      const word = forbidden.exec(file.bare)?.[0];
      const imported = file.imports.find(({ from }) => worldly.test(from))?.from;
      return [word, imported].filter((each) => each !== undefined).map((each) => `${file.path}: ${each}`);
    });
    expect(guilty).toEqual([]);
  });

  test("one module turns numbers into printed text, and no locale has a say", () => {
    const guilty = files.flatMap((file) => {
      const found = /\.(toFixed|toPrecision|toExponential|toLocale\w*)\(|\bIntl\b|localeCompare/.exec(file.bare)?.[0];
      return found === undefined || file.path === "format.ts" ? [] : [`${file.path}: ${found}`];
    });
    expect(guilty).toEqual([]);
  });

  test("templates do not reckon", () => {
    const guilty = filesBelow(join(root, "templates"))
      .filter((path) => path.endsWith(".njk"))
      .flatMap((path) => {
        const text = readFileSync(path, "utf8");
        const tags = text.match(/\{\{.*?\}\}|\{%.*?%\}/gs) ?? [];
        // Arithmetic between two operands, or a number rounded: both belong to a stage or to `format`.
        return tags
          .map((tag) => tag.replace(/"[^"]*"|'[^']*'/g, '""'))
          .filter((tag) =>
            /[\w)\]]\s*[*/]\s*[\w(]|\|\s*(round|int|float)\b|[\w)\]]\s+-\s+[\w(]|\d\s*\+|\+\s*\d/.test(tag),
          )
          .map((tag) => `${relative(root, path)}: ${tag}`);
      });
    expect(guilty).toEqual([]);
  });

  test("no machine's path and no registry's host stands in a tracked file", () => {
    const tracked = execFileSync("git", ["ls-files", "-z"], { cwd: root, encoding: "utf8" })
      .split("\0")
      .filter((path) => path !== "" && !/\.(woff2?|png|pdf)$/.test(path));
    const wrong =
      /(?:^|[\s"'`(=:])\/(?:work|home|root|Users|mnt)\/\w|\.\.\/shared\b|registry\.npm|npmjs\.(?:org|com)|deb\.debian|npmmirror/;
    const guilty = tracked.flatMap((path) => {
      if (path === "tests/architecture.test.ts") return [];
      let text: string;
      try {
        text = readFileSync(join(root, path), "utf8");
      } catch {
        // Deleted and not yet committed.
        return [];
      }
      const found = wrong.exec(text)?.[0];
      return found === undefined ? [] : [`${path}: ${found.trim()}`];
    });
    expect(guilty).toEqual([]);
  });
});

describe("the checks themselves", () => {
  const file = (path: string, from: string, typeOnly = false): SourceFile => ({
    path,
    room: roomOf(path),
    imports: [{ from, typeOnly }],
    bare: "",
  });

  test.each([
    ["a stage that imports one to its right", file("slab/x.ts", "depths/y.ts")],
    ["a type from the right", file("slab/x.ts", "depths/model.ts", true)],
    ["geometry that knows floors", file("geometry/x.ts", "layout/model.ts", true)],
    ["a referee that borrows code", file("check/x.ts", "geometry/polygon.ts")],
    ["a stage that reaches for the rim", file("sheets/x.ts", "build.ts")],
  ])("catch %s", (_, planted) => {
    expect(wrongWay([planted])).toHaveLength(1);
  });

  test.each([
    ["a stage to the left", file("depths/x.ts", "slab/y.ts")],
    ["the ground", file("depths/x.ts", "geometry/y.ts")],
    ["types for the referee", file("check/x.ts", "depths/model.ts", true)],
  ])("allow %s", (_, planted) => {
    expect(wrongWay([planted])).toEqual([]);
  });

  test("see every form of import", () => {
    const text = [
      'import { a } from "./a.ts";',
      'import type { B } from "./b.ts";',
      'import { type C, type D } from "./c.ts";',
      'export { e } from "./e.ts";',
      'const f = await import("./f.ts");',
      'import "./g.ts";',
      '// import { no } from "./no.ts";',
    ].join("\n");
    expect(importsOf(text)).toEqual([
      { from: "./a.ts", typeOnly: false },
      { from: "./b.ts", typeOnly: true },
      { from: "./c.ts", typeOnly: true },
      { from: "./e.ts", typeOnly: false },
      { from: "./g.ts", typeOnly: false },
      { from: "./f.ts", typeOnly: false },
    ]);
  });
});

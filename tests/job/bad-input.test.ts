/**
 * What the office may get wrong, each beside the input that causes it: the code, and the line, column
 * and run under which the caret stands. All others of the job stay right, so nothing else may be said.
 */
import { describe, expect, test } from "vitest";
import { changed, GOOD, printed, read, summary } from "./job-text.ts";

interface Case {
  readonly from: string;
  readonly to: string;
  readonly says: readonly string[];
  /** Part of the message, of what was expected or of what to do. */
  readonly with?: string;
}

const row = (from: string, to: string, says: string | readonly string[], text?: string): Case => ({
  from,
  to,
  says: typeof says === "string" ? [says] : says,
  ...(text === undefined ? {} : { with: text }),
});

const check = ({ from, to, says, with: text }: Case): void => {
  const { job, diagnostics } = read(changed(from, to));
  expect(summary(diagnostics)).toEqual(says);
  if (text !== undefined) expect(printed(diagnostics)).toContain(text);
  expect(job === undefined).toBe(says.some((line) => !line.startsWith("warning ")));
};

const name = ({ from, to }: Case): string => `${from.trim()} → ${to.trim().slice(0, 60)}`;
const table = (title: string, cases: readonly Case[]): void => {
  describe(title, () => {
    for (const one of cases) test(name(one), () => check(one));
  });
};

test("the job itself is right", () => {
  const { job, diagnostics } = read(GOOD);
  expect(printed(diagnostics)).toBe("");
  expect(job?.id).toBe("small-hall");
});

const TITLE = "title: Small hall\n";

table("the file as YAML", [
  row(TITLE, "title: Small: hall\n", "yaml-syntax 2:13+1", "put the whole value in quotes"),
  row(TITLE, 'title: "Small hall\n', "yaml-quote-not-closed 2:8+11", "cannot be read from line 3 on"),
  row(TITLE, "title: 'Small hall\n", "yaml-quote-not-closed 2:8+11"),
  row("  - id: store\n", "\t- id: store\n", "yaml-syntax 12:1+1", "starts with a tab"),
  row(
    "units: { plan: ft-in, height: mm }",
    "units: { plan: ft-in, height: mm",
    "yaml-syntax 4:1+1",
    "a bracket that is not closed",
  ),
  row(TITLE, "title: Small hall\ntitle: Again\n", "duplicate-key 3:1+5", "first on line 2"),
  row(TITLE, "title: &t Small hall\nplace: *t\n", ["yaml-anchor 2:8+2", "yaml-alias 3:8+2"]),
  row(TITLE, "title: Small hall\n<<: { place: here }\n", "yaml-merge 3:1+2"),
  row(TITLE, "title: !!str Small hall\n", "yaml-tag 2:8+5"),
  row(TITLE, "title: Small hall\n[1]: 2\n", "key-not-text 3:1+1"),
  row(TITLE, "title: Small \u0000hall\n", "nul-byte 2:14+1"),
  row("target: { top: 0 mm }\n", "target: { top: 0 mm }\n---\nmore: 1\n", [
    "missing-key 1:1+15",
    "several-documents 32:1+1",
  ]),
  row(TITLE, `title: ${"[".repeat(40)}\n`, "yaml-syntax 2:23+1", "Nothing in a job is nested this deep"),
]);

table("keys and words", [
  row(TITLE, "", "missing-key 1:1+15", 'The job has no "title"'),
  row(TITLE, "titel: Small hall\n", "unknown-key 2:1+5", 'Did you mean "title"?'),
  row(TITLE, "title:\n", "missing-value 2:7+1"),
  row(TITLE, "title: [a]\n", "wrong-kind 2:1+5"),
  row(TITLE, 'title: " "\n', "empty-text 2:9+1"),
  row(TITLE, `title: ${"long ".repeat(200)}\n`, "text-too-long 2:8+999"),
  row(TITLE, "title: Small\u202ehall\n", "control-character 2:8+10"),
  row(TITLE, "title: Small hall\n__proto__: 1\n", "unknown-key 3:1+9"),
  row(TITLE, "title: Small hall\nconstructor: 1\n", "unknown-key 3:1+11"),
  row(TITLE, "title: Small hall\ntoString: { valueOf: 1 }\n", "unknown-key 3:1+8"),
  row("plan: ft-in", "plan: feet", "unknown-value 3:16+4", "expected: ft-in or m"),
  row("plan: ft-in", "plan: ftin", "unknown-value 3:16+4", 'Did you mean "ft-in"?'),
  row("columns:\n", "colums:\n", "unknown-key 7:5+6", 'Did you mean "columns"?'),
  row("{ id: S1\n".slice(2), "name: S1\n", ["missing-key 23:7+8", "unknown-key 23:7+4"]),
  row("rooms:\n", "room:\n", "unknown-key 4:1+4", 'Did you mean "rooms"?'),
  row(", absorbency: porous", "", "missing-key 17:1+5", "absorbency: porous"),
  row("numbers_are: below zero", "numbers_are: below", "unknown-value 25:20+5", 'Did you mean "below zero"?'),
  row(
    "floor: { support: on-ground, substrate: concrete, absorbency: porous }",
    "floor: on-ground",
    "wrong-kind 17:8+9",
    "keys: support, substrate",
  ),
]);

table("ids", [
  row("job: small-hall", "job: ../small-hall", "bad-id 1:6+13", "looks like a path"),
  row("job: small-hall", "job: Small-Hall", "bad-id 1:6+10"),
  row("job: small-hall", "job: big-hall", "job-id-not-file-name 1:6+8", "rename the file to big-hall.yaml"),
  row("id: K1", "id: ../../etc", "bad-id 8:15+9"),
  row("id: K1", "id: K 1", "bad-id 8:15+3"),
  row("id: K1", `id: ${"C".repeat(41)}`, "bad-id 8:15+41", "at most 40"),
  row("id: K1", "id: con", "reserved-id 8:15+3"),
  row("id: K1", "id: constructor", "reserved-id 8:15+11"),
  row("id: K1", "id: __proto__", "bad-id 8:15+9"),
  row("id: DR2", "id: DR1", "duplicate-id 11:15+3", "first on line 10"),
  row("id: DR2", "id: dr1", "ids-differ-in-case-only 11:15+3"),
  row("id: drain,", "id: B2,", ["id-of-grid-point 21:13+2", "bad-row-label 29:9+5"]),
  row("id: drain,", "id: BM1,", ["duplicate-id 21:13+3", "bad-row-label 29:9+5"]),
]);

table("names of grid points", [
  // The grid has rows A to C here, and points 1 to 8.
  row("id: K1", "id: C1", "warning named-like-grid-point 8:15+2", "such as COL1"),
  row("id: DR1", "id: B8", "warning named-like-grid-point 10:15+2"),
  row("id: DR1", "id: B9", []),
  row("id: DR1", "id: D1", []),
]);

table("lengths", [
  row('16" x 16"', "16 x 16 inchs", "unreadable-length 8:44+13"),
  row('16" x 16"', '16" x 16" x 16"', "unreadable-length 8:44+15"),
  row('16" x 16"', '16" x 0"', "length-not-positive 8:44+8"),
  row("from: 4'", "from: 4' 6", "unreadable-length 10:35+4", `Did you mean 4' 6"?`),
  // In braces the comma ends the value: what is left of it stands as a key without one.
  row("from: 4'", "from: 4,5 m", "decimal-comma 10:37+3"),
  row("from: 4'", 'from: "4,5 m"', "decimal-comma 10:36+5", "4.5 m"),
  row("from: 4'", "from: -1'", "length-not-positive 10:35+3"),
  row("from: 4'", "from: .nan", "unreadable-length 10:35+4"),
  row("from: 4'", "from: .inf", "unreadable-length 10:35+4"),
  row("from: 4'", "from: 1e999", "unreadable-length 10:35+5"),
  row("from: 4'", `from: ${"9".repeat(400)}`, "number-too-large 10:35+400"),
  row("from: 4'", "from: 99999999 m", "number-too-large 10:35+10"),
  row("level: 12 mm", "level: 12 m", "number-too-large 16:36+4"),
  row("from: 4'", "from:", "missing-value 10:34+1"),
  row("[10', 6']", "[10']", "not-a-point 8:19+6"),
  row("[10', 6']", "[10,5 m, 6 m]", "not-a-point 8:19+6", "Decimals are written with a point"),
]);

const WALLS = "E 20', N 12', W 20', S 12'";

table("rooms", [
  row(WALLS, "E 20', N 12', W 19', S 12'", "walls-do-not-close 6:12+26", "The end of wall 4 lies 1' east of corner 1"),
  row(
    WALLS,
    "E 20', N 12', W 19', S 12'",
    "walls-do-not-close 6:12+26",
    "wall 1 shorter by 1', or wall 3 longer by 1'",
  ),
  row(WALLS, "E 20', N 12', W 20'", "walls-do-not-close 6:12+19", "a wall more, S 12', at the end"),
  row(WALLS, "E 20', N 12'", "too-few 6:12+12"),
  row(WALLS, "E 20', N 12', W 20' S 12'", "unreadable-length 6:26+11", "Put a comma between one wall and the next"),
  row(WALLS, "E 20', N 12', X 20', S 12'", "unreadable-direction 6:26+5"),
  row(WALLS, "E 20', N 12', W 20', S", "unreadable-length 6:33+1", `"S" has no length`),
  row(WALLS, "E 20', N 12', W 20', N 95 E 12'", "unreadable-direction 6:33+10", "above 90 degrees"),
  row(WALLS, "E 20', N 12,5', W 20', S 12'", "decimal-comma 6:24+2"),
  row(WALLS, "E 20', N 12',, W 20', S 12'", "empty-wall 6:25+1"),
  row(WALLS, "E 20', N 0', W 20', S 12'", "length-not-positive 6:19+4"),
  row(WALLS, "E 20', N 12', S 12', W 20'", "room-without-area 6:12+26"),
  row(
    WALLS,
    "E 20', N 12', W 25', S 6', E 10', N 12', W 5', S 18'",
    ["walls-cross 6:12+52", "walls-cross 6:12+52", "walls-cross 6:12+52"],
    "walls 3 and 6 cross at [5', 12']",
  ),
  row(`    walls: ${WALLS}\n`, "", ["room-without-walls 5:5+8"]),
  row(
    `    walls: ${WALLS}\n`,
    `    walls: ${WALLS}\n    vertices: [[0, 0], [1, 0], [1, 1]]\n`,
    "walls-given-twice 5:5+8",
  ),
  row("[20' 6\", 12']]", "[20' 6\", 12'], [20' 6\", 12']]", ["wall-without-length 14:5+8"]),
  row(
    "vertices: [[20' 6\", 0]",
    "vertices: [[19' 6\", 0]",
    ["door-leads-nowhere 11:57+5", "rooms-overlap 12:5+9"],
    "they share 6\" by 6'",
  ),
  row("[10', 6'], size", "[40', 6'], size", "column-outside-room 8:11+6"),
  row("[10', 6'], size", "[10', 12'], size", "warning column-in-wall 8:11+6"),
  row(', size: 16" x 16"', "", "obstacle-without-shape 8:11+6", "has no size"),
  row(', size: 16" x 16"', ", size: 16\", diameter: 1'", "obstacle-without-shape 8:11+6", "more than one shape"),
]);

table("doors", [
  row("width: 3', joins: street", "width: 3 mm, joins: street", "door-too-narrow 10:46+4", "at least"),
  row("from: 4'", "from: 18'", "door-off-wall 10:35+3", "Door DR1 reaches 21' along wall 1, which is 20' long"),
  row("joins: street", "joins: street, finish_level: 3 mm, finish_read_in: S7", "no-such-set-up 10:101+2", "one of S1"),
  row("wall: 1", "wall: 7", "no-such-wall 10:26+1", "a wall from 1 to 4"),
  row("wall: 2", "wall: 3", "door-leads-nowhere 11:57+5"),
  row("joins: store", "joins: hall", "door-joins-own-room 11:57+4"),
  row("joins: store", "joins: stor", "warning door-joins-unknown-room 11:57+4", 'Did you mean "store"?'),
  row("joins: store", 'joins: store, thickness: 4"', "wall-thickness-disagrees 11:75+2", 'the rooms stand 6" apart'),
  row("joins: street", "joins: street, thickness: 20'", "wall-too-thick 10:76+3"),
  row(
    "joins: store",
    "joins: lobby, thickness: 1'",
    "doorway-overlaps 11:11+7",
    "overlaps room store: they share 6\" by 3'",
  ),
]);

table("grid and readings", [
  row("spacing: 4'", "spacing: 4 mm", "grid-too-close 19:38+4"),
  row("spacing: 4'", "spacing_east: 4'", "grid-spacing 19:3+4", "one way only"),
  row("at: [5', 5']", "at: [6', 2']", "same-place-twice 21:20+2", "at the place of grid point A2"),
  row(
    "at: [5', 5'] }",
    "at: [5', 5'] }\n    - { id: sump, at: [5', 5' 1/4\"] }",
    "same-place-twice 22:19+2",
    "Point sump is at the place of point drain",
  ),
  row("instrument: hose-level", "instrument: hoselevel", "not-in-library 24:19+9", 'Did you mean "hose-level"?'),
  row("11.5", "11,5", "decimal-comma 27:20+4", "Write 11.5 for one reading"),
  row("11.5", "x", "unreadable-reading 27:20+1", "at point A3"),
  row("11.5", "1/2", "unreadable-reading 27:20+3", "unit: in"),
  row("11.5", "99999999", "number-too-large 27:20+8"),
  row("A  14", "a  14", "bad-row-label 27:9+1", 'Did you mean "A"?'),
  row("A  14", "I  14", "bad-row-label 27:9+1", "the rows go H, J, K"),
  row("A  14", "A,,14", "empty-reading 27:11+1"),
  row("B  15", "A  15", "point-read-twice 28:9+1", "first on line 1 of the sheet"),
  row("drain  16", "drain  16\n        drain  17", "point-read-twice 30:9+5"),
  row("drain  16", "drain  16 17", "point-needs-one-reading 29:9+5"),
  row("drain  16", "drain", "point-needs-one-reading 29:9+5"),
  row("drain  16", "drains  16", "bad-row-label 29:9+6", 'Did you mean "drain"?'),
  row("  12  ", "  -12  ", "warning mixed-signs 27:16+3", "A2 has a minus"),
  row("11.5", "115", "warning reading-past-range 27:20+3"),
]);

table("target", [
  row("top: 0 mm", "top: 0 mm, door: DR1", "target-unclear 30:1+6"),
  row("target: { top: 0 mm }", "target: {}", "target-unclear 30:1+6"),
  row("top: 0 mm", "top: 0 mm, above: 3 mm", "target-unclear 30:22+5"),
  row("top: 0 mm", "bench_mark: BM2, above: 0", "no-such-bench-mark 30:23+3", "one of BM1"),
  row("top: 0 mm", "bench_mark: BM1", "missing-key 30:11+10"),
  row("top: 0 mm", "door: DR7, build_up: []", "no-such-door 30:17+3", "one of DR1, DR2"),
  row("top: 0 mm", "door: DR1, build_up: []", "door-without-finish-level 30:17+3"),
  row("top: 0 mm", "door: DR1", "missing-key 30:11+4"),
]);

const MATERIAL = "material: cement-50lb";
const written = (keys: string): string => `material:
  id: own
  name: Own
  binder: cement
  data_sheet: { title: Sheet }
  bag: 50 lb
${keys}
  flow_time: 15 min
  depth_on: { concrete: { least: 1/8 in, greatest: 2 in } }
  greatest_lift: 1 in
  greatest_fall: 0 mm/m
  pin_spacing: 8 ft
  pin_spacing_at_doors: 3 ft`;

table("material", [
  row(MATERIAL, "material: cement-50kg", "not-in-library 31:11+11", 'Did you mean "cement-50lb"?'),
  row(MATERIAL, written("  water: 5 qt\n  wet_density: 123 lb/ft³"), "missing-key 31:1+8", 'has no "yield"'),
  row(MATERIAL, written("  yield: 0.49 ft³\n  water: 5 qt\n  wet_density: 123"), "missing-unit 39:16+3"),
  row(MATERIAL, written("  yield: 0 L\n  water: 5 qt\n  wet_density: 123 lb/ft³"), "out-of-range 37:10+3"),
  // 50 lb and 5 qt (10.4 lb) weigh 60.4 lb; 0.49 ft³ × 123 lb/ft³ = 60.3, but 0.55 × 123 = 67.7, 12 % more.
  row(MATERIAL, written("  yield: 0.49 ft³\n  water: 5 qt\n  wet_density: 123 lb/ft³"), []),
  row(
    MATERIAL,
    written("  yield: 0.55 ft³\n  water: 5 qt\n  wet_density: 123 lb/ft³"),
    "material-does-not-balance 37:10+8",
    "12 % off",
  ),
  // 0.42 ft³ × 144 lb/ft³ = 60.5 lb balances too, but no mix is that dense.
  row(
    MATERIAL,
    written("  yield: 0.42 ft³\n  water: 5 qt\n  wet_density: 144 lb/ft³"),
    "warning unusual-wet-density 39:16+10",
  ),
]);

test("all problems are said at once, in the order of the file", () => {
  const text = GOOD.replace("title: Small hall", "titel: Small hall")
    .replace("from: 4'", "from: 18'")
    .replace("id: BM1", "id: BM/1")
    .replace("11.5", "11,5")
    .replace("top: 0 mm", "top: zero")
    .replace(MATERIAL, "material: cement");
  const { job, diagnostics } = read(text);
  expect(job).toBeUndefined();
  expect(diagnostics.map(({ code }) => code)).toEqual([
    "unknown-key",
    "door-off-wall",
    "bad-id",
    "decimal-comma",
    "unreadable-length",
    "not-in-library",
  ]);
});

test("a room with one wrong key is still checked for the rest", () => {
  const { diagnostics } = read(
    changed(WALLS, "E 20', N 12', W 19', S 12'").replace("columns:\n", "colour: red\n    columns:\n"),
  );
  expect(diagnostics.map(({ code }) => code)).toEqual(["walls-do-not-close", "unknown-key"]);
});

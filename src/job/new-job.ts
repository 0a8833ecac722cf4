/** The text of a new job file: a room from its size or its walls, the grid laid out, the readings left blank row by row. */
import type { Diagnostic } from "../diagnostics.ts";
import { type Point, point, type Ring } from "../geometry/point.ts";
import { boundsOf, ringContains } from "../geometry/polygon.ts";
import { M_PER_FOOT, MM_PER_INCH } from "../units.ts";
import { rowLetters } from "./grid-names.ts";
import { parseLength, plainPunctuation, spellPlanLength as spell } from "./lengths.ts";
import { type LibraryFiles, readLibrary } from "./library.ts";
import { readMaterial } from "./library-material.ts";
import type { HeightUnit, PlanUnit } from "./model.ts";
import { readJob } from "./read-job.ts";
import { idProblem } from "./schema-leaves.ts";
import { nearName } from "./suggest.ts";

export interface NewJobRequest {
  readonly id: string;
  readonly title: string;
  /** `24' x 18'` (east–west by north–south), or a run of walls such as `E 24', N 18', W 24', S 18'`. */
  readonly room: string;
  readonly heightUnit: HeightUnit;
  /** The material by its id in the library; the first of the library where the office names none. */
  readonly material?: string;
  /** Distance between grid lines as typed; the material's pin spacing where the office gives none. */
  readonly spacing?: string;
}

export interface NewJob {
  readonly text?: string;
  readonly diagnostics: readonly Diagnostic[];
}

/**
 * Writes a new job file as text. The text is read back before it is given: what comes out can be built.
 * @returns the text, or what is wrong with the request
 */
export function newJob(request: NewJobRequest, libraryFiles: LibraryFiles): NewJob {
  const idIssue = idProblem(request.id, "job");
  if (idIssue) return refuse(idIssue.params.code, idIssue.message, idIssue.params.expected);
  const material = materialOf(request, libraryFiles);
  if ("refusal" in material) return material.refusal;
  const plan: PlanUnit = /['"]|ft|in\b|inch|feet/i.test(plainPunctuation(request.room)) ? "ft-in" : "m";
  const walls = wallsOf(request.room);
  if (walls === undefined) {
    return refuse(
      "unreadable-room",
      `"${request.room}" is no room.`,
      "a size such as 24' x 18' or 7.5 m x 5.2 m, or a run of walls such as E 24', N 18', W 24', S 18'",
    );
  }
  const asked = request.spacing === undefined ? undefined : spacingOf(request.spacing, plan);
  if (request.spacing !== undefined && asked === undefined) {
    return refuse("unreadable-length", `"${request.spacing}" is no grid spacing.`, "a length such as 6' or 2 m");
  }

  const file = `jobs/${request.id}.yaml`;
  const write = ({ origin, spacing, rows }: Grid) =>
    jobText(request, { plan, walls, spacing, material: material.id, origin, rows });
  const draft = readJob(write({ origin: point(0, 0), spacing: spell(1, plan), rows: ["A  -"] }), file, libraryFiles);
  if (draft.job === undefined) return { diagnostics: draft.diagnostics.map(withoutPlace) };
  const outline = draft.job.rooms[0]!.outline;
  const text = write(layGrid(outline, asked ?? usualStep(outline, material.pinSpacing, plan), plan));
  const checked = readJob(text, file, libraryFiles);
  return checked.job === undefined ? { diagnostics: checked.diagnostics } : { text, diagnostics: checked.diagnostics };
}

const refuse = (code: string, message: string, expected: string | undefined, hint?: string): NewJob => ({
  diagnostics: [
    {
      code,
      severity: "error",
      message,
      ...(expected === undefined ? {} : { expected }),
      ...(hint === undefined ? {} : { hint }),
    },
  ],
});

/** The file is not written yet: a place in it would tell nobody anything. */
const withoutPlace = ({ place: _, ...diagnostic }: Diagnostic): Diagnostic => diagnostic;

function materialOf(
  request: NewJobRequest,
  files: LibraryFiles,
): { readonly id: string; readonly pinSpacing: number } | { readonly refusal: NewJob } {
  const { library } = readLibrary(files);
  const ids = [...library.materials.keys()];
  const id = request.material ?? ids[0];
  const entry = id === undefined ? undefined : library.materials.get(id);
  if (id === undefined || entry === undefined) {
    const near = id === undefined ? undefined : nearName(id, ids);
    return {
      refusal: refuse(
        "not-in-library",
        id === undefined ? "The library has no material." : `The library has no material "${id}".`,
        ids.length === 0 ? "a material in jobs/_library" : `one of ${ids.join(", ")}`,
        near === undefined ? undefined : `Did you mean "${near}"?`,
      ),
    };
  }
  const problems: Diagnostic[] = [];
  const material = readMaterial(entry, problems);
  return material === undefined ? { refusal: { diagnostics: problems } } : { id, pinSpacing: material.pinSpacing };
}

/** A size as a run of walls; a run as it was typed. */
function wallsOf(room: string): string | undefined {
  if (/^\s*[NESW]/i.test(room)) return room.trim();
  const sides = room.split(/\s*[x×]\s*/i).map((side) => side.trim());
  const [east, north] = sides;
  if (sides.length !== 2 || sides.some((side) => parseLength(side).kind === "unreadable")) return undefined;
  return `E ${east}, N ${north}, W ${east}, S ${north}`;
}

/** A spacing as typed, in metres. */
function spacingOf(typed: string, plan: PlanUnit): number | undefined {
  const length = parseLength(typed);
  if (length.kind === "unreadable") return undefined;
  const metres =
    length.kind === "length" ? length.millimetres / 1000 : length.value * (plan === "ft-in" ? M_PER_FOOT : 1);
  return metres > 0 ? metres : undefined;
}

/** The material's pin spacing, in whole inches or 5 cm; halved until there are two lines each way. */
function usualStep(outline: Ring, pinSpacing: number, plan: PlanUnit): number {
  const box = boundsOf(outline);
  const shorter = Math.min(box.maxX - box.minX, box.maxY - box.minY);
  const unit = plan === "ft-in" ? MM_PER_INCH / 1000 : 0.05;
  // 8 ft is 96 in, though the quotient of the two doubles falls just short of it.
  let steps = Math.max(1, Math.floor(pinSpacing / unit + 1e-9));
  while (steps > 4 && steps * unit > shorter - 2 * LEAST_MARGIN_M) steps = Math.floor(steps / 2);
  return steps * unit;
}

/** Nearer to a wall than this a reading is cramped: 1 ft, common practice. */
const LEAST_MARGIN_M = 0.3048;

/** Lines at even steps, the rest shared between both ends; where that is cramped, a line less. */
function linesAlong(from: number, to: number, step: number, roundTo: number): { first: number; count: number } {
  const length = to - from;
  const most = Math.floor(length / step) + 1;
  const rest = length - (most - 1) * step;
  const count = rest / 2 < LEAST_MARGIN_M && most > 1 ? most - 1 : most;
  const margin = (length - (count - 1) * step) / 2;
  return { first: from + Math.round(margin / roundTo) * roundTo, count };
}

interface Grid {
  readonly origin: Point;
  readonly spacing: string;
  readonly rows: readonly string[];
}

function layGrid(outline: Ring, step: number, plan: PlanUnit): Grid {
  const box = boundsOf(outline);
  const roundTo = plan === "ft-in" ? 0.0254 : 0.01;
  const east = linesAlong(box.minX, box.maxX, step, roundTo);
  const north = linesAlong(box.minY, box.maxY, step, roundTo);
  const rows = Array.from({ length: north.count }, (_, row) => {
    const letters = rowLetters(row);
    const inside = Array.from({ length: east.count }, (_, column) =>
      ringContains(outline, point(east.first + column * step, north.first + row * step)),
    );
    const last = inside.lastIndexOf(true);
    const off = inside.slice(0, last + 1).flatMap((isIn, column) => (isIn ? [] : [`${letters}${column + 1}`]));
    const remark = off.length === 0 ? "" : `   # outside the room: ${off.join(", ")}`;
    return `${letters.padEnd(2)}${"   -".repeat(last + 1)}${remark}`;
  });
  return { origin: point(east.first, north.first), spacing: spell(step, plan), rows };
}

interface Written extends Grid {
  readonly plan: PlanUnit;
  readonly walls: string;
  readonly material: string;
}

/** Quotes a text where YAML would read something else into it. */
const yamlText = (text: string): string =>
  /^[\w(][^:#\n]*$/.test(text) && !/^(?:true|false|null|~)$/.test(text) && text.trim() === text
    ? text
    : JSON.stringify(text);

function jobText(request: NewJobRequest, written: Written): string {
  const { plan, walls, spacing, material, origin, rows } = written;
  const isFeet = plan === "ft-in";
  const at = (length: number) => spell(length, plan);
  return `# yaml-language-server: $schema=./_library/job.schema.json
job: ${request.id}
title: ${yamlText(request.title)}
# place: ${isFeet ? "3 Tern Street" : "Dock Road"}
# client:
# contract_reference:
units: { plan: ${plan}, height: ${request.heightUnit} }

rooms:
  - id: room-1
    # As taped round the room, inside face to inside face.
    walls: ${yamlText(walls)}
    # columns:
    #   - { id: COL1, center: [${isFeet ? "12', 9'" : "4 m, 3 m"}], size: ${isFeet ? '16" x 16"' : "400 mm x 400 mm"} }
    # A door's place is taped along its wall, from the corner where the wall's taping began.
    # doors:
    #   - { id: DR1, wall: 1, from: ${isFeet ? "3' 2\"" : "1.2 m"}, width: ${isFeet ? "3'" : "0.9 m"}, joins: street, entrance: true }

floor: { support: on-ground, substrate: concrete, absorbency: porous }

survey:
  grid: { origin: [${at(origin.x)}, ${at(origin.y)}], spacing: ${spacing} }
  # What the set-ups are planned from; \`new … --from\` plans them again, for the rooms as they then are.
  planning: { instrument: hose-level, slack: ${isFeet ? "6'" : "1.8 m"}, tie_spread: ${isFeet ? "6'" : "1.8 m"} }
  set_ups:
    - id: S1
      instrument: hose-level
      numbers_are: below zero
      # A row to a line, from point 1 on; - where nothing is read.
      readings: |
${rows.map((row) => `        ${row}`).join("\n")}

# 0 where zero is set at the top of the pour.
target: { top: 0 ${request.heightUnit} }
material: ${material}
# pour:
#   start: 2027-03-04 07:30
# contract:
#   tolerance: { text: ${isFeet ? "3/16 in in 10 ft" : "3 mm under a 2 m straightedge"}, source: "clause of the contract" }
`;
}

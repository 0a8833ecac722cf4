/**
 * A run of walls as it is taped round a room: `E 24' 6", N 18', W 24' 6", S 18'`. Directions are the
 * eight of the compass, or a bearing from north or south such as `N 30 E` (quadrant bearing, as in
 * surveying texts).
 */
import { type LengthText, parseLength, plainPunctuation } from "./lengths.ts";

export interface WallLeg {
  /** Unit vector, x east, y north. */
  readonly east: number;
  readonly north: number;
  readonly length: LengthText;
  /** Where the leg stands in the text, in characters. */
  readonly offset: number;
  readonly span: number;
}

export interface RunProblem {
  readonly code: string;
  readonly message: string;
  readonly expected: string;
  readonly hint?: string;
  readonly offset: number;
  readonly span: number;
}

/** Unit vectors of the eight directions. */
export const COMPASS: Readonly<Record<string, readonly [east: number, north: number]>> = {
  N: [0, 1],
  NE: [Math.SQRT1_2, Math.SQRT1_2],
  E: [1, 0],
  SE: [Math.SQRT1_2, -Math.SQRT1_2],
  S: [0, -1],
  SW: [-Math.SQRT1_2, -Math.SQRT1_2],
  W: [-1, 0],
  NW: [-Math.SQRT1_2, Math.SQRT1_2],
};

const EXPECTED = `a direction and a length, such as E 24' 6" or N 30 E 12'`;
const BEARING_LEG = /^([NS]) ?(\d+(?:\.\d+)?) ?(?:°|deg)? ?([EW])\b ?(.*)$/i;
const COMPASS_LEG = /^(NE|NW|SE|SW|N|E|S|W)(?![A-Z])(.*)$/i;

/** Reads a run; legs stand between commas, semicolons or line ends. All problems are given, each with its place. */
export function parseWallRun(text: string): { readonly legs: WallLeg[]; readonly problems: RunProblem[] } {
  const legs: WallLeg[] = [];
  const problems: RunProblem[] = [];
  const separator = /[,;\n]/g;
  let start = 0;
  while (start <= text.length) {
    separator.lastIndex = start;
    const found = separator.exec(text);
    const end = found ? found.index : text.length;
    const piece = text.slice(start, end);
    const typed = piece.trim();
    const offset = start + (piece.length - piece.trimStart().length);
    const followsDigit = /\d$/.test(text.slice(0, Math.max(0, start - 1)));
    if (typed !== "") {
      const leg = readLeg(typed, offset, start > 0 && followsDigit && /^\d/.test(piece));
      if ("code" in leg) problems.push(leg);
      else legs.push(leg);
    } else if (found && found[0] !== "\n" && /[,;]/.test(text.slice(end + 1))) {
      // A comma at the end of a line, or at the end of the run, parts nothing and harms nothing.
      const between = text.slice(0, start).trimEnd();
      if (between.endsWith(",") || between.endsWith(";")) {
        problems.push(problem("empty-wall", "Two commas stand with no wall between them.", offset, 1));
      }
    }
    if (!found) break;
    start = end + 1;
  }
  return { legs, problems };
}

const problem = (code: string, message: string, offset: number, span: number, hint?: string): RunProblem => ({
  code,
  message,
  expected: EXPECTED,
  ...(hint === undefined ? {} : { hint }),
  offset,
  span: Math.max(1, span),
});

function readLeg(typed: string, offset: number, splitNumber: boolean): WallLeg | RunProblem {
  const span = typed.length;
  if (splitNumber) {
    return problem(
      "decimal-comma",
      `A comma stands inside a number before "${typed}".`,
      offset,
      span,
      "Write decimals with a point: 7.47 m.",
    );
  }
  const text = plainPunctuation(typed);
  const bearing = BEARING_LEG.exec(text);
  const compass = bearing ? null : COMPASS_LEG.exec(text);
  if (!bearing && !compass) {
    return problem("unreadable-direction", `"${typed}" does not begin with a direction.`, offset, span);
  }
  const direction = bearing
    ? alongBearing(bearing[1]!.toUpperCase(), Number(bearing[2]), bearing[3]!.toUpperCase())
    : COMPASS[compass![1]!.toUpperCase()]!;
  if (direction === undefined) {
    return problem("unreadable-direction", `"${typed}" has a bearing above 90 degrees.`, offset, span);
  }
  const lengthText = (bearing ? bearing[4]! : compass![2]!).trim();
  if (lengthText === "") return problem("unreadable-length", `"${typed}" has no length.`, offset, span);
  const length = parseLength(lengthText);
  if (length.kind === "unreadable") {
    const runsOn = /\s[NESW]{1,2}\s*\d/i.test(lengthText);
    return problem(
      length.code,
      length.message,
      offset,
      span,
      runsOn ? "Put a comma between one wall and the next." : length.hint,
    );
  }
  const value = length.kind === "bare" ? length.value : length.millimetres;
  if (value <= 0) return problem("length-not-positive", `"${typed}" is a wall of no length.`, offset, span);
  return { east: direction[0], north: direction[1], length, offset, span };
}

/** N 30 E is 30° from north towards east. */
function alongBearing(from: string, degrees: number, towards: string): readonly [number, number] | undefined {
  if (degrees > 90) return undefined;
  const angle = (degrees * Math.PI) / 180;
  return [(towards === "E" ? 1 : -1) * Math.sin(angle), (from === "N" ? 1 : -1) * Math.cos(angle)];
}

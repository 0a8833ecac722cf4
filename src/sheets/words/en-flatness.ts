/** The words of the flatness reports and of what the finished floor's blank sheet asks for, in English. */
import type {
  FindingMethod,
  Formula,
  MethodCondition,
  Remark,
  Result,
  Rule,
  RuleSource,
  Survival,
} from "../../conformity/model.ts";
import type { FloorRow } from "../../job/contract-model.ts";

/** A remark whose lengths, counts and conditions are text already. */
export type RemarkText = Remark extends infer R
  ? R extends { readonly kind: infer K }
    ? { readonly kind: K } & {
        readonly [P in Exclude<keyof R, "kind" | "roomIndex">]: P extends "where" ? R[P] : string;
      } & (R extends { readonly roomIndex: number } ? { readonly room: string } : unknown)
    : never
  : never;

const RULES: Readonly<Record<Rule["name"], string>> = {
  "resilient-covering": "Substrate of a resilient covering",
  "wood-flooring": "Substrate of wood flooring",
  "tile-under-15-in": "Substrate of tile, all edges under 15 in",
  "tile-15-in-and-over": "Substrate of tile, an edge of 15 in or more",
  "bs-8204-sr1": "Surface regularity SR1",
  "bs-8204-sr2": "Surface regularity SR2",
  "bs-8204-sr3": "Surface regularity SR3",
  "two-limits-conventional": "Two limits, conventional",
  "two-limits-moderately-flat": "Two limits, moderately flat",
  "two-limits-flat": "Two limits, flat",
  straightedge: "Straightedge, the contract’s own figures",
  "f-numbers": "Flatness and levelness numbers",
  "din-18202": "DIN 18202, Table 3",
  level: "Level against the target",
};

const METHODS: Readonly<Record<FindingMethod["kind"], string>> = {
  "edge-on-surface": "Edge laid everywhere on the surface as read",
  "edge-on-line": "Edge laid along the sample lines",
  "gap-by-hand": "Gaps measured by hand on site",
  "f-number-composite": "All lines together",
  "f-number-section": "Section",
  grid: "Grid: point against the mean of its neighbours",
  "between-high-points": "Lines: gap between two high points",
  "level-at-points": "Level at the points that were read",
};

const CONDITIONS: Readonly<Record<MethodCondition["condition"], (wanted: string) => string>> = {
  spacing: () => "Read every 12 in or every 300 mm",
  "readings-in-line": (wanted) => `At least ${wanted} readings on a line`,
  "line-length": (wanted) => `Lines at least ${wanted} long`,
  "one-method": () => "All lines by one form of the method",
  "on-the-floor": () => "Lines wholly on the floor",
  "edge-distance": (wanted) => `No reading nearer than ${wanted} to an edge`,
  "joint-distance": (wanted) => `No reading nearer than ${wanted} to a joint`,
  "lines-apart": (wanted) => `Lines side by side at least ${wanted} apart`,
  "joint-in-section": () => "No section across a construction joint",
  "readings-in-all": (wanted) =>
    wanted === "" ? "Readings enough for the area" : `At least ${wanted} readings in all`,
  "time-since-pour": (wanted) => `Read within ${wanted} days of the pour`,
};

const NOT_KNOWN: Readonly<Record<MethodCondition["condition"], string>> = {
  spacing: "not recorded",
  "readings-in-line": "not recorded",
  "line-length": "not recorded",
  "one-method": "not recorded",
  "on-the-floor": "where the lines lie is not recorded",
  "edge-distance": "where the lines lie is not recorded",
  "joint-distance": "where the joints or the lines lie is not recorded",
  "lines-apart": "where the lines lie is not recorded",
  "joint-in-section": "where the joints or the lines lie is not recorded",
  "readings-in-all": "the contract states no number",
  "time-since-pour": "the dates are not recorded",
};

const STANDINGS: Readonly<Record<RuleSource["standing"], string>> = {
  published: "published",
  "second-hand": "quoted from trade literature, not from the standard itself",
  "from-memory": "from memory: compare with your copy of the standard",
  contract: "the contract’s own",
};

const RESULTS: Readonly<Record<Result, string>> = {
  within: "within",
  outside: "outside",
  "not-decidable": "not decidable",
};

const SURVIVALS: Readonly<Record<Survival, string>> = {
  survives: "survives",
  "does-not-survive": "does not survive",
  "uncertainty-not-known": "not known",
};

const FORMULAS: Readonly<Record<Formula["of"], string>> = {
  symbols: "Symbols of ASTM E1155-96",
  flatness: "Flatness of a line",
  levelness: "Levelness of a line",
  spread: "Spread S",
  "lines-together": "Lines together",
};

const ROWS: Readonly<Record<FloorRow, string>> = {
  unfinished: "unfinished floors",
  "for-screed-or-tile-bed": "floors to receive screed or tile in bed",
  finished: "finished floors, or to receive covering",
  "finished-increased": "finished floors, increased requirement",
};

function remark(said: RemarkText): string {
  switch (said.kind) {
    case "edge-fits-nowhere":
      return `No ${said.edge} edge fits on the floor.`;
    case "too-few-under-edge":
      return said.where === "nowhere"
        ? `Nowhere on the floor do five readings lie under a ${said.edge} edge: not decidable by these readings.`
        : `Five readings lie under a ${said.edge} edge on part of the floor only; the rest is not decided.`;
    case "no-line-under-edge":
      return `No line has five readings under a ${said.edge} edge.`;
    case "line-place-not-recorded":
      return `Where line ${said.line} lies is not recorded.`;
    case "not-to-the-method":
      return `Not to the method: ${said.condition}.`;
    case "condition-not-known":
      return `Condition not known to hold: ${said.condition}.`;
    case "method-does-not-reach":
      return `${said.room}: no line of ${said.line} keeps ${said.edge} from its edges; the method does not reach it.`;
    case "fewer-than-asked":
      return `Lines ${said.apart} apart give ${said.readings} readings of the ${said.asked} that the contract asks for.`;
    case "grid-too-fine-by-hand":
      return `Levels would have to be read every ${said.spacing}: lay the edge itself and write the gaps down.`;
    case "grid-puts-five":
      return `A grid of ${said.spacing} puts five readings under a ${said.edge} edge wherever it is laid.`;
    case "search-not-settled":
      return "The worst gap was still moving when the search ended at its number of placements.";
    case "carried-levels-left-out":
      return "Levels carried to the walls are left out: only floor between readings is judged.";
    case "some-lines-too-short":
      return "Some lines are too short for the edge, or have fewer than five readings under it.";
    case "line-says-nothing-beside":
      return "A line says nothing of the floor beside it.";
    case "gap-as-typed":
      return "As measured and typed by the office; how the edge was laid is not known here.";
    case "no-three-in-a-row":
      return "No three readings stand evenly in a row on one floor.";
    case "between-grid-not-seen":
      return "The floor between the readings of the grid was not looked at.";
    case "no-two-high-points":
      return "No line has two high points with a reading between them.";
    case "no-target":
      return "The top of the pour is not placed yet: there is nothing to compare with.";
    case "levels-from-zero":
      return "Levels are from the job’s zero: what a bench mark is off goes into all of them alike.";
    case "no-sample-line":
      return "No sample line has twelve readings in a row, every 12 in or 300 mm, clear of joints.";
    case "noise-keeps-number-low":
      return "The noise of these readings alone keeps the number low: read again with a finer instrument before mending.";
    case "decides-in-part":
      return "The readings at hand decide on part of the floor only.";
  }
}

export const enFlatness = {
  flatness: {
    rules: RULES,
    methods: METHODS,
    conditions: CONDITIONS,
    notKnown: NOT_KNOWN,
    standings: STANDINGS,
    results: RESULTS,
    survivals: SURVIVALS,
    formulas: FORMULAS,
    rows: ROWS,
    remark,
    ofFloor: {
      "raw-slab": "The slab as it was handed over, before the pour.",
      finished: "The finished floor, after the pour.",
    },
    sections: {
      read: "What was read",
      verdicts: "Verdicts",
      rules: "Rule by rule",
      conditions: "Conditions of the method of sample lines",
      cuts: "Lines of which only parts count",
      numbers: "Flatness and levelness, line by line",
      formulas: "Formulas used",
      places: "Places to grind or fill",
      levels: "Level against the target, point by point",
      readings: "Readings as they were written down",
      lines: "Sample lines as they were read",
    },
    facts: {
      floor: "Floor",
      date: "Read on",
      poured: "Poured on",
      days: "Days from pour to reading",
      points: "Points that were read",
      lines: "Sample lines, with readings",
      linesText: (lines: string, readings: string) => `${lines}, with ${readings}`,
      gaps: "Straightedge gaps measured by hand",
      instruments: "Instruments",
      surface: "Surface between readings",
      surfaceText: "straight from reading to reading",
    },
    captionFacts: "What was read, when and with what",
    factColumns: { what: "What", value: "Value" },
    verdictColumns: { rule: "Rule", asked: "Asked for by", verdict: "Verdict", survives: "Within ± 2 s" },
    captionVerdicts: "Every rule of the contract with its verdict",
    coverage: (factor: string) =>
      `“Survives”: the same verdict holds at ${factor} standard deviations to either side, about 95 %. A verdict speaks of what was measured, where it was measured.`,
    findingColumns: {
      how: "How it was measured",
      limit: "Limit",
      worst: "Worst",
      margin: "Margin",
      uncertainty: "± 2 s",
      verdict: "Verdict",
    },
    captionFindings: (rule: string) => `Findings for ${rule}`,
    ruleHeading: (number: string, rule: string, verdict: string) => `${number}  ${rule}: ${verdict}`,
    askedBy: (source: string) => `Asked for by: ${source}.`,
    figuresFrom: (source: string, standing: string) =>
      source === "" ? `Figures ${standing}.` : `Figures: ${source} (${standing}).`,
    anyPart: "Any one part within is enough.",
    part: {
      straightedge: (edge: string, gap: string) => `${edge} edge, gap up to ${gap}`,
      most: (share: string, gap: string) => `${share} of the places up to ${gap}`,
      contact: {
        "between-contacts": "the gap counts between the two contacts",
        "whole-edge": "the gap counts over the whole edge",
      },
      contactTakenHere: "taken so here: the source does not say",
      fNumber: {
        flatness: (overall: string, section: string) => `FF ${overall} overall, ${section} in each section`,
        levelness: (overall: string, section: string) => `FL ${overall} overall, ${section} in each section`,
      },
      din: (row: string) => `row for ${row}`,
      level: (plusMinus: string) => `within ${plusMinus} up or down`,
    },
    readings: (count: string) => `${count} ${count === "1" ? "reading" : "readings"}`,
    gaps: (count: string) => `${count} ${count === "1" ? "gap" : "gaps"}`,
    decided: (share: string) => `${share} of the places decided`,
    placings: (directions: string, step: string) => `${directions} directions, laid every ${step}`,
    settled: "refined until the worst gap moved by less than 0.05 mm (0.002 in)",
    shareWithin: (share: string) => `${share} within`,
    over: (distance: string) => `over ${distance}`,
    unbounded: "without bound",
    none: "–",
    worstPlace: (id: string, value: string, where: string) => `${id}: ${value}, ${where}.`,
    /** In place of a value, for a number of whole lines. */
    numberBend: "where the lines bend or differ most",
    named: (name: string) => `at ${name}`,
    fromWalls: (first: string, second: string) => `${first} and ${second}`,
    fromWall: (distance: string, wall: string) => `${distance} from the ${wall}`,
    inDoorway: (door: string) => `in the doorway of ${door}`,
    conditionColumns: { condition: "Condition", standing: "Holds", found: "What was found" },
    captionConditions: "Conditions of the method, and whether they hold",
    conditionStanding: { holds: "yes", fails: "no", "not-known": "not known" },
    ofLine: (line: string, value: string) => (value === "" ? `line ${line}` : `line ${line}: ${value}`),
    taken: (readings: string) => `${readings} were taken`,
    days: (count: string) => `${count} ${count === "1" ? "day" : "days"}`,
    toTheMethod: "Every condition is known to hold: the numbers are to the method.",
    notToTheMethod:
      "Not every condition is known to hold: the numbers are what these lines give, and are not claimed to be to the method.",
    cutColumns: { line: "Line", readings: "Readings", becomes: "What becomes of them" },
    captionCuts: "Which readings of a line count, and why the others are left out",
    fromReading: (first: string, last: string) => (first === last ? first : `${first} to ${last}`),
    counts: "count",
    countsAs: (line: string) => `count as line ${line}`,
    leftOut: {
      "near-joint": (joint: string) => `left out: too near to joint ${joint}`,
      "near-edge": () => "left out: too near to a wall, a column or a jamb",
      "too-short": () => "left out: too few in a row for a line",
    },
    numberColumns: { lines: "Lines", readings: "Readings", flatness: "FF", levelness: "FL", plusMinus: "± 2 s" },
    captionNumbers: "Flatness and levelness numbers of lines, sections and all lines together",
    section: (name: string) => `Section ${name}`,
    together: "All together",
    formulaColumns: { what: "What", formula: "Formula", standing: "Where it is from" },
    captionFormulas: "Formulas that the numbers were worked out by",
    placeColumns: {
      id: "Place",
      work: "Work",
      least: "At least",
      whole: "To make true",
      where: "Where",
      rules: "Rules",
    },
    captionPlaces: "Places to grind or fill, with depth and two distances",
    work: { grind: "grind", fill: "fill" },
    instead: (work: string, depth: string, where: string) => `or ${work} at least ${depth} ${where}`,
    rawLevel: "Before the pour the slab lies below the target: that is what the pour is for.",
    noPlaces: "None: no rule is found outside at a place that can be named.",
    placesNote:
      "Grinding makes silica dust: shroud and dust collector, as on the safety sheet. Read the place again after mending; covering goes on only after that.",
    rawPlacesNote:
      "For the general contractor: what was handed over. The pour covers most of it; grind only what the high spots on the pin map ask for.",
    levelColumns: { point: "Point", level: "Level", target: "Target", off: "Off", plusMinus: "± 2 s" },
    captionLevels: "Level, target and difference at every point",
    levelSummary: (
      mean: string,
      spread: string,
      lowest: string,
      lowestAt: string,
      highest: string,
      highestAt: string,
    ) =>
      `Above the target is plus. Mean ${mean}, spread (one standard deviation) ${spread}; lowest ${lowest} at ${lowestAt}, highest ${highest} at ${highestAt}.`,
    levelUnit: (unit: string) => `In ${unit}. Outside the level rule: bold.`,
    readingColumns: { point: "Point", reading: "Reading" },
    captionReadings: (setUp: string) => `Readings of set-up ${setUp}`,
    setUp: (id: string, instrument: string, date: string) =>
      `Set-up ${id}: ${instrument}${date === "" ? "" : `, ${date}`}`,
    readingUnit: (unit: string, side: string) => `In ${unit}, ${side}. In brackets: struck by the office.`,
    side: { above: "above zero", below: "below zero" },
    tooMany: (count: string) =>
      `${count} readings are more than a sheet can be read by: the job file and packet.json hold them.`,
    lineColumns: { line: "Line", where: "First and last reading", levels: "Levels" },
    lineUnit: (unit: string) => `In ${unit}, above any one zero of each line.`,
    everySpacing: (spacing: string) => `every ${spacing}`,
    captionLines: "Sample lines with their readings",
    fromTo: (from: string, to: string) => `from ${from} to ${to}`,
    whereUnknown: "not recorded",
    mapTitle: (job: string) => `Worst places of ${job}`,
    mapDescription: (places: string, scale: string) =>
      `Plan with ${places} worst places, places to mend and sample lines at scale ${scale}. The tables list them as text.`,
    mapWorst: "W: worst place by a rule, with its value; the heavy line is the edge or the run it was found on",
    mapCorrection: "G: grind, F: fill, with the least depth",
    mapLine: "Sample line, first reading at its name",
    mapJoint: "Joint: no line and no section runs across it",
    levelMapTitle: (job: string) => `Level against the target, ${job}`,
    levelMapDescription: (points: string, scale: string) =>
      `Plan with the difference from the target at ${points} points at scale ${scale}. The table lists them as text.`,
    levelMapHint: (unit: string) => `Level less target in ${unit}: plus is high, minus is low.`,
    levelMapSome: (from: string) => `Points that are off by less than ${from} have no label: the table has them all.`,
    levelBand: {
      within: (limit: string) => `within ${limit} of the target`,
      low: (limit: string) => `lower than ${limit} below the target`,
      high: (limit: string) => `higher than ${limit} above the target`,
    },
    plan: {
      title: "What the contract’s rules need read",
      intro:
        "The grid of boxes on the map decides only what it is fine enough for. This is what each rule needs besides.",
      enough: "The points on this sheet’s map are enough to decide it.",
      notEnough: "The points on this sheet’s map alone cannot decide it.",
      grid: (points: string, spacing: string) =>
        `Levels at ${points} points, a square grid of ${spacing} over every room.`,
      layings: (count: string, edge: string) =>
        `Or lay a ${edge} edge by hand at ${count} places spread over the floor, in different directions, and write the gaps below.`,
      lines: (lines: string, readings: string) =>
        `${lines} sample lines with ${readings} readings; see the table of lines.`,
      byHand: (count: string, gridPoints: string) =>
        `An edge laid by hand at ${count} places; read as levels it would take about ${gridPoints} points.`,
      points: (count: string) => `Levels at the ${count} points of this sheet.`,
      linesTitle: "Sample lines to read",
      lineColumns: { line: "Line", from: "First reading", to: "Last reading", readings: "Readings", spacing: "Every" },
      captionLines: "Sample lines to read, with two distances for each end",
      lineBoxes: (line: string) => `Line ${line}: levels above or below any one zero, from the first reading on`,
      firstInRow: "From",
      captionBoxes: (line: string) => `Boxes for line ${line}`,
      gapsTitle: "Gaps under the edge, laid by hand",
      gapColumns: {
        number: "No.",
        edge: "Edge",
        at: "Where: two distances from walls",
        direction: "Direction",
        gap: "Gap",
      },
      captionGaps: "Gaps measured by hand",
    },
    page: {
      title: "Against the contract",
      floors: { "raw-slab": "Slab as handed over", finished: "Finished floor" },
    },
  },
};

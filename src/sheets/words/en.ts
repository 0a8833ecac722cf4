/**
 * Every word that a sheet prints, in English. The type of this catalogue is the list of what
 * another language must have: a missing string does not compile. Numbers come in as printed text.
 */

import type { Wall } from "../../job/model.ts";
import { counted } from "./counted.ts";
import { enFlatness } from "./en-flatness.ts";
import { enOffice } from "./en-office.ts";
import { enPour } from "./en-pour.ts";
import { enRecord } from "./en-record.ts";
import { enRevision } from "./en-revision.ts";
import { enSurvey } from "./en-survey.ts";
import { enTarget } from "./en-target.ts";

const SIDES: Readonly<Record<Wall["side"], string>> = {
  north: "north",
  east: "east",
  south: "south",
  west: "west",
  "north-east": "north-east",
  "south-east": "south-east",
  "south-west": "south-west",
  "north-west": "north-west",
};

const wall = (side: Wall["side"], ordinal: number, onlyOne: boolean): string =>
  onlyOne ? `${SIDES[side]} wall` : `${SIDES[side]} wall ${ordinal}`;

export const en = {
  language: "English",
  wall,
  bags: (count: string) => counted(count, "bag", "bags"),
  pins: (count: string) => counted(count, "pin", "pins"),
  batches: (count: string) => counted(count, "batch", "batches"),
  people: (count: string) => counted(count, "person", "people"),
  both: (large: string, small: string) => `${large} (${small})`,
  listOf: (items: readonly string[]) => items.join(", "),
  yes: "yes",
  no: "no",
  notStated: "not stated",
  north: "N",

  signal: { danger: "DANGER", warning: "WARNING", caution: "CAUTION", notice: "NOTICE" },
  hold: "HOLD",
  status: { draft: "DRAFT" },
  revision: (name: string) => `Revision ${name}`,
  notDated: "not dated",
  page: (number: string, of: string) => `Page ${number} of ${of}`,

  setNames: { survey: "Survey set", crew: "Crew set", gc: "General contractor set", closeout: "Closeout set" },
  titles: {
    cover: "Cover",
    "pin-map": "Pin map",
    "cut-table": "Cut table, in the order of placing",
    changes: "Change sheet",
    "cut-order": "Cut order and true-size strips",
    "bay-map": "Bay map",
    "mixing-schedule": "Pour clock",
    "batch-log": "Batch log",
    "pause-cards": "Pause cards",
    safety: "Safety",
    quantities: "Quantities",
    "pour-plan": "Pour plan",
    "top-of-pour": "Top of the pour",
    method: "Method",
    readiness: "Readiness of the substrate",
    "silica-plan": "Safety and silica plan",
    "data-sheets": "Data sheet register",
    meeting: "Meeting before the pour",
    acceptance: "Acceptance criteria",
    "joint-survey": "Joint survey record",
    submittals: "Submittal register",
    "daily-record": "Daily record",
    "non-conformances": "Non-conformances",
    handover: "Acceptance, cure and protection",
    "door-notice": "Door notice",
    "survey-brief": "Survey brief",
    "survey-plan": "Survey plan and readings",
    "survey-form": "Survey readings in order",
    "same-day": "Same-day strip and tally",
    "survey-report": "Survey report",
    "survey-summary": "Survey: read again",
    "finished-floor": "Readings of the finished floor",
    flatness: "Flatness report, finished floor",
    "flatness-raw-slab": "Flatness report, slab as handed over",
  },

  /** The reason of a stage that has no result yet. */
  notYet: (why: string) => `${why.slice(0, 1).toUpperCase()}${why.slice(1)}${why.endsWith(".") ? "" : "."}`,
  refused: "the job file has errors",

  planningAid:
    "Planning aid only. The bag, the data sheets, local code, the contract and licensed practice govern wherever they say otherwise.",
  exampleMaterial: (name: string) =>
    `The values of “${name}” ship as an example. Compare every one with the bag and its data sheet before anyone mixes.`,

  cover: {
    stops: "What can stop the pour",
    nothingStops: "Nothing that this packet knows of. The pause cards still have to be answered.",
    warnings: "Warnings",
    unprintable: (characters: string) =>
      `The printed font lacks these characters of the job file, they may look wrong: ${characters}`,
    keyFigures: "Key figures",
    sheets: "Sheets in this packet",
    packetHash: (hash: string) => `The packet’s hash, made from the hashes below: ${hash}`,
    columns: { sheet: "Sheet", pages: "Pages", sets: "Sets", hash: "Hash" },
    setLetters: { survey: "Survey", crew: "Crew", gc: "GC", closeout: "Closeout" },
    notYet: "Sheets that are not here yet",
    cautions: "Cautions",
    compareHash: "A sheet belongs to this packet when the hash at its foot stands in this list.",
    codeCaption: "This job at the office’s own address. The hashes work without a network.",
    figures: {
      floor: "Floor",
      mean: "Mean depth",
      greatest: "Greatest depth",
      bags: "Bags to order",
      waterPerBag: "Water for one bag",
      pins: "Height pins",
      highSpots: "High spots to grind",
      batches: "Batches",
      duration: "Mixing takes, h:min",
    },
    scope: {
      place: "Place",
      client: "Client",
      gc: "General contractor",
      contract: "Contract",
      section: "Specification section",
      start: "Start",
    },
  },

  holds: {
    "suspended-floor-not-accepted": (load: string) =>
      load === ""
        ? "The floor is suspended and no engineer is named who accepted the load of the pour and of the staged pallets. Nobody stages or pours until one has."
        : `The floor is suspended and no engineer is named who accepted ${load} of pour and the staged pallets. Nobody stages or pours until one has.`,
    "dead-load-past-allowed": (load: string) =>
      `The added dead load of ${load} is more than the contract allows. Nobody stages or pours until it is settled.`,
  },

  /**
   * What a stage warned of. The office's own words are English; another language has its own by code, with the values
   * and those of the job's names that stand in the English.
   */
  warning: ({ message }: { readonly code: string; readonly message: string }, _names: readonly string[]) =>
    `${message.slice(0, 1).toUpperCase()}${message.slice(1)}${message.endsWith(".") ? "" : "."}`,

  map: {
    title: (name: string) => `Pin map of ${name}`,
    description: (pins: string, scale: string) =>
      `Plan with ${pins} at scale ${scale}. The cut table lists the same pins as text.`,
    scale: "Scale",
    checkLength: (length: string) => `Check: this bar is ${length}.`,
    bandDepth: (from: string, to: string) => `${from} to ${to}`,
    bandProud: "Above the top: grind",
    bandBelow: (to: string) => `less than ${to}`,
    bandAbove: (from: string) => `${from} and more`,
    pin: "Pin, read",
    pinInterpolated: "Pin, not read: check it",
    highSpot: "High spot: grind, then pin",
    noPin: "grind",
    column: "Column",
    opening: "Opening, nothing is poured",
    door: "Door",
    entrance: "Way in",
    contour: (interval: string) => `Contour every ${interval}`,
    gridLine: "Grid line, distance from wall 0",
    matchLine: "Match line",
    continues: (tile: string) => `goes on at ${tile}`,
    tile: (name: string) => `Tile ${name}`,
    keyMap: "Key map",
    findPin:
      "To find a pin: the letter of its id gives the row of tiles, its number the column. Each tile has its name, and under it its page of this map.",
    elsewhere: "Pins that stand elsewhere",
    pinsOfTile: (tile: string, page: string, pins: string) => `Tile ${tile}, page ${page}: ${pins}`,
    detail: (name: string) => `Detail ${name}`,
    zeroWalls: "Measure square from wall 0, never line to line.",
    labelHint: (unit: string, other: string) => `Large: cut length, ${unit}. Below it: ${other}.`,
    benchMark: "Bench mark",
  },

  cut: {
    howTo: (difference: string) =>
      `Cut to the large length. Read the marked pins again with the level before the pour. Cut a pin again where the check reading differs by ${difference} or more.`,
    footCounted: "Lengths count from the slab; the pin’s foot is in them.",
    footNotCounted: (foot: string) => `Lengths are on the pin’s own scale, which starts above its foot of ${foot}.`,
    route: (room: string, count: string) => `${room}: ${count}`,
    columns: {
      pin: "Pin",
      cut: "Cut",
      other: "Other unit",
      otherShort: "Other",
      where: "Where",
      check: "Check",
      placed: "Placed",
      count: "Pins",
      which: "Which",
      line: "Line",
      distance: "Distance",
      fromWall: "Square from",
    },
    onGrid: "on its grid lines",
    offWall: (name: string, large: string, small: string) => `${name} ${large} (${small})`,
    lines: "Snap these lines first",
    captionLines: (room: string) => `Grid lines of ${room} with their distance from a wall`,
    interpolated: "not read: check with the level",
    afterGrinding: "blank",
    afterGrindingNote: "grind, then read again",
    tooShort: "no pin",
    tooShortNote: "grind",
    checkThis: "check",
    noCheck: "–",
    onThisPage: (first: string, last: string) => `This page: from ${first} to ${last}`,
    captionPlace: (room: string) => `Pins of ${room} in the order of placing`,
    captionCut: "Pins grouped by cut length",
    cutOrder: "Cut order: all pins of one length at a time",
    strips: "True-size strips",
    stripsHowTo:
      "Hold a pin against a strip: its foot on the heavy line, its top at the strip’s end. Measure the check length first; a print made “to fit” must not be used.",
    stripCheck: (length: string) => `Check length ${length}`,
    stripTitle: "Cut lengths at true size",
    stripDescription: (count: string) => `${count} strips, each as long as a pin is to be cut.`,
    stripTooLong: (length: string) => `Pins longer than ${length} do not fit on this paper: cut them with a tape.`,
    noCuts: "Pins without a cut length",
  },

  safety: {
    intro: "Read it aloud before the shift. The safety data sheet of the bag and the employer’s program govern.",
    carbonMonoxide:
      "Carbon monoxide kills without a smell. No engine grinder, generator, pump engine or unvented heater indoors.",
    structure:
      "Wet material and staged pallets load the floor. On a suspended floor nobody stages or pours before a named engineer has accepted both.",
    silica:
      "Dust of bags and of ground concrete holds crystalline silica and destroys lungs. Grind only with a shroud and a dust collector. Empty bags slowly, under suction. No dry sweeping, no compressed air.",
    caustic:
      "Fresh mix is strongly alkaline. Burns come late and without warning. Goggles, gloves, long sleeves, boots. Rinse skin at once; rinse eyes for 15 minutes and get medical help.",
    electricity:
      "Water and cords lie together. A GFCI on every 120 V outlet, tested today. Mixers and pumps on 240 V are an electrician’s matter.",
    oldFloors: "Old floors may hold asbestos or lead. Nothing is ground before it was tested.",
    lifting: (bag: string) =>
      `A bag of ${bag} is more than one person should lift all day. Lift it with two or from a table at hip height; share the work round.`,
    slips: "Wet material and wet soles are slippery. Cleats on; no running; cords along the walls.",
    washout: "Washout never goes to a drain or to soil. Collect it, let it set, dispose of it as the site requires.",
    wrongPin: "A pin cut wrong makes a floor wrong. In doubt stop and read it again.",
    emergency: "In an emergency",
    emergencyRows: [
      "Emergency number and site address",
      "Nearest hospital",
      "First aider",
      "Eyewash and first-aid kit at",
      "Electrical cut-off at",
      "Site safety contact",
    ],
  },

  ...enOffice,
  ...enRevision,
  ...enFlatness,
  ...enPour,
  ...enRecord,
  ...enSurvey,
  ...enTarget,
};

export type Words = typeof en;

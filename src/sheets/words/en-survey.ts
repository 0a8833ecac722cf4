/** The words of the sheets that plan a survey and tell how good it is, in English. */
export const enSurvey = {
  surveyReport: {
    summary: "In short",
    summaryText: (readings: string, points: string, setUps: string, struck: string) =>
      `${readings} readings of ${points} points from ${setUps} set-ups count; ${struck === "1" ? "1 was" : `${struck} were`} struck by the office.`,
    datumBenchMarks: (ids: string) => `Levels count from bench marks ${ids}.`,
    datumFirst: (setUp: string) => `Levels count from the zero of set-up ${setUp}: no bench mark was read.`,
    datumScan: (file: string) => `Levels count from the zero that the job gives ${file}: no bench mark checks it.`,
    scanText: (points: string, file: string) =>
      `${points} points of the scan ${file} count, each measured once; nothing was adjusted.`,
    scan: {
      title: "Scan",
      counts: (onFloor: string, rows: string, file: string) =>
        `${onFloor} of the ${rows} points of ${file} lie on a floor. Every one of them is in the slab’s surface, and so in areas, volumes and bags; the others were left out.`,
      allShown: "Maps show all of them.",
      thinned: (shown: string, side: string) =>
        `Maps, contours, the list of high spots and the layout of the pour are thinned: they show ${shown} of them, of each square of ${side} the point of middle height as it stands in the file. A ridge or a hole narrower than that may be missing there; the areas above the target and too thin count it.`,
      pins: (read: string, all: string, reach: string) =>
        `${read} of the ${all} points of the plan have a level: at the pin, of the plane of least squares through all scan points within ${reach}. A pin without three of them round it counts as not read.`,
      empty: (area: string, any: boolean) =>
        any
          ? `About ${area} of the floor hold no point; the slab is carried straight across.`
          : "No square of the floor is without a point.",
      farthest: (by: string, high: boolean, line: string, at: string) =>
        `Farthest off the middle height of its square: ${by} too ${high ? "high" : "low"}, line ${line} of the file, ${at}. Look there: what stood on the floor counts as floor until it is taken out of the file.`,
      noise: (sd: string) =>
        `One height is good for ${sd} (standard deviation, as the office states it). What a scanner is off over wide areas, nothing here can show: read some pins with a level.`,
    },
    fit: {
      title: (of: string) => `Brought onto the plan: ${of}`,
      text: (degrees: string, east: string, north: string, greatest: string) =>
        `Turned by ${degrees}° (counter-clockwise), its origin at ${east} east and ${north} north of the job’s; not stretched. Least squares over the known points; the greatest residual is ${greatest}.`,
      caption: (of: string) => `Known points of ${of}`,
      columns: { point: "Point", inFile: "In the file, m", onPlan: "On the plan, m", residual: "Off by" },
    },
    method:
      "Weighted least squares over all readings, one zero for each set-up. Residual: adjusted less read. Redundancy: the share of a slip in this reading that its residual shows, from 0 to 1.",
    unchecked:
      "Nothing was checked: no point was read twice and no set-up is tied to another by more than it needs. A slip in any reading is in the levels, and nothing in this report can show it.",
    global: {
      "as-expected": (sigma: string) =>
        `Global test, chi-square at 5 %: the readings agree with each other as well as the instrument promises (${sigma} times its standard deviation).`,
      "worse-than-stated": (sigma: string) =>
        `Global test, chi-square at 5 %: the readings agree worse than the instrument promises (${sigma} times its standard deviation). Look at the list to read again first.`,
      "better-than-stated": (sigma: string) =>
        `Global test, chi-square at 5 %: the readings agree better than the instrument promises (${sigma} times its standard deviation). Ask whether readings were copied, or the standard deviation is stated too large.`,
    },
    noRedundancy: "Global test: nothing to test, every level rests on just the readings that it needs.",
    rules: (critical: string, alpha: string, power: string) =>
      `A reading is suspect where its normalized residual is beyond ${critical} (two-sided at ${alpha}). “Least slip found”: the smallest that is found with a chance of ${power}.`,
    oneToSpare:
      "No reading can be called suspect: there is one more than the levels need, and the standard deviation is taken from what the readings show, which leaves nothing to judge a single one by.",
    searchCutShort: "The search for suspects stopped at its limit of rounds: there may be more than are listed.",
    readAgain: "Read again, worst first",
    captionReadAgain: "Places to read again",
    nothingToReadAgain: "No reading is suspect.",
    officeDecides: "Nothing was dropped or corrected: the office strikes a reading in the job file, and says why.",
    columnsReadAgain: {
      point: "Point",
      where: "Where",
      read: "Level as read",
      likely: "Likely level",
      why: "Why, and what it does",
    },
    found: {
      "by-other-readings": (setUp: string, size: string, critical: string) =>
        `set-up ${setUp}: normalized residual ${size}, limit ${critical}`,
      "by-the-slab-around": (setUp: string, size: string, critical: string) =>
        `set-up ${setUp}: read once, and off the slab around by ${size} of its standard deviations, limit ${critical}`,
      "by-the-shift-of-a-row": (setUp: string, size: string, critical: string) =>
        `set-up ${setUp}: the row fits when shifted by one, ${size}, limit ${critical}`,
    },
    anyOf: (readings: string) => `cannot be told apart: ${readings}`,
    readingOf: (point: string, setUp: string, typed: string) =>
      typed === "" ? `${point} in ${setUp}` : `${point} in ${setUp} (${typed})`,
    slips: {
      "sign-turned": "sign turned?",
      "inches-as-millimetres": "inches taken as millimetres?",
      "millimetres-as-inches": "millimetres taken as inches?",
      "decimal-point": "decimal point left out?",
      "digits-swapped": (text: string) => `digits swapped, for ${text}?`,
      "row-shifted": (points: string) => `row shifted by one: ${points}?`,
    },
    effect: (volume: string, bags: string) => `as the likely level has it: ${volume}, ${bags} bags`,
    plusMinus: (level: string, sd: string) => `${level} ± ${sd}`,
    at: (east: string, north: string) => `east ${east}, north ${north} of the job’s origin`,
    struck: "Struck by the office",
    captionStruck: "Readings that do not count",
    columnsStruck: { setUp: "Set-up", point: "Point", typed: "As typed", reason: "Reason" },
    typed: (text: string, unit: string, side: "below" | "above") => `${text} ${unit} ${side} zero`,
    leftOut: "of a point that the plan does not have: left out",
    noneStruck: "No reading was struck.",
    setUps: "Set-ups",
    captionSetUps: "Set-ups with their corrections",
    columnsSetUps: {
      setUp: "Set-up",
      used: "Used",
      struck: "Struck",
      correction: "Correction of its zero",
      sd: "± (sd)",
      drift: "Drift over the set-up",
    },
    drift: (whole: string, sd: string, significant: boolean) =>
      `${whole} ± ${sd}${significant ? ", real" : ", within noise"}`,
    noDrift: "not solved for",
    closures: "Closing errors",
    captionClosures: "Closing errors against the job’s rule",
    columnsClosures: { what: "What", error: "Error", sd: "Expected (sd)", allowed: "Allowed", verdict: "Verdict" },
    noClosures:
      "Nothing closes: no zero was read again, and no loop of set-ups or pair of bench marks ties back to its start.",
    closure: {
      "set-up": (names: string) => `Zero of ${names}`,
      loop: (names: string) => `Loop ${names}`,
      "bench-marks": (names: string) => `Bench marks by ${names}`,
    },
    verdict: { within: "within", beyond: "beyond", "not-judged": "not judged" },
    noRule: "none stated",
    rule: {
      "root-set-up": (k: string, source: string) => `Allowed: ${k} times the root of the set-ups. Source: ${source}`,
      "root-km": (k: string, source: string) => `Allowed: ${k} times the root of the kilometres. Source: ${source}`,
    },
    noRuleStated: "The job file states no rule for closing errors: they are given, not judged.",
    ties: "Points shared by set-ups",
    captionTies: "How set-ups agree where they overlap",
    columnsTies: { setUps: "Set-ups", points: "Shared points", spread: "Greatest spread", strength: "A slip here" },
    benchMarksName: "bench marks",
    strength: {
      found: "is found",
      "felt-not-found": "is felt, not found",
      "not-checked": "goes unseen",
    },
    oneSetUp: "One set-up, no bench mark read: there is nothing to tie.",
    marks: "Bench marks",
    captionMarks: "Bench marks as given and as read",
    columnsMarks: {
      mark: "Mark",
      given: "Given",
      adjusted: "Adjusted",
      times: "Read",
      residual: "Normalized residual",
    },
    held: "held",
    markSuspect: (marks: string, critical: string) =>
      `${marks}: the given level and the readings do not agree (beyond ${critical}). Either a reading of it is off, or its level is not what it is given as: have it checked before the top of the pour is taken from it.`,
    markUnchecked: (marks: string) => `Nothing here checks the given level of ${marks}.`,
    orMark: (mark: string) => `or the given level of ${mark} is off`,
    temperatures: "Temperature of the hose",
    temperature: (setUp: string, perMetre: string, bound: string) =>
      `${setUp}: legs at different temperatures shift a reading by up to ${bound} (${perMetre} for each metre of leg).`,
    temperatureAgainst: (tolerance: string) => `a quarter of the tightest tolerance, ${tolerance}`,
    temperatureAgainstReading: "the error of one reading",
    temperatureMatters: (setUps: string, measure: string) =>
      `${setUps}: that is more than ${measure}. Let the hose lie until both legs are alike, then read a few points of the set-up again.`,
    mapTitle: (job: string) => `Residuals of ${job}`,
    mapDescription: (points: string) => `Plan with the greatest residual at each of ${points} points.`,
    mapUnit: (unit: string) =>
      `Below each id: residual of largest size at that point, in ${unit}; at a place to read again, by how much it seems off.`,
    mapSuspect: "Read again",
    mapChecked: "Checked by other readings",
    mapOnce: "Unchecked: a slip would go unseen",
    uncheckedOnMap: "once",
    readings: "All readings",
    captionReadings: "Readings with residual, redundancy and least slip found",
    columnsReadings: {
      setUp: "Set-up",
      point: "Point",
      level: "Level",
      residual: "Residual",
      redundancy: "Redun- dancy",
      normalized: "Norm. residual",
      least: "Least slip found",
    },
    worstOf: (count: string, all: string) =>
      `The ${count} readings with the largest normalized residuals, of ${all}; packet.json holds all.`,
    uncheckedCell: "unchecked",
    zeroMark: "zero mark",
    uncheckedTitle: "Unchecked readings",
    uncheckedText: (count: string, all: string) =>
      `${count} of ${all} readings are unchecked: a slip in them changes the level and no other reading tells.`,
    uncheckedPoints: (points: string) => `Points: ${points}`,
    allChecked: "Every reading is checked by others.",
    leastSlips: (least: string, greatest: string) =>
      `In the checked ones, the least slip that is found runs from ${least} to ${greatest}.`,
    sure: "How sure the levels are",
    sureText: (factor: string) =>
      `± is the 95 % half width of the level against the datum, from reading alone: ${factor} standard deviations.`,
    captionSure: "95 % half width of the level at each pin that was read",
    columnsSure: { pin: "Pin", plusMinus: "±" },
    notRead: (pins: string) => `Pins where nothing was read, without a ± from reading: ${pins}`,
    volume: (volume: string, bags: string) =>
      `From reading alone the volume is sure to ± ${volume}, ${bags} bags (95 %), each reading standing for an equal share of its room. What lies between the readings, and the yield of a bag, come on top.`,
  },

  surveySummary: {
    verdictUnchecked: "The survey could not be checked. Read one point in twenty again before mixing.",
    verdictMark: (marks: string) =>
      `The level given for ${marks} does not agree with the readings. Tell the office before anything is cut.`,
    verdictClean: "The survey was checked and holds. Nothing has to be read again.",
    verdictReadAgain: (count: string) =>
      count === "1"
        ? "One place has to be read again before anything is cut there."
        : `${count} places have to be read again before anything is cut there.`,
    caption: "Places to read again",
    columns: { point: "Point", where: "Where", was: "Was read", likely: "Likely", again: "Now" },
    more: (count: string) => `${count} more places stand in the survey report of the office.`,
    closedBadly: (setUps: string) => `Closed beyond the rule, tell the office before mixing: ${setUps}.`,
    zeroes: "How the zeros closed",
    zero: (what: string, error: string) => `${what}: ${error}`,
    uncheckedPoints: (points: string) => `Read once and not checked: ${points}.`,
    uncheckedMany: (count: string, all: string) => `Read once and not checked: ${count} of ${all} readings.`,
    warmHose: (setUps: string) =>
      `The hose of ${setUps} was warmer at one end. Let it lie until both ends are alike before anything is read again.`,
    signed: ["Read again by, date", "Told the office at, time"],
  },

  surveyForm: {
    setUp: (id: string, room: string) => `Set-up ${id}, ${room}`,
    stands: (where: string) => `The reservoir stands at ${where}.`,
    reach: (reached: string, all: string, read: string) =>
      `${reached} of ${all} points can be read from here; ${read} readings are planned.`,
    farthest: (point: string, hose: string) =>
      `The farthest is ${point}: ${hose} of hose along the floor, through the doors.`,
    ties: (other: string, points: string) => `Shared with ${other}: ${points}. Read them with care: they tie both.`,
    beyond: (points: string) => `Out of reach from here: ${points}.`,
    noTies: "No other set-up: nothing to tie.",
    record: [
      "Surveyor, date",
      "Instrument, number",
      "Zero is at",
      "Numbers are below / above zero",
      "Temperature at the reservoir, start and end",
      "Temperature at the handset, warmest and coolest",
      "Height of the fluid above the hose on the floor",
    ],
    zeroChecks: "Zero checks",
    captionZeroChecks: "Readings of the zero mark",
    columnsZero: { check: "Check", after: "After reading", time: "Time", reading: "Reading", difference: "Difference" },
    stop: "A difference above the job’s limit: stop, find why, read again from the last good check.",
    order: "Readings in order",
    captionOrder: (part: string) => `Readings in the order of walking, part ${part}`,
    columnsOrder: { number: "No.", point: "Point", reading: "Reading" },
    zeroHere: (check: string) => `Zero ${check}`,
    tie: (id: string) => `${id} *`,
    again: (id: string) => `${id} again`,
    legend: (unit: string) =>
      `In ${unit}. * shared with another set-up. “again”: read a second time, without looking at the first. A point that cannot be read gets a dash.`,
    laidOut: "The job file has these readings laid out blank, in this order.",
    typeIn: (command: string) =>
      `The office types these readings in this order; ${command} writes a job file with these blocks left blank.`,
    outOfReach: (points: string) =>
      `No position reaches ${points}: a longer hose, another position, or a bench mark of their own.`,
    fewest: (count: string) => `${count} set-ups, and it cannot be done with fewer.`,
    notProved: (count: string, least: string) =>
      `${count} set-ups; it takes at least ${least}. The search stopped at its limit before it could tell whether fewer do.`,
    mapPosition: "Position of the reservoir",
    mapWay: "The hose to the farthest point that a set-up reads",
    mapEnd: "Here the hose of the named set-up ends",
    endOf: (setUp: string) => `hose of ${setUp}`,
    mapTie: "Shared point: every set-up named reads it",
    mapTwice: "Read a second time at the end",
    mapReaders: "Below an id: the set-ups that read the point.",
  },

  sameDay: {
    intro:
      "For a pour on the day of the survey, zero set at the top of the pour: the reading below zero is the depth. Nothing here is from this floor; it is worked by hand.",
    strip: "From the reading to the cut",
    captionStrip: "Reading below zero and cut length in the other unit",
    columnsStrip: { reading: (unit: string) => `Read, ${unit}`, cut: (unit: string) => `Cut, ${unit}` },
    least: (least: string) => `Stop: shallower than ${least} is too thin. Grind, then read again.`,
    greatest: (greatest: string) => `Stop: deeper than ${greatest} is more than the material allows. Ask the office.`,
    leastCut: (least: string) => `No pin stands below ${least}: grind.`,
    longer: (most: string) => `Readings beyond ${most}: measure the pin with a tape.`,
    tally: "Are the bags on site enough?",
    tallyHow: (unit: string, least: string) =>
      `Room by room, at the points of the grid only. Line 1: add up the depths in ${unit}, each counted as ${least} at least, and divide by how many there are. Line 2: times the bags for each ${unit}, plus what the rough surface takes.`,
    captionTally: "Bags by room",
    columnsTally: {
      room: "Room",
      sum: "Sum of depths",
      points: "÷ points",
      mean: "= mean",
      factor: "× bags each",
      fixed: "+ rough",
      bags: "= bags",
    },
    allRooms: "All rooms",
    onSite: ["Bags on site, counted", "Bags needed, from the last column", "Enough? If not, nobody mixes"],
    sixteenth: "1/16 in",
    tallyNote: (loss: string) =>
      `The factors hold the floor’s area, the yield of a bag and ${loss} for what stays in barrels and hoses.`,
  },
};

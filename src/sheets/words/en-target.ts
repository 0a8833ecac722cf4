/** The words of the sheet that tells where the top of the pour goes, in English. */
export const enTarget = {
  topOfPour: {
    top: "Top of the pour",
    topOf: (rooms: string) => `Top of the pour in ${rooms}`,
    placed: {
      given: "The job gives this height.",
      "lowest-level": "This is the lowest level that keeps everything asked for.",
      "least-plane": "This is the plane with the least material that keeps everything asked for.",
      "grind-or-fill": "This is the split of grinding and filling with the least cost.",
    },
    placedIn: (rooms: string, how: string) => `${rooms}: ${how}`,
    split: (filled: string, ground: string, area: string, height: string) =>
      `${filled} are filled, and ${ground} ground off over ${area}, ${height} at the most.`,
    cost: (total: string, bound: string) =>
      `Grinding and filling cost ${total} by the job’s own figures; no top costs less than ${bound}.`,
    falls: (parts: string) => `falls ${parts}`,
    fallTo: (fall: string, side: string) => `${fall} to the ${side}`,
    sides: { north: "north", east: "east", south: "south", west: "west" },

    stepsTitle: "How the height came about",
    captionSteps: "Steps to the top of the pour, from the job’s zero",
    columnsSteps: { step: "Step", amount: "Amount", other: "Other unit" },
    steps: {
      given: () => "Level given in the job",
      "zero-is-top": () => "Zero was set at the top of the pour",
      "bench-mark": (name: string) => `Level of bench mark ${name}`,
      "neighbour-finish": (name: string) => `Finished level at door ${name}`,
      layer: (name: string) => `Less the layer: ${name}`,
      above: (name: string) => `Height above ${name}`,
      "neighbour-layer": (name: string) => `Covering still to come beyond the door: ${name}`,
      "high-place": (name: string) => `Slab at the high place in ${name} that decides`,
      "least-depth": () => "Least depth of the material over it",
      ground: () => "Ground off there",
      "door-bound": (name: string) => `Height asked for at door ${name}`,
      "ground-area": () => "Level at which all the area that may be ground is used up",
      "middle-of-plane": (name: string) => `Top at the middle of ${name}`,
      "back-to-zero": () => "From there along the falls to the plan’s origin",
    },

    bindingTitle: "What keeps it from lying lower",
    nothingBinds: "Nothing: the height is given. The table of higher and lower tops says what another would cost.",
    binds: (wish: string) => `It cannot lie lower because of ${wish}.`,
    price: (unit: string, bags: string) => `Each ${unit} given up there saves ${bags} bags.`,
    trial: (height: string, place: string, area: string, volume: string, bags: string) =>
      `Grinding ${height} off ${place}, over ${area} (${volume} of slab), saves ${bags} bags.`,
    place: (east: string, north: string, room: string) =>
      `the high place in ${room}, ${east} east and ${north} north of the job’s origin`,
    lowPlace: (east: string, north: string, room: string) =>
      `the low place in ${room}, ${east} east and ${north} north of the job’s origin`,
    wishes: {
      leastDepth: (depth: string, place: string) => `the least depth of ${depth} over ${place}`,
      grinding: (height: string, place: string) => `the ${height} at most that may be ground off ${place}`,
      greatestDepth: (depth: string, place: string) => `the greatest depth of ${depth} over ${place}`,
      held: (level: string, door: string) => `the height of ${level} asked for at door ${door}`,
      atLeast: (level: string, door: string) => `the least height of ${level} at door ${door}`,
      atMost: (level: string, door: string) => `the greatest height of ${level} at door ${door}`,
      level: "the top having to be level",
      fall: (fall: string) => `the greatest fall of ${fall}`,
      groundArea: (area: string) => `the ${area} at most that may be ground`,
      bags: (bags: string) => `the limit of ${bags}`,
      deadLoad: (load: string) => `the limit of ${load} of dead load`,
    },

    alongWalls: (top: string) => `${top}, along the walls`,
    drainTitle: (room: string) => `Falls to the drain in ${room}`,
    drainNote: (walls: string, drop: string, drain: string) =>
      `Level along the walls at ${walls}; from each wall one plane falls ${drop} to the drain, where the top is at ${drain}. Screed each plane straight from its wall to the drain.`,
    captionDrain: (room: string) => `Planes to the drain in ${room}, wall by wall`,
    columnsDrain: { wall: "From the", away: "Drain is away", fall: "Falls" },
    pinToDrain: "on the falls to the drain: cut to its surface",

    tradeOffTitle: "What a higher or lower top would cost",
    tradeOffNote: (step: string) =>
      `All zones lifted or lowered together, ${step} at a time; the row in bold is this packet’s. Bags hold every allowance. Bare: where the slab reaches the top. Ground: what comes off so that the least depth is kept everywhere.`,
    tooDeepNote: "* deeper than the data sheet of the material allows",
    captionTradeOff: "Higher and lower tops with their bags, ground and load",
    columnsTradeOff: {
      lift: "Higher by",
      other: "Other unit",
      top: "Top",
      bags: "Bags",
      bagsOf: (material: string) => `Bags, ${material}`,
      bare: "Bare",
      ground: "Ground",
      deepest: "Deepest",
      load: "Dead load, mean",
    },
    sensitivity: (bags: string, unit: string) => `Here each ${unit} of height is worth ${bags} bags.`,
    sensitivityOf: (material: string, bags: string, unit: string) =>
      `${material}: here each ${unit} of height is worth ${bags} bags.`,
    plotTitle: "Bags against the height of the top",
    plotDescription: (from: string, to: string, least: string, most: string) =>
      `From ${from} to ${to} against this packet’s top, the bags go from ${least} to ${most}. The table has the same numbers.`,
    plotBags: "Bags",
    plotGround: (unit: string) => `Ground off, ${unit}`,
    plotLift: (unit: string) => `Higher than this top by, ${unit}`,
    plotHere: "this top",

    doorsTitle: "What is left at the doors",
    captionDoors: "Height left at each door against the finish beyond",
    columnsDoors: {
      door: "Door",
      here: "Finish here",
      beyond: "Finish beyond",
      step: "Step on leaving",
      takes: "What it takes",
    },
    doorsNone: "No finished level beyond any door is known.",
    stepDown: (height: string) => `${height} down`,
    stepUp: (height: string) => `${height} up`,
    stepNone: (height: string) => height,
    takes: {
      flush: "Flush",
      vertical: "May stay an upright edge",
      bevelled: (length: string) => `Bevel of 1:2, ${length} long`,
      ramp: (length: string) => `Ramp of 1:12 at the steepest, ${length} long at least`,
    },
    otherJamb: (step: string) => `other jamb: ${step}`,
    doorsSource:
      "Upright up to 1/4 in, bevelled 1:2 up to 1/2 in, a ramp beyond: 2010 ADA Standards for Accessible Design, 303 and 405.2. Local code and the contract govern. Up to 1 mm (0.04 in) counts as flush.",
    bareRooms: (rooms: string) =>
      `For these rooms the target names no covering, so the finish is the bare pour: ${rooms}. A covering lifts it.`,

    meetsTitle: "Where zones meet",
    captionMeets: "How zones meet at doors",
    columnsMeets: { door: "Door", how: "How", step: "Step", length: "Length", volume: "Volume" },
    meets: {
      level: "Level",
      step: "Step, held by a dam",
      ramp: (material: string) => `Ramp in ${material}`,
      feather: (material: string) => `Run out to nothing in ${material}`,
    },
    pinInRamp: {
      "with-the-room": (door: string) => `in the ramp at ${door}: cut to its surface`,
      "on-top": (door: string) => `under the ramp at ${door}: cut for the pour below, the ramp is screeded over it`,
    },

    sureTitle: "How sure the volume and the order are",
    captionRisk: "Bags with their risk",
    columnsRisk: { what: "What", volume: "Volume over the slab", bags: "Bags" },
    ordered: "Ordered: the slab as it was read",
    evenOdds: "Enough as often as not",
    nineInTen: "Enough nine times in ten",
    chance: (ordered: string, chance: string) =>
      `The order is ${ordered}, here and on every sheet. By what is known of this floor it is enough with a chance of ${chance}.`,
    more: (bags: string) => `For nine in ten, order ${bags} more.`,
    noMore: "It covers nine in ten already.",
    overNinetyNine: "more than 99 %",
    underOne: "less than 1 %",
    columnsRiskOf: { material: "Bags", ordered: "Ordered", evenOdds: "As often as not", nineInTen: "Nine in ten" },
    riskOf: "Ordered is the number on every sheet; beside it what is enough as often as not, and nine times in ten.",
    noRisk: "Too few readings to say how sure the volume is.",
    captionParts: "Parts of the volume’s uncertainty, one standard deviation each",
    columnsParts: { part: "Uncertainty from", volume: "Volume", bags: "Bags" },
    parts: {
      reading: "Reading, each on its own",
      datum: "Set-ups and datum, shared by many readings",
      between: "The slab between readings",
      yield: "Yield of a bag",
      sum: "Together",
    },
    leaveOneOut: (height: string) =>
      `The slab between readings is judged by this floor itself: predicted from its neighbours, a reading was off by ${height} (root mean square).`,
    yieldUnknown: "A yield whose data sheet, as entered, gives no tolerance counts as certain here.",
    study: (floors: string, least: string, most: string) =>
      `Tried on ${floors} made floors (gentle waves, rough, curled panels), the nine-in-ten volume was enough on ${least} to ${most}.`,

    aggregateTitle: "Stretching deep places with aggregate",
    aggregate: (name: string, area: string, volume: string, below: string) =>
      `The data sheet allows ${name}. Places deep enough: ${area}, ${volume} up to ${below} below the top, the rest neat.`,
    aggregateMix: (yieldWith: string, yieldNeat: string, waterWith: string, waterNeat: string) =>
      `A bag then makes ${yieldWith} in place of ${yieldNeat}, with ${waterWith} of water in place of ${waterNeat}.`,
    aggregateSaves: (bags: string, aggregate: string, water: string) =>
      `It would save ${bags} of those ordered, and take ${aggregate} of aggregate and ${water} of water for that lift. The order does not count on it.`,

    besideOrder: (evenOdds: string, nineInTen: string) =>
      `Of the ordered number and its risk: enough as often as not ${evenOdds}, enough nine times in ten ${nineInTen}. See the sheet on the top of the pour.`,
    othersTitle: "Materials besides",
    captionOthers: "Materials of zones, ramps and run-outs",
    columnsOthers: { material: "Material", where: "Where", volume: "Volume", sum: "Bags, sum", order: "To order" },
    doorsOf: (doors: string) => `at ${doors}`,
    wedges: (volume: string) => `Of the neat volume, ${volume} lie in ramps and run-outs at doors.`,
    othersClock: "The pour clock is that of the job’s material; these are laid apart, by their own data sheets.",
  },
};

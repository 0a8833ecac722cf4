/** What packet.json holds of the pour. */
import { z } from "zod";
import { place, quantity } from "./packet-parts.ts";

/** Two lines square from a wall of the bay's room. */
const range = z.object({ wall: z.string(), fromM: quantity, toM: quantity });
/** A line across a bay, square from a wall of its room; from where the bay begins where `wall` is null. */
const front = z.object({ bay: z.int(), wall: z.string().nullable(), distanceM: quantity });
/** Minutes after the first powder, and as printed: the clock where the start is fixed, else hours and minutes. */
const moment = z.object({ minutes: z.number(), said: z.string() });

const bay = z.object({
  number: z.int(),
  lift: z.int(),
  room: z.string(),
  outline: z.array(place),
  holes: z.array(z.array(place)),
  areaM2: quantity,
  widthM: quantity,
  lengthM: quantity,
  volumeL: quantity,
  meanDepthMm: quantity,
  greatestDepthMm: quantity,
  sides: range.nullable(),
  ends: range.nullable(),
  from: place,
  along: place,
  firstBatch: z.int(),
  lastBatch: z.int(),
  beginsMin: z.number(),
  endsMin: z.number(),
  start: moment,
  latest: moment.nullable(),
  line: front,
  bagsWhenFull: z.int(),
  /** Null where the order ends before that count. */
  stopAtBags: z.int().nullable(),
  oldestEdge: z.object({ ageMin: z.number(), spareMin: z.number() }).nullable(),
  frontAgeMin: z.number().nullable(),
  stopDam: z.object({
    lengthM: quantity,
    heightMm: quantity,
    onePersonMin: z.number(),
    leftMin: z.number().nullable(),
    people: z.int().nullable(),
  }),
  mixerFails: z.object({ worstBatch: z.int(), spareMin: z.number().nullable(), finishesBay: z.boolean() }),
});

const batch = z.object({
  number: z.int(),
  barrel: z.int(),
  bags: z.int(),
  waterL: quantity,
  cumulativeBags: z.int(),
  powderMeetsWaterMin: z.number(),
  pouredMin: z.number(),
  printed: z.tuple([z.string(), z.string()]),
  /** On the floor; null where the floor cannot be poured. */
  placedMin: z.number().nullable(),
  pours: z.array(z.object({ bay: z.int(), volumeL: z.number(), reachesM: z.number() })),
  line: front.nullable(),
});

const prepStep = z.object({
  step: z.string(),
  who: z.string(),
  doneBeforeMin: z.number(),
  notBeforeMin: z.number().nullable(),
  timeUnknown: z.boolean(),
});

const range2 = z.object({ leastC: z.number(), greatestC: z.number() });

export const pourSchema = z.object({
  kind: z.enum(["can-be-poured", "cannot-be-poured"]),
  intervalMin: z.number(),
  durationMin: z.number(),
  bagsPerMinute: z.number(),
  bagsPerMinuteNeeded: z.number(),
  volumePerMinuteL: quantity,
  /** Litres a minute through the flow meter of a pump that mixes by itself. */
  flowMeterLMin: quantity.nullable(),
  bottleneck: z.enum(["mixers", "pump", "carrying", "people"]),
  areaInFlowTimeM2: quantity,
  laneAreaM2: quantity,
  tooSlow: z.boolean(),
  edgeLimit: z.object({
    times: z.array(z.object({ name: z.string(), min: z.number() })),
    marginMin: z.number(),
    leastMin: z.number().nullable(),
    limitMin: z.number().nullable(),
    missing: z.array(z.string()),
  }),
  station: z.object({
    at: place,
    placed: z.enum(["by-job", "by-plan"]),
    exit: z.string(),
    farthestCarryM: quantity,
    carryInCycleM: quantity,
  }),
  roles: z.array(z.object({ role: z.string(), people: z.int() })),
  batches: z.array(batch),
  /** In the order of pouring; none where the floor cannot be poured. */
  bays: z.array(bay),
  edges: z.array(
    z.object({
      earlier: z.int(),
      later: z.int(),
      lengthM: quantity,
      segments: z.array(z.object({ from: place, to: place })),
      ageMin: z.number(),
      spareMin: z.number(),
    }),
  ),
  runs: z.array(
    z.object({
      number: z.int(),
      lift: z.int(),
      before: z.string(),
      beforeMin: z.number().nullable(),
      flushBefore: z.boolean(),
      startsMin: z.number(),
      endsMin: z.number(),
      bags: z.int(),
    }),
  ),
  joins: z.array(z.object({ kind: z.string(), id: z.string(), how: z.string(), bays: z.tuple([z.int(), z.int()]) })),
  wayM: quantity.nullable(),
  reasons: z.array(z.object({ kind: z.string(), room: z.string().nullable() })),
  remedies: z.array(
    z.object({
      measures: z.array(z.object({ kind: z.string(), of: z.string() })),
      durationMin: z.number(),
      bays: z.int(),
    }),
  ),
  dams: z.array(z.object({ id: z.string(), why: z.string(), room: z.string(), lengthM: quantity, heightMm: quantity })),
  perimeterStripM: quantity,
  plugs: z.array(z.object({ id: z.string(), kind: z.string(), at: place, depthMm: quantity })),
  daysBefore: z.array(prepStep),
  goNoGo: z.object({
    slabTemperatures: range2.nullable(),
    waterTemperatures: range2.nullable(),
    aboveDewPointK: z.number(),
    primerDryMin: z.number().nullable(),
    primerLatestStartMin: z.number().nullable(),
    bags: z.int(),
    flowRing: z.object({ leastMm: z.number(), greatestMm: z.number(), batches: z.array(z.int()) }).nullable(),
  }),
  logistics: z.object({
    pallets: z.array(z.object({ number: z.int(), at: place.nullable(), firstBag: z.int(), lastBag: z.int() })),
    palletLoadKgM2: quantity,
    holdStaging: z.boolean(),
    waterL: quantity,
    waterPerMinuteL: quantity,
    mixersRunning: z.int(),
    powerKw: z.number().nullable(),
    startingWasteL: quantity.nullable(),
    longestCarryM: quantity,
    hoseNeededM: quantity.nullable(),
    goodsLift: z
      .object({
        palletsATrip: z.int(),
        bagsATrip: z.int(),
        trips: z.int(),
        timeMin: z.number(),
        wayM: quantity.nullable(),
      })
      .nullable(),
  }),
  leftoverBags: z.number(),
  bagsShortForStops: z.int(),
});

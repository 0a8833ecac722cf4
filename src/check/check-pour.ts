/**
 * The pour plan a second time: what each bay takes, in which bay every point lies, how old every edge grows by the
 * batches' own times, where every line is by the walls as typed, and that the pour clock says the same.
 */
import type { Packet } from "../sheets/packet-schema.ts";
import { agrees, type Disagree, type Evidence } from "./evidence.ts";
import { agesBetween, areaOf, baysAt, type SecondPour } from "./second-bays.ts";
import { writtenJob } from "./written-job.ts";

type Pour = Extract<Packet["schedule"], { kind: "ready" }>["result"];
type Bay = Pour["bays"][number];
type Front = Bay["line"];

/** Minutes: far above the rounding of sums, far below what anybody times. */
const MINUTES = 1e-6;
/** What a tape tells, in metres. */
const TAPE_M = 0.005;
/** What a person reads in minutes is cut off to whole ones. */
const WHOLE_MINUTE = 1 + MINUTES;
/** Share over plan at which a bay is stopped, as the pour clock states it where the job gives none. */
const STATED_SHARE = 0.1;
/** Sheets that nobody may mix by where the floor cannot be poured. */
const MIXED_BY = new Set(["bay-map", "batch-log", "pause-cards"]);

export function checkPour(evidence: Evidence, disagree: Disagree): void {
  const { packet } = evidence;
  if (packet.schedule.kind !== "ready") return;
  const pour = packet.schedule.result;
  checkStation(evidence, pour, disagree);
  if (pour.kind === "cannot-be-poured") checkNothingToMixBy(evidence, pour, disagree);
  else {
    checkVolumes(evidence, pour, disagree);
    checkPlaces(evidence, pour, disagree);
    checkAges(evidence, pour, disagree);
    checkCounts(evidence, pour, disagree);
    checkLines(evidence, pour, disagree);
    checkStarts(evidence, pour, disagree);
    checkClock(evidence, pour, disagree);
  }
}

/** Grams, and of a litre: far above rounding, far below what a scale or a meter tells. */
const SCALE = 1e-6;

/** What the flow meter is set to, by the water of an hour; trips of the lift, by loading it until it bears no more. */
function checkStation({ findings: { job, quantities }, sheets }: Evidence, pour: Pour, disagree: Disagree): void {
  const { pump } = job.crew;
  const { material } = job;
  const hourly = pump?.mixesItself ? ((60 * pump.rate) / material.yieldPerBag) * material.waterPerBag : undefined;
  const metered = pour.flowMeterLMin;
  if (hourly === undefined ? metered !== null : !agrees((metered?.value ?? Number.NaN) * 60, hourly, SCALE))
    disagree("flow-meter-differs", `the flow meter is set to ${metered?.value} L/min, ${hourly} L/h wanted`);
  if (metered !== null && pour.kind === "can-be-poured")
    for (const { id, language, pages } of sheets) {
      if (id !== "mixing-schedule") continue;
      const said = pages.flatMap(({ blocks }) =>
        blocks.flatMap((block) =>
          block.kind === "figures"
            ? block.figures.flatMap(({ label, value }) => label.map((line) => `${value} ${line.split(", ").at(-1)}`))
            : [],
        ),
      );
      if (!said.includes(metered.printed[0].replaceAll("\u00a0", " ")))
        disagree(
          "sheet-differs",
          `the pour clock (${language}) does not print ${metered.printed[0]} for the flow meter`,
        );
    }
  const lift = pour.logistics.goodsLift;
  const { goodsLift, bagsPerPallet, palletTare } = job.pour;
  if ((lift === null) !== (goodsLift === undefined))
    disagree("lift-differs", "the packet and the job do not agree on whether there is a lift");
  if (lift === null || goodsLift === undefined || quantities.kind !== "ready") return;
  const whole = bagsPerPallet * material.bag + palletTare <= goodsLift.load + SCALE;
  const [unit, bags] = whole ? [bagsPerPallet * material.bag + palletTare, bagsPerPallet] : [material.bag, 1];
  let [left, trips] = [quantities.value.bags.toOrder, 0];
  for (; left > 0 && trips <= quantities.value.bags.toOrder; trips++)
    for (let room = goodsLift.load + SCALE; room >= unit; room -= unit) left -= bags;
  if (lift.trips !== trips || !agrees(lift.timeMin, trips * goodsLift.roundTrip, MINUTES))
    disagree("lift-differs", `${lift.trips} trips in ${lift.timeMin} min are printed, loading takes ${trips}`);
}

/** Nothing pretends that the floor can be poured. */
function checkNothingToMixBy({ sheets }: Evidence, pour: Pour, disagree: Disagree): void {
  if (pour.bays.length > 0 || pour.edges.length > 0)
    disagree("bays-of-no-pour", `${pour.bays.length} bays are planned of a floor that cannot be poured`);
  if (pour.reasons.length === 0) disagree("no-reason", "the floor cannot be poured, and no reason is given");
  for (const { id, language, pages } of sheets) {
    if (MIXED_BY.has(id)) disagree("sheet-differs", `sheet ${id} (${language}) is there, and nobody may mix`);
    if (id !== "mixing-schedule") continue;
    const tables = pages.flatMap(({ blocks }) => blocks.filter(({ kind }) => kind === "table"));
    const signals = pages.flatMap(({ blocks }) => blocks.filter(({ kind }) => kind === "signal"));
    if (tables.length > 0 || signals.length === 0)
      disagree("sheet-differs", `the pour clock (${language}) does not say that nobody may mix`);
  }
}

/** Room by room: what the bays take together is what the room takes, and no batch holds more than its bags give. */
function checkVolumes({ findings }: Evidence, pour: Pour, disagree: Disagree): void {
  const { job, plan, target, depths } = findings;
  if (target.kind !== "ready" || depths.kind !== "ready") return;
  for (const { roomIndex, volumeToOrder, area } of depths.value.rooms) {
    const zone = target.value.zones.find(({ roomIndices }) => roomIndices.includes(roomIndex));
    const room = plan.floors[roomIndex]?.roomId ?? "";
    const bays = pour.bays.filter((bay) => bay.room === room);
    if (zone?.material !== undefined && zone.material !== job.material && bays.length === 0) continue;
    const takes = volumeToOrder + job.pour.profileAllowance * area;
    const planned = bays.reduce((sum, { volumeL }) => sum + volumeL.value, 0);
    // A strip beside a cut narrower than the finest mark of a tape is in no bay: rounding, and no floor.
    if (!agrees(planned, takes, 1e-4 * Math.max(1, takes)))
      disagree("bay-volumes-differ", `the bays of room ${room} take ${planned} L, the room ${takes} L`);
  }
  for (const bay of pour.bays) {
    const poured = pour.batches.flatMap(({ pours }) => pours.filter((one) => one.bay === bay.number));
    const sum = poured.reduce((all, { volumeL }) => all + volumeL, 0);
    if (!agrees(sum, bay.volumeL.value, 1e-5))
      disagree(
        "bay-volumes-differ",
        `the batches of bay ${bay.number} bring ${sum} L, it takes ${bay.volumeL.value} L`,
      );
    const area = areaOf(bay);
    const within = 1e-3 * Math.max(1, area);
    // The last lift covers a bay; one below it wets the deep places alone.
    const isLast = pour.bays.every(({ lift }) => lift <= bay.lift);
    const isRight = isLast ? agrees(area, bay.areaM2.value, within) : bay.areaM2.value <= area + within;
    if (!isRight)
      disagree(
        "bay-areas-differ",
        `bay ${bay.number} has ${area} m² by its outline, ${bay.areaM2.value} m² in the packet`,
      );
  }
  const lifts = new Map(pour.bays.map(({ number, lift }) => [number, lift]));
  const lowest = Math.min(...lifts.values());
  let given = 0;
  let onFloor = 0;
  for (const { number, bags, pours } of pour.batches) {
    const sum = pours.reduce((all, { volumeL }) => all + volumeL, 0);
    const gives = bags * job.material.yieldPerBag;
    given += gives;
    onFloor += sum;
    // What a lower lift was given beyond its need lies in the floor already: above it all so far counts together.
    const isLowest = pours.every(({ bay }) => lifts.get(bay) === lowest);
    const [poured, most] = isLowest ? [sum, gives] : [onFloor, given];
    // Nobody mixes to a thousandth of a barrel.
    if (poured > most * (1 + 1e-3))
      disagree("batch-too-large", `batch ${number} of ${bags} bags pours ${sum} L, more than they give`);
  }
}

/** Every pin and every reading point of the rooms that are poured lies in one bay. */
function checkPlaces({ findings: { plan } }: Evidence, pour: Pour, disagree: Disagree): void {
  const rooms = new Set(pour.bays.map(({ room }) => room));
  const last = new Map<string, number>();
  for (const { room, lift } of pour.bays) last.set(room, Math.max(last.get(room) ?? 0, lift));
  for (const { id, at, roomIndex } of [...plan.pins, ...plan.points]) {
    const room = plan.floors[roomIndex]?.roomId ?? "";
    if (!rooms.has(room)) continue;
    const bays = pour.bays.filter((bay) => bay.lift === last.get(bay.room));
    const { inside, touching } = baysAt(bays, { eastM: at.x, northM: at.y });
    if (inside > 1) disagree("point-in-two-bays", `${id} lies in ${inside} bays`);
    if (touching === 0) disagree("point-in-no-bay", `${id} lies in no bay`);
  }
}

/** Every edge is renewed within the limit that the data sheet gives, by the times of the batches on both sides. */
function checkAges({ findings }: Evidence, pour: Pour, disagree: Disagree): void {
  const { material, pour: spec } = findings.job;
  const { limitMin, leastMin, marginMin } = pour.edgeLimit;
  const stated = [material.flowTime, material.healingTime ?? Number.NaN];
  const limit = limitMin ?? Number.NaN;
  if (!(limit <= Math.min(...stated) - (spec.edgeMargin ?? marginMin) + MINUTES) || leastMin === null)
    disagree("edge-limit-differs", `the limit is ${limitMin} min, the data sheet gives ${stated.join(" and ")} min`);
  const pours = pour.batches.flatMap((batch) =>
    batch.pours.map(
      ({ bay, reachesM }): SecondPour => ({
        bay,
        reachesM,
        powderMin: batch.powderMeetsWaterMin,
        placedMin: batch.placedMin ?? Number.NaN,
      }),
    ),
  );
  const { schedule } = findings;
  const dams =
    schedule.kind === "ready"
      ? schedule.value.dams.flatMap(({ segments }) =>
          segments.map(
            ({ from, to }) =>
              [
                { eastM: from.x, northM: from.y },
                { eastM: to.x, northM: to.y },
              ] as const,
          ),
        )
      : [];
  for (const { earlier, later, ageMin } of agesBetween(pour.bays, pours, dams)) {
    if (ageMin > limit + MINUTES)
      disagree(
        "edge-too-old",
        `the edge of bay ${earlier} is ${ageMin} min old when bay ${later} renews it, ${limit} allowed`,
      );
  }
  for (const { earlier, later, ageMin } of pour.edges) {
    if (ageMin > limit + MINUTES)
      disagree("edge-too-old", `the edge between bays ${earlier} and ${later} is said to be ${ageMin} min old`);
  }
  for (const { number } of pour.bays) {
    const inBay = pours.filter(({ bay }) => bay === number);
    for (const [k, one] of inBay.entries()) {
      const before = inBay[k - 1];
      if (before && one.placedMin - before.powderMin > limit + MINUTES)
        disagree("edge-too-old", `inside bay ${number} a front is ${one.placedMin - before.powderMin} min old`);
    }
  }
}

/** Bags when a bay is full, and the count at which to stop. */
function checkCounts({ findings }: Evidence, pour: Pour, disagree: Disagree): void {
  const { crew, pour: spec } = findings.job;
  const share = spec.bagCheckShare ?? STATED_SHARE;
  const ordered = pour.batches.at(-1)?.cumulativeBags ?? 0;
  for (const bay of pour.bays) {
    const inBay = pour.batches.filter(({ pours }) => pours.some((one) => one.bay === bay.number));
    const [first, last] = [inBay[0], inBay.at(-1)];
    if (first?.number !== bay.firstBatch || last?.number !== bay.lastBatch)
      disagree("bay-batches-differ", `bay ${bay.number} is said to take batches ${bay.firstBatch} to ${bay.lastBatch}`);
    if (last?.cumulativeBags !== bay.bagsWhenFull)
      disagree(
        "bag-check-differs",
        `bay ${bay.number} is full at ${last?.cumulativeBags} bags, ${bay.bagsWhenFull} printed`,
      );
    const stop = bay.bagsWhenFull + Math.max(crew.bagsPerBarrel, Math.ceil(share * bay.bagsWhenFull));
    const wanted = stop > ordered ? null : stop;
    if (bay.stopAtBags !== wanted)
      disagree("bag-check-differs", `bay ${bay.number} stops at ${bay.stopAtBags} bags, ${wanted} wanted`);
  }
}

/** Lines by the walls: the offset of where the front stands is worked out from the wall's two ends. */
function checkLines({ findings: { job, plan } }: Evidence, pour: Pour, disagree: Disagree): void {
  const step = job.units.plan === "m" ? 0.01 : 0.0254;
  const offset = (bay: Bay, name: string, eastM: number, northM: number): number => {
    const wall = plan.floors.find(({ roomId }) => roomId === bay.room)?.walls.find((one) => one.name === name);
    if (!wall) return Number.NaN;
    const { from, to } = wall;
    return (
      ((to.x - from.x) * (northM - from.y) - (to.y - from.y) * (eastM - from.x)) /
      Math.hypot(to.x - from.x, to.y - from.y)
    );
  };
  const check = (bay: Bay, line: Front, reachesM: number, what: string): void => {
    const { wall, distanceM } = line;
    const eastM = bay.from.eastM + reachesM * bay.along.eastM;
    const northM = bay.from.northM + reachesM * bay.along.northM;
    const stands = wall === null ? reachesM : offset(bay, wall, eastM, northM);
    // A bay that ends in a doorway is told to the wall, which is nearer by the wall's thickness.
    const held = bay.ends === null ? [stands] : [bay.ends.fromM.value, bay.ends.toM.value];
    const wanted = bay.ends === null ? stands : Math.min(Math.max(stands, Math.min(...held)), Math.max(...held));
    if (!(Math.abs(distanceM.value - wanted) <= step + 1e-6))
      disagree(
        "line-out-of-place",
        `${what} is at ${wanted} m from ${wall ?? "where its bay begins"}, ${distanceM.value} m printed`,
      );
  };
  for (const bay of pour.bays) check(bay, bay.line, bay.lengthM.value, `the end of bay ${bay.number}`);
  for (const { number, pours, line } of pour.batches) {
    const last = pours.at(-1);
    const bay = pour.bays.find((one) => one.number === line?.bay);
    if (last === undefined && line === null) continue;
    if (!last || !line || !bay || last.bay !== line.bay)
      disagree("line-out-of-place", `the line of batch ${number} is in no bay`);
    else check(bay, line, last.reachesM, `the line of batch ${number}`);
  }
  for (const bay of pour.bays) {
    for (const range of [bay.sides, bay.ends]) {
      if (!range) continue;
      const at = (places: readonly { eastM: number; northM: number }[]): number[] =>
        places.map(({ eastM, northM }) => offset(bay, range.wall, eastM, northM));
      const corners = at(bay.outline);
      const walls = plan.floors.find(({ roomId }) => roomId === bay.room)?.walls ?? [];
      const ofRoom = at(walls.map(({ from }) => ({ eastM: from.x, northM: from.y })));
      const atWalls = at(walls.flatMap(({ from, to }) => crossings(bay.outline, from, to)));
      // Every side runs through a corner of the bay, or along a wall or from it where the bay goes on into a doorway.
      for (const value of [range.fromM.value, range.toM.value]) {
        if (![...corners, ...ofRoom, ...atWalls].some((one) => Math.abs(one - value) < TAPE_M))
          disagree("line-out-of-place", `a side of bay ${bay.number} is printed at ${value} m from ${range.wall}`);
      }
      // Corners in a doorway lie past the wall to which a side is told.
      const inRoom = corners.filter((one) => one > Math.min(...ofRoom) - TAPE_M && one < Math.max(...ofRoom) + TAPE_M);
      const middle = inRoom.reduce((sum, one) => sum + one, 0) / inRoom.length;
      const [low, high] = [Math.min(range.fromM.value, range.toM.value), Math.max(range.fromM.value, range.toM.value)];
      if (!(middle > low && middle < high))
        disagree("line-out-of-place", `the sides of bay ${bay.number}, ${low} and ${high} m, do not hold it`);
    }
  }
}

type XY = { readonly x: number; readonly y: number };

/** Where the rim of a bay crosses a wall's line between its ends. */
function crossings(outline: Bay["outline"], from: XY, to: XY): Bay["outline"][number][] {
  const off = ({ eastM, northM }: Bay["outline"][number]): number =>
    (to.x - from.x) * (northM - from.y) - (to.y - from.y) * (eastM - from.x);
  return outline.flatMap((p, k) => {
    const q = outline[(k + 1) % outline.length] ?? p;
    const [offP, offQ] = [off(p), off(q)];
    if (offP > 0 === offQ > 0) return [];
    const share = offP / (offP - offQ);
    const at = { eastM: p.eastM + share * (q.eastM - p.eastM), northM: p.northM + share * (q.northM - p.northM) };
    const along = (to.x - from.x) * (at.eastM - from.x) + (to.y - from.y) * (at.northM - from.y);
    return along >= 0 && along <= (to.x - from.x) ** 2 + (to.y - from.y) ** 2 ? [at] : [];
  });
}

/** Starts are never later than planned, latest starts never past the edge's limit; the clock is the job's start and the minutes. */
function checkStarts({ jobText }: Evidence, pour: Pour, disagree: Disagree): void {
  const typed = /^\d{4}-\d{2}-\d{2}[T ](\d{1,2}):(\d{2})/.exec(writtenJob(jobText).pour?.start ?? "");
  const said = (minutes: number): string => {
    const total = typed ? (Number(typed[1]) * 60 + Number(typed[2]) + minutes) % 1440 : minutes;
    const hours = Math.floor(total / 60);
    return `${typed ? String(hours).padStart(2, "0") : hours}:${String(total % 60).padStart(2, "0")}`;
  };
  for (const bay of pour.bays) {
    const renewed = pour.edges.filter(({ later }) => later === bay.number);
    const first = pour.batches.find(({ number }) => number === bay.firstBatch);
    if (!(Math.abs(bay.beginsMin - (first?.placedMin ?? Number.NaN)) <= 1))
      disagree(
        "start-differs",
        `bay ${bay.number} begins at ${bay.beginsMin} min, its first batch is placed at ${first?.placedMin} min`,
      );
    const spare = Math.min(...renewed.map(({ spareMin }) => spareMin));
    for (const [what, moment, most] of [
      ["start", bay.start, bay.beginsMin],
      ["latest start", bay.latest, bay.beginsMin + spare],
    ] as const) {
      if (moment === null) {
        if (Number.isFinite(most))
          disagree("start-differs", `bay ${bay.number} renews an edge and has no latest start`);
        continue;
      }
      if (!(moment.minutes <= most + MINUTES && moment.minutes > most - WHOLE_MINUTE))
        disagree("start-differs", `the ${what} of bay ${bay.number} is ${most} min, ${moment.minutes} min printed`);
      if (moment.said !== said(moment.minutes))
        disagree(
          "start-differs",
          `the ${what} of bay ${bay.number} is printed as ${moment.said}, ${said(moment.minutes)} wanted`,
        );
    }
  }
}

/** The pour clock's rows, in every language, are those of the packet. */
function checkClock({ sheets }: Evidence, pour: Pour, disagree: Disagree): void {
  for (const { id, language, pages } of sheets) {
    if (id !== "mixing-schedule") continue;
    const tables = pages.flatMap(({ blocks }) => blocks.flatMap((block) => (block.kind === "table" ? [block] : [])));
    const rows = tables
      .filter(({ columns }) => columns.length === 8)
      .flatMap((one) => one.rows.map(({ cells }) => cells.map(({ lines }) => lines[0]?.text ?? "")));
    for (const bay of pour.bays) {
      const row = rows.find(([number]) => number === String(bay.number));
      const wanted = [
        bay.start.said,
        bay.latest?.said,
        undefined,
        String(bay.bagsWhenFull),
        bay.stopAtBags?.toString(),
      ];
      const wrong = wanted.findIndex(
        (value, k) => value !== undefined && row?.[k + 1]?.replaceAll("\u00a0", "") !== value,
      );
      if (row === undefined || wrong >= 0)
        disagree(
          "sheet-differs",
          `the pour clock (${language}) has ${row?.[wrong + 1] ?? "no row"} for bay ${bay.number}, the packet ${wanted[wrong] ?? ""}`,
        );
      const line = row?.[7] ?? "";
      if (bay.line.distanceM.value > 0 && line !== bay.line.distanceM.printed[0])
        disagree(
          "sheet-differs",
          `the pour clock (${language}) has the line ${line} for bay ${bay.number}, the packet ${bay.line.distanceM.printed[0]}`,
        );
    }
    const lines = tables
      .filter(({ columns }) => columns.length === 12 || columns.length === 6)
      .flatMap((one) => one.rows.flatMap(({ cells }) => [cells.slice(0, 6), cells.slice(6)]))
      .map((cells) => cells.map(({ lines: said }) => said[0]?.text ?? ""));
    for (const { number, printed, cumulativeBags, line } of pour.batches) {
      const row = lines.find(([first]) => first === String(number));
      const wanted = [printed[0], String(cumulativeBags), line ? String(line.bay) : undefined];
      if (!row || wanted.some((value, k) => value !== undefined && row[k + 1]?.replaceAll("\u00a0", "") !== value))
        disagree(
          "sheet-differs",
          `the pour clock (${language}) prints batch ${number} as ${row?.join(" ") ?? "nothing"}`,
        );
    }
  }
}

/** Bay map, pour clock, mixer's log, pause cards and pour plan, held against plans made by hand and against the plan itself. */
import { describe, expect, test } from "vitest";
import { type Point, point, type Ring } from "../../src/geometry/point.ts";
import type { Job } from "../../src/job/model.ts";
import type { Bay } from "../../src/pour/model.ts";
import { composeBatchLog } from "../../src/sheets/batch-log.ts";
import { composePourClock } from "../../src/sheets/mixing-schedule.ts";
import type { SheetContent } from "../../src/sheets/model.ts";
import type { Block, TableBlock } from "../../src/sheets/page/blocks.ts";
import { composePauseCards } from "../../src/sheets/pause-cards.ts";
import { composeBayMap } from "../../src/sheets/pour/bay-map.ts";
import { bayPlace, frontPlace } from "../../src/sheets/pour/bay-places.ts";
import { composePourPlan } from "../../src/sheets/pour/pour-plan.ts";
import { en } from "../../src/sheets/words/en.ts";
import { es } from "../../src/sheets/words/es.ts";
import { madeRoom, rectangle } from "../layout/made-job.ts";
import { doorOut, planned, pourable, pourJob, unpourable, withDoors } from "../pour/made-pour.ts";

const hall = madeRoom("hall", rectangle(0, 0, 8, 5));
const withDoor = withDoors(hall, doorOut(hall, 0, 6, 1, 0.2));
const depth = (): number => 10;

const job: Job = pourJob([withDoor], {
  pour: { start: "2027-03-04 07:30", bagCheckShare: 0.2, drains: [{ id: "FD1", at: point(2, 2) }] },
  material: {
    flowRing: { least: 127, greatest: 146, everyBatches: 4 },
    slabTemperatures: { least: 10, greatest: 30 },
    waterTemperatures: { least: 10, greatest: 20 },
  },
  crew: { mixerPower: 1.2 },
});
const timed: Job = { ...job, primer: { ...job.primer, dryingTime: 180, openTime: 1440 } };
const made = pourable(timed, depth);
const subject = { job: timed, plan: made.layout, pour: made.plan, words: en };
const stop = { bags: 500, from: "order" as const, planned: 500 };

const blocksOf = ({ pages }: SheetContent): Block[] => pages.flatMap(({ blocks }) => [...blocks]);
const tablesOf = (sheet: SheetContent): TableBlock[] =>
  blocksOf(sheet).flatMap((block) => (block.kind === "table" ? [block] : []));
const rowsOf = (tables: readonly TableBlock[]): string[][] =>
  tables.flatMap(({ rows }) =>
    rows.map(({ cells }) => cells.map(({ lines }) => lines.map(({ text }) => text).join(" "))),
  );
const saidIn = (sheet: SheetContent): string =>
  blocksOf(sheet)
    .flatMap((block): string[] => {
      if (block.kind === "text" || block.kind === "heading" || block.kind === "signal") return [block.lines.join(" ")];
      if (block.kind === "list") return block.items.map(({ lines }) => lines.join(" "));
      return [];
    })
    .join("\n")
    .replaceAll("\u00a0", " ");

describe("where bays and fronts lie", () => {
  const bayOn = (outline: Ring, from: Point, along: { x: number; y: number }, length: number): Bay => ({
    ...made.plan.bays[0]!,
    roomIndex: 0,
    floor: { outline, holes: [] },
    from,
    along,
    length,
  });
  const lane = (south: number): Ring => [point(1, south), point(3, south), point(3, 5), point(1, 5)];
  const north = bayOn(lane(0), point(2, 0), { x: 0, y: 1 }, 5);
  const south = bayOn(lane(-0.2), point(2, 5), { x: 0, y: -1 }, 5.2);

  test("sides from the wall along the lane, ends from the wall across it, in the order of pouring", () => {
    expect(bayPlace(made.layout, north)).toEqual({
      sides: { wallIndex: 3, from: 1, to: 3 },
      ends: { wallIndex: 0, from: 0, to: 5 },
    });
  });

  test("a doorway that the bay runs into is left out", () => {
    expect(bayPlace(made.layout, south)).toEqual({
      sides: { wallIndex: 3, from: 1, to: 3 },
      ends: { wallIndex: 0, from: 5, to: 0 },
    });
  });

  test("fronts in whole centimetres or inches, never past the planned line, and no farther than the wall", () => {
    const at = (bay: Bay, reaches: number, unit: "m" | "ft-in") =>
      frontPlace(made.layout, bay, bayPlace(made.layout, bay), reaches, unit);
    expect(at(north, 2.345, "m")).toEqual({ wallIndex: 0, distance: expect.closeTo(2.34, 9) });
    // 2.345 m are 92.3 in.
    expect(at(north, 2.345, "ft-in").distance).toBeCloseTo(92 * 0.0254, 9);
    // Poured towards the wall: 5 − 2.345 = 2.655 m are left, and 2.66 are short of the line.
    expect(at(south, 2.345, "m").distance).toBeCloseTo(2.66, 9);
    expect(at(south, 5.2, "m").distance).toBe(0);
    // A whole number of steps stays what it is.
    expect(at(north, 2.34, "m").distance).toBeCloseTo(2.34, 9);
  });

  test("a lane askew to every wall is told from where it begins", () => {
    const askew = bayOn(
      [point(1, 1), point(2.6, 2.2), point(2, 3), point(0.4, 1.8)],
      point(0.7, 1.4),
      { x: 0.8, y: 0.6 },
      2,
    );
    expect(bayPlace(made.layout, askew)).toEqual({});
    expect(frontPlace(made.layout, askew, {}, 1.239, "m")).toEqual({ distance: expect.closeTo(1.23, 9) });
  });
});

describe("the pour clock", () => {
  const clock = composePourClock({ job: timed, plan: made.layout, words: en, stop }, made.plan);
  const rows = rowsOf(tablesOf(clock).filter(({ columns }) => columns.length === 8));

  test("a row a bay: clock times cut to whole minutes, batches, bags, and the count at which to stop", () => {
    expect(rows).toHaveLength(made.plan.bays.length);
    const total = made.plan.batches.at(-1)!.cumulativeBags;
    for (const [k, bay] of made.plan.bays.entries()) {
      const minute = Math.floor(bay.begins);
      const [number, start, , batches, bags, stopAt] = rows[k]!;
      expect(number).toBe(`${bay.number} hall`);
      expect(start).toBe(`07:${30 + minute} elapsed 0:${String(minute).padStart(2, "0")}`);
      expect(batches).toContain(`${bay.firstBatch}–${bay.lastBatch}`);
      expect(Number(bags)).toBe(made.plan.batches[bay.lastBatch - 1]!.cumulativeBags);
      const wanted = Number(bags) + Math.max(2, Math.ceil(0.2 * Number(bags)));
      expect(stopAt).toBe(wanted > total ? "–" : String(wanted));
    }
  });

  test("a latest start only where an edge is renewed, and never past what its age allows", () => {
    for (const [k, bay] of made.plan.bays.entries()) {
      const renewed = made.plan.edges.filter(({ later }) => later === bay.number);
      if (renewed.length === 0) expect(rows[k]![2]).toBe("–");
      else {
        const most = bay.begins + Math.min(...renewed.map(({ margin }) => margin));
        const said = /elapsed 0:(\d\d)$/.exec(rows[k]![2]!)!;
        expect(Number(said[1])).toBeLessThanOrEqual(most);
        expect(Number(said[1])).toBeGreaterThan(most - 1);
      }
    }
  });

  test("the margin of the stop counts is stated", () => {
    expect(saidIn(clock)).toContain("the plan’s and 20 % more, one batch at least");
  });

  test("every batch with its bags and its line, the last one full", () => {
    const halves = tablesOf(clock)
      .filter(({ columns }) => columns.length === 12)
      .flatMap((table) => rowsOf([table]).flatMap((cells) => [cells.slice(0, 6), cells.slice(6)]))
      .filter(([number]) => number !== "")
      .sort((p, q) => Number(p[0]) - Number(q[0]));
    expect(halves.map(([number]) => Number(number))).toEqual(made.plan.batches.map(({ number }) => number));
    expect(halves.map((cells) => Number(cells[2]))).toEqual(made.plan.batches.map((one) => one.cumulativeBags));
    expect(halves.map((cells) => Number(cells[3]))).toEqual(
      made.plan.batches.map(({ pours }) => pours.at(-1)!.bayNumber),
    );
  });

  test("without a fixed start the times count from the first powder, and the clock is a blank", () => {
    const { start, ...pour } = timed.pour;
    expect(start).toBeDefined();
    const open = composePourClock({ job: { ...timed, pour }, plan: made.layout, words: en, stop }, made.plan);
    expect(rowsOf(tablesOf(open))[0]![1]).toMatch(/^0:0\d$/);
    expect(blocksOf(open).some(({ kind }) => kind === "blanks")).toBe(true);
  });

  test("a rest, and the pump that stands too long in it, stand with the bay that follows", () => {
    const second = madeRoom("store", rectangle(8, 0, 6, 5));
    const crew = {
      rest: { after: 5, length: 20 },
      pump: { rate: 60, restartLimit: 15 },
    };
    const rooms = [withDoor, withDoors(second, doorOut(second, 0, 2, 1, 0.2, "OUT2"))];
    const rested = pourable(pourJob(rooms, { crew, pour: { lossAllowance: 0.1 } }), depth);
    const stops = rested.plan.runs.filter(({ before }) => before.kind === "rest");
    expect(stops).toHaveLength(1);
    const sheet = composePourClock(
      { job: pourJob(rooms, { crew }), plan: rested.layout, words: en, stop },
      rested.plan,
    );
    const said = rowsOf(tablesOf(sheet).filter(({ columns }) => columns.length === 8)).map(([first]) => first);
    expect(said.filter((text) => text!.includes("After a rest of 20\u00a0min, flush the pump"))).toHaveLength(1);
  });
});

describe("a floor that the crew cannot pour", () => {
  const large = madeRoom("floor", rectangle(0, 0, 30, 30));
  const cannot = unpourable(
    pourJob([withDoors(large, doorOut(large, 0, 1.2))], { crew: { barrels: 1 }, spacing: 3 }),
    depth,
  );

  test.each([
    ["English", en],
    ["Spanish", es],
  ])("says in %s not to mix, why, and what would do; it has no bay, no batch, no time", (_, words) => {
    const sheet = composePourClock({ job, plan: cannot.layout, words, stop }, cannot.plan);
    expect(tablesOf(sheet)).toEqual([]);
    const said = saidIn(sheet);
    expect(said).toContain(words.doNotMix.title);
    expect(said).toContain("floor");
    const lists = blocksOf(sheet).flatMap((block) => (block.kind === "list" ? [block.items.length] : []));
    expect(lists).toEqual([cannot.plan.reasons.length + Number(cannot.plan.tooSlow), cannot.plan.remedies.length]);
    expect(cannot.plan.remedies.length).toBeGreaterThan(0);
  });

  test("the office’s plan keeps what holds for the floor and leaves out every bay", () => {
    const said = rowsOf(tablesOf(composePourPlan({ job, plan: cannot.layout, words: en, pour: cannot.plan })));
    expect(said.some(([first]) => first === "Gauge rake, in cleats")).toBe(true);
    expect(said.some((cells) => cells.length === 8)).toBe(false);
  });
});

describe("log and cards", () => {
  test("the flow ring has its box at the first batch and every fourth, the accepted spread above", () => {
    const log = composeBatchLog(subject);
    const table = tablesOf(log).flatMap(({ columns, rows }) => (columns.length === 10 ? rows : []));
    const ringed = table.flatMap(({ cells }) =>
      cells[8]!.blank && cells[0]!.lines.length > 0 ? [cells[0]!.lines[0]!.text] : [],
    );
    const every = made.plan.batches.map(({ number }) => number).filter((number) => number % 4 === 1);
    expect(ringed.map(Number)).toEqual(every);
    expect(saidIn(log)).toContain("127.0 mm to 146.0 mm");
    // Whatever is a result is blank.
    for (const { cells } of table)
      for (const k of [4, 5, 6, 7, 9]) expect(cells[k]).toEqual({ lines: [], blank: true });
  });

  test.each([
    ["English", en],
    ["Spanish", es],
  ])("cards in %s: nine items and 120 words at most, and the values of go or no go", (_, words) => {
    const cards = composePauseCards({ ...subject, depths: made.depths, words });
    for (const { blocks } of cards.pages) {
      const items = blocks.flatMap((block) => (block.kind === "checks" ? [...block.items] : []));
      expect(items.length).toBeLessThanOrEqual(9);
      const said = blocks.flatMap((block) =>
        block.kind === "checks"
          ? block.items.flatMap(({ number, lines, wanted, unit }) => [number, ...lines, wanted, unit])
          : "lines" in block
            ? [...block.lines]
            : [],
      );
      expect(said.join(" ").split(/\s+/).filter(Boolean).length).toBeLessThanOrEqual(120);
    }
    const wanted = cards.pages[0]!.blocks.flatMap((block) =>
      block.kind === "checks" ? block.items.map((item) => item.wanted) : [],
    );
    // Dry after 3 h; open for 24 h, of which the pour takes its part.
    const latest = Math.floor((1440 - made.plan.duration) / 6) / 10;
    expect(wanted).toContain(words.cards.wanted(words.cards.range("3.0", latest.toFixed(1))));
    expect(wanted).toContain(words.cards.wanted("50–86\u00a0°F"));
    expect(wanted).toContain(words.cards.wanted(String(made.quantities.bags.toOrder)));
  });
});

describe("map and plan", () => {
  test("every bay has its number on the map, and its two lines in the table", () => {
    const map = composeBayMap(subject);
    const texts = map.pages
      .flatMap(({ blocks }) => blocks)
      .flatMap((block) => (block.kind === "drawing" ? block.drawing.layers : []))
      .flatMap(({ marks }) => marks)
      .flatMap((mark) => (mark.kind === "text" ? [mark.text] : []));
    for (const { number } of made.plan.bays) expect(texts).toContain(String(number));
    expect(texts).toContain("FD1");
    const lines = rowsOf(tablesOf(map));
    expect(made.plan.bays.length).toBeGreaterThan(1);
    expect(lines).toHaveLength(2 * made.plan.bays.length);
  });

  test("bays add up to the floor, the order’s bags are in the runs, and deadlines at night stand before it", () => {
    const plan = composePourPlan({ job: timed, plan: made.layout, words: en, pour: made.plan });
    const tables = rowsOf(tablesOf(plan));
    // 40 m² and the doorway, 10 mm deep, in cubic feet.
    const litres = 10 * (40 + 0.2);
    expect(tables.find((cells) => cells[1] === "All bays")![4]).toBe(
      `${(litres / 28.316846592).toFixed(2)}\u00a0ft³ ${litres.toFixed(1)}\u00a0L`,
    );
    // One coat, dry after 3 h: by 04:30, that is by the evening before.
    expect(tables.find(([step]) => step === "Primer, first coat")![2]).toBe(
      "2027-03-03 17:00, not before 2027-03-03 07:30",
    );
    expect(tables.find(([step]) => step === "Spare mixer run, spare cord and hose laid out")![2]).toBe(
      "2027-03-04 06:30",
    );
  });

  test("too few people are said to be what holds the crew back", () => {
    const few = planned({ ...timed, crew: { ...timed.crew, people: 3 } }, depth);
    const said = rowsOf(tablesOf(composePourPlan({ job: timed, plan: few.layout, words: en, pour: few.plan })));
    expect(said.find(([what]) => what === "What holds the crew back first")![1]).toBe("too few people");
  });
});

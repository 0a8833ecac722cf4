/** Three stops at which the crew answers with values: before mixing, before the first pour, before leaving. */
import { batchWater, count, duration, temperature } from "../format.ts";
import type { MixingSchedule } from "../pour/model.ts";
import { celsius } from "../units.ts";
import type { CutSubject } from "./cut-table.ts";
import type { SheetContent } from "./model.ts";
import type { Block } from "./page/blocks.ts";
import { type CheckText, checks, heading, paragraph, READING } from "./page/make-blocks.ts";
import { pageFrame, SMALL_PAPER } from "./page/paper.ts";

/** Water for mixing: 50 to 70 °F (common practice; the data sheet governs). */
const WATER_LOW = celsius((50 - 32) / 1.8);
const WATER_HIGH = celsius((70 - 32) / 1.8);
/** The blank and what is wanted in it. */
const ANSWER_MM = 62;

export function composePauseCards(subject: CutSubject, schedule: MixingSchedule): SheetContent {
  const { job, plan, depths, words } = subject;
  const { cards } = words;
  const paper = SMALL_PAPER[job.paper];
  const width = pageFrame(paper, "portrait").widthMm;
  const doors = count(plan.floors.reduce((sum, floor) => sum + floor.doors.length, 0));
  const toCheck = count(depths.pins.filter(({ checkOnTheDay }) => checkOnTheDay).length);
  const water = batchWater(job.material.waterPerBag, job.units.plan);
  const first = schedule.batches[0];
  const batch = first ? batchWater(first.water, job.units.plan) : undefined;
  const last = schedule.batches.at(-1);
  const want = (value: string): string => cards.wanted(value);
  const degrees = temperature(WATER_LOW, job.units.plan);
  const degreesTo = temperature(WATER_HIGH, job.units.plan);
  const warmer = job.units.plan === "m" ? words.cards.kelvin : words.cards.fahrenheit;
  const complete: CheckText = { text: cards.complete, wanted: "", unit: "" };
  const before: CheckText[] = [
    { text: cards.crewReady, wanted: want(count(job.crew.people)), unit: "" },
    { text: cards.engines, wanted: want("0"), unit: "" },
    { text: cards.gfci, wanted: "", unit: "" },
    { text: cards.waterPerBag, wanted: want(words.both(water.large.text, water.small.text)), unit: water.large.unit },
    {
      text: cards.waterTemperature,
      wanted: want(`${degrees.large.number}–${degreesTo.large.text}`),
      unit: degrees.large.unit,
    },
    { text: cards.slabTemperature, wanted: want(warmer), unit: degrees.large.unit },
    { text: cards.primer, wanted: "", unit: "" },
    { text: cards.eyewash, wanted: "", unit: "" },
    complete,
  ];
  const pour: CheckText[] = [
    { text: cards.pinsChecked, wanted: want(toCheck), unit: "" },
    { text: cards.dams, wanted: want(doors), unit: "" },
    { text: cards.joints, wanted: "", unit: "" },
    ...(batch
      ? [
          {
            text: cards.waterBatch,
            wanted: want(words.both(batch.large.text, batch.small.text)),
            unit: batch.large.unit,
          },
        ]
      : []),
    { text: cards.mixTime, wanted: want(duration(job.crew.mixTime).text), unit: cards.minutes },
    { text: cards.flow, wanted: "", unit: "mm" },
    { text: cards.fans, wanted: want("0"), unit: "" },
    { text: cards.spare, wanted: want("1"), unit: "" },
    complete,
  ];
  const walkOn = job.material.walkOn;
  const leaving: CheckText[] = [
    { text: cards.washout, wanted: want("0"), unit: "" },
    { text: cards.drying, wanted: want("0"), unit: "" },
    { text: cards.pinsAbove, wanted: want("0"), unit: "" },
    { text: cards.lastPoured, wanted: "", unit: "" },
    {
      text: walkOn === undefined ? cards.walkOnUnknown : cards.walkOn,
      wanted: walkOn === undefined ? "" : want(cards.afterLast(duration(walkOn).text)),
      unit: "",
    },
    { text: cards.barricades, wanted: want(doors), unit: "" },
    { text: cards.bagsUsed, wanted: last ? want(count(last.cumulativeBags)) : "", unit: "" },
    { text: cards.logged, wanted: want(count(schedule.batches.length)), unit: "" },
    complete,
  ];
  const card = (title: string, items: readonly CheckText[]): Block[] => [
    heading(title, width),
    paragraph(cards.note, width, READING),
    checks(items, width, READING, ANSWER_MM),
  ];
  const pages = [card(cards.beforeMixing, before), card(cards.beforePour, pour), card(cards.beforeLeaving, leaving)];
  return {
    id: "pause-cards",
    title: words.titles["pause-cards"],
    sets: ["crew"],
    pages: pages.map((blocks) => ({ paper, orientation: "portrait", blocks })),
  };
}

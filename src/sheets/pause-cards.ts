/** Three stops at which the crew answers with values: before mixing, before the first pour, before leaving. */
import { batchWater, count, decimal, duration, meteredWater, temperature } from "../format.ts";
import type { GoNoGo } from "../pour/model.ts";
import { type Celsius, celsius } from "../units.ts";
import { spreadText } from "./batch-log.ts";
import type { CutSubject } from "./cut-table.ts";
import type { ClockSubject } from "./mixing-schedule.ts";
import type { SheetContent } from "./model.ts";
import type { Block } from "./page/blocks.ts";
import { type CheckText, checks, heading, paragraph, READING } from "./page/make-blocks.ts";
import { pageFrame, SMALL_PAPER } from "./page/paper.ts";
import { meterText } from "./pour/plan-tables.ts";

/** Water for mixing where the data sheet was not read for it: 50 to 70 °F (common practice; the data sheet governs). */
const USUAL_WATER = { least: celsius((50 - 32) / 1.8), greatest: celsius((70 - 32) / 1.8) };
/** The blank and what is wanted in it. */
const ANSWER_MM = 62;

export type CardsSubject = ClockSubject & CutSubject;

export function composePauseCards(subject: CardsSubject): SheetContent {
  const { job, words } = subject;
  const { cards } = words;
  const paper = SMALL_PAPER[job.paper];
  const width = pageFrame(paper, "portrait").widthMm;
  const complete: CheckText = { text: cards.complete, wanted: "", unit: "" };
  const card = (title: string, items: readonly CheckText[]): Block[] => [
    heading(title, width),
    paragraph(cards.note, width, READING),
    checks([...items, complete], width, READING, ANSWER_MM),
  ];
  const pages = [
    card(cards.beforeMixing, beforeMixing(subject)),
    card(cards.beforePour, beforePour(subject)),
    card(cards.beforeLeaving, beforeLeaving(subject)),
  ];
  return {
    id: "pause-cards",
    title: words.titles["pause-cards"],
    sets: ["crew"],
    pages: pages.map((blocks) => ({ paper, orientation: "portrait", blocks })),
  };
}

/** `50–70 °F`: both ends in the unit that the job measures in. */
function rangeOf(range: { readonly least: Celsius; readonly greatest: Celsius }, plan: "m" | "ft-in"): string {
  const [least, greatest] = [temperature(range.least, plan).large, temperature(range.greatest, plan).large];
  return `${least.number}–${greatest.text}`;
}

/** Go or no go. */
function beforeMixing({ job, pour, words }: CardsSubject): CheckText[] {
  const { cards } = words;
  const { goNoGo } = pour;
  const plan = job.units.plan;
  const want = (value: string): string => cards.wanted(value);
  const degrees = temperature(celsius(0), plan).large.unit;
  return [
    { text: cards.crewReady, wanted: want(count(job.crew.people)), unit: "" },
    { text: cards.engines, wanted: want("0"), unit: "" },
    { text: cards.gfci, wanted: "", unit: "" },
    { text: cards.dewPoint, wanted: want(plan === "m" ? cards.kelvin : cards.fahrenheit), unit: degrees },
    goNoGo.slabTemperatures
      ? { text: cards.slabTemperature, wanted: want(rangeOf(goNoGo.slabTemperatures, plan)), unit: degrees }
      : { text: cards.slabTemperatureUnknown, wanted: "", unit: degrees },
    primerCheck(goNoGo, job.primer.coatsOn[job.floor.absorbency].length, words),
    { text: cards.bagsCounted, wanted: want(count(goNoGo.bags)), unit: "" },
    { text: cards.spareRun, wanted: want(count(1)), unit: "" },
  ];
}

/** Hours since the last coat: dry, and early enough for the last batch to fall inside the open time. */
function primerCheck(
  { primerDry, primerLatestStart }: GoNoGo,
  coats: number,
  { cards }: CardsSubject["words"],
): CheckText {
  if (coats === 0) return { text: cards.noPrimer, wanted: "", unit: "" };
  const hours = (minutes: number, up: boolean): string =>
    decimal((up ? Math.ceil(minutes / 6 - 1e-9) : Math.floor(minutes / 6 + 1e-9)) / 10, 1);
  if (primerDry === undefined || primerLatestStart === undefined || primerLatestStart < primerDry)
    return { text: cards.primerUnknown, wanted: "", unit: "" };
  return {
    text: cards.primer,
    wanted: cards.wanted(cards.range(hours(primerDry, true), hours(primerLatestStart, false))),
    unit: cards.hours,
  };
}

function beforePour({ job, depths, pour, words }: CardsSubject): CheckText[] {
  const { cards } = words;
  const plan = job.units.plan;
  const want = (value: string): string => cards.wanted(value);
  const first = pour.batches[0];
  const water = first ? batchWater(first.water, plan) : undefined;
  const range = pour.goNoGo.waterTemperatures ?? USUAL_WATER;
  return [
    {
      text: cards.pinsChecked,
      wanted: want(count(depths.pins.filter(({ checkOnTheDay }) => checkOnTheDay).length)),
      unit: "",
    },
    pour.plugs.length > 0
      ? { text: cards.damsAndPlugs, wanted: want(`${count(pour.dams.length)}, ${count(pour.plugs.length)}`), unit: "" }
      : { text: cards.dams, wanted: want(count(pour.dams.length)), unit: "" },
    { text: cards.joints, wanted: want(count(job.pour.movingJoints?.length ?? 0)), unit: "" },
    ...(pour.pace.flowMeter !== undefined
      ? [
          {
            text: cards.flowMeter,
            wanted: want(meterText({ job, words }, pour.pace.flowMeter)),
            unit: meteredWater(pour.pace.flowMeter, plan).large.unit,
          },
        ]
      : []),
    ...(water && pour.pace.flowMeter === undefined
      ? [
          {
            text: cards.waterBatch,
            wanted: want(words.both(water.large.text, water.small.text)),
            unit: water.large.unit,
          },
        ]
      : []),
    {
      text: cards.waterTemperature,
      wanted: want(rangeOf(range, plan)),
      unit: temperature(range.least, plan).large.unit,
    },
    ...(pour.pace.flowMeter === undefined
      ? [{ text: cards.mixTime, wanted: want(duration(job.crew.mixTime).text), unit: cards.minutes }]
      : []),
    job.material.flowRing
      ? { text: `${cards.flow}: ${spreadText(job, words)}`, wanted: "", unit: "mm" }
      : { text: cards.flowUnknown, wanted: "", unit: "mm" },
    { text: cards.eyewash, wanted: "", unit: "" },
  ];
}

function beforeLeaving({ job, plan, pour, words }: CardsSubject): CheckText[] {
  const { cards } = words;
  const want = (value: string): string => cards.wanted(value);
  const doors = count(plan.floors.reduce((sum, floor) => sum + floor.doors.length, 0));
  const { walkOn } = job.material;
  const last = pour.batches.at(-1);
  return [
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
    { text: cards.logged, wanted: want(count(pour.batches.length)), unit: "" },
  ];
}

/** The pin map: every pin with its cut length, on as many tiles as its labels need. */
import type { CutSubject } from "./cut-table.ts";
import type { LabelMemory } from "./map/label-memory.ts";
import { LEAST_PIN_SPACING_MM, mapPages } from "./map/map-pages.ts";
import { pinMapItems } from "./map/map-panel.ts";
import { pinItem } from "./map/pin-labels.ts";
import type { SheetContent } from "./model.ts";

export function composePinMap({ job, plan, depths, words }: CutSubject, memory?: LabelMemory): SheetContent {
  const pages = mapPages({
    id: "pin-map",
    subject: { job, plan, words, depths, items: depths.pins.map((pin) => pinItem(pin, job.units.height, words)) },
    leastSpacingMm: LEAST_PIN_SPACING_MM,
    setsOut: true,
    title: words.map.title(job.title),
    description: (pins, scale) => words.map.description(words.pins(pins), scale),
    panel: (subject) => pinMapItems(subject, depths),
    ...(memory && { memory }),
  });
  return { id: "pin-map", title: words.titles["pin-map"], sets: ["crew", "gc"], pages };
}

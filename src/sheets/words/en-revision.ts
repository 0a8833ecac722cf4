/** The words of revisions: at the foot of pages, on the cover, and on the change sheet. */
export const enRevision = {
  revisions: {
    afterRevision: (number: string) => `After revision ${number}`,
    issued: "ISSUED",
    superseded: "SUPERSEDED",
    supersededBy: (number: string, date: string) => `By revision ${number} of ${date}. Do not work from this page.`,

    coverIssued: (number: string, date: string) => `Revision ${number}, issued ${date}`,
    reason: (text: string) => `Reason: ${text}`,
    coverDraft: (number: string, date: string) =>
      `Not issued: it differs from revision ${number} of ${date}. Work from revision ${number} until the next one is issued.`,
    programDiffers: (number: string) =>
      `The job file is as it was for revision ${number}: another version of the program gives other values. Nothing of revision ${number} changes by that.`,
    changedSince: (number: string) => `Changed since revision ${number}`,
    seeChangeSheet: "Each pin stands on the change sheet.",
    toPrint: (sheets: string) => `Sheets to print again: ${sheets}.`,
    withdrawn: (sheets: string) => `Take these out of the packet: ${sheets}.`,
    columnRevision: "Revision",

    intro: (number: string, date: string) =>
      `What is other than in revision ${number} of ${date}. All that is not listed stays as it was issued.`,
    pinsTitle: "Pins",
    captionPins: "Pins that change, in the order of placing",
    noPins: "No pin changes.",
    columnsPins: { pin: "Pin", was: "Was", now: "Now", other: "Other", todo: "What to do", done: "Done" },
    todo: { recut: "cut again", new: "new: cut and place", gone: "take it off", moved: "same length, place it anew" },
    grind: "grind",
    tooShort: "no pin",
    none: "–",
    pinCounts: { recut: "to cut again", new: "new", gone: "to take off", moved: "to place anew" },
    pinCount: (pins: string, what: string) => `${pins} ${what}`,

    figuresTitle: "Orders and times",
    captionFigures: "What is ordered and planned, before and now",
    columnsFigures: { what: "What", was: "Was", now: "Now" },
    figures: {
      material: "Material",
      start: "Start of the pour",
      bags: "Bags to order",
      pallets: "Pallets",
      batches: "Batches",
      bays: "Bays",
      duration: "Last batch poured after, h:min",
    },
    figureOf: (what: string, material: string) => `${what}: ${material}`,
    figureChange: (what: string, before: string, now: string) => `${what}: ${before}, now ${now}`,
  },
};

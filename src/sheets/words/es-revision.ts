/** The words of revisions, in Spanish. */
import type { enRevision } from "./en-revision.ts";

export const esRevision: typeof enRevision = {
  revisions: {
    afterRevision: (number) => `Después de la revisión ${number}`,
    issued: "EMITIDA",
    superseded: "SUSTITUIDA",
    supersededBy: (number, date) => `Por la revisión ${number} del ${date}. No trabaje con esta página.`,

    coverIssued: (number, date) => `Revisión ${number}, emitida el ${date}`,
    reason: (text) => `Motivo: ${text}`,
    coverDraft: (number, date) =>
      `Sin emitir: difiere de la revisión ${number} del ${date}. Trabaje con la revisión ${number} hasta que se emita la siguiente.`,
    programDiffers: (number) =>
      `El archivo del trabajo está como en la revisión ${number}: otra versión del programa da otros valores. Nada de la revisión ${number} cambia por eso.`,
    changedSince: (number) => `Cambios desde la revisión ${number}`,
    seeChangeSheet: "Cada pin está en la hoja de cambios.",
    toPrint: (sheets) => `Hojas que imprimir de nuevo: ${sheets}.`,
    withdrawn: (sheets) => `Saque estas hojas del paquete: ${sheets}.`,
    columnRevision: "Revisión",

    intro: (number, date) =>
      `Lo que es distinto de la revisión ${number} del ${date}. Lo que no está aquí queda como se emitió.`,
    pinsTitle: "Pines",
    captionPins: "Pines que cambian, en orden de colocación",
    noPins: "Ningún pin cambia.",
    columnsPins: { pin: "Pin", was: "Antes", now: "Ahora", other: "Otra", todo: "Qué hacer", done: "Hecho" },
    todo: {
      recut: "cortar de nuevo",
      new: "nuevo: cortar y colocar",
      gone: "quitar",
      moved: "mismo largo, colocar en otro lugar",
    },
    grind: "desbastar",
    tooShort: "sin pin",
    none: "–",
    pinCounts: { recut: "que cortar de nuevo", new: "de más", gone: "que quitar", moved: "que cambiar de lugar" },
    pinCount: (pins, what) => `${pins} ${what}`,

    figuresTitle: "Pedidos y tiempos",
    captionFigures: "Lo que se pide y se planea, antes y ahora",
    columnsFigures: { what: "Qué", was: "Antes", now: "Ahora" },
    figures: {
      material: "Material de nivelación",
      start: "Inicio del colado",
      bags: "Sacos que pedir",
      pallets: "Tarimas",
      batches: "Tandas",
      bays: "Franjas",
      duration: "Última tanda colada a las, h:min",
    },
    figureOf: (what, material) => `${what}, ${material}`,
    figureChange: (what, before, now) => `${what}: ${before}, ahora ${now}`,
  },
};

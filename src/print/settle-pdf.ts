/**
 * Two prints of one page by one browser differ in two things: the dates of printing, and the names of
 * tagged elements, which count on from whatever the browser printed before (`(node00005409)`). Both
 * are overwritten in place, byte for byte of the same length, so that no offset in the file moves.
 */

/** What every PDF says of its making: a fixed date. When a sheet was made stands on the sheet itself. */
export const FIXED_DATE = "D:20000101000000+00'00'";

const DATE_KEYS = ["/CreationDate (", "/ModDate ("];
const ELEMENT = /\(node(\d{8})\)/g;

/**
 * Makes `pdf` the same for every print of the same page, in place.
 * @throws Error where a date is absent or of another form: the file would then differ from run to run.
 */
export function settlePdf(pdf: Uint8Array): void {
  const bytes = Buffer.from(pdf.buffer, pdf.byteOffset, pdf.byteLength);
  for (const key of DATE_KEYS) {
    const at = bytes.indexOf(key, 0, "latin1");
    const start = at + key.length;
    const end = bytes.indexOf(")", start, "latin1");
    if (at < 0 || end - start !== FIXED_DATE.length)
      throw new Error(
        `The printed PDF has no ${key.slice(0, -2)} of the expected form: this browser writes dates in another way.`,
      );
    bytes.write(FIXED_DATE, start, "latin1");
  }
  renumberElements(bytes);
}

/** Numbers the elements 1, 2, 3 … in the order of their old numbers, which keeps the file's sorted table of them sorted. */
function renumberElements(bytes: Buffer): void {
  const found = [...bytes.toString("latin1").matchAll(ELEMENT)].map((match) => ({
    at: match.index + "(node".length,
    number: Number(match[1]),
  }));
  const order = [...new Set(found.map(({ number }) => number))].sort((a, b) => a - b);
  const rank = new Map(order.map((number, index) => [number, index + 1]));
  for (const { at, number } of found) bytes.write(String(rank.get(number)).padStart(8, "0"), at, "latin1");
}

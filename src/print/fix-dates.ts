/**
 * Two prints of one page differ only in the two dates that the browser writes into the file. They are
 * overwritten in place, byte for byte of the same length, so that no offset in the file moves.
 */

/** What every PDF says of its making: a fixed date. When a sheet was made stands on the sheet itself. */
export const FIXED_DATE = "D:20000101000000+00'00'";

const KEYS = ["/CreationDate (", "/ModDate ("];

/**
 * Overwrites the dates in `pdf`, in place.
 * @throws Error where a date is absent or of another length: the file would then differ from run to run.
 */
export function fixDates(pdf: Uint8Array): void {
  const bytes = Buffer.from(pdf.buffer, pdf.byteOffset, pdf.byteLength);
  for (const key of KEYS) {
    const at = bytes.indexOf(key, 0, "latin1");
    const start = at + key.length;
    const end = bytes.indexOf(")", start, "latin1");
    if (at < 0 || end - start !== FIXED_DATE.length)
      throw new Error(
        `The printed PDF has no ${key.slice(0, -2)} of the expected form: this browser writes dates in another way.`,
      );
    bytes.write(FIXED_DATE, start, "latin1");
  }
}

/** Comma-separated values, each cell with its place in the text; semicolons and tabs part cells too. */
import { CsvError, parse } from "csv-parse/sync";

export interface CsvCell {
  /** Blanks around it and quotes taken off. */
  readonly text: string;
  /** Where its first character stands, in characters. */
  readonly offset: number;
}

export interface CsvRow {
  readonly cells: readonly CsvCell[];
  readonly offset: number;
  readonly length: number;
}

/** Why a text is no table, and where that shows. */
export interface CsvFault {
  readonly message: string;
  readonly offset: number;
}

/**
 * The rows that are not empty and are no remark (`#` in front). What parts the cells is what the first of them has:
 * a tab, else a semicolon, else a comma. Rows may have different numbers of cells.
 */
export function csvRows(text: string): {
  readonly rows: readonly CsvRow[];
  readonly delimiter: string;
  readonly fault?: CsvFault;
} {
  const lines = text.split("\n");
  const lineStarts: number[] = [];
  let offset = 0;
  for (const line of lines) {
    lineStarts.push(offset);
    offset += line.length + 1;
  }
  const header = lines.find((line) => line.trim() !== "" && !/^\s*#/.test(line)) ?? "";
  const delimiter = header.includes("\t") ? "\t" : header.includes(";") ? ";" : ",";
  try {
    const records = parse(text, {
      bom: true,
      delimiter,
      trim: true,
      comment: "#",
      comment_no_infix: true,
      relax_column_count: true,
      skip_empty_lines: true,
      info: true,
      // Else the first line's end would be taken for that of all.
      record_delimiter: ["\r\n", "\n", "\r"],
    }) as unknown as { readonly record: readonly string[]; readonly info: { readonly lines: number } }[];
    const rows = records.map(({ record, info }): CsvRow => {
      const line = (lines[info.lines - 1] ?? "").replace(/\r$/, "");
      const start = lineStarts[info.lines - 1] ?? 0;
      let at = 0;
      const cells = record.map((cell): CsvCell => {
        // A cell with quotes inside stands otherwise in the file than it reads; then the row serves as its place.
        const found = cell === "" ? -1 : line.indexOf(cell, at);
        if (found >= 0) at = found + cell.length;
        return { text: cell, offset: start + Math.max(found, 0) };
      });
      return { cells, offset: start, length: line.length };
    });
    return { rows, delimiter };
  } catch (error) {
    if (!(error instanceof CsvError)) throw error;
    if (error.code === "CSV_QUOTE_NOT_CLOSED" || error.code === "CSV_INVALID_CLOSING_QUOTE") {
      // The parser notices where the next quote stands, or at the end of the file; the person looks for where it begins.
      const opened = lines.findIndex((line) => (line.match(/"/g)?.length ?? 0) % 2 === 1);
      const column = lines[opened]?.indexOf('"') ?? 0;
      const message =
        error.code === "CSV_QUOTE_NOT_CLOSED"
          ? "a quote is opened and never closed"
          : "a quote is opened, and closed within a cell";
      return {
        rows: [],
        delimiter,
        fault: { message, offset: (lineStarts[opened] ?? 0) + Math.max(0, column) },
      };
    }
    const { lines: failedAt } = error;
    const line = typeof failedAt === "number" ? failedAt : 1;
    return { rows: [], delimiter, fault: { message: error.message, offset: lineStarts[line - 1] ?? 0 } };
  }
}

/** The pins as CSV, one a line, for other programs. */
import { height } from "../format.ts";
import type { Findings } from "./model.ts";
import { placeOrder } from "./place-order.ts";

/** A cell of a CSV file (RFC 4180) whose text no spreadsheet takes for a formula. */
export function csvCell(value: string): string {
  const harmless = /^[=+\-@\t\r]/.test(value) ? `'${value}` : value;
  return /[",\r\n]/.test(harmless) ? `"${harmless.replaceAll('"', '""')}"` : harmless;
}

const CSV_COLUMNS = [
  "order",
  "pin",
  "room",
  "east_m",
  "north_m",
  "from",
  "depth_mm",
  "cut",
  "cut_mm",
  "cut_printed",
  "cut_printed_other",
  "check_on_the_day",
] as const;

/**
 * The pins in the order of placing, one a line; lengths in mm and as printed.
 * @throws Error where there are no depths yet.
 */
export function pinsCsv(findings: Findings): string {
  const { depths, plan, job } = findings;
  if (depths.kind !== "ready") throw new Error(`no pins to list for ${job.id}: it has no depths yet`);
  const rows = placeOrder(plan, depths.value.pins)
    .flatMap(({ pins }) => pins)
    .map(({ pin: one, depth, from, cut, checkOnTheDay }, index) => {
      const printed = cut.kind === "cut" ? height(cut.length, job.units.height) : undefined;
      const numbers: Readonly<Record<(typeof CSV_COLUMNS)[number], string>> = {
        order: String(index + 1),
        pin: csvCell(one.id),
        room: csvCell(plan.floors[one.roomIndex]?.roomId ?? ""),
        east_m: String(one.at.x),
        north_m: String(one.at.y),
        from,
        depth_mm: String(depth),
        cut: cut.kind,
        cut_mm: cut.kind === "cut" ? String(cut.length) : "",
        cut_printed: csvCell(printed?.large.text ?? ""),
        cut_printed_other: csvCell(printed?.small.text ?? ""),
        check_on_the_day: checkOnTheDay ? "yes" : "no",
      };
      return CSV_COLUMNS.map((column) => numbers[column]).join(",");
    });
  return `${[CSV_COLUMNS.join(","), ...rows].join("\r\n")}\r\n`;
}

/** Which pages a packet has, and which of them are printed: addresses and titles, no numbers. */
import type { MadePacket } from "../build.ts";
import { SET_NAMES, setPdfPath, setsOf, sheetPath, sheetPdfPath } from "../pages/job-page.ts";
import type { PageToRender } from "../print/render-pages.ts";
import type { Sheet } from "../sheets/model.ts";
import { MM_PER_INCH } from "../units.ts";

/** A page that becomes a PDF. A set is printed from a page of its own that nobody opens: `publish` is false. */
export interface PacketPage extends PageToRender {
  readonly publish: boolean;
  /** Below the job's folder; absent for the page of the job itself. */
  readonly pdf?: string;
}

/** Width of the widest page of a sheet in CSS pixels (96 an inch): a phone shows the paper whole and zooms in. */
const screenWidthPx = ({ pages }: Sheet): number =>
  Math.ceil((Math.max(...pages.map((page) => page.widthMm)) / MM_PER_INCH) * 96);

export const sheetPage = (jobId: string, title: string, sheet: Sheet, printed: boolean): PacketPage => ({
  template: "sheet",
  path: `${jobId}/${sheetPath(sheet)}`,
  view: {
    title: `${sheet.title}, ${title}`,
    sheet,
    widthPx: screenWidthPx(sheet),
    pdf: printed ? sheetPdfPath(jobId, sheet).split("/").at(-1) : undefined,
  },
  publish: true,
  pdf: sheetPdfPath(jobId, sheet),
});

/** The pages of a packet, below output/. */
export function packetPages({ page, sheets }: MadePacket, printed: boolean): PacketPage[] {
  const { jobId, title } = page;
  return [
    { template: "jobPage", path: `${jobId}/index.html`, view: { ...page, printed }, publish: true },
    ...sheets.map((sheet) => sheetPage(jobId, title, sheet, printed)),
    ...setsOf(sheets).map((set) => ({
      template: "set" as const,
      path: `${jobId}/${set.language}/${set.id}-set.html`,
      view: { title: `${SET_NAMES[set.id]}, ${title}`, language: set.language, sheets: set.sheets },
      publish: false,
      pdf: setPdfPath(jobId, set.id, set.language, page.revision.standing),
    })),
  ];
}

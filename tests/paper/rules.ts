/**
 * The rules for sheets that can be measured on a finished PDF: what each asks for, under which name a breach of it is
 * reported, and where a sheet is made to break it. A test holds this list against the checker and the broken sheets.
 */
export interface Rule {
  /** As sheets made to break it count it. */
  readonly number: number;
  readonly says: string;
  /** Name under which a breach is reported. */
  readonly rule: string;
  /** Pages set by hand, or a shipped job of which something was taken or moved. */
  readonly brokenOn: "hand-set page" | "shipped job";
}

const onHandSetPage = (number: number, rule: string, says: string): Rule => ({
  number,
  rule,
  says,
  brokenOn: "hand-set page",
});
const onShippedJob = (number: number, rule: string, says: string): Rule => ({
  number,
  rule,
  says,
  brokenOn: "shipped job",
});

export const RULES: readonly Rule[] = [
  onHandSetPage(1, "digit height", "depths have digits of 4.1 mm, key values of the pour clock of 9.3 mm"),
  onHandSetPage(1, "type size", "other text of pin map and cut table has capitals of 3.1 mm"),
  onHandSetPage(2, "type size", "an x-height of 2.54 mm where a sheet is read in action, capitals of 2.5 mm anywhere"),
  onHandSetPage(3, "leading", "lines stand 1.25 of the type size apart"),
  onHandSetPage(3, "line length", "70 characters a line at most"),
  onHandSetPage(3, "mixed case", "capitals for signal words and ids only"),
  onHandSetPage(4, "tabular figures", "digits are all of one width"),
  onHandSetPage(4, "decimals aligned", "values of a column end at one edge"),
  onHandSetPage(4, "both units", "both units wherever a length is cut, and they agree"),
  onHandSetPage(5, "contrast", "text stands out 7:1 in grey"),
  onHandSetPage(5, "tints", "three tints at most, L* 62 or lighter, 12 apart"),
  onHandSetPage(5, "band number", "every band of depth carries its number"),
  onHandSetPage(5, "hue", "nothing is told by hue"),
  onHandSetPage(6, "label overlap", "no label over another"),
  onHandSetPage(6, "contrast", "no line through a label"),
  onHandSetPage(6, "covered", "nothing painted over a label"),
  onHandSetPage(6, "label density", "two labels a square inch at most"),
  onHandSetPage(6, "text upright", "text stands upright or runs uphill"),
  onHandSetPage(7, "contour spacing", "contours are 1 mm apart"),
  onHandSetPage(7, "contour label", "every fifth contour is heavier, and broken at its label"),
  onShippedJob(8, "pin found", "redrawn from its printed offsets a pin lands within 10 mm"),
  onShippedJob(8, "running offset", "each grid line's running offset stands at both its ends"),
  onHandSetPage(9, "scale bar", "bars in both systems, true within 0.5 %"),
  onHandSetPage(9, "check length", "a check length that is true"),
  onHandSetPage(9, "drawn to scale", "pins lie where the scale puts them"),
  onHandSetPage(9, "north", "plan north on every plan"),
  onShippedJob(9, "entrance", "the way in is marked"),
  onHandSetPage(9, "tiles", "tiles of one size that say where the floor goes on, both ways"),
  onHandSetPage(9, "grid letters", "grid letters skip I and O"),
  onHandSetPage(10, "identity", "job, sheet, revision, date, status, hash, page x of y, all as the cover lists them"),
  onHandSetPage(11, "margins", "10 mm, and 20 mm where it is bound"),
  onHandSetPage(11, "paper size", "paper of the job's family"),
  onHandSetPage(11, "clipped", "nothing cut off"),
  onHandSetPage(11, "overflow", "nothing of the body in the identity line"),
  onHandSetPage(12, "table head", "a table's head on every page, with rows under it"),
  onHandSetPage(12, "two rows", "two rows at least under a head where a table goes on"),
  onHandSetPage(12, "heading alone", "no heading alone at the foot"),
  onHandSetPage(12, "scrap", "no page with a line or two behind one that could have handed it more"),
  onHandSetPage(13, "pause card", "nine items, each with a box, 120 words, the last says that the card is complete"),
  onHandSetPage(14, "box", "boxes to write in of 8 mm"),
  onHandSetPage(15, "fonts", "fonts are embedded"),
  onHandSetPage(15, "title", "the file has a title"),
  onHandSetPage(15, "language", "the file has the sheet's language"),
  onHandSetPage(15, "tags", "the file is tagged"),
  onHandSetPage(15, "bookmarks", "the file has bookmarks"),
  onHandSetPage(15, "table headers", "every table header says for what it is the head"),
  onHandSetPage(15, "ink", "15 % of a page of text, 35 % of a map"),
  onHandSetPage(15, "file name", "the file's name carries job, set and revision"),
  onHandSetPage(16, "language", "no English word on a Spanish sheet"),
  onShippedJob(16, "two languages", "ids and values are the same in both languages"),
];

/** Most entries of each list. Stated so that a slip of the mouse cannot stall the office's machine. */
export const LIMITS = {
  /**
   * Of a job or library file. The largest floors here, some thousands of readings, come to a few
   * hundred kilobytes; a file past 2 MB is a slip (a log, a picture, a dump).
   */
  fileBytes: 2_000_000,
  /** Of a CSV file beside the job: a scan of a million points has some 35 MB. A list of readings keeps to `fileBytes`. */
  scanBytes: 64_000_000,
  /** Rows of a scan that hold a height. */
  scanPoints: 1_000_000,
  rooms: 200,
  wallsOfRoom: 400,
  columnsOfRoom: 400,
  doorsOfRoom: 60,
  benchMarks: 200,
  setUps: 200,
  points: 5_000,
  /** Height pins of a floor: with one every 3 m, 9 hectares in a packet. */
  pins: 10_000,
  /** Of one set-up. */
  readings: 50_000,
  /** Lines and gaps measured by hand, and readings of one line. */
  lines: 500,
  gaps: 2_000,
  readingsOfLine: 2_000,
  rules: 20,
  list: 200,
} as const;

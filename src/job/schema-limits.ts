/** Most entries of each list. Stated so that a slip of the mouse cannot stall the office's machine. */
export const LIMITS = {
  rooms: 200,
  wallsOfRoom: 400,
  columnsOfRoom: 400,
  doorsOfRoom: 60,
  benchMarks: 200,
  setUps: 200,
  points: 5_000,
  /** Of one set-up. */
  readings: 200_000,
  /** Lines and gaps measured by hand, and readings of one line. */
  lines: 500,
  gaps: 2_000,
  readingsOfLine: 2_000,
  rules: 20,
  list: 200,
} as const;

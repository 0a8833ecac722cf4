/** What the files of a record are called, and a record as it was found. Loads nothing: most jobs have no record. */

export const RECORD_FILE = "record.json";
export const PACKET_FILE = "packet.json";
/** Folders of records in a job's folder, and what somebody's copy of one may be called. */
export const RECORD_FOLDER = /^revision\b/i;
export const recordFolder = (number: number): string => `revision-${number}`;

/** A file of a record: its path below the record's folder, and its text. */
export interface RecordFile {
  readonly path: string;
  readonly text: string;
}

/** A record's folder as it was found on the disk. */
export interface FoundRecord {
  /** Name of the folder, such as `revision-2`, and the name under which messages know it. */
  readonly folder: string;
  readonly place: string;
  readonly files: readonly RecordFile[];
}

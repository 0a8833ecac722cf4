/** SHA-256, in hex, of everything below the project's folder that decides what comes out besides the job. */
export function programHash(project: string): string;

/** What to load instead of the files of src/; undefined where it cannot be made. */
export function programBundle(project: string, part: "cli" | "compute-worker"): Promise<URL | undefined>;

/**
 * What a page may do: show itself. No page may ask anything of the network, and only the scripts of
 * templates/scripts/ may run, each known by its hash.
 */
import { createHash } from "node:crypto";

/** A Content-Security-Policy per kind of page: `paper` for what is printed, `screen` for pages with scripts. */
export interface ContentPolicies {
  readonly paper: string;
  readonly screen: string;
}

const SHOWS_ITSELF =
  "default-src 'none'; style-src 'unsafe-inline'; font-src data:; img-src data:; base-uri 'none'; form-action 'none'";

/** The policies, given the text of every script that a page may carry. */
export function contentPolicies(scripts: readonly string[]): ContentPolicies {
  return { paper: SHOWS_ITSELF, screen: `${SHOWS_ITSELF}; script-src ${scripts.map(scriptHash).join(" ")}` };
}

/** The hash by which a policy knows an inline script: of exactly what stands between its tags. */
export const scriptHash = (text: string): string => `'sha256-${createHash("sha256").update(text).digest("base64")}'`;

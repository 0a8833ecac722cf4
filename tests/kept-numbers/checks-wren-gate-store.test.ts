import { holdChecks } from "./checks.ts";

holdChecks("wren-gate-store");

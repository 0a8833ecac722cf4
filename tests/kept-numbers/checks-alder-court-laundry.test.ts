import { holdChecks } from "./checks.ts";

holdChecks("alder-court-laundry");

import { holdQuarter } from "./drawn-jobs.ts";

holdQuarter(1);

import { holdChecks } from "./checks.ts";

holdChecks("test-pad");

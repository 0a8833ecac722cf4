import { holdChecks } from "./checks.ts";

holdChecks("maple-loft-bath");

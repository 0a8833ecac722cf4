import { describe, expect, test } from "vitest";
import { readArguments, unknownJobs } from "../../src/cli/read-arguments.ts";
import { helpText, OPTIONS } from "../../src/cli/usage.ts";

const understood = (...words: string[]) => {
  const command = readArguments(words);
  if ("problem" in command) throw new Error(command.problem);
  return command;
};
const problem = (...words: string[]) => {
  const command = readArguments(words);
  return "problem" in command ? command.problem : "understood";
};

describe("words of the command line", () => {
  test("nothing builds everything; ids build these", () => {
    expect(understood()).toMatchObject({ verb: "build", jobIds: [], verbGiven: false });
    expect(understood("a-job", "--no-pdf", "b-job").jobIds).toEqual(["a-job", "b-job"]);
    expect(understood("build", "check").jobIds).toEqual(["check"]);
  });

  test("a value stands behind its option or an equals sign", () => {
    expect(understood("serve", "--port", "9000").options.get("port")).toBe("9000");
    expect(understood("new", "x", "--room=24' x 18'").options.get("room")).toBe("24' x 18'");
  });

  test.each([
    [["--fres"], "Did you mean --fresh?"],
    [["check", "--no-pdf"], "check has no option --no-pdf."],
    [["-x"], "no option -x"],
    [["serve", "--port"], "--port needs a value"],
    [["serve", "--port", "--no-pdf"], "--port needs a value"],
    [["--fresh=yes"], "takes no value"],
    [["--fresh", "--fresh"], "given twice"],
  ])("%j is not understood, and it says why", (words, expected) => {
    expect(problem(...words)).toContain(expected);
  });

  test("a misspelt job or verb gets the near one; a stranger gets the list", () => {
    const known = ["tern-street-clinic", "maple-loft-bath"];
    expect(unknownJobs(["tern-street-clinc"], known)).toEqual([
      "There is no job tern-street-clinc in the folder of jobs. Did you mean tern-street-clinic?",
    ]);
    expect(unknownJobs(["chekc"], known)[0]).toContain("Did you mean check?");
    expect(unknownJobs(["zzz"], known)[0]).toContain("Jobs: tern-street-clinic, maple-loft-bath.");
    expect(unknownJobs(["maple-loft-bath"], known)).toEqual([]);
  });

  test("help names every option and every exit code", () => {
    const text = helpText(undefined);
    for (const options of Object.values(OPTIONS))
      for (const name of Object.keys(options)) expect(text).toContain(`--${name}`);
    for (const code of ["0", "1", "2", "3", "4"]) expect(text).toMatch(new RegExp(`^ {2}${code} {2}`, "m"));
    expect(helpText("serve")).not.toContain("--walls");
  });
});

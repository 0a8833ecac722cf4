/** The reference page's list: every key once, each with what it means; and no key that the list does not have. */
import { expect, test } from "vitest";
import { schemaReference } from "../../src/job/schema-reference.ts";
import { changed, read } from "./job-text.ts";

test.each(["job", "library"] as const)("every key of the %s file has a meaning, and a value an example", (of) => {
  const entries = schemaReference(of);
  for (const { path, meaning, type, example } of entries) {
    expect([path, meaning.length]).not.toEqual([path, 0]);
    expect(meaning).toMatch(/[.]$/);
    if (type !== "keys" && !type.startsWith("list")) expect([path, example]).not.toEqual([path, undefined]);
  }
  expect(entries.every(({ depth, path }) => path.split(".").length === depth + 1)).toBe(true);
});

test("the keys of a door are those that a wrong key is answered with", () => {
  const doors = schemaReference("job")
    .filter(({ path }) => path.startsWith("rooms[].doors[]."))
    .map(({ key }) => key);
  expect(doors).toContain("finish_level");
  const { diagnostics } = read(changed("joins: street", "joins: street, swings: in"));
  expect(diagnostics[0]!.expected).toBe(`one of ${doors.join(", ")}`);
});

test("what is required is what is missed", () => {
  const required = schemaReference("job")
    .filter(({ depth, required: isRequired }) => depth === 0 && isRequired)
    .map(({ key }) => key);
  const { diagnostics } = read("notes: [none]\n");
  const missed = diagnostics
    .filter(({ code }) => code === "missing-key")
    .map(({ message }) => /no "(\w+)"/.exec(message)![1]);
  expect(missed.filter((key) => required.includes(key!)).sort()).toEqual([...required].sort());
});

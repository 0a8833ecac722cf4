import { expect, test } from "vitest";
import { spanishWarning, valuesOf } from "../../src/sheets/words/es-warnings.ts";

test.each([
  ["the primer stays open for 4 h, and the pour takes 5.5 h", ["4 h", "5.5 h"]],
  ["A1 is 12.5 mm (1/2 in) under its neighbours B2 and DR1a", ["A1", "12.5 mm", "1/2 in", "B2", "DR1a"]],
  [`walls do not close by 1 3/8 in over 82' 0 1/4"; 3 % of it`, ["1 3/8 in", `82' 0 1/4"`, "3 %"]],
  ["12 mm here and 12 mm there", ["12 mm"]],
  ["nobody goes out of the room", []],
])("the values of “%s”", (message, values) => expect(valuesOf(message)).toEqual(values));

test("a Spanish warning says its values, and its sentence alone where there are none", () => {
  expect(spanishWarning("primer-closes", "the primer stays open for 4 h")).toMatch(/ Valores: 4 h\.$/);
  expect(spanishWarning("primer-closes", "the primer closes")).not.toContain("Valores");
});

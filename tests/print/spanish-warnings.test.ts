import { expect, test } from "vitest";
import { spanishWarning, valuesOf } from "../../src/sheets/words/es-warnings.ts";

test.each([
  ["the primer stays open for 4 h, and the pour takes 5.5 h", ["4 h", "5.5 h"]],
  ["A1 is 12.5 mm (1/2 in) under its neighbours B2 and DR1a", ["A1", "12.5 mm", "1/2 in", "B2", "DR1a"]],
  [`walls do not close by 1 3/8 in over 82' 0 1/4"; 3 % of it`, ["1 3/8 in", `82' 0 1/4"`, "3 %"]],
  ["12 mm here and 12 mm there", ["12 mm"]],
  ["nobody goes out of the room", []],
])("the values of “%s”", (message, values) => expect(valuesOf(message)).toEqual(values));

test.each([
  ["room East office has 2 points and 1 reading", ["East office"], ["East office", "2\u00a0puntos", "1\u00a0lectura"]],
  // A name within a longer one is not named, and a value within a name is none.
  ["the door between Office 12 m and Office is blocked", ["Office", "Office 12 m"], ["Office 12 m"]],
  ["officers go out", ["office"], []],
  ["S2 shares 3 points with S1", ["S1", "S2"], ["S2", "3\u00a0puntos", "S1"]],
  ["14 people cannot carry 120 bags for 9.5 min", [], ["14\u00a0personas", "120\u00a0sacos", "9.5 min"]],
])("names and counts of “%s”", (message, names, values) => expect(valuesOf(message, names)).toEqual(values));

test("a Spanish warning says its values, and its sentence alone where there are none", () => {
  expect(spanishWarning("primer-closes", "the primer stays open for 4 h")).toMatch(/ Valores: 4 h\.$/);
  expect(spanishWarning("primer-closes", "the primer closes")).not.toContain("Valores");
});

/** Words that go with a number. */
import { NO_BREAK_SPACE } from "../../format.ts";

/** A count and what it counts, never broken over two lines: `1 bay`, `12 bays`. */
export const counted = (count: string, one: string, many: string): string =>
  `${count}${NO_BREAK_SPACE}${count === "1" ? one : many}`;

/** A name that ends in a number, never broken over two lines: `Bay 4`. */
export const numbered = (name: string, number: string): string => `${name}${NO_BREAK_SPACE}${number}`;

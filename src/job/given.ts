/**
 * `{ [key]: turn(value) }`, or nothing where there is no value: an absent key is not a key that is
 * undefined.
 */
export const given = <K extends string, A, B>(
  key: K,
  value: A | undefined,
  turn: (value: A) => B,
): { readonly [P in K]?: B } =>
  value === undefined ? {} : ({ [key]: turn(value) } as unknown as { readonly [P in K]: B });

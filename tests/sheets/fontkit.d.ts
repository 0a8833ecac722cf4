/** The part of fontkit that the metrics need; the package ships no types. */
declare module "fontkit" {
  export interface Font {
    readonly unitsPerEm: number;
    readonly ascent: number;
    readonly descent: number;
    readonly capHeight: number;
    readonly xHeight: number;
    readonly characterSet: readonly number[];
    glyphForCodePoint(codePoint: number): {
      readonly advanceWidth: number;
      readonly bbox: { readonly minY: number; readonly maxY: number };
    };
    /** Shapes a line: its width with joined forms and ligatures, in font units, and its glyphs from left to right. */
    layout(
      text: string,
      features?: Readonly<Record<string, boolean>>,
    ): {
      readonly advanceWidth: number;
      readonly glyphs: readonly { readonly id: number; readonly advanceWidth: number }[];
    };
  }
  export function create(file: Uint8Array): Font;
}

/** Eleventy ships no types: the part of it that is used here. */
declare module "@11ty/eleventy" {
  export default class Eleventy {
    constructor(input: string, output: string, options: object);
    toJSON(): Promise<{ outputPath: string | false; content: string }[]>;
  }
}

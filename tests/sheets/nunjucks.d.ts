/** The part of nunjucks that the template tests use; the package ships no types. */
declare module "nunjucks" {
  export class FileSystemLoader {
    constructor(folder: string);
  }
  export class Environment {
    constructor(loader: FileSystemLoader, options: Readonly<Record<string, boolean>>);
    render(name: string, context: object): string;
  }
  const nunjucks: {
    Environment: typeof Environment;
    FileSystemLoader: typeof FileSystemLoader;
    renderString(template: string, context: object): string;
  };
  export default nunjucks;
}

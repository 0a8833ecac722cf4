/**
 * Faults that a typing hand could make in a source file, each as one small change of its text: an operator for its
 * neighbour, a condition that always or never holds, a number that is off, a step left out. Words for people (strings,
 * templates) and types are left as they are.
 */
import { parseAst } from "vitest/node";

export interface Mutant {
  /** From the root of the project, with forward slashes. */
  readonly file: string;
  /** What of the text is replaced: from `start` up to `end`. */
  readonly start: number;
  readonly end: number;
  readonly replacement: string;
  /** What sort of fault it is, such as `< → <=` or `condition → true`. */
  readonly kind: string;
  /** Of the place, counted from 1. */
  readonly line: number;
  /** The number of the innermost function that the place lies in, in order of the text; −1 outside of all. */
  readonly inFunction: number;
}

interface Node {
  readonly type: string;
  readonly start: number;
  readonly end: number;
  readonly [key: string]: unknown;
}

/** A function's body, where a mark can be set that it was entered. */
export interface FunctionBody {
  readonly start: number;
  readonly end: number;
  readonly isBlock: boolean;
}

const BINARY: Readonly<Record<string, readonly string[]>> = {
  "+": ["-"],
  "-": ["+"],
  "*": ["/"],
  "/": ["*"],
  "%": ["*"],
  "**": ["*"],
  "<": ["<=", ">="],
  "<=": ["<", ">"],
  ">": [">=", "<="],
  ">=": [">", "<"],
  "===": ["!=="],
  "!==": ["==="],
  "&": ["|"],
  "|": ["&"],
};
const LOGICAL: Readonly<Record<string, readonly string[]>> = { "&&": ["||"], "||": ["&&"] };
const ASSIGNMENT: Readonly<Record<string, readonly string[]>> = {
  "+=": ["-="],
  "-=": ["+="],
  "*=": ["/="],
  "/=": ["*="],
  "??=": ["="],
};
const METHODS: ReadonlyMap<string, string> = new Map([
  ["min", "max"],
  ["max", "min"],
  ["floor", "ceil"],
  ["ceil", "floor"],
  ["round", "floor"],
  ["sin", "cos"],
  ["cos", "sin"],
  ["some", "every"],
  ["every", "some"],
]);
/** Calls that give nearly what they are called on: without the call the value goes on as it is. */
const STEPS = new Set(["filter", "sort", "toSorted", "reverse", "toReversed", "slice"]);

const FUNCTIONS = new Set(["FunctionDeclaration", "FunctionExpression", "ArrowFunctionExpression"]);
/** Wrappers that say something about types and hold an expression. */
const TYPED = new Set(["TSAsExpression", "TSNonNullExpression", "TSSatisfiesExpression", "TSTypeAssertion"]);

/** The number that stands for a wrong one: the next whole one; twice a fraction; and for a tolerance one that lets all through. */
function wrongNumber(value: number): number {
  if (Number.isInteger(value)) return value + 1;
  return Math.abs(value) < 1e-3 ? 1 : 2 * value;
}

/** Every mutant of a file's text, in order of the text, and the functions in it. */
export function mutantsOf(file: string, text: string): { mutants: Mutant[]; functions: FunctionBody[] } {
  const mutants: Mutant[] = [];
  const functions: FunctionBody[] = [];
  const lineStarts = [0, ...[...text.matchAll(/\n/g)].map(({ index }) => index + 1)];
  let inFunction = -1;

  const add = (start: number, end: number, replacement: string, kind: string) => {
    const line = lineStarts.findLastIndex((at) => at <= start) + 1;
    mutants.push({ file, start, end, replacement, kind, line, inFunction });
  };
  const textOf = ({ start, end }: Node) => text.slice(start, end);
  const isText = (node: Node) =>
    node.type === "TemplateLiteral" || (node.type === "Literal" && typeof node.value === "string");

  /** The operator between two operands, and the whole in brackets, since precedence may change. */
  const operator = (node: Node, table: Readonly<Record<string, readonly string[]>>) => {
    const now = String(node.operator);
    const [left, right] = [node.left as Node, node.right as Node];
    if (now === "+" && (isText(left) || isText(right))) return;
    const at = text.indexOf(now, left.end);
    if (at < 0 || at >= right.start) throw new Error(`${file}: no operator ${now} after ${textOf(left)}`);
    for (const other of table[now] ?? [])
      add(
        node.start,
        node.end,
        `(${text.slice(node.start, at)}${other}${text.slice(at + now.length, node.end)})`,
        `${now} → ${other}`,
      );
  };
  const condition = (test: Node, ways: readonly ("true" | "false")[]) => {
    for (const way of ways) if (textOf(test) !== way) add(test.start, test.end, way, `condition → ${way}`);
  };

  const of = (node: Node) => {
    switch (node.type) {
      case "BinaryExpression":
        operator(node, BINARY);
        break;
      case "LogicalExpression":
        if (node.operator === "??") {
          // The language lets no other operator stand beside this one without brackets.
          const [value, otherwise] = [textOf(node.left as Node), textOf(node.right as Node)];
          add(node.start, node.end, `(${otherwise})`, "?? always");
          add(node.start, node.end, `(${value})`, "?? never");
        } else operator(node, LOGICAL);
        break;
      case "AssignmentExpression": {
        const now = String(node.operator);
        const at = text.indexOf(now, (node.left as Node).end);
        for (const other of ASSIGNMENT[now] ?? []) add(at, at + now.length, other, `${now} → ${other}`);
        break;
      }
      case "UnaryExpression":
        if (node.operator === "-" || node.operator === "!")
          add(node.start, node.end, textOf(node.argument as Node), `${node.operator} left out`);
        break;
      case "UpdateExpression": {
        const now = String(node.operator);
        add(node.start, node.end, textOf(node).replace(now, now === "++" ? "--" : "++"), `${now} turned`);
        break;
      }
      case "ConditionalExpression":
      case "IfStatement":
        condition(node.test as Node, ["true", "false"]);
        break;
      case "WhileStatement":
      case "DoWhileStatement":
      case "ForStatement":
        if (node.test) condition(node.test as Node, ["false"]);
        break;
      case "BlockStatement":
        if ((node.body as Node[]).length > 0) add(node.start, node.end, "{}", "block left out");
        break;
      case "ArrowFunctionExpression": {
        const body = node.body as Node;
        if (body.type !== "BlockStatement") add(body.start, body.end, "(undefined)", "result left out");
        break;
      }
      case "Literal":
        if (typeof node.value === "number")
          add(node.start, node.end, String(wrongNumber(node.value)), `${node.raw} → ${wrongNumber(node.value)}`);
        else if (typeof node.value === "boolean")
          add(node.start, node.end, String(!node.value), `${node.value} → ${!node.value}`);
        break;
      case "ArrayExpression":
        if ((node.elements as unknown[]).length > 0) add(node.start, node.end, "[]", "list emptied");
        break;
      case "CallExpression": {
        const callee = node.callee as Node;
        if (callee.type !== "MemberExpression" || callee.computed === true) break;
        const name = callee.property as Node;
        const other = METHODS.get(textOf(name));
        if (other !== undefined) add(name.start, name.end, other, `${textOf(name)} → ${other}`);
        if (STEPS.has(textOf(name)))
          add(node.start, node.end, textOf(callee.object as Node), `.${textOf(name)}() left out`);
        if (textOf(callee) === "Math.abs") add(callee.start, callee.end, "", "Math.abs left out");
        break;
      }
    }
  };

  const visit = (value: unknown): void => {
    if (Array.isArray(value)) {
      for (const each of value) visit(each);
      return;
    }
    if (value === null || typeof value !== "object" || typeof (value as Node).type !== "string") return;
    const node = value as Node;
    if (TYPED.has(node.type)) {
      visit(node.expression);
      return;
    }
    if (node.type.startsWith("TS") || node.type === "TemplateLiteral" || node.type === "ImportDeclaration") return;
    const outer = inFunction;
    const body = node.body as Node | null | undefined;
    if (FUNCTIONS.has(node.type) && body) {
      inFunction = functions.length;
      functions.push({ start: body.start, end: body.end, isBlock: body.type === "BlockStatement" });
    }
    of(node);
    for (const [key, child] of Object.entries(node)) {
      // A key that is a number in the text is a name.
      if (key === "key" && node.computed !== true) continue;
      visit(child);
    }
    inFunction = outer;
  };
  visit(parseAst(text, { lang: "ts" }) as unknown as Node);
  const seen = new Set<string>();
  return {
    mutants: mutants.filter(({ start, end, replacement }) => {
      const key = `${start} ${end} ${replacement}`;
      return seen.has(key) ? false : seen.add(key);
    }),
    functions,
  };
}

/** The text with one fault in it. */
export const withFault = (text: string, { start, end, replacement }: Mutant): string =>
  text.slice(0, start) + replacement + text.slice(end);

/** The text with a mark at the beginning of every function that says to `globalThis.entered` that it was entered. */
export function withMarks(file: string, text: string): string {
  const { functions } = mutantsOf(file, text);
  const put: [number, string][] = functions.flatMap(({ start, end, isBlock }, k): [number, string][] => {
    const mark = `globalThis.entered?.add(${JSON.stringify(`${file} ${k}`)})`;
    return isBlock
      ? [[start + 1, `${mark};`]]
      : [
          [start, `(${mark}, `],
          [end, ")"],
        ];
  });
  // From the back, so that places before stay right; at one place the inner one comes last.
  put.sort(([a], [b]) => b - a);
  return put.reduce((so, [at, mark]) => so.slice(0, at) + mark + so.slice(at), text);
}

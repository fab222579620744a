/** Reading a job file's text: JSON with comments, every problem with its place, one wrong value losing only itself. */
import {
  findNodeAtLocation,
  getNodeValue,
  parseTree,
  printParseErrorCode,
  type Node,
  type ParseError,
} from "jsonc-parser";
import type { JobProblem, Source, Sourced } from "./facts.ts";
import { misfits, schemaAt, type Path } from "./job-check.ts";
import { parseLength, type Units } from "./length.ts";

/** Larger job files are not read, bytes (in text: characters). */
export const largestJobFile = 2_000_000;
/** Nesting beyond this is refused: a job file has five levels, and the parser recurses. */
const deepestNesting = 100;
/** A file that is wrong everywhere is told a hundred times, not a million. */
const mostProblems = 100;

/** Bounds of a length, mm. `above` excludes its value. */
export interface Bounds {
  readonly above?: number;
  readonly least?: number;
}

export interface JobText {
  readonly file: string;
  readonly text: string;
  /** Why the text could not be had, as a sentence with the remedy; then `text` is empty. */
  readonly unreadable?: string;
}

export class JobReader {
  readonly problems: JobProblem[] = [];
  readonly units: Units;
  readonly file: string;
  /** Whether it is JSON throughout. If not, what could be made out is used all the same. */
  readonly whole: boolean;
  private readonly text: string;
  private readonly lineStarts: number[] = [0];
  private readonly root: Node | undefined;

  constructor({ file, text, unreadable }: JobText) {
    this.file = file;
    this.text = text;
    for (let at = text.indexOf("\n"); at >= 0; at = text.indexOf("\n", at + 1)) this.lineStarts.push(at + 1);
    this.root = unreadable === undefined ? this.parse() : this.unreadable(0, 0, unreadable);
    this.whole = this.problems.length === 0;
    this.units = this.value(["units"]) === "in" ? "in" : "mm";
    if (this.root) {
      this.tellRepeats(this.root);
      for (const { path, atName, message } of misfits(getNodeValue(this.root), mostProblems)) {
        this.invalid(path, message, atName);
      }
    }
  }

  /** The plain value at a path; undefined where there is none. */
  value(path: Path): unknown {
    const node = this.node(path);
    return node && (getNodeValue(node) as unknown);
  }

  /** Keys of the object at a path, in file order, each once. */
  keys(path: Path): string[] {
    const node = this.node(path);
    if (node?.type !== "object") return [];
    return [...new Set((node.children ?? []).map((property) => String(property.children?.[0]?.value)))];
  }

  /** Number of entries of the array at a path; 0 where there is none. */
  entries(path: Path): number {
    const node = this.node(path);
    return node?.type === "array" ? (node.children ?? []).length : 0;
  }

  source(path: Path): Source {
    const node = this.node(path);
    return { kind: "job", file: this.file, line: this.lineOf(node?.offset ?? 0) + 1 };
  }

  /**
   * A length at a path, mm. A wrong type was told by the schema; wrong text or size is told here.
   * @param whenEmpty what to say of an empty text: a place to fill in; "" says nothing
   */
  length(path: Path, bounds: Bounds = {}, whenEmpty?: string): Sourced<number> | undefined {
    const raw = this.value(path);
    if (typeof raw !== "string" && typeof raw !== "number") return undefined;
    if (raw === "" && whenEmpty !== undefined) {
      if (whenEmpty) this.invalid(path, whenEmpty);
      return undefined;
    }
    const value = parseLength(raw, this.units);
    const name = String(path.filter((step) => typeof step === "string").at(-1));
    const schema = schemaAt(path) as { errorMessage?: string; examples?: string[] } | undefined;
    const example = schema?.examples?.[0] ?? "18.3 mm";
    if (value === undefined) {
      const must = schema?.errorMessage?.replace(/^M/, "m") ?? `must be a length such as "${example}".`;
      this.invalid(path, `"${name}" ${must.replace(/\.$/, "")}, at most 10 m.`);
      return undefined;
    }
    if (bounds.above !== undefined && value <= bounds.above) {
      this.invalid(path, `"${name}" must be more than ${bounds.above}, such as "${example}".`);
      return undefined;
    }
    if (bounds.least !== undefined && value < bounds.least) {
      this.invalid(path, `"${name}" must be ${bounds.least} or more, such as "${example}".`);
      return undefined;
    }
    return { value, source: this.source(path) };
  }

  /** Two lengths at a path, mm. */
  point(path: Path, bounds: Bounds = {}): Sourced<readonly [number, number]> | undefined {
    if (this.entries(path) !== 2) return undefined;
    const a = this.length([...path, 0], bounds);
    const b = this.length([...path, 1], bounds);
    return a && b && { value: [a.value, b.value], source: this.source(path) };
  }

  string(path: Path): string | undefined {
    const raw = this.value(path);
    return typeof raw === "string" && raw.trim() !== "" ? raw : undefined;
  }

  /** A whole number within bounds; the schema has told if it is not one. */
  integer(path: Path, least: number, most: number): number | undefined {
    const raw = this.value(path);
    return typeof raw === "number" && Number.isInteger(raw) && raw >= least && raw <= most ? raw : undefined;
  }

  choice<T extends string>(path: Path, values: readonly T[]): T | undefined {
    const raw = this.value(path);
    return values.find((value) => value === raw);
  }

  /** Offsets of the value at a path; of the whole text's first character where there is none. */
  place(path: Path): { start: number; end: number } {
    const node = this.node(path);
    return {
      start: node?.offset ?? 0,
      end: node ? node.offset + node.length : Math.min(1, this.text.length),
    };
  }

  /** A problem with the value at a path, or with its name. */
  invalid(path: Path, message: string, atName = false): void {
    const name = atName ? this.node(path)?.parent?.children?.[0] : undefined;
    const { start, end } = name ? { start: name.offset, end: name.offset + name.length } : this.place(path);
    this.tell("job-invalid", start, end, message);
  }

  tell(rule: JobProblem["rule"], start: number, end: number, message: string): void {
    if (this.problems.length > mostProblems) return;
    const all = this.problems.length < mostProblems;
    this.problems.push({
      rule: all ? rule : "job-invalid",
      file: this.file,
      line: this.lineOf(start),
      start,
      end,
      message: all
        ? message
        : `There is more wrong in this file; ${mostProblems} problems are told at a time.`,
    });
  }

  private parse(): Node | undefined {
    const { text } = this;
    if (text.length > largestJobFile) {
      return this.unreadable(0, 1, "The job file has more than 2 MB and is not read. Split the job.");
    }
    const zero = text.indexOf("\0");
    if (zero >= 0) {
      return this.unreadable(
        zero,
        zero + 1,
        "The job file is not UTF-8 text (it holds zero characters). Save it as UTF-8.",
      );
    }
    const lost = text.indexOf("\ufffd");
    if (lost >= 0) {
      this.unreadable(
        lost,
        lost + 1,
        "A character here was lost: the job file was not saved as UTF-8. Save it as UTF-8.",
      );
    }
    // A space in place of a byte order mark keeps every offset.
    const clean = text.charCodeAt(0) === 0xfeff ? ` ${text.slice(1)}` : text;
    const deep = tooDeep(clean);
    if (deep !== undefined) {
      return this.unreadable(
        deep,
        deep + 1,
        "Brackets nest too deep here for a job file. Correct this place.",
      );
    }
    const errors: ParseError[] = [];
    const tree = parseTree(clean, errors, { allowTrailingComma: true, disallowComments: false });
    if (tree?.type !== "object") {
      const end = Math.min(1, text.length);
      return this.unreadable(0, end, 'A job file is one JSON object, such as { "boards": { ... } }.');
    }
    if (errors.length > 0) {
      const { error, offset, length } = errors[0];
      const start = Math.min(offset, text.length);
      const end = Math.min(start + Math.max(1, length), text.length);
      const remedy = remedies[printParseErrorCode(error)] ?? "Correct this place.";
      this.unreadable(start, end, `Not valid JSON here, so that values may be lost. ${remedy}`);
    }
    return tree;
  }

  private unreadable(start: number, end: number, message: string): undefined {
    this.tell("job-unreadable", start, end, message);
    return undefined;
  }

  /** Names that stand twice in one object: the first one counts. */
  private tellRepeats(node: Node): void {
    const names = new Set<unknown>();
    for (const child of node.children ?? []) {
      const [key, value] = node.type === "object" ? (child.children ?? []) : [undefined, child];
      if (key) {
        if (names.has(key.value)) {
          const message = `"${String(key.value)}" stands here twice; the first one counts. Remove one.`;
          this.tell("job-invalid", key.offset, key.offset + key.length, message);
        }
        names.add(key.value);
      }
      if (value) this.tellRepeats(value);
    }
  }

  private node(path: Path): Node | undefined {
    return this.root && findNodeAtLocation(this.root, [...path]);
  }

  private lineOf(offset: number): number {
    let low = 0;
    let high = this.lineStarts.length - 1;
    while (low < high) {
      const middle = (low + high + 1) >> 1;
      if (this.lineStarts[middle] <= offset) low = middle;
      else high = middle - 1;
    }
    return low;
  }
}

/** By the parser's name of the error. */
const remedies: Readonly<Record<string, string | undefined>> = {
  InvalidSymbol: 'Put text in double quotes, such as "18.3 mm".',
  InvalidNumberFormat: "Write the number with digits and one point, such as 18.3.",
  PropertyNameExpected: 'A name in double quotes belongs here, such as "thickness".',
  ValueExpected: 'A value belongs here, such as "18.3 mm".',
  ColonExpected: "A colon belongs between the name and its value.",
  CommaExpected: "A comma belongs ahead of this.",
  CloseBraceExpected: "A closing } is missing.",
  CloseBracketExpected: "A closing ] is missing.",
  EndOfFileExpected: "Nothing may follow the closing }.",
  UnexpectedEndOfComment: "The comment is not closed: */ is missing.",
  UnexpectedEndOfString: "The closing quote is missing.",
  UnexpectedEndOfNumber: "Digits are missing at the end of this number.",
  InvalidEscapeCharacter: "Write a backslash as \\\\, or use / in names of files.",
  InvalidUnicode: "\\u needs four digits after it.",
};

/** Offset of the first bracket that nests too deep; brackets in strings and comments count too, which does no harm. */
function tooDeep(text: string): number | undefined {
  let depth = 0;
  for (let at = 0; at < text.length; at++) {
    const c = text.charCodeAt(at);
    if (c === 123 || c === 91) {
      if (++depth > deepestNesting) return at;
    } else if (c === 125 || c === 93) depth--;
  }
  return undefined;
}

/** Reading a job file's text: JSON with comments, every problem with its place, one wrong value losing only itself. */
import { Value } from "@sinclair/typebox/value";
import type { TSchema } from "@sinclair/typebox";
import {
  findNodeAtLocation,
  getNodeValue,
  parseTree,
  printParseErrorCode,
  type Node,
  type ParseError,
} from "jsonc-parser";
import type { JobProblem, Source, Sourced } from "./facts.ts";
import { parseLength, type Units } from "./length.ts";
import { jobSchema, propertyNames } from "./schema.ts";

type Path = readonly (string | number)[];

/** Bounds of a length, mm. `above` excludes its value. */
export interface Bounds {
  readonly above?: number;
  readonly least?: number;
}

export class JobReader {
  readonly problems: JobProblem[] = [];
  readonly units: Units;
  private readonly root: Node | undefined;

  constructor(
    readonly file: string,
    private readonly text: string,
  ) {
    const errors: ParseError[] = [];
    const clean = text.charCodeAt(0) === 0xfeff ? ` ${text.slice(1)}` : text;
    // Nesting beyond any sense would exhaust the parser's recursion.
    const tree = deepest(clean) > 200 ? undefined : parseTree(clean, errors, { allowTrailingComma: true });
    if (!tree || tree.type !== "object") {
      this.problem(
        "job-unreadable",
        0,
        Math.min(1, text.length),
        'This is no job file: it must be a JSON object, such as { "boards": { ... } }.',
      );
    } else if (errors.length > 0) {
      const { error, offset, length } = errors[0];
      const at = Math.min(offset, text.length);
      this.problem(
        "job-unreadable",
        at,
        Math.min(at + Math.max(1, length), text.length),
        `The job file is not valid JSON here (${printParseErrorCode(error)}); what comes after may be lost. Correct this place.`,
      );
    }
    this.root = tree?.type === "object" ? tree : undefined;
    this.units = this.value(["units"]) === "in" ? "in" : "mm";
    if (this.root) this.validate(this.root);
  }

  /** The plain value at a path; undefined where there is none. */
  value(path: Path): unknown {
    const node = this.node(path);
    return node && getNodeValue(node);
  }

  /** Keys of the object at a path, in file order. */
  keys(path: Path): string[] {
    const node = this.node(path);
    if (node?.type !== "object") return [];
    return (node.children ?? []).map((property) => String(property.children?.[0]?.value));
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

  /** A length at a path, mm. A wrong type was told by the schema; wrong text or size is told here. */
  length(path: Path, bounds: Bounds = {}): Sourced<number> | undefined {
    const raw = this.value(path);
    if (typeof raw !== "string" && typeof raw !== "number") return undefined;
    const name = String(path.filter((step) => typeof step === "string").at(-1));
    if (raw === "") {
      this.invalid(path, `"${name}" is still empty: measure it and write it here, for example "18.3 mm".`);
      return undefined;
    }
    const value = parseLength(raw, this.units);
    if (value === undefined) {
      this.invalid(path, `"${name}" must be a length such as "18.3 mm" or "3/4 in", at most 10 m.`);
      return undefined;
    }
    if (bounds.above !== undefined && value <= bounds.above) {
      this.invalid(path, `"${name}" must be more than ${bounds.above} mm.`);
      return undefined;
    }
    if (bounds.least !== undefined && value < bounds.least) {
      this.invalid(path, `"${name}" must be ${bounds.least} mm or more.`);
      return undefined;
    }
    return { value, source: this.source(path) };
  }

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
  whole(path: Path, least: number, most: number): number | undefined {
    const raw = this.value(path);
    return typeof raw === "number" && Number.isInteger(raw) && raw >= least && raw <= most ? raw : undefined;
  }

  choice<T extends string>(path: Path, values: readonly T[]): T | undefined {
    const raw = this.value(path);
    return values.find((value) => value === raw);
  }

  invalid(path: Path, message: string): void {
    const node = this.node(path);
    this.problem("job-invalid", node?.offset ?? 0, node ? node.offset + node.length : 1, message);
  }

  problem(rule: JobProblem["rule"], start: number, end: number, message: string): void {
    // A file that is wrong everywhere is told a hundred times, not a million.
    if (this.problems.length < 100)
      this.problems.push({ rule, file: this.file, line: this.lineOf(start), start, end, message });
  }

  private node(path: Path): Node | undefined {
    return this.root && findNodeAtLocation(this.root, [...path]);
  }

  private lineOf(offset: number): number {
    let line = 0;
    for (let at = this.text.indexOf("\n"); at >= 0 && at < offset; at = this.text.indexOf("\n", at + 1))
      line++;
    return line;
  }

  private validate(root: Node): void {
    const told = new Set<string>();
    let count = 0;
    for (const error of Value.Errors(jobSchema, getNodeValue(root))) {
      if (++count > 200) break;
      if (told.has(error.path)) continue;
      told.add(error.path);
      const path = pathOf(error.path, root);
      const name = String(path.at(-1) ?? "the file");
      const parent = schemaAt(path.slice(0, -1));
      if (
        parent &&
        (parent as { additionalProperties?: unknown }).additionalProperties === false &&
        typeof path.at(-1) === "string" &&
        !propertyNames(parent).includes(name)
      ) {
        const near = nearest(name, propertyNames(parent));
        const property = this.node(path)?.parent?.children?.[0];
        const hint = near ? ` Did you mean "${near}"?` : ` Known here: ${propertyNames(parent).join(", ")}.`;
        this.problem(
          "job-invalid",
          property?.offset ?? 0,
          property ? property.offset + property.length : 1,
          `"${name}" is not known here.${hint}`,
        );
        continue;
      }
      const schema = schemaAt(path) ?? error.schema;
      const missing = this.node(path) === undefined;
      const at = missing ? path.slice(0, -1) : path;
      const what = missing ? `"${name}" is missing.` : `"${name}" does not fit.`;
      this.invalid(at, `${what} ${expectation(schema)}`);
    }
  }
}

function expectation(schema: TSchema): string {
  const { description, enum: values } = schema as { description?: string; enum?: string[] };
  const choices = values ? ` One of ${values.map((value) => `"${value}"`).join(", ")}.` : "";
  return `${description ?? "See the job file's page for what goes here."}${choices}`;
}

/** The schema's JSON pointer as a path; steps into arrays become numbers. */
function pathOf(pointer: string, root: Node): (string | number)[] {
  const path: (string | number)[] = [];
  for (const step of pointer.split("/").slice(1)) {
    const name = step.replace(/~1/g, "/").replace(/~0/g, "~");
    const node = findNodeAtLocation(root, path);
    path.push(node?.type === "array" ? Number(name) : name);
  }
  return path;
}

/** The schema that governs a path. */
function schemaAt(path: Path): TSchema | undefined {
  let schema: TSchema | undefined = jobSchema;
  for (const step of path) {
    const { properties, items, patternProperties } = schema as {
      properties?: Record<string, TSchema>;
      items?: TSchema;
      patternProperties?: Record<string, TSchema>;
    };
    const next: TSchema | undefined =
      typeof step === "number"
        ? items
        : (properties?.[step] ?? (patternProperties && Object.values(patternProperties)[0]));
    if (!next) return undefined;
    schema = next;
  }
  return schema;
}

/** The known name closest to a misspelt one, if it is close. */
function nearest(name: string, known: readonly string[]): string | undefined {
  let best: string | undefined;
  let least = Math.max(2, Math.ceil(name.length / 3)) + 1;
  for (const candidate of known) {
    const distance = editDistance(name.toLowerCase().slice(0, 40), candidate.toLowerCase());
    if (distance < least) {
      least = distance;
      best = candidate;
    }
  }
  return best;
}

/** Levenshtein distance. */
function editDistance(a: string, b: string): number {
  let row = Array.from({ length: b.length + 1 }, (_, i) => i);
  for (let i = 1; i <= a.length; i++) {
    const next = [i];
    for (let j = 1; j <= b.length; j++) {
      next.push(Math.min(row[j] + 1, next[j - 1] + 1, row[j - 1] + (a[i - 1] === b[j - 1] ? 0 : 1)));
    }
    row = next;
  }
  return row[b.length];
}

/** Deepest nesting of brackets, strings not looked into: an upper bound is enough. */
function deepest(text: string): number {
  let depth = 0;
  let most = 0;
  for (let at = 0; at < text.length; at++) {
    const c = text.charCodeAt(at);
    if (c === 123 || c === 91) most = Math.max(most, ++depth);
    else if (c === 125 || c === 93) depth--;
  }
  return most;
}

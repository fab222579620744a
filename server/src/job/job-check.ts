/** Checking a job file against its schema: plain sentences that name the remedy. */
import type { TSchema } from "@sinclair/typebox";
import { Value, type ValueError } from "@sinclair/typebox/value";
import { nearest } from "./nearest.ts";
import { jobSchema, programOnBoard, propertyNames } from "./schema.ts";

export type Path = readonly (string | number)[];

/** Something that does not fit the schema. */
export interface Misfit {
  /** Place of the value; of the object that lacks it, where it is missing. */
  readonly path: Path;
  /** Whether the property's name is what is wrong. */
  readonly atName: boolean;
  readonly message: string;
}

/** What does not fit, at most `most`, one for each place. Never throws. */
export function misfits(value: unknown, most: number): Misfit[] {
  const found = new Map<string, Misfit>();
  check(jobSchema, value, [], found, most);
  return [...found.values()];
}

function check(schema: TSchema, value: unknown, base: Path, found: Map<string, Misfit>, most: number): void {
  for (const error of Value.Errors(schema, value)) {
    if (found.size >= most) return;
    const path = [...base, ...steps(error.path, value)];
    const key = JSON.stringify(path);
    if (found.has(key)) continue;
    // A program given as an object: what is wrong inside it says more than that it is no name.
    if (base.length === 0 && isProgram(path) && isObject(error.value)) {
      check(programOnBoard, error.value, path, found, most);
      continue;
    }
    found.set(key, misfit(error, path));
  }
}

function misfit(error: ValueError, path: Path): Misfit {
  const name = String(path.at(-1) ?? "the job file");
  const parent = path.length > 0 ? schemaAt(path.slice(0, -1)) : undefined;
  const known = parent ? propertyNames(isProgram(path.slice(0, -1)) ? programOnBoard : parent) : [];
  if (typeof path.at(-1) === "string" && known.length > 0 && !known.includes(name)) {
    const near = nearest(name, known);
    const hint = near ? `Did you mean "${near}"?` : `Known here: ${known.join(", ")}.`;
    return { path, atName: true, message: `"${name}" is not known here. ${hint}` };
  }
  const schema = schemaAt(path) ?? error.schema;
  const expected = (schema as { errorMessage?: string }).errorMessage ?? "See the page on the job file.";
  if (error.value === undefined) {
    return { path: path.slice(0, -1), atName: false, message: `"${name}" is missing. ${expected}` };
  }
  const who = typeof path.at(-1) === "number" ? `Entry ${Number(path.at(-1)) + 1}` : `"${name}"`;
  const subject = path.length === 0 ? "The job file" : who;
  return { path, atName: false, message: `${subject} ${expected[0].toLowerCase()}${expected.slice(1)}` };
}

/** Whether a path leads to an entry of the programs: a name, or an object. */
function isProgram(path: Path): boolean {
  return path.length === 2 && path[0] === "programs";
}

function isObject(value: unknown): boolean {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}

/** A JSON pointer as steps; steps into arrays become numbers. */
function steps(pointer: string, value: unknown): (string | number)[] {
  const path: (string | number)[] = [];
  let at = value;
  for (const step of pointer.split("/").slice(1)) {
    const name = step.replace(/~1/g, "/").replace(/~0/g, "~");
    path.push(Array.isArray(at) ? Number(name) : name);
    at = typeof at === "object" && at !== null ? (at as Record<string, unknown>)[name] : undefined;
  }
  return path;
}

/** The schema that governs a path; undefined where none does. */
export function schemaAt(path: Path): TSchema | undefined {
  let schema: TSchema | undefined = jobSchema;
  path.forEach((step, i) => {
    const { properties, items, patternProperties } = (
      isProgram(path.slice(0, i)) ? programOnBoard : (schema ?? {})
    ) as {
      properties?: Record<string, TSchema>;
      items?: TSchema;
      patternProperties?: Record<string, TSchema>;
    };
    if (typeof step === "number") schema = items;
    else if (properties) schema = Object.hasOwn(properties, step) ? properties[step] : undefined;
    else schema = patternProperties && Object.values(patternProperties)[0];
  });
  return schema;
}

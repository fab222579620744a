/** Finding the job file of a program. The only file of this layer that touches the disk. */
import { readdirSync, readFileSync, statSync } from "node:fs";
import { dirname, join, resolve } from "node:path";
import { programsOf } from "./resolve.ts";

/** Larger job files are not read. */
export const largestJobFile = 2_000_000;

export interface FoundJobFile {
  readonly file: string;
  readonly text: string;
  /** Other job files of the folder that list the program too. */
  readonly others: string[];
}

/**
 * The first job file (by name) of the program's folder that lists it. Where none does and the folder's only job file
 * cannot be read as JSON, that one is given, so that its problem is shown. Undefined: there is none.
 */
export function findJobFile(programFile: string): FoundJobFile | undefined {
  const folder = dirname(programFile);
  const program = resolve(programFile);
  const readable: { file: string; text: string; programs: string[] }[] = [];
  for (const name of jobFileNames(folder)) {
    const file = join(folder, name);
    const text = readText(file);
    if (text !== undefined) readable.push({ file, text, programs: programsOf(file, text) });
  }
  const listing = readable.filter((job) => job.programs.includes(program));
  if (listing.length > 0) {
    return { file: listing[0].file, text: listing[0].text, others: listing.slice(1).map((job) => job.file) };
  }
  if (readable.length === 1 && readable[0].programs.length === 0) {
    const { file, text } = readable[0];
    return { file, text, others: [] };
  }
  return undefined;
}

function jobFileNames(folder: string): string[] {
  try {
    return readdirSync(folder)
      .filter((name) => name.endsWith(".job.json"))
      .sort();
  } catch {
    // No such folder, or no right to look: then there is no job file.
    return [];
  }
}

function readText(file: string): string | undefined {
  try {
    if (statSync(file).size > largestJobFile) return undefined;
    return readFileSync(file, "utf8");
  } catch {
    return undefined;
  }
}

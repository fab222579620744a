/** Finding the job file of a program. The only file of this layer that touches the disk. */
import { readdirSync, readFileSync, statSync } from "node:fs";
import { dirname, join, resolve } from "node:path";
import { largestJobFile, type JobText } from "./job-reader.ts";
import { programsOf } from "./programs.ts";

export interface FoundJobFile extends JobText {
  /** Other job files of the folder that list the program too. */
  readonly others: string[];
}

/**
 * The first job file (by name) of the program's folder that lists it. Where none does and the folder's only job file
 * cannot be read as JSON, that one is given, so that its problem is shown. Undefined: there is none. Never throws.
 */
export function findJobFile(programFile: string): FoundJobFile | undefined {
  const folder = dirname(programFile);
  const program = resolve(programFile);
  const jobs = jobFileNames(folder).map((name) => readJobFile(join(folder, name)));
  const read = jobs.map((job) => ({ job, ...programsOf(job) }));
  const [first, ...rest] = read.filter(({ programs }) => programs.includes(program));
  if (first) return { ...first.job, others: rest.map(({ job }) => job.file) };
  if (read.length === 1 && !read[0].whole) return { ...read[0].job, others: [] };
  return undefined;
}

function jobFileNames(folder: string): string[] {
  try {
    return readdirSync(folder, { withFileTypes: true })
      .filter((entry) => entry.name.endsWith(".job.json") && !entry.isDirectory())
      .map((entry) => entry.name)
      .sort();
  } catch {
    // No such folder, or no right to look: then there is no job file.
    return [];
  }
}

function readJobFile(file: string): JobText {
  const unreadable = (why: string) => ({ file, text: "", unreadable: `The job file is not read: ${why}` });
  try {
    const stat = statSync(file);
    if (!stat.isFile()) return unreadable("it is no file. Remove it, or give it another name.");
    if (stat.size > largestJobFile) return unreadable("it has more than 2 MB. Split the job.");
    const bytes = readFileSync(file);
    const wide = (bytes[0] === 0xff && bytes[1] === 0xfe) || (bytes[0] === 0xfe && bytes[1] === 0xff);
    if (wide) return unreadable("it is UTF-16 text. Save it as UTF-8.");
    return { file, text: bytes.toString("utf8") };
  } catch (error) {
    const { code } = error as { code?: string };
    return unreadable(`${code ?? String(error)}. See to it that the file is there and may be read.`);
  }
}

/** The programs a job file lists. */
import { dirname, isAbsolute, join, resolve } from "node:path";
import { JobReader, type JobText } from "./job-reader.ts";
import type { Path } from "./job-check.ts";

export interface ProgramEntry {
  /** Absolute path. */
  readonly file: string;
  /** Board named for this program, and where it stands. */
  readonly board: string | undefined;
  readonly boardPath: Path;
}

/** Programs in run order; what cannot be one is told. */
export function programEntries(job: JobReader): ProgramEntry[] {
  const found: ProgramEntry[] = [];
  for (let i = 0; i < job.entries(["programs"]); i++) {
    const at: Path =
      typeof job.value(["programs", i]) === "string" ? ["programs", i] : ["programs", i, "file"];
    const file = programAt(job, at);
    if (file === undefined) continue;
    if (found.some((entry) => entry.file === file)) {
      job.invalid(at, `"${job.string(at)}" is listed twice; the first place counts. Remove one.`);
      continue;
    }
    const boardPath = ["programs", i, "board"];
    found.push({ file, board: job.string(boardPath), boardPath });
  }
  return found;
}

/** Absolute path of the program named at a place of the job file; undefined, and told, where it may not be named so. */
export function programAt(job: JobReader, at: Path): string | undefined {
  const written = job.string(at);
  if (written === undefined) return undefined;
  const name = written.trim().replaceAll("\\", "/");
  if (isAbsolute(name) || /^[a-z]:/i.test(name) || name.split("/").includes("..")) {
    job.invalid(
      at,
      `A program lies beside the job file or in a folder below it: write its name without a drive, a leading / or "..", such as "seed-holes.nc".`,
    );
    return undefined;
  }
  return resolve(join(dirname(job.file), name));
}

/** The programs a job file lists, as absolute paths, and whether the file is JSON throughout. */
export function programsOf(jobText: JobText): { programs: string[]; whole: boolean } {
  const job = new JobReader(jobText);
  return { programs: programEntries(job).map(({ file }) => file), whole: job.whole };
}

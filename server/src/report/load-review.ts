/** A review of a program on disk, with its job file and the programs that cut the same board before it. */
import { resolve } from "node:path";
import { findJobFile } from "../job/find.ts";
import { resolveJob } from "../job/resolve.ts";
import type { JobFacts } from "../job/facts.ts";
import { readProgram } from "../language/read.ts";
import type { Review, ReviewInput } from "../review/review.ts";
import { reviewProgram } from "../review/review-program.ts";
import { baseName } from "./facts-text.ts";
import { readInput } from "./read-input.ts";

export interface LoadOptions {
  /** Job file to use; default: the one in the program's folder that lists it. */
  readonly job?: string;
  /** Board to review for; default: the job file's. */
  readonly board?: string;
  /** The shop's settings (machine profile and defaults), as the editor's settings hold them. */
  readonly settings?: unknown;
  /** Text of a file that is open somewhere with unsaved changes; undefined: read it from disk. */
  readonly readText?: (file: string) => string | undefined;
}

/** Reads, resolves and reviews. Throws `InputError` where the program or a named job file cannot be read. */
export function loadReview(programFile: string, options: LoadOptions = {}): Review {
  const { input, missing } = loadInput(programFile, options);
  const review = reviewProgram(input);
  if (missing.length === 0) return review;
  const notes = missing.map(
    (file) =>
      `What the earlier program ${baseName(file)} takes away: it could not be read, so it is not counted.`,
  );
  return { ...review, summary: { ...review.summary, notJudged: [...review.summary.notJudged, ...notes] } };
}

/** What a review is made of: the text, the facts and the earlier programs of the job on the same board. */
export function loadInput(
  programFile: string,
  options: LoadOptions = {},
): { input: ReviewInput; missing: readonly string[] } {
  const read = (file: string) => options.readText?.(file) ?? readInput(file);
  const text = read(programFile);
  const absolute = resolve(programFile);
  const jobFile =
    options.job === undefined ? found(absolute, read) : { file: options.job, text: read(options.job) };
  const factsOf = (file: string, programText: string) =>
    resolveJob({
      programFile: file,
      program: readProgram(programText),
      ...(jobFile ? { jobFile } : {}),
      ...(options.settings === undefined ? {} : { settings: options.settings }),
      ...(options.board === undefined ? {} : { board: options.board }),
    });
  const job = factsOf(absolute, text);
  const earlier: { file: string; text: string; job: JobFacts }[] = [];
  const missing: string[] = [];
  const position = job.programs.indexOf(absolute);
  for (const file of position > 0 ? job.programs.slice(0, position) : []) {
    let earlierText: string;
    try {
      earlierText = read(file);
    } catch {
      missing.push(file);
      continue;
    }
    const earlierJob = factsOf(file, earlierText);
    if (earlierJob.stock.name === job.stock.name) earlier.push({ file, text: earlierText, job: earlierJob });
  }
  return { input: { file: programFile, text, job, earlier }, missing };
}

/** The job file that lists the program, with its text as open in the editor where it is. */
function found(
  programFile: string,
  read: (file: string) => string,
): { file: string; text: string } | undefined {
  const job = findJobFile(programFile);
  return job && { file: job.file, text: read(job.file) };
}

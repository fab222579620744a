/** A review of a program on disk, with its job file and the programs that cut the same board before it. */
import { resolve } from "node:path";
import { findJobFile } from "../job/find.ts";
import type { JobText } from "../job/job-reader.ts";
import { resolveJob } from "../job/resolve.ts";
import type { JobFacts, JobProblem } from "../job/facts.ts";
import { readProgram } from "../language/read.ts";
import type { Review, ReviewInput } from "../review/review.ts";
import { reviewProgram } from "../review/review-program.ts";
import { baseName } from "./facts-text.ts";
import { readInput, readJsonInput } from "./read-input.ts";
import type { LoadedFacts, SwitchedOff } from "./switched-off.ts";

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
  const { input, missing, later } = loadInput(programFile, options);
  const review = reviewProgram(input);
  const notes = missing.map(
    (file) =>
      `What the earlier program ${baseName(file)} takes away: it could not be read, so it is not counted.`,
  );
  const after = review.findings.some((finding) => finding.rule === "through-cut-short") ? later() : [];
  if (after.length > 0) {
    const names = after.map(baseName).join(", ");
    notes.push(
      `Programs after this one in the job (${names}) are not counted: they may finish what this one leaves.`,
    );
  }
  if (notes.length === 0) return review;
  return { ...review, summary: { ...review.summary, notJudged: [...review.summary.notJudged, ...notes] } };
}

/** What a review is made of: the text, the facts and the earlier programs of the job on the same board. */
export function loadInput(
  programFile: string,
  options: LoadOptions = {},
): {
  input: ReviewInput;
  /** Earlier programs that could not be read. */
  missing: readonly string[];
  /** Later programs of the job on the same board, in run order. */
  later: () => readonly string[];
} {
  const read = (file: string) => options.readText?.(file) ?? readInput(file);
  const text = read(programFile);
  const jobFile =
    options.job === undefined
      ? found(programFile, options)
      : {
          file: options.job,
          text: options.readText?.(options.job) ?? readJsonInput(options.job),
          others: [],
        };
  const factsOf = (file: string, programText: string, board: string | undefined) =>
    resolveJob({
      programFile: file,
      program: readProgram(programText),
      ...(jobFile ? { jobFile } : {}),
      ...(options.settings === undefined ? {} : { settings: options.settings }),
      ...(board === undefined ? {} : { board }),
    });
  const facts = factsOf(programFile, text, options.board);
  const job: LoadedFacts = {
    ...facts,
    problems: [...facts.problems, ...ambiguity(programFile, jobFile)],
    switchedOff: whereSwitchedOff(programFile, facts, jobFile),
  };

  const earlier: { file: string; text: string; job: JobFacts }[] = [];
  const missing: string[] = [];
  const position = job.programs.indexOf(resolve(programFile));
  // A board asked for stands for the one that the job gives this program, so that one decides which programs share it.
  const ownBoard = position >= 0 ? factsOf(programFile, text, undefined).stock.name : undefined;
  for (const file of position > 0 ? job.programs.slice(0, position) : []) {
    let earlierText: string;
    try {
      earlierText = read(file);
    } catch {
      missing.push(file);
      continue;
    }
    if (factsOf(file, earlierText, undefined).stock.name !== ownBoard) continue;
    earlier.push({ file, text: earlierText, job: factsOf(file, earlierText, options.board) });
  }
  const later = () =>
    (position >= 0 ? job.programs.slice(position + 1) : []).filter((file) => {
      try {
        return factsOf(file, read(file), undefined).stock.name === ownBoard;
      } catch {
        // One that is not there cannot be relied on to finish anything.
        return false;
      }
    });
  return { input: { file: programFile, text, job, earlier }, missing, later };
}

/** The job file's word on a rule goes before the settings'; so what it does not switch off, they did. */
function whereSwitchedOff(programFile: string, facts: JobFacts, jobFile: JobText | undefined): SwitchedOff[] {
  const off = Object.keys(facts.severities).filter((rule) => facts.severities[rule] === "off");
  if (off.length === 0) return [];
  const own = jobFile && resolveJob({ programFile, program: readProgram(""), jobFile }).severities;
  return off.map((rule) => ({
    rule,
    source: own?.[rule] === "off" && jobFile ? { kind: "job", file: jobFile.file } : { kind: "settings" },
  }));
}

interface NamedJob extends JobText {
  /** Other job files that list the program too. */
  readonly others: readonly string[];
}

/** The job file that lists the program, with its text as open in the editor where it is. */
function found(programFile: string, options: LoadOptions): NamedJob | undefined {
  const job = findJobFile(programFile);
  const open = job && options.readText?.(job.file);
  return job && open !== undefined ? { file: job.file, text: open, others: job.others } : job;
}

/** Several job files list the program: which one is taken must be told. */
function ambiguity(programFile: string, job: NamedJob | undefined): JobProblem[] {
  if (!job || job.others.length === 0) return [];
  const others = job.others.map(baseName).join(", ");
  const message = `Several job files list this program: ${baseName(job.file)} is taken, not ${others}. Take it out of the others, or name the job file.`;
  return [{ rule: "job-ambiguous", file: programFile, line: 0, start: 0, end: 0, message }];
}

#!/usr/bin/env node
/** The command line (design section 8). Exit status: 0 fine, 1 findings at the asked level, 2 an input could not be read. */
import { readFileSync } from "node:fs";
import { dirname, resolve } from "node:path";
import { parseArgs, type ParseArgsConfig } from "node:util";
import { version } from "../../package.json";
import type { JobFacts } from "./job/facts.ts";
import { parseLength } from "./job/length.ts";
import { resolveJob } from "./job/resolve.ts";
import { readProgram } from "./language/read.ts";
import { interpret } from "./machine/interpret.ts";
import { InputError, type UnreadInput } from "./report/input-error.ts";
import { reviewJson } from "./report/json.ts";
import { loadInput, loadReview, type LoadOptions } from "./report/load-review.ts";
import { makeScene } from "./report/make-scene.ts";
import { motionsJsonLines } from "./report/motions-lines.ts";
import { printable } from "./report/printable.ts";
import { probe, probeNotes } from "./report/probe-lines.ts";
import { readInput, readJsonInput } from "./report/read-input.ts";
import { reviewPage } from "./report/review-page.ts";
import { reviewSarif } from "./report/sarif.ts";
import { setupSheet } from "./report/setup-sheet.ts";
import { reviewText } from "./report/text.ts";
import { writeReport } from "./report/write-output.ts";
import type { Review } from "./review/review.ts";

const help = `Cutwright ${version}: reviews a router's G-code programs against the board they will cut.

  cutwright review FILE... [--format text|json|sarif] [--fail-on error|warning|never]
      Findings for each program. Exit status 0: nothing at the asked level (default: error),
      1: something, 2: an input could not be read (the others are still reviewed).
  cutwright motions FILE
      What the machine does, one JSON object a line, in mm and mm/min.
  cutwright probe FILE --at X,Y [--at X,Y ...]
      Material left at points, one JSON object a line, in mm ("12.5,40" or "1/2 in,2 in").
  cutwright page FILE -o OUT.html
      A page with the findings and the cut view, in one file.
  cutwright sheet FILE|JOB -o OUT.html
      The setup sheet, to print.

Options of all of them:
  --job FILE       job file (default: the *.job.json beside the program that lists it)
  --board NAME     board to review for (default: the job file's)
  --machine FILE   JSON file with the machine settings
  --help, --version

A review is no promise: the machine's manual and your local rules come first.
`;

/** Wrong use of the command line. */
class UsageError extends Error {}

const commonOptions = {
  job: { type: "string" },
  board: { type: "string" },
  machine: { type: "string" },
} as const satisfies ParseArgsConfig["options"];

const commands: Record<string, (args: string[]) => number | Promise<number>> = {
  review,
  motions,
  probe: probeCommand,
  page,
  sheet,
};

async function main(args: string[]): Promise<number> {
  const [name, ...rest] = args;
  if (name === undefined || args.includes("--help") || args.includes("-h") || name === "help") {
    process.stdout.write(help);
    return name === undefined ? 2 : 0;
  }
  if (name === "--version" || name === "-v") {
    process.stdout.write(`${version}\n`);
    return 0;
  }
  const command = Object.hasOwn(commands, name) ? commands[name] : undefined;
  if (!command) throw new UsageError(`There is no command "${printable(name)}".`);
  return command(rest);
}

function review(args: string[]): number {
  const { values, positionals } = parse(args, { format: { type: "string" }, "fail-on": { type: "string" } });
  const format = oneOf("--format", values.format ?? "text", ["text", "json", "sarif"]);
  const failOn = oneOf("--fail-on", values["fail-on"] ?? "error", ["error", "warning", "never"]);
  if (positionals.length === 0) throw new UsageError("Name at least one program.");
  const options = loadOptions(values);
  const reviews: Review[] = [];
  const unread: UnreadInput[] = [];
  for (const file of positionals) {
    try {
      reviews.push(loadReview(file, options));
    } catch (error) {
      if (!(error instanceof InputError)) throw error;
      unread.push(error);
    }
  }
  unread.push(...unreadFacts(reviews, values.board));
  for (const { message } of unread) tell(message);
  if (format === "json") process.stdout.write(reviewJson(reviews, unread, textOf));
  else if (format === "sarif") process.stdout.write(reviewSarif(reviews, { version, unread, textOf }));
  else process.stdout.write(reviewText(reviews, textLook()));
  if (unread.length > 0) return 2;
  const counting = failOn === "never" ? [] : failOn === "error" ? ["error"] : ["error", "warning"];
  return reviews.some((r) => r.findings.some((finding) => counting.includes(finding.severity))) ? 1 : 0;
}

/** A program with the facts that were resolved for it. */
interface Resolved {
  readonly file: string;
  readonly job: JobFacts;
}

/**
 * What of the declared facts could not be had, although the program itself was read: a job file that is no
 * JSON, a board that is not declared.
 */
function unreadFacts(inputs: readonly Resolved[], board: string | undefined): UnreadInput[] {
  const unread = new Map<string, UnreadInput>();
  for (const { file, job } of inputs) {
    for (const problem of job.problems) {
      if (problem.rule !== "job-unreadable" || unread.has(problem.file)) continue;
      const message = `${problem.file}, line ${problem.line + 1}: ${problem.message}`;
      unread.set(problem.file, { file: problem.file, message });
    }
    if (board === undefined || job.boards.includes(board)) continue;
    const known = job.boards.length > 0 ? `Boards: ${job.boards.join(", ")}.` : "It declares no boards.";
    unread.set(file, { file, message: `${file}: its job declares no board "${board}". ${known}` });
  }
  return [...unread.values()];
}

function tell(message: string): void {
  process.stderr.write(`cutwright: ${printable(message)}\n`);
}

function textOf(file: string): string | undefined {
  try {
    return readInput(file);
  } catch {
    return undefined;
  }
}

function textLook(): { color: boolean; width: number } {
  const { stdout, env } = process;
  const color = stdout.isTTY === true && !env.NO_COLOR && env.TERM !== "dumb";
  return { color, width: Math.min(stdout.columns || 100, 120) };
}

async function motions(args: string[]): Promise<number> {
  const { values, positionals } = parse(args, {});
  const { input } = loadInput(one(positionals, "program"), loadOptions(values));
  const toolpath = interpret(readProgram(input.text), input.job.machine);
  tellDoubt(input.file, toolpath.doubtFromLine);
  let chunk = "";
  for (const line of motionsJsonLines(toolpath)) {
    chunk += line;
    if (chunk.length < 1 << 16) continue;
    await written(chunk);
    chunk = "";
  }
  await written(chunk);
  return status([input], values.board);
}

function tellDoubt(file: string, line: number): void {
  if (line >= 0) tell(`${file}: line ${line + 1} was not understood; what follows may be wrong.`);
}

/** Waits where the reader is slower, so that a long program is not held in memory as text. */
function written(chunk: string): Promise<void> {
  return new Promise((done, fail) => process.stdout.write(chunk, (error) => (error ? fail(error) : done())));
}

function probeCommand(args: string[]): number {
  const { values, positionals } = parse(joinPlaces(args), { at: { type: "string", multiple: true } });
  const points = (values.at ?? []).map(parsePlace);
  if (points.length === 0) throw new UsageError("Name at least one place with --at X,Y (mm).");
  const { input, missing } = loadInput(one(positionals, "program"), loadOptions(values));
  for (const note of probeNotes(input.job)) tell(note);
  for (const file of missing) tell(`${file} could not be read: what it takes away is not counted.`);
  const { results, doubts } = probe(input, points);
  for (const { file, line } of doubts) tellDoubt(file, line);
  for (const result of results) process.stdout.write(`${JSON.stringify(result)}\n`);
  return Math.max(missing.length > 0 ? 2 : 0, status([input], values.board));
}

/** `--at -5,3` as `--at=-5,3`: the parser would take the minus for an option. */
function joinPlaces(args: readonly string[]): string[] {
  const joined: string[] = [];
  for (let i = 0; i < args.length; i++) {
    if (args[i] === "--at" && /^-[\d.]/.test(args[i + 1] ?? "")) joined.push(`--at=${args[++i]}`);
    else joined.push(args[i]);
  }
  return joined;
}

function parsePlace(text: string): [number, number] {
  const parts = text.split(",");
  const [x, y] = parts.map((part) => parseLength(part.trim(), "mm"));
  if (parts.length !== 2 || x === undefined || y === undefined) {
    throw new UsageError(`--at ${printable(text)} is no place. Write X,Y in mm, for example --at 12.5,40.`);
  }
  return [x, y];
}

function page(args: string[]): number {
  const { values, positionals } = parse(args, { output: { type: "string", short: "o" } });
  const out = output(values.output);
  const file = one(positionals, "program");
  const made = loadReview(file, loadOptions(values));
  writeReport(
    out,
    reviewPage(makeScene(made), bundled("view.js"), bundled("view.css")),
    inputsOf([made], values.job),
  );
  process.stdout.write(`${printable(out)}\n`);
  return status([made], values.board);
}

/** A file that the build puts beside this one. */
function bundled(name: string): string {
  return readFileSync(new URL(`./${name}`, import.meta.url), "utf8");
}

function sheet(args: string[]): number {
  const { values, positionals } = parse(args, { output: { type: "string", short: "o" } });
  const out = output(values.output);
  const named = one(positionals, "program or job file");
  const options = loadOptions(values);
  let reviews: Review[];
  if (/\.json$/i.test(named)) {
    const programs = programsOf(named);
    reviews = programs.map((file) => loadReview(file, { ...options, job: named }));
  } else reviews = [loadReview(named, options)];
  writeReport(out, setupSheet(reviews), [named, ...inputsOf(reviews, values.job)]);
  process.stdout.write(`${printable(out)}\n`);
  return status(reviews, values.board);
}

/** Programs that a job file lists, in run order. */
function programsOf(jobFile: string): readonly string[] {
  const text = readJsonInput(jobFile);
  const file = resolve(jobFile);
  const job = resolveJob({
    programFile: resolve(dirname(file), "none"),
    program: readProgram(""),
    jobFile: { file, text },
  });
  const unreadable = job.problems.find((problem) => problem.rule === "job-unreadable");
  if (unreadable) {
    throw new InputError(
      jobFile,
      `${printable(jobFile)}, line ${unreadable.line + 1}: ${unreadable.message}`,
    );
  }
  if (job.programs.length === 0) {
    throw new InputError(
      jobFile,
      `${printable(jobFile)}: it lists no programs. Name them under "programs", in run order.`,
    );
  }
  return job.programs;
}

function inputsOf(reviews: readonly Review[], job: string | undefined): string[] {
  return [
    ...(job === undefined ? [] : [job]),
    ...reviews.flatMap((r) => [r.file, ...r.job.programs, ...(r.job.jobFile ? [r.job.jobFile] : [])]),
  ];
}

/** Tells what could not be had and gives the status. */
function status(inputs: readonly Resolved[], board: string | undefined): number {
  const unread = unreadFacts(inputs, board);
  for (const { message } of unread) tell(message);
  return unread.length > 0 ? 2 : 0;
}

function parse<T extends NonNullable<ParseArgsConfig["options"]>>(args: string[], options: T) {
  try {
    return parseArgs({ args, options: { ...commonOptions, ...options }, allowPositionals: true });
  } catch (error) {
    throw new UsageError(printable((error as Error).message));
  }
}

function loadOptions(values: { job?: string; board?: string; machine?: string }): LoadOptions {
  return {
    ...(values.job === undefined ? {} : { job: values.job }),
    ...(values.board === undefined ? {} : { board: values.board }),
    ...(values.machine === undefined ? {} : { settings: machineSettings(values.machine) }),
  };
}

/** Settings from a file that holds the machine profile alone, or the whole section with "machine" and "rules". */
function machineSettings(file: string): unknown {
  const text = readJsonInput(file);
  let parsed: unknown;
  try {
    parsed = JSON.parse(text) as unknown;
  } catch (error) {
    throw new InputError(
      file,
      `${printable(file)}: not JSON (${printable((error as Error).message)}). Mend it there.`,
    );
  }
  if (typeof parsed !== "object" || parsed === null || Array.isArray(parsed)) {
    throw new InputError(file, `${printable(file)}: it must hold one object with the machine settings.`);
  }
  return "machine" in parsed || "rules" in parsed ? parsed : { machine: parsed };
}

function one(positionals: readonly string[], what: string): string {
  if (positionals.length === 1) return positionals[0];
  throw new UsageError(
    positionals.length === 0 ? `Name a ${what}.` : `Name one ${what}, not ${positionals.length}.`,
  );
}

function output(value: string | undefined): string {
  if (value === undefined) throw new UsageError("Name the file to write with -o OUT.html.");
  return value;
}

function oneOf<T extends string>(option: string, value: string, choices: readonly T[]): T {
  const choice = choices.find((c) => c === value);
  if (choice === undefined)
    throw new UsageError(`${option} takes ${choices.join(", ")}; not "${printable(value)}".`);
  return choice;
}

// A reader that closes the pipe early (a pager, `head`) is no failure.
process.stdout.on("error", (error: { code?: string }) => {
  if (error.code === "EPIPE") process.exit(0);
  throw error;
});

try {
  // Not process.exit: what is still in the pipe is to be written first.
  process.exitCode = await main(process.argv.slice(2));
} catch (error) {
  if (error instanceof InputError) process.stderr.write(`cutwright: ${printable(error.message)}\n`);
  else if (error instanceof UsageError)
    process.stderr.write(`cutwright: ${error.message} See cutwright --help.\n`);
  else if ((error as { code?: string }).code !== "EPIPE") throw error;
  process.exitCode = 2;
}

/** Puts together what is declared: program comment, then job file, then settings, then a stated default. Lengths in mm. */
import { basename, resolve } from "node:path";
import type { Program } from "../language/program.ts";
import { throughAllowance } from "./allowance.ts";
import { chooseBoard, plain, readBoards, stockOf } from "./board.ts";
import { intentsOf } from "./cut-intents.ts";
import { readDirectives } from "./directives.ts";
import type { JobFacts, JobProblem } from "./facts.ts";
import { holdDownsOf, mergeHoldDowns } from "./hold-downs.ts";
import { JobReader, type JobText } from "./job-reader.ts";
import type { Units } from "./length.ts";
import { programEntries } from "./programs.ts";
import { readSettings, type Severities } from "./settings.ts";
import { toolsOf } from "./tools.ts";

/** Deepest cut allowed into the bed where none is declared, mm: a stated default (common practice, no source). */
export const defaultDeepestBedCut = 3;

/** Half-width of the band around the underside in which a cut counts as meant to go through, mm (design section 5). */
export function throughBandOf(thickness: number): number {
  return Math.max(1, 0.1 * thickness);
}

export interface ResolveInput {
  /** Path of the program, as the caller names it. */
  readonly programFile: string;
  readonly program: Program;
  readonly jobFile?: JobText;
  /** The section `cutwright` of the editor's settings. */
  readonly settings?: unknown;
  /** Board asked for by name: wins over everything. */
  readonly board?: string;
}

/** Resolves all facts for a program. Pure, never throws; anything wrong is in `problems`, ready to show. */
export function resolveJob(input: ResolveInput): JobFacts {
  const { programFile, program } = input;
  const absolute = resolve(programFile);
  const problems: JobProblem[] = [];
  const job = input.jobFile && new JobReader(input.jobFile);
  const directives = readDirectives(programFile, program, statedUnits(program));
  const settings = readSettings(input.settings, (message) =>
    problems.push({ rule: "job-invalid", file: programFile, line: 0, start: 0, end: 0, message }),
  );
  const entries = job ? programEntries(job) : [];
  const programs = entries.map(({ file }) => file);
  const own = entries.find(({ file }) => file === absolute);

  if (job && programs.length > 0 && !own) {
    job.invalid(
      ["programs"],
      `"${basename(programFile)}" is not listed here, so what other programs cut before it does not count. Add it in its place.`,
    );
  }
  const name = chooseBoard(job, { asked: input.board, directives, own, programFile }, problems);
  const board = job ? readBoards(job, name) : {};
  const stock = stockOf(name, board, directives, job?.length(["tape"], { least: 0 }));
  // The job file is read even where a comment wins, so that what is wrong in it is told.
  const bed = {
    thickness: job?.length(["bed", "thickness"], { above: 0 }),
    deepestCut: job?.length(["bed", "deepestCut"], { least: 0 }),
    unevenness: job?.length(["bed", "unevenness"], { least: 0 }),
  };
  const touchOffError = job?.length(["touchOffError"], { least: 0 });
  const judgeBy = job?.choice(["judgeBy"], ["worst case", "root-sum-square"]);
  const bedThickness = plain(directives.bedThickness) ?? bed.thickness ?? settings.lengths.bedThickness;
  const deepestBedCut = plain(directives.deepestBedCut) ??
    bed.deepestCut ??
    settings.lengths.deepestBedCut ?? {
      value: defaultDeepestBedCut,
      source: { kind: "default", note: "common practice, no source" },
    };
  const allowance = throughAllowance(stock, {
    measuringError: directives.measuringError ?? board.measuringError,
    variation: directives.variation ?? board.variation,
    bedUnevenness: directives.bedUnevenness ?? bed.unevenness ?? settings.lengths.bedUnevenness,
    touchOffError: directives.touchOffError ?? touchOffError ?? settings.lengths.touchOffError,
    judgeBy: directives.judgeBy?.value ?? judgeBy,
  });
  const facts: Omit<JobFacts, "problems"> = {
    ...(job ? { jobFile: job.file } : {}),
    programs,
    boards: job?.keys(["boards"]) ?? [],
    stock,
    tools: new Map([...(job ? toolsOf(job) : []), ...directives.tools]),
    ...(bedThickness ? { bedThickness } : {}),
    deepestBedCut,
    allowance,
    ...(stock.thickness ? { throughBand: throughBandOf(stock.thickness.value) } : {}),
    // Comments first: where several speak of one cut, the first that fits counts.
    intents: [...directives.intents, ...(job ? intentsOf(job, absolute, programs) : [])],
    silences: directives.silences,
    holdDowns: mergeHoldDowns(directives.holdDowns, job ? holdDownsOf(job) : []),
    severities: { ...settings.severities, ...(job ? severitiesOf(job) : {}) },
    machine: settings.machine,
  };
  // Last: everything above may have told of a problem.
  return { ...facts, problems: [...(job?.problems ?? []), ...directives.problems, ...problems] };
}

/** Units of bare numbers in comments: what the program's first G20 or G21 says. */
function statedUnits(program: Program): Units {
  for (let i = 0; i < program.wordCount; i++) {
    if (program.wordLetter[i] !== 71) continue;
    if (program.wordValue[i] === 20) return "in";
    if (program.wordValue[i] === 21) return "mm";
  }
  return "mm";
}

function severitiesOf(job: JobReader): Severities {
  const found: Record<string, Severities[string]> = {};
  for (const rule of job.keys(["rules"])) {
    const severity = job.choice(["rules", rule], ["error", "warning", "info", "off"]);
    if (severity) found[rule] = severity;
  }
  return found;
}

import type { CutTree } from "../cuts/cuts.ts";
import type { JobFacts, Silence, Tool } from "../job/facts.ts";
import type { Problem, Program } from "../language/program.ts";
import type { Toolpath } from "../machine/motions.ts";
import type { HeightField } from "../stock/field.ts";
import type { Finding, Fix, Related, Severity } from "./finding.ts";
import type { MotionEffects } from "./review.ts";
import type { RapidHit, ThroughResult } from "./judgements.ts";

/** A rule: one thing that can be wrong, one file, one page. The page in the docs is made from these texts. */
export interface Rule {
  readonly id: string;
  readonly severity: Severity;
  /** A few words. */
  readonly title: string;
  /** What is found, in plain words; whole sentences. */
  readonly what: string;
  /** Why it matters at the machine. */
  readonly why: string;
  /** A short program (or job file part) that gives it. */
  readonly example: string;
  /** What to do about it. */
  readonly remedy: string;
  readonly check: (context: RuleContext) => Iterable<Draft>;
}

/** What a rule may look at. Lengths in mm. */
export interface RuleContext {
  readonly file: string;
  readonly program: Program;
  readonly toolpath: Toolpath;
  readonly job: JobFacts;
  readonly tree: CutTree;
  /** Z of the stock's top and underside in the stock frame; undefined: not known. */
  readonly top: number | undefined;
  readonly underside: number | undefined;
  /** Z of the bed's top: below the underside where tape lies between; undefined: not known. */
  readonly bedTop: number | undefined;
  /** Footprint in the plane where it is declared: min x, min y, max x, max y. */
  readonly footprint: readonly [number, number, number, number] | undefined;
  readonly field: HeightField | undefined;
  readonly effects: MotionEffects | undefined;
  readonly rapidHits: readonly RapidHit[];
  /** One for each cut that is meant to go through and can be judged. */
  readonly through: readonly ThroughResult[];
  /** Exact: the pass touches nothing that earlier motions left. Only asked for passes whose volume is zero. */
  readonly removesNothing: (pass: number) => boolean;
  readonly toolOf: (number: number) => { tool: Tool; assumed: boolean };
  /** A length in the program's own units, with the unit: "0.60 mm". */
  readonly length: (mm: number) => string;
  /** "Round hole in 'Seed holes' (lines 12-40)". */
  readonly cutName: (cut: number) => string;
  readonly passRelated: (pass: number) => Related;
  readonly thicknessRelated: () => Related[];
  /** Ids of all rules. */
  readonly ruleIds: ReadonlySet<string>;
  /** Silences that matched no finding of the rules that ran before. */
  readonly unusedSilences: () => Silence[];
}

/** A finding before severity, doubt and silence are settled. Lines zero-based. */
export interface Draft {
  readonly line: number;
  readonly endLine?: number;
  /** Offsets of the words; default: the words of `line`. */
  readonly start?: number;
  readonly end?: number;
  readonly message: string;
  readonly severity?: Severity;
  readonly at?: readonly [number, number, number];
  readonly values?: Readonly<Record<string, number>>;
  readonly related?: readonly Related[];
  readonly motions?: readonly [number, number];
  readonly cut?: number;
  readonly pass?: number;
  readonly fixes?: readonly Fix[];
  /** Another file than the program (the job file). */
  readonly file?: Finding["file"];
}

/** Problems of the reader and the interpreter with one rule id, in text order. */
export function problemsOf(context: RuleContext, id: string): Problem[] {
  const of = (problems: readonly Problem[]) => problems.filter((problem) => problem.rule === id);
  return [...of(context.program.problems), ...of(context.toolpath.problems)].sort(
    (p, q) => p.start - q.start,
  );
}

/** Drafts for the problems of one rule id, worded by `message`. */
export function* draftsOfProblems(
  context: RuleContext,
  id: string,
  message: (facts: Problem["facts"], problem: Problem) => string,
): Generator<Draft> {
  for (const problem of problemsOf(context, id)) {
    const { line, start, end, facts } = problem;
    const values: Record<string, number> = {};
    for (const [name, value] of Object.entries(facts)) if (typeof value === "number") values[name] = value;
    yield {
      line,
      start,
      end,
      message: message(facts, problem),
      ...(Object.keys(values).length ? { values } : {}),
    };
  }
}

/** Drafts for the problems that the job layer found, worded there. */
export function* draftsOfJobProblems(context: RuleContext, id: string): Generator<Draft> {
  for (const problem of context.job.problems) {
    if (problem.rule === id) yield problem;
  }
}

/** Which board is in force, and what is declared about it. */
import type { Directives } from "./directives.ts";
import type { JobProblem, Source, Sourced, Stock } from "./facts.ts";
import type { JobReader } from "./job-reader.ts";
import { nearest } from "./nearest.ts";
import type { ProgramEntry } from "./programs.ts";

const byDefault: Source = { kind: "default", note: "common practice, no source" };

/** Said of a thickness that is still "", as `draftJob` leaves it. */
export const measureRemedy =
  'The thickness is not filled in. Measure the board with calipers at the four corners and write the thickest here, such as "18.3 mm".';

/** What a job file declares of one board. Lengths in mm. */
export interface BoardFacts {
  readonly thickness?: Sourced<number> | undefined;
  readonly size?: Sourced<readonly [number, number]> | undefined;
  readonly corner?: Sourced<readonly [number, number]> | undefined;
  readonly zero?: Sourced<"top" | "bed"> | undefined;
  readonly material?: Sourced<string> | undefined;
  readonly variation?: Sourced<number> | undefined;
  readonly measuringError?: Sourced<number> | undefined;
}

export interface BoardChoice {
  /** Board asked for from outside (the editor's choice, the command line): wins over everything. */
  readonly asked: string | undefined;
  readonly directives: Directives;
  readonly own: ProgramEntry | undefined;
  readonly programFile: string;
}

/** Name of the board in force; undefined where the job declares none. A name that no board has is told. */
export function chooseBoard(
  job: JobReader | undefined,
  { asked, directives, own, programFile }: BoardChoice,
  problems: JobProblem[],
): string | undefined {
  const names = job?.keys(["boards"]) ?? [];
  const unknown = (name: string) => {
    if (names.length === 0)
      return `No board "${name}" is declared: there is no job file with boards for this program.`;
    const near = nearest(name, names);
    const all = names.map((known) => `"${known}"`).join(", ");
    return `No board "${name}" is declared.${near ? ` Did you mean "${near}"?` : ""} The boards are ${all}.`;
  };
  if (asked !== undefined) {
    if (names.includes(asked)) return asked;
    problems.push({
      rule: "job-invalid",
      file: programFile,
      line: 0,
      start: 0,
      end: 0,
      message: unknown(asked),
    });
  }
  const { board: inComment } = directives;
  if (inComment) {
    if (names.includes(inComment.value)) return inComment.value;
    problems.push({
      rule: "declaration-unclear",
      file: programFile,
      ...inComment.place,
      message: unknown(inComment.value),
    });
  }
  if (!job || names.length === 0) return undefined;
  if (own?.board !== undefined) {
    if (names.includes(own.board)) return own.board;
    job.invalid(own.boardPath, unknown(own.board));
  }
  const inForce = job.string(["board"]);
  if (inForce !== undefined) {
    if (names.includes(inForce)) return inForce;
    job.invalid(["board"], `${unknown(inForce)} Until then "${names[0]}" is taken.`);
  } else if (names.length > 1) {
    const { start, end } = job.place(["boards"]);
    job.tell(
      "job-ambiguous",
      start,
      end,
      `Several boards are declared and none is chosen: "${names[0]}" is taken. Add "board": "${names[0]}" to the job file.`,
    );
  }
  return names[0];
}

/**
 * Reads every board, so that what is wrong is told whichever is in force, and gives that one's facts. Only in the
 * board in force an empty thickness is told: the others may wait for their board.
 */
export function readBoards(job: JobReader, inForce: string | undefined): BoardFacts {
  let facts: BoardFacts = {};
  for (const name of job.keys(["boards"])) {
    const read = readBoard(job, name, name === inForce);
    if (name === inForce) facts = read;
  }
  return facts;
}

function readBoard(job: JobReader, name: string, inForce: boolean): BoardFacts {
  const at = (fact: string) => ["boards", name, fact];
  const zero = job.choice(at("zero"), ["top", "bed"]);
  const material = job.string(at("material"));
  return {
    thickness: job.length(at("thickness"), { above: 0 }, inForce ? measureRemedy : ""),
    size: job.point(at("size"), { above: 0 }),
    corner: job.point(at("corner")),
    zero: zero && { value: zero, source: job.source(at("zero")) },
    material: material === undefined ? undefined : { value: material, source: job.source(at("material")) },
    variation: job.length(at("variation"), { least: 0 }),
    measuringError: job.length(at("measuringError"), { least: 0 }),
  };
}

/** The stock: what comments declare, then the job's board; `tapeOfJob` is what the job file says of tape under it. */
export function stockOf(
  name: string | undefined,
  board: BoardFacts,
  directives: Directives,
  tapeOfJob: Sourced<number> | undefined,
): Stock {
  const thickness = plain(directives.thickness) ?? board.thickness;
  const size = plain(directives.size) ?? board.size;
  const corner = plain(directives.corner) ?? board.corner;
  const material = plain(directives.material) ?? board.material;
  const tape = plain(directives.tape) ?? tapeOfJob;
  return {
    ...(name !== undefined ? { name } : {}),
    ...(thickness ? { thickness } : {}),
    ...(size ? { size } : {}),
    ...(corner ? { corner } : {}),
    zero: plain(directives.zero) ?? board.zero ?? { value: "top", source: byDefault },
    ...(material ? { material } : {}),
    ...(tape ? { tape } : {}),
  };
}

/** A comment's fact without its place. */
export function plain<T>(fact: Sourced<T> | undefined): Sourced<T> | undefined {
  return fact && { value: fact.value, source: fact.source };
}

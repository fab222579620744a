/** Which cuts each declared intent speaks of. Lengths in mm. */
import type { CutIntent, JobFacts } from "../job/facts.ts";
import { toolFor } from "../job/tool-for.ts";
import type { Program } from "../language/program.ts";
import type { Motions, Toolpath } from "../machine/motions.ts";
import type { CutTree, Operation } from "./cuts.ts";
import { strongerIntent } from "./intent.ts";
import { headingKey, type HeadedCut } from "./operations.ts";
import type { FoundPass } from "./passes.ts";
import { distanceToMotion } from "./plan-path.ts";

/** What the search by line, operation or place reads; passes and cuts in program order. */
interface CutsToFind {
  readonly toolpath: Toolpath;
  readonly passes: readonly Pick<FoundPass, "tool" | "extent" | "first" | "end" | "bottomMotion">[];
  readonly passOfMotion: Int32Array;
  readonly cutOfPass: readonly number[];
  readonly operations: readonly Operation[];
  readonly diameterOf: (tool: number) => number;
}

export interface CutsToDeclare extends CutsToFind {
  readonly program: Program;
  readonly cuts: readonly HeadedCut[];
}

/** The strongest declared intent of each cut, by cut index. Statements that fit no cut are left out. */
export function declaredByCut(input: CutsToDeclare, intents: readonly CutIntent[]): Map<number, CutIntent> {
  const found = new Map<number, CutIntent>();
  const opening = intents.some(({ where }) => where.kind === "line")
    ? openingLines(input)
    : new Map<number, number>();
  for (const intent of intents) {
    for (const cut of cutsOf(input, intent, opening)) found.set(cut, strongerIntent(found.get(cut), intent));
  }
  return found;
}

/**
 * The declared intents that concern no cut of this program, in the order of `job.intents`. Left out are those of a
 * job file with several programs that name none of them: they may be about another one.
 */
export function unmatchedIntents(job: JobFacts, tree: CutTree, toolpath: Toolpath): CutIntent[] {
  if (job.intents.length === 0) return [];
  const input: CutsToFind = {
    toolpath,
    passes: tree.passes.map((pass) => ({ ...pass, tool: tree.cuts[pass.cut].tool })),
    passOfMotion: tree.passOfMotion,
    cutOfPass: tree.passes.map(({ cut }) => cut),
    operations: tree.operations,
    diameterOf: (tool) => toolFor(job, tool).tool.diameter,
  };
  // A comment's line that opens an operation stands ahead of a pass, so that the line alone finds a cut.
  return job.intents.filter(
    (intent) => !mayConcernAnother(job, intent) && [...cutsOf(input, intent, new Map())].length === 0,
  );
}

function mayConcernAnother(job: JobFacts, { source, program }: CutIntent): boolean {
  return source.kind === "job" && program === undefined && job.programs.length > 1;
}

function cutsOf(
  input: CutsToFind,
  intent: CutIntent,
  opening: ReadonlyMap<number, number>,
): Iterable<number> {
  const { where } = intent;
  switch (where.kind) {
    case "operation": {
      const key = headingKey(where.name);
      return input.operations
        .filter((operation) => headingKey(operation.name) === key)
        .flatMap(({ cuts }) => cuts);
    }
    case "line": {
      const operation = intent.source.kind === "comment" ? opening.get(where.line - 1) : undefined;
      return operation !== undefined ? input.operations[operation].cuts : cutsAtLine(input, where.line - 1);
    }
    case "place":
      return cutsAtPlace(input, where.x, where.y);
  }
}

/**
 * Lines that open an operation: the first block after its heading, and its tool change. A comment ahead of
 * them speaks of the whole operation.
 */
function openingLines({ program, toolpath, cuts, operations }: CutsToDeclare): Map<number, number> {
  const lines = new Map<number, number>();
  const changes = toolpath.events.filter((event) => event.kind === "tool");
  const runsOpened = new Set<number>();
  for (const operation of operations) {
    const { run, heading } = cuts[operation.cuts[0]];
    if (heading) {
      let line = heading.line + 1;
      while (line < program.lineCount && program.firstWord[line + 1] === program.firstWord[line]) line++;
      lines.set(line, operation.index);
    }
    if (run > 0 && !runsOpened.has(run)) lines.set(changes[run - 1].line, operation.index);
    runsOpened.add(run);
  }
  return lines;
}

/** Cuts with a motion on a line; else the cut of the pass around or after it. */
function cutsAtLine({ toolpath, passes, passOfMotion, cutOfPass }: CutsToFind, line: number): number[] {
  const { firstMotionOfLine, motions } = toolpath;
  const cuts = new Set<number>();
  if (line >= 0 && line + 1 < firstMotionOfLine.length) {
    for (let i = firstMotionOfLine[line]; i < firstMotionOfLine[line + 1]; i++) {
      if (passOfMotion[i] >= 0) cuts.add(cutOfPass[passOfMotion[i]]);
    }
  }
  if (cuts.size === 0) {
    const next = passes.findIndex((pass) => motions.line[pass.end - 1] >= line);
    if (next >= 0) cuts.add(cutOfPass[next]);
  }
  return [...cuts];
}

/**
 * The cut whose path passes over a place, within the tool's radius; where none does, the smallest cut whose
 * extent, grown by the tool's radius, holds it (a place inside a hole's ring, say).
 */
function cutsAtPlace(input: CutsToFind, x: number, y: number): Iterable<number> {
  const { passes, cutOfPass, toolpath, diameterOf } = input;
  let nearest = Infinity;
  let smallest = Infinity;
  const over = new Set<number>();
  let around: number[] = [];
  passes.forEach((pass, index) => {
    const radius = diameterOf(pass.tool) / 2;
    const [minX, minY, maxX, maxY] = pass.extent;
    if (x < minX - radius || x > maxX + radius || y < minY - radius || y > maxY + radius) return;
    const area = (maxX - minX) * (maxY - minY);
    if (area < smallest) [smallest, around] = [area, [cutOfPass[index]]];
    const distance = distanceToPass(toolpath.motions, pass, x, y);
    if (distance > radius || distance > nearest + samePath) return;
    if (distance < nearest - samePath) over.clear();
    nearest = Math.min(nearest, distance);
    // Cuts on one path, such as a roughing and a finishing operation, are both meant.
    over.add(cutOfPass[index]);
  });
  return over.size > 0 ? over : around;
}

/** Paths this near to each other are one, mm. */
const samePath = 0.01;

function distanceToPass(motions: Motions, pass: CutsToFind["passes"][number], x: number, y: number): number {
  let least = Math.hypot(motions.x[pass.bottomMotion + 1] - x, motions.y[pass.bottomMotion + 1] - y);
  for (let i = pass.first; i < pass.end; i++) least = Math.min(least, distanceToMotion(motions, i, x, y));
  return least;
}

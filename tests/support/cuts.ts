/** Text in, tree of operations, cuts and passes out. */
import type { CutTree } from "../../server/src/cuts/cuts.ts";
import { groupCuts } from "../../server/src/cuts/group.ts";
import type { JobFacts } from "../../server/src/job/facts.ts";
import { resolveJob } from "../../server/src/job/resolve.ts";
import { readProgram } from "../../server/src/language/read.ts";
import { interpret } from "../../server/src/machine/interpret.ts";
import type { Toolpath } from "../../server/src/machine/motions.ts";
import { surfaces } from "../../server/src/stock/surfaces.ts";

export interface Grouped {
  readonly tree: CutTree;
  readonly toolpath: Toolpath;
  readonly job: JobFacts;
}

/** Groups a program named bench.nc, with the text of a job file that lists it if given. */
export function group(text: string, jobText?: string): Grouped {
  const program = readProgram(text);
  const programFile = "/shop/bench.nc";
  const job = resolveJob({
    programFile,
    program,
    ...(jobText ? { jobFile: { file: "/shop/bench.job.json", text: jobText } } : {}),
  });
  const toolpath = interpret(program, job.machine);
  return { tree: groupCuts(program, toolpath, job, surfaces(job.stock)), toolpath, job };
}

/** A board of 18 mm and a 6 mm flat cutter, ready to cut. */
export const head =
  "(cutwright: thickness 18 mm; size 300 x 200 mm; corner -20 mm, -20 mm; tool 1 flat 6 mm; tool 2 flat 3 mm)\n" +
  "G21 G90 G17\nT1 M6\nS18000 M3\nG0 Z5\n";
export const tail = "\nG0 Z5\nM5\nM30\n";

/** A program of the given lines between head and tail. */
export const cutting = (...lines: readonly string[]): Grouped => group(head + lines.join("\n") + tail);

/** Cuts as text: kind and the lowest level of each pass, "slot -3 -6". */
export function told({ tree }: Grouped): string[] {
  return tree.cuts.map((cut) => [cut.kind, ...cut.passes.map((p) => short(tree.passes[p].bottom))].join(" "));
}

export function short(value: number): string {
  return String(Math.round(value * 1e4) / 1e4 + 0);
}

/** Blocks of a closed rectangle at Z, from its lower-left corner, counter-clockwise (or clockwise). */
export function rectangle(x0: number, y0: number, x1: number, y1: number, clockwise = false): string[] {
  return clockwise
    ? [`G1 X${x0} Y${y1} F1200`, `G1 X${x1} Y${y1}`, `G1 X${x1} Y${y0}`, `G1 X${x0} Y${y0}`]
    : [`G1 X${x1} Y${y0} F1200`, `G1 X${x1} Y${y1}`, `G1 X${x0} Y${y1}`, `G1 X${x0} Y${y0}`];
}

/** What is left of the board at points, worked out exactly from the motions. Lengths in mm. */
import type { JobFacts } from "../job/facts.ts";
import { readProgram } from "../language/read.ts";
import { interpret } from "../machine/interpret.ts";
import { declaredArea, cutterTable } from "../review/material-run.ts";
import type { ReviewInput } from "../review/review.ts";
import { heightAt } from "../stock/probe.ts";
import { surfaces } from "../stock/surfaces.ts";
import { toMillionth } from "./to-millionth.ts";

export interface ProbeResult {
  readonly at: readonly [number, number];
  /** Z of the material's upper surface, in the stock frame; null: the board's top is not known, or off the board. */
  readonly top: number | null;
  /** Thickness still there, 0 where it is cut through; null: thickness not declared, or off the board. */
  readonly bottomLeft: number | null;
  readonly through: boolean | null;
  /** Only where the board's size is declared and the point lies outside it. */
  readonly offBoard?: true;
}

/** A program of which not all was understood, with the first such line (zero-based). */
export interface ProbeDoubt {
  readonly file: string;
  readonly line: number;
}

/** The material at points after the earlier programs of the job and this one. */
export function probe(
  input: ReviewInput,
  points: readonly (readonly [number, number])[],
): { results: ProbeResult[]; doubts: ProbeDoubt[] } {
  const { top, underside } = surfaces(input.job.stock);
  const runs = [...(input.earlier ?? []), input].map((run) => {
    const { motions, doubtFromLine } = interpret(readProgram(run.text), run.job.machine);
    return { file: run.file, motions, line: doubtFromLine, cutterOf: cutterTable(run.job) };
  });
  const area = declaredArea(input.job);
  const results = points.map(([x, y]): ProbeResult => {
    const at = [x, y] as const;
    if (area && (x < area.x0 || y < area.y0 || x > area.x0 + area.width || y > area.y0 + area.depth)) {
      return { at, top: null, bottomLeft: null, through: null, offBoard: true };
    }
    if (top === undefined) return { at, top: null, bottomLeft: null, through: null };
    let height = top;
    for (const run of runs) height = heightAt(run.motions, run.cutterOf, height, x, y);
    const shown = toMillionth(height);
    if (underside === undefined) return { at, top: shown, bottomLeft: null, through: null };
    const bottomLeft = toMillionth(Math.max(0, height - underside));
    return { at, top: shown, bottomLeft, through: bottomLeft === 0 };
  });
  return { results, doubts: runs.filter((run) => run.line >= 0) };
}

/** Sentences on what a probe cannot tell for want of facts. */
export function probeNotes(job: JobFacts): string[] {
  const notes: string[] = [];
  if (!job.stock.thickness) {
    notes.push(
      "The thickness of the board is not declared, so what is left under a point is not known. Declare it in the job file or in a comment: (cutwright: thickness 18.3 mm).",
    );
  }
  return notes;
}

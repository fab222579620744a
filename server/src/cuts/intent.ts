/** What a cut is meant to do: declared, or inferred from its depth (design section 5). Lengths in mm. */
import type { CutIntent, JobFacts, Source } from "../job/facts.ts";
import { printLength } from "../job/length.ts";
import type { Intent } from "./cuts.ts";

export interface CutFacts {
  readonly operation: string;
  readonly extent: readonly [number, number, number, number];
  /** Lines (zero-based) of its passes, first and last of each. */
  readonly lines: readonly (readonly [number, number])[];
  readonly bottom: number;
  readonly radius: number;
}

/** The first statement that concerns the cut counts; `units` are for the words of the reason. */
export function intentOf(
  cut: CutFacts,
  job: JobFacts,
  underside: number | undefined,
  units: "mm" | "in",
): Intent {
  for (const intent of job.intents) {
    if (!concerns(intent, cut)) continue;
    return {
      goes: intent.goes,
      ...(intent.leaves !== undefined ? { leaves: intent.leaves } : {}),
      known: "declared",
      because: `declared in ${placeOf(intent.source)}`,
    };
  }
  if (underside === undefined || job.throughBand === undefined) {
    return { goes: "unknown", known: "not known", because: "the thickness of the board is not declared" };
  }
  const above = cut.bottom - underside;
  const where =
    above > 1e-6
      ? `${printLength(round(above), units)} above the underside`
      : above < -1e-6
        ? `${printLength(round(-above), units)} below the underside`
        : "at the underside";
  if (above <= job.throughBand + 1e-6) {
    return { goes: "through", known: "inferred", because: `its deepest level is ${where}` };
  }
  return { goes: "partway", known: "inferred", because: `its deepest level is ${where}` };
}

function concerns({ where }: CutIntent, cut: CutFacts): boolean {
  switch (where.kind) {
    case "operation":
      return where.name.trim().toLowerCase() === cut.operation.trim().toLowerCase();
    case "line":
      return cut.lines.some(([first, last]) => where.line - 1 >= first && where.line - 1 <= last);
    case "place": {
      const [x0, y0, x1, y1] = cut.extent;
      const r = cut.radius;
      return where.x >= x0 - r && where.x <= x1 + r && where.y >= y0 - r && where.y <= y1 + r;
    }
  }
}

function placeOf(source: Source): string {
  if (source.kind === "comment") return `a comment on line ${source.line ?? 1}`;
  const name = source.file?.split(/[\\/]/).at(-1) ?? "the job file";
  return `${name}, line ${source.line ?? 1}`;
}

const round = (mm: number) => Math.round(mm * 1000) / 1000;

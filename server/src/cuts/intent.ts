/** Whether a cut is meant to go through, and how that is known (design section 5). Lengths in mm. */
import type { CutIntent, JobFacts } from "../job/facts.ts";
import { printLength } from "../job/length.ts";
import type { Intent } from "./cuts.ts";

/** Band around the underside where the thickness that would set it is not declared, mm (design section 5). */
const leastBand = 1;

/** Of two statements about one cut: comments win over the job file, then the narrower one, then the later. */
export function strongerIntent(a: CutIntent | undefined, b: CutIntent): CutIntent {
  if (!a) return b;
  const rank = (intent: CutIntent) =>
    (intent.source.kind === "comment" ? 10 : intent.source.kind === "job" ? 5 : 0) +
    (intent.where.kind === "operation" ? 0 : 1);
  return rank(b) >= rank(a) ? b : a;
}

/** The intent as declared. */
export function declaredIntent(intent: CutIntent): Intent {
  const { source } = intent;
  const file = source.file?.split(/[\\/]/).pop();
  const because =
    source.kind === "comment" && source.line !== undefined
      ? `declared in the comment on line ${source.line}`
      : file
        ? `declared in ${file}`
        : source.kind === "settings"
          ? "declared in the settings"
          : "declared";
  return {
    goes: intent.goes,
    ...(intent.leaves !== undefined ? { leaves: intent.leaves } : {}),
    known: "declared",
    because,
  };
}

/**
 * The intent as its depth tells it: through where the deepest level lies within the band above the underside,
 * or below it. The level is that of the tip, also for V cutters and drills, although such a cutter opens the
 * underside to its full diameter only deeper.
 */
export function inferredIntent(
  bottom: number,
  underside: number | undefined,
  job: JobFacts,
  units: "mm" | "in",
): Intent {
  if (underside === undefined) {
    return { goes: "unknown", known: "not known", because: "the thickness of the board is not declared" };
  }
  const above = bottom - underside;
  const band = job.throughBand ?? leastBand;
  const goes = above <= band + 1e-9 ? "through" : "partway";
  const distance = printLength(Math.round(Math.abs(above) * 1000) / 1000, units);
  const because =
    Math.abs(above) < 5e-4
      ? "its deepest level lies at the underside"
      : `its deepest level is ${distance} ${above > 0 ? "above" : "below"} the underside`;
  return { goes, known: "inferred", because };
}

import type { HoldDown } from "./facts.ts";
import type { JobReader } from "./job-reader.ts";

/** Screws, clamps and taped places of a job file; keep-out and height are 0 where not declared. Lengths in mm. */
export function holdDownsOf(job: JobReader): HoldDown[] {
  const found: HoldDown[] = [];
  for (let i = 0; i < job.entries(["holdDowns"]); i++) {
    const kind = job.choice(["holdDowns", i, "kind"], ["screw", "clamp", "tape"]);
    const at = job.point(["holdDowns", i, "at"])?.value;
    const keepOut = job.length(["holdDowns", i, "keepOut"], { least: 0 })?.value ?? 0;
    const height = job.length(["holdDowns", i, "height"], { least: 0 })?.value ?? 0;
    if (kind && at) found.push({ kind, at, keepOut, height });
  }
  return found;
}

/** Places nearer to each other than this are one, mm. */
const samePlace = 0.01;

/** Those of the comments, then those of the job file, but for one that a comment declares at the same place. */
export function mergeHoldDowns(ofComments: readonly HoldDown[], ofJob: readonly HoldDown[]): HoldDown[] {
  const declaredAt = ({ at }: HoldDown) =>
    ofComments.some((own) => Math.hypot(own.at[0] - at[0], own.at[1] - at[1]) <= samePlace);
  return [...ofComments, ...ofJob.filter((holdDown) => !declaredAt(holdDown))];
}

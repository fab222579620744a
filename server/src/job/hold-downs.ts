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

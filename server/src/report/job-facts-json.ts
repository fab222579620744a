import type { JobFacts } from "../job/facts.ts";
import { switchedOff } from "./switched-off.ts";

/** The facts a review rests on as plain JSON, each with its source. Lengths in mm, angles in radians. */
export function jobFactsJson(job: JobFacts): object {
  return {
    jobFile: job.jobFile ?? null,
    programs: job.programs,
    board: job.stock.name ?? null,
    boards: job.boards,
    stock: {
      thickness: job.stock.thickness ?? null,
      size: job.stock.size ?? null,
      corner: job.stock.corner ?? null,
      zero: job.stock.zero,
      material: job.stock.material ?? null,
      tape: job.stock.tape ?? null,
    },
    bedThickness: job.bedThickness ?? null,
    deepestBedCut: job.deepestBedCut,
    allowance: job.allowance,
    throughBand: job.throughBand ?? null,
    tools: [...job.tools.values()],
    holdDowns: job.holdDowns,
    switchedOff: switchedOff(job).map(({ rule, source }) => ({ rule, source: source ?? null })),
  };
}

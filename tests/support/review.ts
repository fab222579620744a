/** Text in, review out, without files. */
import { resolveJob } from "../../server/src/job/resolve.ts";
import { readProgram } from "../../server/src/language/read.ts";
import { reviewProgram } from "../../server/src/review/review-program.ts";
import type { Review } from "../../server/src/review/review.ts";

/** Reviews a program named bench.nc with an optional job file and settings. */
export function reviewText(
  text: string,
  jobFile?: { file: string; text: string },
  settings?: unknown,
): Review {
  const program = readProgram(text);
  const job = resolveJob({ programFile: "bench.nc", program, ...(jobFile ? { jobFile } : {}), settings });
  return reviewProgram({ file: "bench.nc", text, job });
}

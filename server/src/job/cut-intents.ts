/** What a job file says certain cuts are meant to do. */
import type { CutIntent } from "./facts.ts";
import type { JobReader } from "./job-reader.ts";
import { programAt } from "./programs.ts";

/**
 * Statements that concern a program, in file order. Lengths in mm.
 * @param program absolute path of the program
 * @param programs absolute paths of the job's programs
 */
export function intentsOf(job: JobReader, program: string, programs: readonly string[]): CutIntent[] {
  const found: CutIntent[] = [];
  for (let i = 0; i < job.entries(["cuts"]); i++) {
    const at = (name: string) => ["cuts", i, name];
    const goes = job.choice(at("goes"), ["through", "partway"]);
    const leaves = job.length(at("leaves"), { above: 0 })?.value;
    const where = placeOf(job, i, programs);
    const named = job.string(at("program"));
    const only = named === undefined ? undefined : programAt(job, at("program"));
    if (goes === undefined || !where || (named !== undefined && only === undefined)) continue;
    if (goes === "through" && leaves !== undefined) {
      job.invalid(
        at("leaves"),
        'A cut that goes through leaves nothing. Remove "leaves", or write "goes": "partway".',
      );
    }
    if (only !== undefined && !programs.includes(only)) {
      job.invalid(
        at("program"),
        `The job lists no program "${named}". Write it as it stands under "programs".`,
      );
    }
    if (only !== undefined && only !== program) continue;
    found.push({
      where,
      ...(only !== undefined ? { program: only } : {}),
      goes,
      ...(leaves !== undefined && goes === "partway" ? { leaves } : {}),
      source: job.source(["cuts", i]),
    });
  }
  return found;
}

function placeOf(job: JobReader, i: number, programs: readonly string[]): CutIntent["where"] | undefined {
  const at = (name: string) => ["cuts", i, name];
  const given = ["operation", "line", "at"].filter((name) => job.value(at(name)) !== undefined);
  if (given.length !== 1) {
    job.invalid(
      ["cuts", i],
      given.length === 0
        ? 'Say which cuts are meant: "operation" with its name, "line" with its number, or "at" with a place on the cut.'
        : `Say which cuts are meant in one way, not by ${given.map((name) => `"${name}"`).join(" and ")}. Write two entries.`,
    );
    return undefined;
  }
  const operation = job.string(at("operation"));
  if (operation !== undefined) return { kind: "operation", name: operation };
  const line = job.integer(at("line"), 1, 1e9);
  if (line !== undefined) {
    if (programs.length < 2 || job.string(at("program")) !== undefined) return { kind: "line", line };
    job.invalid(
      at("line"),
      'Each program has such a line: add "program" with the name of the one that is meant.',
    );
    return undefined;
  }
  const place = job.point(at("at"))?.value;
  return place && { kind: "place", x: place[0], y: place[1] };
}

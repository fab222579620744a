/** The cutters a job file declares. */
import type { Tool, ToolShape } from "./facts.ts";
import type { JobReader } from "./job-reader.ts";

export const toolShapes: readonly ToolShape[] = ["flat", "ball", "V", "bull", "drill"];

/** What makes a cutter impossible, as a sentence with the remedy; undefined: nothing does. Lengths mm, angle radians. */
export function toolFault({
  shape,
  diameter,
  angle,
  cornerRadius,
}: Omit<Tool, "number" | "source">): string | undefined {
  if (shape === "V" && angle === undefined) {
    return "A V cutter needs its full point angle in degrees, such as 60.";
  }
  if (shape === "bull" && cornerRadius === undefined) {
    return 'A bull-nose cutter needs its corner radius, such as "2 mm".';
  }
  if (cornerRadius !== undefined && cornerRadius > diameter / 2) {
    return "The corner radius is more than half the diameter. Correct one of them.";
  }
  return undefined;
}

/** Cutters by number. One that lacks what its shape needs is told and left out. Lengths in mm, angles in radians. */
export function toolsOf(job: JobReader): Map<number, Tool> {
  const tools = new Map<number, Tool>();
  for (let i = 0; i < job.entries(["tools"]); i++) {
    const tool = toolAt(job, i);
    if (!tool) continue;
    if (tools.has(tool.number)) {
      job.invalid(
        ["tools", i, "number"],
        `Tool ${tool.number} is declared twice; the first one counts. Remove one.`,
      );
    } else tools.set(tool.number, tool);
  }
  return tools;
}

function toolAt(job: JobReader, i: number): Tool | undefined {
  const at = (name: string) => ["tools", i, name];
  const number = job.integer(at("number"), 0, 65535);
  const shape = job.choice(at("shape"), toolShapes);
  const diameter = job.length(at("diameter"), { above: 0 })?.value;
  const degrees = job.value(at("angle"));
  const angle =
    typeof degrees === "number" && degrees > 0 && degrees < 180 ? (degrees * Math.PI) / 180 : undefined;
  let tipDiameter = job.length(at("tipDiameter"), { least: 0 })?.value;
  const cornerRadius = job.length(at("cornerRadius"), { above: 0 })?.value;
  const flutes = job.integer(at("flutes"), 1, 20);
  const cuttingLength = job.length(at("cuttingLength"), { above: 0 })?.value;
  if (number === undefined || shape === undefined || diameter === undefined) return undefined;
  if (tipDiameter !== undefined && tipDiameter >= diameter) {
    job.invalid(at("tipDiameter"), 'The tip must be smaller than the diameter, such as "0.2 mm".');
    tipDiameter = undefined;
  }
  const tool: Tool = {
    number,
    shape,
    diameter,
    ...(angle !== undefined ? { angle } : {}),
    ...(tipDiameter !== undefined ? { tipDiameter } : {}),
    ...(cornerRadius !== undefined ? { cornerRadius } : {}),
    ...(flutes !== undefined ? { flutes } : {}),
    ...(cuttingLength !== undefined ? { cuttingLength } : {}),
    source: job.source(["tools", i]),
  };
  const fault = toolFault(tool);
  if (fault === undefined) return tool;
  job.invalid(["tools", i], `${fault} Until then tool ${number} counts as not declared.`);
  return undefined;
}

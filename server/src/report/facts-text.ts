/** Declared facts as plain words, each with where it comes from. Lengths in mm, shown in the program's units. */
import type { JobFacts, Source, Tool } from "../job/facts.ts";
import { lengthText } from "../review/length-text.ts";
import { printable } from "./printable.ts";

type Units = "mm" | "in";

/** "seed-board.job.json", "comment in line 3", "settings", "default". */
export function sourceText(source: Source): string {
  switch (source.kind) {
    case "comment":
      return source.line === undefined ? "comment in the program" : `comment in line ${source.line}`;
    case "job":
      return source.file === undefined ? "job file" : printable(baseName(source.file));
    case "settings":
      return "settings";
    case "default":
      return "default";
  }
}

/** Last part of a path, whichever way its slashes lean. */
export function baseName(path: string): string {
  return path.slice(Math.max(path.lastIndexOf("/"), path.lastIndexOf("\\")) + 1);
}

/** Sentence parts on the board: thickness, size, corner, zero, material. */
export function boardText(job: JobFacts, units: Units): string[] {
  const { stock } = job;
  const length = (mm: number) => lengthText(mm, units);
  const pair = ([a, b]: readonly [number, number], join: string) => `${length(a)}${join}${length(b)}`;
  const parts: string[] = [];
  parts.push(
    stock.thickness
      ? `${length(stock.thickness.value)} thick (${sourceText(stock.thickness.source)})`
      : "thickness not declared",
  );
  parts.push(
    stock.size ? `${pair(stock.size.value, " x ")} (${sourceText(stock.size.source)})` : "size not declared",
  );
  if (stock.corner) {
    const [x, y] = stock.corner.value;
    parts.push(`lower-left corner at X${length(x)} Y${length(y)} (${sourceText(stock.corner.source)})`);
  }
  parts.push(
    `Z0 on ${stock.zero.value === "top" ? "its top" : "the bed"} (${sourceText(stock.zero.source)})`,
  );
  if (stock.material) {
    parts.push(`${printable(stock.material.value)} (${sourceText(stock.material.source)})`);
  }
  return parts;
}

/** "the board" or 'the board "prototype"'. */
export function boardName(job: JobFacts): string {
  return job.stock.name === undefined ? "board" : `board "${printable(job.stock.name)}"`;
}

/** One line for each term of the through allowance: name, value, source. */
export function allowanceRows(
  job: JobFacts,
  units: Units,
): { name: string; value: string; source: string }[] {
  return job.allowance.terms.map((term) => ({
    name: term.name,
    value: lengthText(term.value, units),
    source: sourceText(term.source),
  }));
}

/** "flat, 6.00 mm, 2 flutes, cutting length 25.00 mm". */
export function toolText(tool: Tool, units: Units): string {
  const length = (mm: number) => lengthText(mm, units);
  const parts = [tool.shape, length(tool.diameter)];
  if (tool.angle !== undefined && tool.shape !== "flat") {
    parts.push(`${Number(((tool.angle * 180) / Math.PI).toFixed(1))}\u00b0`);
  }
  if (tool.cornerRadius !== undefined) parts.push(`corner ${length(tool.cornerRadius)}`);
  if (tool.flutes !== undefined) parts.push(`${tool.flutes} ${tool.flutes === 1 ? "flute" : "flutes"}`);
  if (tool.cuttingLength !== undefined) parts.push(`cutting length ${length(tool.cuttingLength)}`);
  return parts.join(", ");
}

/** "about 6 min 12 s", "under 1 s". */
export function aboutText(seconds: number): string {
  return seconds < 1 ? "under 1 s" : `about ${durationText(seconds)}`;
}

/** "6 min 12 s". */
function durationText(seconds: number): string {
  const whole = Math.round(seconds);
  const hours = Math.floor(whole / 3600);
  const minutes = Math.floor((whole % 3600) / 60);
  if (hours > 0) return `${hours} h ${minutes} min`;
  return minutes > 0 ? `${minutes} min ${whole % 60} s` : `${whole} s`;
}

/** "3 errors", "1 warning". */
export function counted(count: number, one: string, many = `${one}s`): string {
  return `${count} ${count === 1 ? one : many}`;
}

/** With tape under a board whose Z0 is on the bed: what the allowance is from the board's own underside. */
export function tapeText(job: JobFacts, units: "mm" | "in"): string {
  if (!job.stock.tape || job.stock.zero.value !== "bed") return "";
  return `, counted from Z0; ${lengthText(job.allowance.overcut, units)} from the underside, which the tape raises`;
}

/** First declarations, made from what the program itself tells. */
import { basename, parse } from "node:path";
import { printLength, type Units } from "./length.ts";

/** Board drawn around what the program cuts, on each side, mm. */
const marginOf = (units: Units) => (units === "in" ? 0.5 * 25.4 : 10);
/** Step that lengths are rounded to, mm: 0.01 mm, 0.001 in. */
const stepOf = (units: Units) => (units === "in" ? 0.001 * 25.4 : 0.01);

/** Name of the job file that goes with a program: "tray.nc" has "tray.job.json". */
export function jobFileNameFor(programFile: string): string {
  return `${parse(programFile).name}.job.json`;
}

/**
 * Text of a first job file: units, extents and tool numbers filled in, the thickness left for the user, who is asked
 * to measure it. Everything guessed has a comment that says so.
 * @param input.extent min x, min y, max x, max y of the cuts, mm
 * @param input.lowest lowest Z, mm
 */
export function draftJob(input: {
  programFile: string;
  units: Units;
  extent: readonly [number, number, number, number];
  lowest: number;
  tools: readonly number[];
}): string {
  const { units, extent } = input;
  const finite = (mm: number) => (Number.isFinite(mm) ? mm : 0);
  const step = stepOf(units);
  const margin = marginOf(units);
  const length = (mm: number) => printLength(Math.round(finite(mm) / step) * step, units);
  const quoted = (mm: number) => JSON.stringify(length(mm));
  const [x0, y0, x1, y1] = extent.map(finite);
  const numbers = input.tools.filter((number) => Number.isInteger(number) && number > 0 && number <= 65535);
  const diameter = JSON.stringify(units === "in" ? "1/4 in" : "6 mm");
  const tools = (numbers.length > 0 ? numbers : [1])
    .map((number) => `    { "number": ${number}, "shape": "flat", "diameter": ${diameter} }`)
    .join(",\n");
  return `{
  "units": "${units}",
  // The programs that cut one board, in the order they run.
  "programs": [${JSON.stringify(basename(input.programFile))}],
  "boards": {
    "board": {
      // Measure the board with calipers at the four corners and write the thickest here, such as ${units === "in" ? '"0.72 in"' : '"18.3 mm"'}.
      // The program goes down to Z ${length(input.lowest)}.
      "thickness": "",
      // A guess, ${length(margin)} larger all round than what the program cuts. Write the board's own size.
      "size": [${quoted(x1 - x0 + 2 * margin)}, ${quoted(y1 - y0 + 2 * margin)}],
      // Where the board's lower-left corner lies in the program's coordinates: a guess too.
      "corner": [${quoted(x0 - margin)}, ${quoted(y0 - margin)}],
      // "top" where Z0 is touched off on the board, "bed" where it is on the bed under it.
      "zero": "top"
    }
  },
  // Check the shape and the diameter: the program does not tell them.
  "tools": [
${tools}
  ]
}
`;
}

/** The comment that the quick fix inserts. `guess`: a thickness to start from, mm. */
export function declarationLine(units: Units, guess = units === "in" ? 0.75 * 25.4 : 18): string {
  return `(cutwright: thickness ${printLength(guess, units)})`;
}

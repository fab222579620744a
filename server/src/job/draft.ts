/** First declarations, made from what the program itself tells. */
import { basename } from "node:path";
import { printLength, type Units } from "./length.ts";

/** Name of the job file that goes with a program: "tray.nc" has "tray.job.json". */
export function jobFileNameFor(programFile: string): string {
  return `${basename(programFile).replace(/\.[^.]+$/, "")}.job.json`;
}

/**
 * Text of a first job file: units, extents and tools filled in, the thickness left for the user. The board is drawn
 * 10 mm larger than the program's extent on each side, which the user is asked to correct.
 * @param input.extent min x, min y, max x, max y of the motions, mm
 * @param input.lowest lowest Z, mm
 */
export function draftJob(input: {
  programFile: string;
  units: Units;
  extent: readonly [number, number, number, number];
  lowest: number;
  tools: readonly number[];
}): string {
  const { units, extent, lowest } = input;
  const rounded = (mm: number) => JSON.stringify(printLength(Math.round(mm * 100) / 100, units));
  const margin = 10;
  const [x0, y0, x1, y1] = extent.map((value) => (Number.isFinite(value) ? value : 0));
  const numbers = input.tools.filter((number) => number > 0);
  const tools = (numbers.length ? numbers : [1])
    .map(
      (number) =>
        `    { "number": ${number}, "shape": "flat", "diameter": ${JSON.stringify(units === "in" ? "1/4 in" : "6 mm")} }`,
    )
    .join(",\n");
  return `{
  "units": "${units}",
  // The programs that run on one board, in their order.
  "programs": [${JSON.stringify(basename(input.programFile))}],
  "boards": {
    "board": {
      // Measure the board with calipers at the four corners and write the thickest here, for example "18.3 mm".
      // The program's lowest place is ${printLength(lowest, units)}.
      "thickness": "",
      // The program reaches from X${printLength(x0, units)} Y${printLength(y0, units)} to X${printLength(x1, units)} Y${printLength(y1, units)}.
      "size": [${rounded(x1 - x0 + 2 * margin)}, ${rounded(y1 - y0 + 2 * margin)}],
      // Where the board's lower-left corner lies in the program's coordinates.
      "corner": [${rounded(x0 - margin)}, ${rounded(y0 - margin)}],
      "zero": "top"
    }
  },
  "board": "board",
  // Check each cutter's shape and diameter.
  "tools": [
${tools}
  ]
}
`;
}

/** The comment that the quick fix inserts. `guess`: a thickness to start from, mm. */
export function declarationLine(units: Units, guess = 18): string {
  return `(cutwright: thickness ${printLength(guess, units)})`;
}

/**
 * Speed as ratios within one run: `npm run bench`. Nothing here is a timed test; medians of several rounds, all
 * on the same text in the same process. Prints a Markdown table.
 */
import SecondReading from "gcode-toolpath";
import { resolveJob } from "../../server/src/job/resolve.ts";
import { readProgram } from "../../server/src/language/read.ts";
import { interpret } from "../../server/src/machine/interpret.ts";
import { reviewProgram } from "../../server/src/review/review-program.ts";
import { boardProgram } from "./programs.ts";

const rounds = 7;

function median(values: number[]): number {
  return [...values].sort((a, b) => a - b)[values.length >> 1];
}

/** Median seconds of `rounds` runs after one warm-up. */
function time(run: () => unknown): number {
  run();
  const seconds: number[] = [];
  for (let k = 0; k < rounds; k++) {
    const from = performance.now();
    run();
    seconds.push((performance.now() - from) / 1000);
  }
  return median(seconds);
}

/** A plain look at every character: the least any reader can do. */
function byteScan(text: string): number {
  let sum = 0;
  for (let i = 0; i < text.length; i++) sum = (sum + text.charCodeAt(i)) | 0;
  return sum;
}

const rows: string[] = [];
for (const lines of [10_000, 100_000]) {
  const text = boardProgram(lines);
  const program = readProgram(text);
  const job = resolveJob({ programFile: "bench.nc", program });
  const scan = time(() => byteScan(text));
  const own = time(() => interpret(readProgram(text), job.machine));
  const second = time(() =>
    new SecondReading({ addLine: () => {}, addArcCurve: () => {} }).loadFromStringSync(text),
  );
  const whole = time(() => reviewProgram({ file: "bench.nc", text, job }));
  const cells = (values: (string | number)[]) => `| ${values.join(" | ")} |`;
  rows.push(
    cells([
      lines.toLocaleString("en"),
      `${(own * 1000).toFixed(1)} ms`,
      `${(own / scan).toFixed(1)} x`,
      `1/${(second / own).toFixed(1)}`,
      `${(whole / own).toFixed(1)} x`,
    ]),
  );
}
console.log(
  "| lines | reading and interpreting | of a byte scan | of gcode-toolpath | whole review, of our reading |",
);
console.log("| --- | --- | --- | --- | --- |");
console.log(rows.join("\n"));

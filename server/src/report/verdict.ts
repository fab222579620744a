import { lineEnd, type Program } from "../language/program.ts";
import type { Finding, Severity } from "../review/finding.ts";
import type { Review } from "../review/review.ts";
import { counted } from "./facts-text.ts";

export const severities: readonly Severity[] = ["error", "warning", "info"];

/** Number of findings of each severity. */
export function severityCounts(findings: readonly Pick<Finding, "severity">[]): Record<Severity, number> {
  const counts = { error: 0, warning: 0, info: 0 };
  for (const finding of findings) counts[finding.severity]++;
  return counts;
}

/** "2 errors, 1 warning" or "no findings". */
export function countsText(findings: readonly Pick<Finding, "severity">[]): string {
  const counts = severityCounts(findings);
  const parts: string[] = [];
  if (counts.error > 0) parts.push(counted(counts.error, "error"));
  if (counts.warning > 0) parts.push(counted(counts.warning, "warning"));
  if (counts.info > 0) parts.push(counted(counts.info, "note"));
  return parts.length > 0 ? parts.join(", ") : "no findings";
}

/** Rules on lines that were not executed or that put what follows in doubt. */
const unsettling: ReadonlySet<string> = new Set([
  "line-not-reviewed",
  "number-malformed",
  "word-unknown",
  "word-repeated",
  "comment-unclosed",
  "modal-conflict",
]);

/** Lines as an editor's user counts them: what follows the last line end is none where nothing stands there. */
export function writtenLines(program: Program): number {
  const last = program.lineCount - 1;
  return lineEnd(program, last) > program.lineStart[last] ? program.lineCount : last;
}

/** Whether all of the program was read: "All 58 lines were read." */
export function readingText(review: Review): string {
  const lines = writtenLines(review.program);
  if (review.summary.allRead) {
    if (lines === 0) return "The file is empty.";
    return lines === 1 ? "The one line was read." : `All ${lines} lines were read.`;
  }
  const from = review.toolpath.doubtFromLine + 1;
  const unread = [...review.program.problems, ...review.toolpath.problems]
    .filter((problem) => unsettling.has(problem.rule) || problem.line + 1 === from)
    .map((problem) => problem.line + 1);
  const listed = unread.length > 0 ? linesText(unread) : `line ${from}`;
  return `NOT ${lines === 1 ? "all of the one line was" : `all of ${lines} lines were`} understood: ${listed}. What follows line ${from} may be wrong.`;
}

/** "line 4", "lines 4 to 6, 9 and 12", at most a dozen places. The lines may come in any order and more than once. */
export function linesText(lines: readonly number[]): string {
  const runs: [number, number][] = [];
  for (const line of [...new Set(lines)].sort((a, b) => a - b)) {
    const last = runs.at(-1);
    if (last && line === last[1] + 1) last[1] = line;
    else runs.push([line, line]);
  }
  const places = runs.flatMap(([a, b]) =>
    b - a > 1 ? [`${a} to ${b}`] : a === b ? [`${a}`] : [`${a}`, `${b}`],
  );
  const word = runs.length === 1 && runs[0][0] === runs[0][1] ? "line" : "lines";
  const shown = places.slice(0, 12);
  const more = places.length - shown.length;
  const tail = more > 0 ? `${more} more ${more === 1 ? "place" : "places"}` : (shown.pop() ?? "");
  return shown.length > 0 ? `${word} ${shown.join(", ")} and ${tail}` : `${word} ${tail}`;
}

/** What the review comes to, and whether all of the program was read. */
export function verdictText(review: Review): string {
  return verdictLines(review).join(" ");
}

/** The same as two lines, so that the second is never missed. */
export function verdictLines(review: Review): [string, string] {
  const { summary, findings } = review;
  const counts = severityCounts(findings);
  const unsure = findings.filter((finding) => finding.rule === "through-cut-marginal").length;
  const doubt = unsure > 0 ? `, ${unsure} of them not surely` : "";
  const through =
    summary.throughCuts > 0
      ? ` ${summary.clearedCuts} of ${counted(summary.throughCuts, "cut")} meant to go through ${summary.throughCuts === 1 ? "does" : "do"}${doubt}.`
      : "";
  const open =
    summary.notJudged.length > 0
      ? ` Not judged: ${counted(summary.notJudged.length, "thing")}, listed apart.`
      : "";
  const nothing = summary.motions === 0 && summary.allRead && counts.error === 0;
  const also = findings.length > 0 ? ` ${countsText(findings)}.` : "";
  const head = nothing
    ? `Nothing to run: the program moves nothing.${also}`
    : counts.error > 0
      ? `Not ready to run: ${countsText(findings)}.`
      : counts.warning > 0
        ? `Look before you run it: ${countsText(findings)}.`
        : counts.info > 0
          ? `Nothing that stops it: ${countsText(findings)}.`
          : "Nothing found.";
  return [`${head}${through}`, `${readingText(review)}${open}`];
}

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

/** Whether all of the program was read: "All 58 lines were read." */
export function readingText(review: Review): string {
  const { lines, allRead } = review.summary;
  if (allRead) return lines === 1 ? "The one line was read." : `All ${lines} lines were read.`;
  const from = review.toolpath.doubtFromLine + 1;
  const unread = [
    ...new Set(
      [...review.program.problems, ...review.toolpath.problems]
        .filter((problem) => problem.rule === "line-not-reviewed")
        .map((problem) => problem.line + 1),
    ),
  ].sort((a, b) => a - b);
  const listed = unread.length > 0 ? linesText(unread) : `line ${from}`;
  return `NOT all of ${lines} lines were understood: ${listed}. What follows line ${from} may be wrong.`;
}

/** "line 4", "lines 4 to 6, 9 and 12", at most a dozen places. */
export function linesText(lines: readonly number[]): string {
  const runs: [number, number][] = [];
  for (const line of lines) {
    const last = runs.at(-1);
    if (last && line === last[1] + 1) last[1] = line;
    else if (!last || line !== last[1]) runs.push([line, line]);
  }
  const shown = runs
    .slice(0, 12)
    .map(([a, b]) => (a === b ? `${a}` : b === a + 1 ? `${a}, ${b}` : `${a} to ${b}`));
  const more = runs.length - shown.length;
  const word = lines.length === 1 ? "line" : "lines";
  const tail = more > 0 ? ` and ${more} more places` : "";
  return shown.length > 1 && more === 0
    ? `${word} ${shown.slice(0, -1).join(", ")} and ${shown.at(-1)}`
    : `${word} ${shown.join(", ")}${tail}`;
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
  const head =
    counts.error > 0
      ? `Not ready to run: ${countsText(findings)}.`
      : counts.warning > 0
        ? `Look before you run it: ${countsText(findings)}.`
        : counts.info > 0
          ? `Nothing that stops it: ${countsText(findings)}.`
          : "Nothing found.";
  return [`${head}${through}`, `${readingText(review)}${open}`];
}

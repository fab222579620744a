/** Folding: operations, cuts, passes and blocks of comment lines. */
import { FoldingRangeKind, type FoldingRange } from "vscode-languageserver";
import type { Review } from "../review/review.ts";

/** Most ranges given when the editor states no limit of its own. */
const mostRanges = 5000;

/**
 * Foldable line ranges of two lines and more, in line order. Operations come first where `limit` cuts the list short.
 */
export function foldingOf(review: Review, limit = mostRanges): FoldingRange[] {
  const { operations, cuts, passes } = review.tree;
  const seen = new Set<string>();
  const ranges: FoldingRange[] = [];
  const add = (startLine: number, endLine: number, kind?: FoldingRangeKind) => {
    const key = `${startLine}-${endLine}`;
    if (endLine <= startLine || seen.has(key) || ranges.length >= limit) return;
    seen.add(key);
    ranges.push({ startLine, endLine, ...(kind ? { kind } : {}) });
  };
  for (const { firstLine, lastLine } of operations) add(firstLine, lastLine);
  for (const [first, last] of commentBlocks(review)) add(first, last, FoldingRangeKind.Comment);
  for (const cut of cuts) {
    const lines = cut.passes.map((index) => passes[index]);
    add(
      lines.reduce((low, pass) => Math.min(low, pass.firstLine), Infinity),
      lines.reduce((high, pass) => Math.max(high, pass.lastLine), 0),
    );
  }
  for (const { firstLine, lastLine } of passes) add(firstLine, lastLine);
  return ranges.sort((a, b) => a.startLine - b.startLine || b.endLine - a.endLine);
}

function* commentBlocks(review: Review): Generator<[number, number]> {
  let first = -1;
  let last = -2;
  for (const comment of review.program.comments) {
    if (!comment.alone || comment.line === last) continue;
    if (comment.line !== last + 1) {
      if (last > first) yield [first, last];
      first = comment.line;
    }
    last = comment.line;
  }
  if (last > first && first >= 0) yield [first, last];
}

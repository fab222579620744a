/** Offsets of the engine to positions of the protocol. Both count UTF-16 units, lines from zero. */
import type { Position, Range } from "vscode-languageserver";
import { lineAt, lineEnd, type Program } from "../language/program.ts";

/** Position of an offset; offsets past the end of the text give its end. */
export function positionAt(program: Program, offset: number): Position {
  const line = lineAt(program, Math.max(0, offset));
  const character = Math.min(offset, lineEnd(program, line)) - program.lineStart[line];
  return { line, character: Math.max(0, character) };
}

/** Range of two offsets; at least as long as the text allows when both are the same. */
export function rangeOf(program: Program, start: number, end: number): Range {
  return { start: positionAt(program, start), end: positionAt(program, Math.max(start, end)) };
}

/** Whole lines, without the last one's line end. Lines outside the program are brought inside. */
export function linesRange(program: Program, firstLine: number, lastLine: number): Range {
  const first = clampLine(program, firstLine);
  const last = Math.max(first, clampLine(program, lastLine));
  return {
    start: { line: first, character: 0 },
    end: { line: last, character: lineEnd(program, last) - program.lineStart[last] },
  };
}

export function clampLine(program: Program, line: number): number {
  return Math.min(Math.max(0, line | 0), program.lineCount - 1);
}

/** True where two ranges share a line. */
export function sharesLine(a: Range, b: Range): boolean {
  return a.start.line <= b.end.line && b.start.line <= a.end.line;
}

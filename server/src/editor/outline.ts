/** The outline: operation > cut > pass. */
import { SymbolKind, type DocumentSymbol, type Range } from "vscode-languageserver";
import type { Cut, Operation, Pass } from "../cuts/cuts.ts";
import { lengthText } from "../review/length-text.ts";
import type { Review } from "../review/review.ts";
import { clampLine, linesRange } from "./ranges.ts";
import { cutTitle, depthText } from "./wording.ts";

/** Past this many entries passes are left out, past it again cuts too: an outline of 100,000 entries helps nobody. */
const mostEntries = 20_000;

/** Outline of a program. A parent's range holds its children's; every selection lies in its range. */
export function outlineOf(review: Review): DocumentSymbol[] {
  const { operations, cuts, passes } = review.tree;
  const detail =
    operations.length + cuts.length + passes.length <= mostEntries
      ? "passes"
      : operations.length + cuts.length <= mostEntries
        ? "cuts"
        : "operations";
  return operations.map((operation) => operationSymbol(review, operation, detail));
}

function operationSymbol(review: Review, operation: Operation, detail: string): DocumentSymbol {
  const cuts = operation.cuts.map((index) => review.tree.cuts[index]).filter(Boolean);
  const children = detail === "operations" ? [] : cuts.map((cut) => cutSymbol(review, cut, detail));
  const own = linesRange(review.program, operation.firstLine, operation.lastLine);
  const count = cuts.length === 1 ? "1 cut" : `${cuts.length} cuts`;
  return symbol(operation.name, `tool ${operation.tool}, ${count}`, SymbolKind.Module, own, children);
}

function cutSymbol(review: Review, cut: Cut, detail: string): DocumentSymbol {
  const passes = cut.passes.map((index) => review.tree.passes[index]).filter(Boolean);
  const children =
    detail === "passes" && passes.length > 1
      ? passes.map((pass, order) => passSymbol(review, pass, order + 1))
      : [];
  let first = Infinity;
  let last = 0;
  for (const pass of passes) {
    first = Math.min(first, pass.firstLine);
    last = Math.max(last, pass.lastLine);
  }
  const own = linesRange(review.program, Number.isFinite(first) ? first : 0, last);
  return symbol(cutTitle(review, cut), "", SymbolKind.Function, own, children);
}

function passSymbol(review: Review, pass: Pass, number: number): DocumentSymbol {
  const own = linesRange(review.program, pass.firstLine, pass.lastLine);
  const { units } = review.toolpath;
  const name = `Pass ${number}, ${depthText(review, pass.bottom)}`;
  const tabs =
    pass.tabs.length === 0 ? "" : pass.tabs.length === 1 ? ", 1 tab" : `, ${pass.tabs.length} tabs`;
  return symbol(name, `${lengthText(pass.length, units)} long${tabs}`, SymbolKind.Event, own, []);
}

function symbol(
  name: string,
  detail: string,
  kind: SymbolKind,
  own: Range,
  children: DocumentSymbol[],
): DocumentSymbol {
  const range = children.reduce((outer, child) => union(outer, child.range), own);
  // The editor refuses an entry without a name.
  const shown = name.trim() || "Without a name";
  return {
    name: shown,
    ...(detail ? { detail } : {}),
    kind,
    range,
    selectionRange: { start: own.start, end: own.start.line === own.end.line ? own.end : own.start },
    ...(children.length ? { children } : {}),
  };
}

function union(a: Range, b: Range): Range {
  const before = (p: Range["start"], q: Range["start"]) =>
    p.line < q.line || (p.line === q.line && p.character < q.character);
  return { start: before(b.start, a.start) ? b.start : a.start, end: before(a.end, b.end) ? b.end : a.end };
}

/** Operation, cut and pass that a line belongs to, innermost known; by the motions the line makes. */
export function placeOfLine(
  review: Review,
  line: number,
): { operation?: Operation; cut?: Cut; pass?: Pass; passNumber?: number } {
  const { tree, toolpath, program } = review;
  const at = clampLine(program, line);
  for (let i = toolpath.firstMotionOfLine[at]; i < toolpath.firstMotionOfLine[at + 1]; i++) {
    const index = tree.passOfMotion[i];
    if (index === undefined || index < 0) continue;
    const pass = tree.passes[index];
    const cut = tree.cuts[pass.cut];
    return {
      pass,
      cut,
      operation: tree.operations[cut.operation],
      passNumber: cut.passes.indexOf(index) + 1,
    };
  }
  const operation = tree.operations.find((o) => at >= o.firstLine && at <= o.lastLine);
  return operation ? { operation } : {};
}

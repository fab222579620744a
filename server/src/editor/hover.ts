/** What a block does, where it ends, and what it leaves, in plain words. */
import { MarkupKind, type Hover } from "vscode-languageserver";
import { motionLength } from "../machine/geometry.ts";
import { MotionFlag, MotionKind } from "../machine/motions.ts";
import { lengthText } from "../review/length-text.ts";
import { cutterTable } from "../review/material-run.ts";
import type { Review } from "../review/review.ts";
import { heightAt } from "../stock/probe.ts";
import { surfaces } from "../stock/surfaces.ts";
import { codeMeanings } from "./block-words.ts";
import { placeOfLine } from "./outline.ts";
import { linesRange } from "./ranges.ts";
import { capital, depthText, intentText } from "./wording.ts";

/** Motions the exact probe looks through; past it the material model answers, to its resolution. */
const mostProbedMotions = 200_000;

/** Hover for a line (zero-based); undefined where the line has no words. */
export function hoverAt(review: Review, line: number): Hover | undefined {
  const { program } = review;
  if (line < 0 || line >= program.lineCount) return undefined;
  if (program.firstWord[line] === program.firstWord[line + 1]) return undefined;
  const parts = [movementText(review, line), codesText(review, line), ...placeTexts(review, line)];
  if (program.deletedLines.has(line))
    parts.push("Begins with /: left out when the block-delete switch is on.");
  const value = parts.filter(Boolean).join("\n\n");
  if (!value) return undefined;
  return { contents: { kind: MarkupKind.Markdown, value }, range: linesRange(program, line, line) };
}

function motionsOf(review: Review, line: number): [number, number] {
  const { firstMotionOfLine } = review.toolpath;
  return [firstMotionOfLine[line] ?? 0, firstMotionOfLine[line + 1] ?? 0];
}

function movementText(review: Review, line: number): string {
  const [first, end] = motionsOf(review, line);
  if (end <= first) return "";
  const { motions, units } = review.toolpath;
  const last = end - 1;
  const length = (mm: number) => lengthText(mm, units);
  const { flags } = motions;
  const sentences: string[] = [];
  if (end - first > 1) {
    const cycle = flags[first] & MotionFlag.fromCycle ? " of a drilling cycle" : "";
    sentences.push(`**${end - first} movements**${cycle}.`);
  } else sentences.push(`**${kindText(review, first)}**${extentText(review, first)}.`);
  if (motions.kind[last] !== MotionKind.dwell) {
    sentences.push(
      flags[last] & MotionFlag.endUnknown
        ? "Where it ends is not known on every axis: X, Y and Z have not all been stated yet."
        : `Ends at X ${length(motions.x[end])}, Y ${length(motions.y[end])}, Z ${length(motions.z[end])}${shiftText(review)}.`,
    );
  }
  if (flags[first] & MotionFlag.inDoubt) {
    sentences.push(`In doubt: line ${review.toolpath.doubtFromLine + 1} was not understood.`);
  }
  return sentences.join(" ");
}

function kindText(review: Review, i: number): string {
  const { motions } = review.toolpath;
  switch (motions.kind[i]) {
    case MotionKind.rapid:
      return "Rapid move";
    case MotionKind.dwell:
      return "Wait";
    case MotionKind.arc: {
      const sweep = motions.arcs.sweep[motions.arc[i]];
      return sweep > 0 ? "Arc, counter-clockwise" : "Arc, clockwise";
    }
    default: {
      const flat = motions.x[i] === motions.x[i + 1] && motions.y[i] === motions.y[i + 1];
      if (!flat) return motions.z[i + 1] === motions.z[i] ? "Straight move at feed" : "Sloping move at feed";
      return motions.z[i + 1] < motions.z[i] ? "Plunge" : "Straight move upwards at feed";
    }
  }
}

function extentText(review: Review, i: number): string {
  const { motions, units } = review.toolpath;
  const { kind, feed, flags } = motions;
  if (kind[i] === MotionKind.dwell) return `, ${motions.dwellSeconds.get(i) ?? 0} s`;
  if (flags[i] & (MotionFlag.startUnknown | MotionFlag.endUnknown)) return "";
  const long = `, ${lengthText(motionLength(motions, i), units)} long`;
  if (kind[i] === MotionKind.rapid) return long;
  const turned =
    kind[i] === MotionKind.arc
      ? `, ${((Math.abs(motions.arcs.sweep[motions.arc[i]]) * 180) / Math.PI).toFixed(1)}°`
      : "";
  const speed = feed[i] > 0 ? `, at ${feedText(feed[i], units)}` : ", with no feed set";
  return turned + long + speed;
}

function feedText(mmPerMinute: number, units: "mm" | "in"): string {
  return units === "in" ? `${(mmPerMinute / 25.4).toFixed(1)} in/min` : `${mmPerMinute.toFixed(0)} mm/min`;
}

/** Places are counted from the first work zero: worth saying where the program shifts its numbers. */
function shiftText(review: Review): string {
  const { program } = review;
  for (let word = 0; word < program.wordCount; word++) {
    if (program.wordLetter[word] !== 71) continue;
    const code = Math.round(program.wordValue[word] * 10);
    if (code === 920 || (code > 540 && code <= 593)) return " counted from the first work zero (G54)";
  }
  return "";
}

function codesText(review: Review, line: number): string {
  return codeMeanings(review.program, line)
    .map((meaning) => `- ${meaning}`)
    .join("\n");
}

function placeTexts(review: Review, line: number): string[] {
  const { motions } = review.toolpath;
  const [first, end] = motionsOf(review, line);
  const texts: string[] = [];
  const known = end > first && !(motions.flags[end - 1] & MotionFlag.endUnknown);
  if (known && motions.kind[end - 1] !== MotionKind.dwell) texts.push(materialText(review, end));
  const { operation, cut, pass, passNumber } = placeOfLine(review, line);
  if (pass && cut && operation) {
    const which = cut.passes.length > 1 ? `, pass ${passNumber} of ${cut.passes.length}` : "";
    const meant = `${intentText(review, cut.intent)} (${knownText(cut.intent.known, cut.intent.because)})`;
    texts.push(
      `**${capital(cut.kind)}** in "${plain(operation.name)}"${which}: ${depthText(review, cut.bottom)}, ${meant}.`,
    );
  } else if (operation) texts.push(`Part of "${plain(operation.name)}".`);
  return texts;
}

function knownText(known: string, because: string): string {
  if (known === "not known") return because || "not known";
  return because ? `${known}: ${because}` : known;
}

/** Depth below the top at place `end` of the motions, and what stays there when the whole program is done. */
function materialText(review: Review, end: number): string {
  const { motions, units } = review.toolpath;
  const length = (mm: number) => lengthText(mm, units);
  const [x, y, z] = [motions.x[end], motions.y[end], motions.z[end]];
  const { top, underside } = surfaces(review.job.stock);
  if (top === undefined) return "How deep this is, is known once the board's thickness is declared.";
  const depth = z < top ? `${depthText(review, z)} here` : `${length(z - top)} above the board`;
  const height = heightLeft(review, top, x, y);
  if (height === undefined) return `${capital(depth)}.`;
  if (underside === undefined)
    return `${capital(depth)}; how much stays under it needs the board's thickness.`;
  const left = height.z - underside;
  const after = "after the whole program";
  const about = height.exact ? "" : ` (to the ${length(height.cell)} cells of the material model)`;
  if (left <= 0) {
    const over = left < 0 ? `; the cut goes ${length(-left)} below the underside` : "";
    return `${capital(depth)}. Nothing of the board stays under it ${after}${over}${about}.`;
  }
  return `${capital(depth)}. ${length(left)} of the board stays under it ${after}${about}.`;
}

interface HeightLeft {
  readonly z: number;
  readonly exact: boolean;
  /** Cell size, mm; 0 where exact. */
  readonly cell: number;
}

function heightLeft(review: Review, top: number, x: number, y: number): HeightLeft | undefined {
  const { motions } = review.toolpath;
  const inField = fieldHeight(review, x, y);
  const { field } = review;
  // Earlier programs' motions are not here: their share is in the model's starting heights.
  if (motions.count > mostProbedMotions || review.startHeight) {
    if (inField === undefined || !field) return undefined;
    return { z: inField, exact: false, cell: Math.max(field.grid.dx, field.grid.dy) };
  }
  return { z: heightAt(motions, cutterTable(review.job), top, x, y), exact: true, cell: 0 };
}

function fieldHeight(review: Review, x: number, y: number): number | undefined {
  const { field } = review;
  if (!field) return undefined;
  const { x0, y0, dx, dy, columns, rows } = field.grid;
  const column = Math.floor((x - x0) / dx);
  const row = Math.floor((y - y0) / dy);
  if (column < 0 || row < 0 || column >= columns || row >= rows) return undefined;
  return field.height[row * columns + column];
}

/** Program text inside Markdown: nothing in it may format or link. */
function plain(text: string): string {
  return text.replace(/[\\`*_{}[\]()#+\-.!<>|~&]/g, "\\$&");
}

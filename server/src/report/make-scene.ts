/** A review as what the cut view draws. Lengths in mm. */
import { toolFor } from "../job/tool-for.ts";
import { lineEnd } from "../language/program.ts";
import type { Motions } from "../machine/motions.ts";
import { lengthText } from "../review/length-text.ts";
import type { Review } from "../review/review.ts";
import { surfaces } from "../stock/surfaces.ts";
import { baseName, boardName, boardText, tapeText } from "./facts-text.ts";
import { printable } from "./printable.ts";
import type { Scene, SceneBoard, SceneFinding } from "./scene.ts";
import { switchedOffText } from "./switched-off.ts";
import { verdictText } from "./verdict.ts";

/** Most characters kept of a line, and most lines kept: the readout shows one line at a time. */
const longestLine = 240;
const mostLines = 300_000;
/** Margin drawn around the cuts where no board size is declared, mm. */
const margin = 10;

/** The scene of a review. Lines past the three hundred thousandth are not in it. */
export function makeScene(review: Review): Scene {
  const { program, toolpath, tree, job, field, startHeight } = review;
  const motions = exactMotions(toolpath.motions);
  const numbers = new Set<number>();
  for (let i = 0; i < motions.count; i++) numbers.add(motions.tool[i]);
  return {
    version: 1,
    title: printable(baseName(review.file)),
    units: toolpath.units,
    motions,
    tree: {
      operations: tree.operations.map((operation) => ({ ...operation, name: printable(operation.name) })),
      cuts: tree.cuts,
      passes: tree.passes,
      passOfMotion: tree.passOfMotion.subarray(0, motions.count),
    },
    tools: [...numbers].sort((a, b) => a - b).map((number) => ({ ...toolFor(job, number).tool, number })),
    board: boardOf(review),
    grid: field?.grid ?? null,
    startHeight: startHeight ?? null,
    skins: review.skins,
    findings: review.findings.filter((finding) => finding.file === review.file).map(sceneFinding),
    lines: linesOf(program),
    summary: summaryOf(review),
  };
}

/** The motions with columns cut to their count, so that no spare room travels. */
function exactMotions(motions: Motions): Motions {
  const { count, arcs } = motions;
  return {
    count,
    kind: motions.kind.subarray(0, count),
    flags: motions.flags.subarray(0, count),
    line: motions.line.subarray(0, count),
    x: motions.x.subarray(0, count + 1),
    y: motions.y.subarray(0, count + 1),
    z: motions.z.subarray(0, count + 1),
    feed: motions.feed.subarray(0, count),
    tool: motions.tool.subarray(0, count),
    spindle: motions.spindle.subarray(0, count),
    arc: motions.arc.subarray(0, count),
    arcs: {
      count: arcs.count,
      plane: arcs.plane.subarray(0, arcs.count),
      centreA: arcs.centreA.subarray(0, arcs.count),
      centreB: arcs.centreB.subarray(0, arcs.count),
      sweep: arcs.sweep.subarray(0, arcs.count),
    },
    dwellSeconds: motions.dwellSeconds,
  };
}

/** The footprint of the board: declared, else what the material was computed over, else around the cuts. */
export function footprintOf(review: Review): {
  corner: readonly [number, number];
  size: readonly [number, number];
} {
  const { job, field, tree } = review;
  if (job.stock.size) return { corner: job.stock.corner?.value ?? [0, 0], size: job.stock.size.value };
  if (field) {
    const { x0, y0, dx, dy, columns, rows } = field.grid;
    return { corner: [x0, y0], size: [dx * columns, dy * rows] };
  }
  let [x0, y0, x1, y1] = [Infinity, Infinity, -Infinity, -Infinity];
  for (const { extent } of tree.cuts) {
    x0 = Math.min(x0, extent[0]);
    y0 = Math.min(y0, extent[1]);
    x1 = Math.max(x1, extent[2]);
    y1 = Math.max(y1, extent[3]);
  }
  if (!(x1 >= x0)) return { corner: [0, 0], size: [100, 100] };
  return { corner: [x0 - margin, y0 - margin], size: [x1 - x0 + 2 * margin, y1 - y0 + 2 * margin] };
}

function boardOf(review: Review): SceneBoard {
  const { stock } = review.job;
  const { top, underside } = surfaces(stock);
  return {
    name: stock.name === undefined ? "" : printable(stock.name),
    ...footprintOf(review),
    sizeDeclared: stock.size !== undefined,
    top: top ?? 0,
    underside: underside !== undefined && Number.isFinite(underside) && stock.thickness ? underside : null,
    material: stock.material ? printable(stock.material.value) : "",
  };
}

function sceneFinding(finding: Review["findings"][number]): SceneFinding {
  return {
    rule: finding.rule,
    severity: finding.severity,
    line: finding.line,
    message: printable(finding.message),
    at: finding.at ?? null,
    motions: finding.motions ?? null,
    cut: finding.cut ?? null,
  };
}

function linesOf(program: Review["program"]): string[] {
  const count = Math.min(program.lineCount, mostLines);
  const lines: string[] = new Array<string>(count);
  for (let line = 0; line < count; line++) {
    const start = program.lineStart[line];
    const end = lineEnd(program, line);
    const text = program.text.slice(start, Math.min(end, start + longestLine));
    lines[line] = printable(end - start > longestLine ? `${text}\u2026` : text);
  }
  return lines;
}

function summaryOf(review: Review): string[] {
  const { job, toolpath, summary } = review;
  const name = boardName(job);
  const off = switchedOffText(job);
  return [
    verdictText(review),
    `${name[0].toUpperCase()}${name.slice(1)}: ${boardText(job, toolpath.units).join("; ")}.`,
    ...(job.stock.thickness
      ? [
          `Through allowance ${lengthText(job.allowance.required, toolpath.units)} by ${job.allowance.judgedBy}${tapeText(job, toolpath.units)}.`,
        ]
      : []),
    ...(off ? [off] : []),
    ...summary.notJudged.map(printable),
  ];
}

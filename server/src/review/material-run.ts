/** Runs the motions through the material and keeps what the rules ask for. Lengths in mm. */
import type { CutTree } from "../cuts/cuts.ts";
import type { JobFacts } from "../job/facts.ts";
import { toolFor } from "../job/tool-for.ts";
import { motionExtent } from "../machine/geometry.ts";
import { MotionFlag, MotionKind, type Motions } from "../machine/motions.ts";
import { cutterFrom, type Cutter } from "../stock/cutter.ts";
import type { HeightField } from "../stock/field.ts";
import { makeGrid } from "../stock/grid.ts";
import { Material } from "../stock/material.ts";
import type { RapidHit } from "./judgements.ts";
import type { MotionEffects } from "./review.ts";

/** Rapids that touch less than this are not told: rounding of the program's own decimals, mm. */
const rapidTolerance = 0.01;
/** Margin around the cuts where no board size is declared, mm. */
const margin = 2;
/** Most cells of the material model: 4 million cost about 50 MB. */
export const mostCells = 4_000_000;

export interface MaterialRun {
  readonly field: HeightField;
  readonly effects: MotionEffects;
  readonly rapidHits: readonly RapidHit[];
  /** Heights after the earlier programs; undefined: there were none. */
  readonly startHeight: Float32Array | undefined;
}

/** A program that ran on the same board before. */
export interface EarlierRun {
  readonly motions: Motions;
  readonly job: JobFacts;
}

/** Cutters by tool number, made once each. */
export function cutterTable(job: JobFacts): (tool: number) => Cutter {
  const cutters = new Map<number, Cutter>();
  return (tool) => {
    let cutter = cutters.get(tool);
    if (!cutter) {
      cutter = cutterFrom(toolFor(job, tool).tool);
      cutters.set(tool, cutter);
    }
    return cutter;
  };
}

/** Carves the earlier programs and then this one. Undefined where there is nothing to carve into. */
export function runMaterial(
  motions: Motions,
  tree: CutTree,
  job: JobFacts,
  top: number | undefined,
  underside: number | undefined,
  earlier: readonly EarlierRun[],
  cell: number | undefined,
): MaterialRun | undefined {
  if (top === undefined) return undefined;
  const area = declaredArea(job) ?? cutArea(tree, job);
  if (!area) return undefined;
  const cellSize = cell ?? defaultCell(tree, job);
  const grid = makeGrid(area, cellSize, mostCells);
  const bottom = underside ?? -Infinity;
  let start: Material | undefined;
  if (earlier.length > 0) {
    // Measured too, for the cells on the rims of its cuts: a pass that goes over them again takes nothing.
    const before = new Material(grid, top, bottom, undefined, { measure: true });
    for (const run of earlier) {
      const cutterOf = cutterTable(run.job);
      for (let i = 0; i < run.motions.count; i++) {
        if (mayTouch(run.motions, i, top)) before.apply(run.motions, i, cutterOf(run.motions.tool[i]));
      }
    }
    start = before;
  }
  const material = new Material(grid, top, bottom, start, { measure: true });
  const cutterOf = cutterTable(job);
  const effects = {
    stockVolume: new Float32Array(motions.count),
    bedVolume: new Float32Array(motions.count),
  };
  const rapidHits: RapidHit[] = [];
  let lastTool = -1;
  let cutter: Cutter | undefined;
  for (let i = 0; i < motions.count; i++) {
    if (!mayTouch(motions, i, top)) continue;
    if (motions.tool[i] !== lastTool || !cutter) {
      lastTool = motions.tool[i];
      cutter = cutterOf(lastTool);
    }
    if (motions.kind[i] === MotionKind.rapid) {
      const hit = material.meets(motions, i, cutter, rapidTolerance);
      if (!hit) continue;
      rapidHits.push({ motion: i, at: hit.at, depth: hit.depth });
    }
    // A rapid that meets wood removes it, so that what follows is judged by what is really left.
    const removal = material.apply(motions, i, cutter);
    effects.stockVolume[i] = removal.stock;
    effects.bedVolume[i] = removal.bed;
  }
  return { field: material.field, effects, rapidHits, startHeight: start?.field.height };
}

function mayTouch(motions: Motions, i: number, top: number): boolean {
  const kind = motions.kind[i];
  if (kind === MotionKind.dwell || motions.flags[i] & MotionFlag.endUnknown) return false;
  if (motions.z[i] < top || motions.z[i + 1] < top) return true;
  // An arc in an upright plane may dip below both its ends.
  return (
    kind === MotionKind.arc && motions.arcs.plane[motions.arc[i]] !== 0 && motionExtent(motions, i)[2] < top
  );
}

interface Area {
  readonly x0: number;
  readonly y0: number;
  readonly width: number;
  readonly depth: number;
}

/** The declared footprint; its corner is the program's zero where none is declared. */
export function declaredArea(job: JobFacts): Area | undefined {
  const size = job.stock.size?.value;
  if (!size) return undefined;
  const corner = job.stock.corner?.value ?? [0, 0];
  return { x0: corner[0], y0: corner[1], width: size[0], depth: size[1] };
}

function cutArea(tree: CutTree, job: JobFacts): Area | undefined {
  let [x0, y0, x1, y1] = [Infinity, Infinity, -Infinity, -Infinity];
  for (const cut of tree.cuts) {
    const reach = toolFor(job, cut.tool).tool.diameter / 2 + margin;
    x0 = Math.min(x0, cut.extent[0] - reach);
    y0 = Math.min(y0, cut.extent[1] - reach);
    x1 = Math.max(x1, cut.extent[2] + reach);
    y1 = Math.max(y1, cut.extent[3] + reach);
  }
  // Beyond any sheet the numbers are a mistake, and a grid over them would have cells as large as the board.
  if (!(x1 > x0) || x1 - x0 > 10_000 || y1 - y0 > 10_000) return undefined;
  return { x0, y0, width: x1 - x0, depth: y1 - y0 };
}

/** A tenth of the smallest cutter's diameter (design section 6), mm. */
function defaultCell(tree: CutTree, job: JobFacts): number {
  let smallest = Infinity;
  for (const cut of tree.cuts) smallest = Math.min(smallest, toolFor(job, cut.tool).tool.diameter);
  return (Number.isFinite(smallest) ? smallest : 6) / 10;
}

/** Whether cuts that are meant to go through do: by the exact depth of motions, never by cell size. Lengths in mm. */
import type { Cut, CutTree, Pass } from "../cuts/cuts.ts";
import { motionLength, pointOnMotion } from "../machine/geometry.ts";
import { MotionFlag, MotionKind, type Motions } from "../machine/motions.ts";
import type { Cutter } from "../stock/cutter.ts";
import type { HeightField } from "../stock/field.ts";
import { surfaceOver } from "../stock/sweep.ts";
import type { ThroughResult } from "./judgements.ts";

/** Depths closer than this are equal: rounding of sums of decimals. */
const same = 1e-6;
/** Points looked at along a cut, and the most surfaces worked out for one cut. */
const mostPoints = 240;
const mostSurfaces = 400_000;

/** One result for each cut that is meant to go through. `band`: half-width of the band around the underside, mm. */
export function judgeThrough(
  motions: Motions,
  tree: CutTree,
  underside: number | undefined,
  band: number,
  field: HeightField | undefined,
  cutterOf: (tool: number) => Cutter,
): ThroughResult[] {
  if (underside === undefined) return [];
  const results: ThroughResult[] = [];
  for (const cut of tree.cuts) {
    if (cut.intent.goes !== "through") continue;
    const result = judgeCut(motions, tree, cut, underside, band, field, cutterOf);
    if (result) results.push(result);
  }
  if (field) countAreas(results, tree, field);
  return results;
}

function judgeCut(
  motions: Motions,
  tree: CutTree,
  cut: Cut,
  underside: number,
  band: number,
  field: HeightField | undefined,
  cutterOf: (tool: number) => Cutter,
): ThroughResult | undefined {
  const deepest = tree.passes[cut.deepestPass];
  const left = cut.bottom - underside;
  const motion = deepest.bottomMotion;
  const at: [number, number, number] = [motions.x[motion + 1], motions.y[motion + 1], cut.bottom];
  const points = pathPoints(motions, tree, cut, underside + band);
  if (left > same) {
    // Another cut may have finished the job: then the material says so at every place along this one.
    const finished =
      field !== undefined &&
      points.length > 0 &&
      points.every((p) => fieldAt(field, p[0], p[1]) <= field.underside);
    return finished ? undefined : { cut: cut.index, underside, left, motion, at, partOnly: false, area: 0 };
  }
  const worst = worstAlong(motions, tree, cut, points, underside, field, cutterOf);
  if (worst && worst.height - underside > same) {
    const { height, point } = worst;
    return {
      cut: cut.index,
      underside,
      left: height - underside,
      motion: point[2],
      at: [point[0], point[1], height],
      partOnly: true,
      area: 0,
    };
  }
  return { cut: cut.index, underside, left: Math.min(0, left), motion, at, partOnly: false, area: 0 };
}

type PathPoint = readonly [x: number, y: number, motion: number];

/**
 * Points along all passes that reach the cut's lowest level, evenly by length, away from its tabs. Where a good part of
 * a pass lies at that level, its lead-in and lead-out do not count: a ramp beside the path is meant to stay above.
 */
function pathPoints(motions: Motions, tree: CutTree, cut: Cut, bandTop: number): PathPoint[] {
  const points: PathPoint[] = [];
  const lowest = cut.passes.map((p) => tree.passes[p]).filter((pass) => pass.bottom <= cut.bottom + same);
  const tabs = cut.passes.flatMap((p) => tree.passes[p].tabs);
  const total = lowest.reduce((sum, pass) => sum + pass.length, 0);
  const step = Math.max(total / mostPoints, 0.05);
  let untilNext = 0;
  for (const pass of lowest) {
    const [first, end] = levelRange(motions, pass, bandTop);
    for (let i = first; i < end; i++) {
      const kind = motions.kind[i];
      if (
        kind === MotionKind.dwell ||
        kind === MotionKind.rapid ||
        motions.flags[i] & MotionFlag.startUnknown
      )
        continue;
      const length = motionLength(motions, i);
      while (untilNext <= length) {
        const [x, y] = pointOnMotion(motions, i, length > 0 ? untilNext / length : 1);
        const inTab = tabs.some(
          (tab) => Math.hypot(tab.at[0] - x, tab.at[1] - y) <= tab.length / 2 + tabRadius,
        );
        if (!inTab) points.push([x, y, i]);
        untilNext += step;
      }
      untilNext -= length;
    }
  }
  if (points.length === 0 && tabs.length === 0) {
    const { bottomMotion } = tree.passes[cut.deepestPass];
    points.push([motions.x[bottomMotion + 1], motions.y[bottomMotion + 1], bottomMotion]);
  }
  return points;
}

/** Share of a pass that must lie at its lowest level for that level to be what the pass is about. */
const levelShare = 0.25;

/**
 * The motions of a pass that are meant to be at its lowest level: from where it first runs there to where it last does.
 * An open path counts on to both sides while it stays within the band around the underside; a ramp that comes from above
 * the band, or leaves to it, is an entry or an exit, and so is all beside a closed path. A pass that hardly runs at
 * its lowest level counts whole.
 */
function levelRange(motions: Motions, pass: Pass, bandTop: number): [number, number] {
  const { x, y, z } = motions;
  const low = pass.bottom + same;
  let first = -1;
  let end = -1;
  let length = 0;
  for (let i = pass.first; i < pass.end; i++) {
    if (z[i] > low || z[i + 1] > low) continue;
    if (first < 0) first = i;
    end = i + 1;
    length += motionLength(motions, i);
  }
  if (first < 0 || length < levelShare * pass.length) return [pass.first, pass.end];
  if (Math.hypot(x[end] - x[first], y[end] - y[first]) <= closedWithin) return [first, end];
  while (first > pass.first && z[first - 1] <= bandTop) first--;
  while (end < pass.end && z[end + 1] <= bandTop) end++;
  return [first, end];
}

/** A level whose ends are this near each other is closed, mm. */
const closedWithin = 0.5;

/** A tab's slopes and the cutter's own rounding reach a little past its level stretch, mm. */
const tabRadius = 1;

/**
 * The highest place left along the cut, judged by the exact surfaces of the cut's own motions; where those
 * leave something, the material (which knows other cuts too) may still clear it.
 */
function worstAlong(
  motions: Motions,
  tree: CutTree,
  cut: Cut,
  points: readonly PathPoint[],
  underside: number,
  field: HeightField | undefined,
  cutterOf: (tool: number) => Cutter,
): { height: number; point: PathPoint } | undefined {
  const cutter = cutterOf(cut.tool);
  const own: number[] = [];
  for (const index of cut.passes) {
    const pass = tree.passes[index];
    if (pass.bottom > underside + same) continue;
    for (let i = pass.first; i < pass.end; i++) if (motions.kind[i] !== MotionKind.dwell) own.push(i);
  }
  const stride = Math.max(1, Math.ceil((points.length * own.length) / mostSurfaces));
  let worst: { height: number; point: PathPoint } | undefined;
  for (let p = 0; p < points.length; p += stride) {
    const point = points[p];
    let height = Infinity;
    for (let k = 0; k < own.length && height > underside; k++) {
      height = Math.min(height, surfaceOver(motions, own[k], cutter, point[0], point[1]));
    }
    if (height <= underside + same) continue;
    if (field && fieldAt(field, point[0], point[1]) <= field.underside) continue;
    if (!Number.isFinite(height)) continue;
    if (!worst || height > worst.height) worst = { height, point };
  }
  return worst;
}

/** Height of the cell a point lies in; the top where it lies off the grid. */
export function fieldAt(field: HeightField, x: number, y: number): number {
  const { grid } = field;
  const column = Math.floor((x - grid.x0) / grid.dx);
  const row = Math.floor((y - grid.y0) / grid.dy);
  if (column < 0 || row < 0 || column >= grid.columns || row >= grid.rows) return field.top;
  return field.height[row * grid.columns + column];
}

/** Adds up the cells left by cuts that fall short. */
function countAreas(results: ThroughResult[], tree: CutTree, field: HeightField): void {
  const short = new Map<number, number>();
  for (const result of results) if (result.left > 0) short.set(result.cut, 0);
  if (short.size === 0) return;
  const cellArea = field.grid.dx * field.grid.dy;
  const { height, setBy } = field;
  for (let cell = 0; cell < height.length; cell++) {
    const by = setBy[cell];
    if (by < 0 || height[cell] <= field.underside) continue;
    const pass = tree.passOfMotion[by];
    if (pass < 0) continue;
    const cut = tree.passes[pass].cut;
    const area = short.get(cut);
    if (area !== undefined) short.set(cut, area + cellArea);
  }
  for (let k = 0; k < results.length; k++) {
    const area = short.get(results[k].cut);
    if (area !== undefined) results[k] = { ...results[k], area };
  }
}

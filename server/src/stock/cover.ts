/** Whether a pass takes anything that earlier motions left: exact, without a grid. Lengths in mm. */
import { motionExtent, motionLength, pointOnMotion } from "../machine/geometry.ts";
import { MotionFlag, MotionKind, type Motions } from "../machine/motions.ts";
import type { Cutter } from "./cutter.ts";
import { Sweep, surfaceOver } from "./sweep.ts";

/** Samples stand this far inside the rim: a cut thinner than this counts as none. */
const insideRim = 0.005;
/** Heights closer than this are one: the rounding of a program's decimals. */
const same = 1e-3;
/** Directions in which the rim is sampled where a motion ends. */
const endDirections = 8;
/** Bins along the longer side of all motions. */
const mostBins = 128;

/** What else is known of the stock. Places where there is none count as covered. */
export interface CoverStock {
  /** Z of the top, mm. */
  readonly top?: number;
  /** min x, min y, max x, max y, mm. */
  readonly footprint?: readonly [number, number, number, number];
  /** Height left by earlier programs at a point, mm. */
  readonly startAt?: (x: number, y: number) => number;
}

/**
 * Whether the motions from `first` up to (not including) `end` take nothing that the motions before `first`
 * left. Asked at points along both rims and the axis of each motion, and around its ends: is there an earlier
 * surface at or below the motion's own? A pass that is thinner than a cell of the material model is told
 * apart from one that does nothing.
 */
export function coveredByEarlier(
  motions: Motions,
  cutterOf: (tool: number) => Cutter,
  first: number,
  end: number,
  stock: CoverStock = {},
): boolean {
  const bins = binsOf(motions, cutterOf);
  const own = new Sweep();
  let lastBy = -1;

  const isCovered = (x: number, y: number): boolean => {
    const height = own.over(x, y);
    // A sample outside its own surface (the inner rim of a tight arc) says nothing.
    if (height === Infinity) return true;
    const { top, footprint, startAt } = stock;
    if (top !== undefined && height >= top - same) return true;
    if (footprint && (x < footprint[0] || y < footprint[1] || x > footprint[2] || y > footprint[3]))
      return true;
    if (startAt && startAt(x, y) <= height + same) return true;
    const covers = (i: number) => surfaceOver(motions, i, cutterOf(motions.tool[i]), x, y) <= height + same;
    // The motion that covered the sample before, or the next one, most often covers this one.
    if (lastBy >= 0 && covers(lastBy)) return true;
    if (lastBy >= 0 && lastBy + 1 < first && covers(lastBy + 1)) {
      lastBy++;
      return true;
    }
    const by = bins.find(x, y, first, covers);
    if (by < 0) return false;
    lastBy = by;
    return true;
  };

  for (let i = first; i < end; i++) {
    if (motions.kind[i] === MotionKind.dwell || motions.flags[i] & MotionFlag.endUnknown) continue;
    const cutter = cutterOf(motions.tool[i]);
    own.load(motions, i, cutter, cutter.radius);
    const rim = Math.max(0, cutter.radius - insideRim);
    if (!endCovered(motions.x[i + 1], motions.y[i + 1], rim, isCovered)) return false;
    if (motions.flags[i] & MotionFlag.startUnknown) continue;
    if (!endCovered(motions.x[i], motions.y[i], rim, isCovered)) return false;
    if (!sidesCovered(motions, i, rim, isCovered)) return false;
  }
  return true;
}

type Asked = (x: number, y: number) => boolean;

function endCovered(x: number, y: number, rim: number, isCovered: Asked): boolean {
  if (!isCovered(x, y)) return false;
  for (let k = 0; k < endDirections; k++) {
    const angle = (2 * Math.PI * k) / endDirections;
    if (!isCovered(x + rim * Math.cos(angle), y + rim * Math.sin(angle))) return false;
  }
  return true;
}

/** Points along the axis and both rims, a sixth of the radius apart (0.2 to 1 mm), the ends left out. */
function sidesCovered(motions: Motions, i: number, rim: number, isCovered: Asked): boolean {
  const length = motionLength(motions, i);
  const spacing = Math.min(1, Math.max(0.2, rim / 6));
  const steps = Math.ceil(length / spacing);
  const nudge = length > 0 ? Math.min(1e-3, 1e-3 / length) : 0;
  for (let k = 0; k <= steps; k++) {
    const t = steps > 0 ? k / steps : 1;
    const [x, y] = pointOnMotion(motions, i, t);
    // The direction of travel, from a little behind to a little ahead.
    const [ax, ay] = pointOnMotion(motions, i, Math.max(0, t - nudge));
    const [bx, by] = pointOnMotion(motions, i, Math.min(1, t + nudge));
    const along = Math.hypot(bx - ax, by - ay);
    if (!isCovered(x, y)) return false;
    if (along < 1e-9) continue;
    const sideX = (-(by - ay) / along) * rim;
    const sideY = ((bx - ax) / along) * rim;
    if (!isCovered(x + sideX, y + sideY) || !isCovered(x - sideX, y - sideY)) return false;
  }
  return true;
}

/** Motions by the squares of the plane that their cutter touches, in program order. */
class MotionBins {
  private readonly lists: number[][] = [];
  private readonly x0: number;
  private readonly y0: number;
  private readonly size: number;
  private readonly columns: number;
  private readonly rows: number;

  constructor(motions: Motions, cutterOf: (tool: number) => Cutter) {
    let [minX, minY, maxX, maxY] = [Infinity, Infinity, -Infinity, -Infinity];
    let widest = 0;
    const boxes = new Float64Array(motions.count * 4);
    const counts = (i: number) =>
      motions.kind[i] !== MotionKind.dwell && !(motions.flags[i] & MotionFlag.endUnknown);
    for (let i = 0; i < motions.count; i++) {
      if (!counts(i)) continue;
      const { radius } = cutterOf(motions.tool[i]);
      widest = Math.max(widest, 2 * radius);
      const box = motionExtent(motions, i);
      boxes.set([box[0] - radius, box[1] - radius, box[3] + radius, box[4] + radius], i * 4);
      minX = Math.min(minX, boxes[i * 4]);
      minY = Math.min(minY, boxes[i * 4 + 1]);
      maxX = Math.max(maxX, boxes[i * 4 + 2]);
      maxY = Math.max(maxY, boxes[i * 4 + 3]);
    }
    const extent = Math.max(maxX - minX, maxY - minY);
    this.x0 = minX;
    this.y0 = minY;
    // No smaller than the cutter, so that a short motion stands in a few bins only.
    this.size = extent > 0 && Number.isFinite(extent) ? Math.max(extent / mostBins, widest, 1) : 1;
    this.columns = extent > 0 ? Math.floor((maxX - minX) / this.size) + 1 : 1;
    this.rows = extent > 0 ? Math.floor((maxY - minY) / this.size) + 1 : 1;
    for (let k = 0; k < this.columns * this.rows; k++) this.lists.push([]);
    for (let i = 0; i < motions.count; i++) {
      if (!counts(i)) continue;
      const fromColumn = this.columnOf(boxes[i * 4]);
      const toColumn = this.columnOf(boxes[i * 4 + 2]);
      const fromRow = this.rowOf(boxes[i * 4 + 1]);
      const toRow = this.rowOf(boxes[i * 4 + 3]);
      for (let row = fromRow; row <= toRow; row++) {
        for (let column = fromColumn; column <= toColumn; column++) {
          this.lists[row * this.columns + column].push(i);
        }
      }
    }
  }

  /** The latest motion before `limit` near the point for which `test` holds, -1 none. */
  find(x: number, y: number, limit: number, test: (motion: number) => boolean): number {
    const column = Math.floor((x - this.x0) / this.size);
    const row = Math.floor((y - this.y0) / this.size);
    if (column < 0 || row < 0 || column >= this.columns || row >= this.rows) return -1;
    const list = this.lists[row * this.columns + column];
    let low = 0;
    let high = list.length;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (list[middle] < limit) low = middle + 1;
      else high = middle;
    }
    for (let k = low - 1; k >= 0; k--) if (test(list[k])) return list[k];
    return -1;
  }

  private columnOf(x: number): number {
    return Math.min(this.columns - 1, Math.max(0, Math.floor((x - this.x0) / this.size)));
  }

  private rowOf(y: number): number {
    return Math.min(this.rows - 1, Math.max(0, Math.floor((y - this.y0) / this.size)));
  }
}

/** Bins are made once for a program, on the first question. Its cutters are taken not to change after that. */
const made = new WeakMap<Motions, MotionBins>();

function binsOf(motions: Motions, cutterOf: (tool: number) => Cutter): MotionBins {
  let bins = made.get(motions);
  if (!bins) {
    bins = new MotionBins(motions, cutterOf);
    made.set(motions, bins);
  }
  return bins;
}

/** The board while it is being cut. Lengths in mm. */
import type { Motions } from "../machine/motions.ts";
import type { Cutter } from "./cutter.ts";
import type { Grid, HeightField, Removal } from "./field.ts";
import { Sweep, SweepForm } from "./sweep.ts";
import type { SweptSurface } from "./swept-surface.ts";

/** A rapid's cutter counts as this much thinner, so that one straight up out of its own kerf touches nothing, mm. */
const kerfClearance = 0.01;
/** A cell lowered by less than this was not cut, only rounded otherwise, mm. */
const rounding = 1e-5;
/** Widening of row stretches, so that rounding in them never loses a cell, mm. */
const slack = 1e-6;

const nothing: Removal = Object.freeze({ stock: 0, bed: 0 });

/** A place where a motion's cutter lies in material. */
export interface Meeting {
  /** Middle of the cell and the height of the cutter there, mm. */
  readonly at: [x: number, y: number, z: number];
  /** How far the material stands above the cutter there, mm. */
  readonly depth: number;
}

/**
 * The material as a height field that motions are carved into. Cells are sampled at their centres, and
 * heights are kept in single precision, the top and the underside too, so that equal levels compare equal:
 * compare heights with `field.top` and `field.underside`, not with the numbers these were made from.
 */
export class Material {
  readonly field: HeightField;
  private readonly sweep = new Sweep();
  private removedStock = 0;
  private removedBed = 0;
  private metDepth = 0;
  private metCell = -1;
  private metHeight = 0;

  /**
   * @param top Z of the stock top, mm
   * @param underside Z of its underside, mm; -Infinity where it is not known
   * @param start heights left by earlier programs (copied); cells below the top there count as set by -2
   */
  constructor(grid: Grid, top: number, underside: number, start?: Float32Array) {
    const cells = grid.columns * grid.rows;
    this.field = {
      grid,
      top: Math.fround(top),
      underside: Math.fround(underside),
      height: new Float32Array(cells),
      setBy: new Int32Array(cells),
      throughBy: new Int32Array(cells),
    };
    this.reset(start);
  }

  /** Back to the board before the first motion. */
  reset(start?: Float32Array): void {
    const { height, setBy, throughBy, top, underside } = this.field;
    height.fill(top);
    setBy.fill(-1);
    throughBy.fill(-1);
    if (!start) return;
    for (let cell = 0; cell < height.length; cell++) {
      if (!(start[cell] < top)) continue;
      height[cell] = start[cell];
      setBy[cell] = -2;
      if (start[cell] <= underside) throughBy[cell] = -2;
    }
  }

  /** Carves a motion and says what it took. A dwell, or a motion whose end is not known, takes nothing. */
  apply(motions: Motions, i: number, cutter: Cutter): Removal {
    const { sweep } = this;
    sweep.load(motions, i, cutter, cutter.radius);
    this.removedStock = 0;
    this.removedBed = 0;
    switch (sweep.form) {
      case SweepForm.none:
        return nothing;
      case SweepForm.straight:
        this.carve(sweep.straight, i);
        break;
      case SweepForm.round:
        this.carve(sweep.round, i);
        break;
      case SweepForm.chords: {
        if (sweep.chords.lowest >= this.field.top) return nothing;
        for (let j = 0; j < sweep.chords.count; j++) {
          sweep.loadChord(j);
          this.carve(sweep.straight, i);
        }
        break;
      }
    }
    if (this.removedStock === 0 && this.removedBed === 0) return nothing;
    const { dx, dy } = this.field.grid;
    return { stock: this.removedStock * dx * dy, bed: this.removedBed * dx * dy };
  }

  /**
   * The deepest place where the motion's cutter lies below the material that is there now by more than
   * `tolerance` (mm), the cutter taken 0.01 mm thinner all around. Undefined: it meets nothing. Changes nothing.
   */
  meets(motions: Motions, i: number, cutter: Cutter, tolerance: number): Meeting | undefined {
    const { sweep } = this;
    sweep.load(motions, i, cutter, cutter.radius - kerfClearance);
    this.metDepth = tolerance;
    this.metCell = -1;
    switch (sweep.form) {
      case SweepForm.none:
        return undefined;
      case SweepForm.straight:
        this.seek(sweep.straight);
        break;
      case SweepForm.round:
        this.seek(sweep.round);
        break;
      case SweepForm.chords: {
        if (sweep.chords.lowest >= this.field.top) return undefined;
        for (let j = 0; j < sweep.chords.count; j++) {
          sweep.loadChord(j);
          this.seek(sweep.straight);
        }
        break;
      }
    }
    if (this.metCell < 0) return undefined;
    const { grid } = this.field;
    const row = Math.floor(this.metCell / grid.columns);
    const column = this.metCell - row * grid.columns;
    const x = grid.x0 + (column + 0.5) * grid.dx;
    const y = grid.y0 + (row + 0.5) * grid.dy;
    return { at: [x, y, this.metHeight], depth: this.metDepth };
  }

  private carve(surface: SweptSurface, motion: number): void {
    const { field } = this;
    const { height, top } = field;
    if (surface.lowest >= top) return;
    const { x0, y0, dx, dy, columns, rows } = field.grid;
    const firstRow = Math.max(0, Math.ceil((surface.minY - slack - y0) / dy - 0.5));
    const lastRow = Math.min(rows - 1, Math.floor((surface.maxY + slack - y0) / dy - 0.5));
    const { lowest } = surface;
    const level = Math.fround(lowest);
    for (let row = firstRow; row <= lastRow; row++) {
      const y = y0 + (row + 0.5) * dy;
      const spans = surface.spans(y);
      const base = row * columns;
      for (let k = 0; k < spans; k++) {
        const from = k === 0 ? surface.spanFrom : surface.secondFrom;
        const to = k === 0 ? surface.spanTo : surface.secondTo;
        let first = Math.max(0, Math.ceil((from - slack - x0) / dx - 0.5));
        let last = Math.min(columns - 1, Math.floor((to + slack - x0) / dx - 0.5));
        if (surface.isLevelFlat) {
          while (first <= last && surface.over(x0 + (first + 0.5) * dx, y) === Infinity) first++;
          while (first <= last && surface.over(x0 + (last + 0.5) * dx, y) === Infinity) last--;
          for (let cell = base + first; cell <= base + last; cell++) {
            if (level < height[cell]) this.lower(cell, level, motion);
          }
          continue;
        }
        for (let column = first; column <= last; column++) {
          const cell = base + column;
          if (lowest >= height[cell]) continue;
          const z = Math.fround(surface.over(x0 + (column + 0.5) * dx, y));
          if (z < height[cell]) this.lower(cell, z, motion);
        }
      }
    }
  }

  private lower(cell: number, z: number, motion: number): void {
    const { height, setBy, throughBy, underside } = this.field;
    const before = height[cell];
    height[cell] = z;
    if (z <= underside && before > underside) throughBy[cell] = motion;
    if (before - z < rounding) return;
    setBy[cell] = motion;
    if (z >= underside) this.removedStock += before - z;
    else if (before <= underside) this.removedBed += before - z;
    else {
      this.removedStock += before - underside;
      this.removedBed += underside - z;
    }
  }

  private seek(surface: SweptSurface): void {
    const { field } = this;
    const { height, top } = field;
    if (surface.lowest >= top) return;
    const { x0, y0, dx, dy, columns, rows } = field.grid;
    const firstRow = Math.max(0, Math.ceil((surface.minY - slack - y0) / dy - 0.5));
    const lastRow = Math.min(rows - 1, Math.floor((surface.maxY + slack - y0) / dy - 0.5));
    for (let row = firstRow; row <= lastRow; row++) {
      const y = y0 + (row + 0.5) * dy;
      const spans = surface.spans(y);
      const base = row * columns;
      for (let k = 0; k < spans; k++) {
        const from = k === 0 ? surface.spanFrom : surface.secondFrom;
        const to = k === 0 ? surface.spanTo : surface.secondTo;
        const first = Math.max(0, Math.ceil((from - slack - x0) / dx - 0.5));
        const last = Math.min(columns - 1, Math.floor((to + slack - x0) / dx - 0.5));
        for (let column = first; column <= last; column++) {
          const cell = base + column;
          // Nothing of this surface lies lower than its lowest place: most cells end here.
          if (height[cell] - surface.lowest <= this.metDepth) continue;
          const z = surface.over(x0 + (column + 0.5) * dx, y);
          if (height[cell] - z > this.metDepth) {
            this.metDepth = height[cell] - z;
            this.metCell = cell;
            this.metHeight = z;
          }
        }
      }
    }
  }
}

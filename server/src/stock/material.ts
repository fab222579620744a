/** The board while it is being cut. Lengths in mm. */
import { MotionFlag, MotionKind, type Motions } from "../machine/motions.ts";
import { cellShape, type CellShape } from "./cell-share.ts";
import type { Cutter } from "./cutter.ts";
import type { Grid, HeightField, Removal } from "./field.ts";
import { PartCells } from "./part-cells.ts";
import { StraightSweep } from "./straight.ts";
import { Sweep, SweepForm } from "./sweep.ts";
import type { SweptSurface } from "./swept-surface.ts";

/** A rapid's cutter counts as this much thinner, so that one straight up out of its own kerf touches nothing, mm. */
const kerfClearance = 0.01;
/** A cell lowered by less than this was not cut, only rounded otherwise, mm. */
const rounding = 1e-5;
/** Widening of row stretches, so that rounding in them never loses a cell, mm. */
const slack = 1e-6;
/** A cell covered to this share is covered. */
const whole = 1 - 1e-9;

const nothing: Removal = Object.freeze({ stock: 0, bed: 0 });

/** A place where a motion's cutter lies in material. */
export interface Meeting {
  /** Middle of the cell and the height of the cutter there, mm. */
  readonly at: [x: number, y: number, z: number];
  /** How far the material stands above the cutter there, mm. */
  readonly depth: number;
}

/** How much a material keeps. */
export interface MaterialOptions {
  /**
   * Whether volumes are wanted. Then cells that a cutter covers in part count with the part that it covers:
   * with cells of a tenth of the cutter's diameter the volumes of slots, pockets, ramps, rings and holes are
   * right to 1 %, wherever the grid lies, and finer with smaller cells; round and pointed grooves, a few cells
   * wide, to 1.5 % and 4 %. Without, volumes are sums over centres: a cell counts as its centre
   * does, and a slot along an axis may be off by a row of cells. Heights are the same either way.
   */
  readonly measure?: boolean;
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
  /** The motion after the one that is carved, where it goes on at the same level. */
  private readonly next = new StraightSweep();
  private hasNext = false;
  /** The motion carved last, and the level it left under a flat cutter; Infinity: it left no one level. */
  private lastMotions: Motions | undefined;
  private lastMotion = -1;
  private lastCutter: Cutter | undefined;
  private lastLevel = Infinity;
  /** Cells covered in part; undefined: volumes go by the centres alone. */
  private readonly parts: PartCells | undefined;
  private readonly cell: CellShape;

  /**
   * @param top Z of the stock top, mm
   * @param underside Z of its underside, mm; -Infinity where it is not known
   * @param start what earlier programs left (copied): heights, or their material on the same grid, which
   * also knows the cells that they covered in part. Cells below the top there count as set by -2
   */
  constructor(
    grid: Grid,
    top: number,
    underside: number,
    start?: Float32Array | Material,
    options: MaterialOptions = {},
  ) {
    const cells = grid.columns * grid.rows;
    this.field = {
      grid,
      top: Math.fround(top),
      underside: Math.fround(underside),
      height: new Float32Array(cells),
      setBy: new Int32Array(cells),
      throughBy: new Int32Array(cells),
    };
    this.cell = cellShape(grid.dx, grid.dy);
    this.parts = options.measure ? new PartCells(grid, this.field.underside) : undefined;
    this.reset(start);
  }

  /** Back to the board before the first motion. */
  reset(start?: Float32Array | Material): void {
    this.parts?.reset();
    this.lastMotions = undefined;
    if (start instanceof Material) {
      if (start.parts) this.parts?.copy(start.parts);
      start = start.field.height;
    }
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

  /**
   * Carves a motion and says what it took; see `MaterialOptions` for how exactly. A dwell, a motion whose end
   * is not known, and one that lowers nothing and covers nothing new take exactly 0. Motions are meant to be
   * applied in order: what a motion covers in part and the next one wholly may count with either.
   */
  apply(motions: Motions, i: number, cutter: Cutter): Removal {
    const { sweep, parts } = this;
    sweep.load(motions, i, cutter, cutter.radius);
    this.removedStock = 0;
    this.removedBed = 0;
    let level = Infinity;
    this.hasNext = false;
    parts?.begin();
    switch (sweep.form) {
      case SweepForm.none:
        return nothing;
      case SweepForm.straight: {
        const { straight } = sweep;
        const goesOn =
          motions === this.lastMotions && i === this.lastMotion + 1 && cutter === this.lastCutter;
        const startKnown = (motions.flags[i] & MotionFlag.startUnknown) === 0;
        straight.joined = goesOn && startKnown && straight.isLevelFlat && this.lastLevel <= straight.lowest;
        this.hasNext = parts !== undefined && straight.isLevelFlat && this.loadNext(motions, i, cutter);
        this.carve(straight, i);
        level = straight.isLevelFlat ? straight.lowest : Infinity;
        break;
      }
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
    this.lastMotions = motions;
    this.lastMotion = i;
    this.lastCutter = cutter;
    this.lastLevel = level;
    const stock = this.removedStock + (parts?.stock ?? 0);
    const bed = this.removedBed + (parts?.bed ?? 0);
    if (stock === 0 && bed === 0) return nothing;
    const { dx, dy } = this.field.grid;
    return { stock: stock * dx * dy, bed: bed * dx * dy };
  }

  /** Whether the next motion is a straight feed of the same tool that stays on this level; loads it. */
  private loadNext(motions: Motions, i: number, cutter: Cutter): boolean {
    const { x, y, z } = motions;
    const next = i + 1;
    const unknown = MotionFlag.startUnknown | MotionFlag.endUnknown;
    if (next >= motions.count || motions.kind[next] !== MotionKind.feed || motions.flags[next] & unknown)
      return false;
    if (motions.tool[next] !== motions.tool[i] || z[next] !== z[i] || z[next + 1] !== z[i]) return false;
    this.next.setCutter(cutter, cutter.radius);
    this.next.setPath(x[next], y[next], z[next], x[next + 1], y[next + 1], z[next + 1]);
    return true;
  }

  /** All that is missing now from a full board, and from the bed, mm^3. */
  missing(): Removal {
    const { height, top, underside, grid } = this.field;
    const book = this.parts ?? new PartCells({ ...grid, columns: 0, rows: 0 }, underside);
    const full = book.standingAt(top);
    let [stock, bed] = [0, 0];
    for (let cell = 0; cell < height.length; cell++) {
      if (book.slotOf[cell] >= 0) {
        const { standing, sunk } = book.means(cell);
        stock += full - standing;
        bed += sunk;
      } else {
        stock += full - book.standingAt(height[cell]);
        bed += book.sunkAt(height[cell]);
      }
    }
    return { stock: stock * grid.dx * grid.dy, bed: bed * grid.dx * grid.dy };
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
    const { field, parts } = this;
    if (surface.lowest >= field.top) return;
    if (parts && surface instanceof StraightSweep && surface.isLevelFlat) {
      this.carveLevel(surface, parts, motion);
      return;
    }
    const { x0, y0, dx, dy, columns, rows } = field.grid;
    const perDx = 1 / dx;
    // Where parts of cells count, so do cells whose centre is just outside.
    const margin = parts ? this.cell.reach : 0;
    const firstRow = Math.max(0, Math.ceil((surface.minY - margin - slack - y0) / dy - 0.5));
    const lastRow = Math.min(rows - 1, Math.floor((surface.maxY + margin + slack - y0) / dy - 0.5));
    for (let row = firstRow; row <= lastRow; row++) {
      const spans = surface.spans(y0 + (row + 0.5) * dy, margin);
      for (let k = 0; k < spans; k++) {
        const from = k === 0 ? surface.spanFrom : surface.secondFrom;
        const to = k === 0 ? surface.spanTo : surface.secondTo;
        const first = Math.max(0, Math.ceil((from - slack - x0) * perDx - 0.5));
        const last = Math.min(columns - 1, Math.floor((to + slack - x0) * perDx - 0.5));
        if (!parts) this.carveCentres(surface, row, first, last, motion);
        else this.carveParts(surface, parts, row, first, last, motion);
      }
    }
  }

  /** A stretch of a row, cells by their centres. */
  private carveCentres(
    surface: SweptSurface,
    row: number,
    first: number,
    last: number,
    motion: number,
  ): void {
    const { height, grid } = this.field;
    const { x0, dx } = grid;
    const y = grid.y0 + (row + 0.5) * grid.dy;
    const base = row * grid.columns;
    const { lowest } = surface;
    if (surface.isLevelFlat) {
      const level = Math.fround(lowest);
      while (first <= last && surface.over(x0 + (first + 0.5) * dx, y) === Infinity) first++;
      while (first <= last && surface.over(x0 + (last + 0.5) * dx, y) === Infinity) last--;
      for (let cell = base + first; cell <= base + last; cell++) {
        if (level < height[cell]) this.lower(cell, level, motion);
      }
      return;
    }
    for (let column = first; column <= last; column++) {
      const cell = base + column;
      if (lowest >= height[cell]) continue;
      const z = Math.fround(surface.over(x0 + (column + 0.5) * dx, y));
      if (z < height[cell]) this.lower(cell, z, motion);
    }
  }

  /**
   * By the parts of cells that are covered, one level over a convex outline: only its rim is looked at. From
   * both ends of a row inwards to a cell that is wholly covered; so are all between those two. Most cells of a
   * motion were covered by the one before and have nothing to take.
   */
  private carveLevel(surface: StraightSweep, parts: PartCells, motion: number): void {
    const { height, setBy, underside, grid } = this.field;
    const { x0, y0, dx, dy, columns, rows } = grid;
    const { slotOf } = parts;
    const perDx = 1 / dx;
    const margin = this.cell.reach;
    const level = Math.fround(surface.lowest);
    const firstRow = Math.max(0, Math.ceil((surface.minY - margin - slack - y0) / dy - 0.5));
    const lastRow = Math.min(rows - 1, Math.floor((surface.maxY + margin + slack - y0) / dy - 0.5));
    let taken = 0;
    for (let row = firstRow; row <= lastRow; row++) {
      const y = y0 + (row + 0.5) * dy;
      if (surface.spans(y, margin) === 0) continue;
      let first = Math.max(0, Math.ceil((surface.spanFrom - slack - x0) * perDx - 0.5));
      let last = Math.min(columns - 1, Math.floor((surface.spanTo + slack - x0) * perDx - 0.5));
      const base = row * columns;
      for (; first <= last; first++) {
        const cell = base + first;
        if (level >= height[cell] && slotOf[cell] < 0) continue;
        if (this.carveRim(surface, parts, row, first, level, motion)) break;
      }
      for (; last > first; last--) {
        const cell = base + last;
        if (level >= height[cell] && slotOf[cell] < 0) continue;
        if (this.carveRim(surface, parts, row, last, level, motion)) break;
      }
      const end = base + last;
      for (let cell = base + first + 1; cell < end; cell++) {
        const before = height[cell];
        if (slotOf[cell] >= 0) this.coverAll(parts, cell, level, motion);
        else if (level < before) {
          if (level <= underside || before - level < rounding) this.lower(cell, level, motion);
          else {
            // As `lower` does, for the many.
            height[cell] = level;
            setBy[cell] = motion;
            taken += before - level;
          }
        }
      }
    }
    this.removedStock += taken;
  }

  /** One cell of that. Returns whether it is wholly covered. */
  private carveRim(
    surface: StraightSweep,
    parts: PartCells,
    row: number,
    column: number,
    level: number,
    motion: number,
  ): boolean {
    const { height, grid } = this.field;
    const x = grid.x0 + (column + 0.5) * grid.dx;
    const y = grid.y0 + (row + 0.5) * grid.dy;
    const share = surface.share(x, y, this.cell);
    if (share <= 0) return false;
    const cell = row * grid.columns + column;
    if (share >= whole) {
      this.coverAll(parts, cell, level, motion);
      return true;
    }
    let kept = parts.slotOf[cell] >= 0;
    // What the next motion covers wholly needs no parts: until then it counts as its centre does.
    if (!this.hasNext || !this.next.holds(x, y, this.cell)) {
      const { awayX, awayY } = surface;
      kept = parts.coverPart(row, column, share, level, awayX, awayY, height[cell]);
    }
    if (surface.within && level < height[cell]) {
      if (kept) this.settle(cell, level, motion);
      else this.lower(cell, level, motion);
    }
    return false;
  }

  /** The same for any surface. */
  private carveParts(
    surface: SweptSurface,
    parts: PartCells,
    row: number,
    first: number,
    last: number,
    motion: number,
  ): void {
    const { height, grid } = this.field;
    const { lowest, reach } = surface;
    const { x0, dx } = grid;
    const y = grid.y0 + (row + 0.5) * grid.dy;
    const base = row * grid.columns;
    for (let column = first; column <= last; column++) {
      const cell = base + column;
      if (parts.slotOf[cell] < 0 && lowest >= height[cell]) continue;
      const x = x0 + (column + 0.5) * dx;
      const share = surface.share(x, y, this.cell);
      if (share <= 0) continue;
      if (share >= whole) {
        this.coverAll(parts, cell, Math.fround(surface.over(x, y)), motion);
        continue;
      }
      const { away, awayX, awayY } = surface;
      // The height over the middle of the part that is covered, which is always in reach.
      const halfExtent = (Math.abs(awayX) * dx + Math.abs(awayY) * grid.dy) / 2;
      const inwards = away - (Math.max(0, away - halfExtent) + reach) / 2;
      const z = Math.fround(surface.over(x - awayX * inwards, y - awayY * inwards));
      const kept = parts.coverPart(row, column, share, z, awayX, awayY, height[cell]);
      const centre = Math.fround(surface.over(x, y));
      if (!(centre < height[cell])) continue;
      if (kept) this.settle(cell, centre, motion);
      else this.lower(cell, centre, motion);
    }
  }

  private coverAll(parts: PartCells, cell: number, z: number, motion: number): void {
    const { height } = this.field;
    if (parts.slotOf[cell] < 0) {
      if (z < height[cell]) this.lower(cell, z, motion);
      return;
    }
    parts.coverAll(cell, z, height[cell]);
    if (z < height[cell]) this.settle(cell, z, motion);
  }

  /** Lowers a cell and counts what that takes. */
  private lower(cell: number, z: number, motion: number): void {
    const { underside } = this.field;
    const before = this.field.height[cell];
    this.settle(cell, z, motion);
    if (before - z < rounding) return;
    if (z >= underside) this.removedStock += before - z;
    else if (before <= underside) this.removedBed += before - z;
    else {
      this.removedStock += before - underside;
      this.removedBed += underside - z;
    }
  }

  /** Lowers a cell. */
  private settle(cell: number, z: number, motion: number): void {
    const { height, setBy, throughBy, underside } = this.field;
    const before = height[cell];
    height[cell] = z;
    if (z <= underside && before > underside) throughBy[cell] = motion;
    if (before - z >= rounding) setBy[cell] = motion;
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
      const spans = surface.spans(y, 0);
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

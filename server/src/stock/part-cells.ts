/** Cells that cutters cover in part, for volumes finer than the cells. Lengths in mm. */
import type { Grid } from "./field.ts";

/** Equal strips that a cell is divided into. */
const strips = 16;
/** Most cells kept in parts at a time: 92 bytes each. Those beyond count as their centre does. */
const mostSlots = 1 << 20;
const firstSlots = 1024;
/** A strip lowered by less than this was not cut, only rounded otherwise, mm. */
const rounding = 1e-5;
/** Cosine to the cell's axis up to which a cutter counts as coming from straight aside. */
const aside = 0.02;
/** Inverse powers of the plastic number, in 2^-32: multiples of them spread evenly over rows and columns. */
const columnStep = 0xc13fa9a9;
const rowStep = 0x91e10da5;

/** Sides are told apart by this direction: no track of a program runs across it but by chance. */
const halvesX = 0.7548776662;
const halvesY = 0.6558656175;

/** What is kept of a cell, one after the other in `kept`. */
const axisX = 0;
const axisY = 1;
const count = 2;
const low = 3;
const high = 4;
/** Not 0: the strips are kept one by one, in `height`. */
const split = 5;
const fields = 6;

/**
 * A cell that a cutter covers in part is divided into strips across the direction in which that cutter lies,
 * its axis. Another one from the same side covers strips from the same end, one from the opposite side from
 * the other end, one from straight aside takes the middle. So what covers a cell from both sides adds up, and
 * nothing is counted twice: a strip only ever gets lower. Nearly always all cutters lie on the same side, and
 * two heights are enough: `low` for the first `count` strips, `high` for the others.
 *
 * A share that is no whole number of strips is rounded up or down by a threshold that is the cell's own and
 * spread evenly over the cells, so that rows of cells have no bias. It depends on nothing that comes between
 * a motion and its repetition. A cell wholly covered as low as all its
 * strips needs them no more. A cell not kept here is as high all over as at its centre.
 */
export class PartCells {
  /** Slot of a cell in the arrays below; negative: it has none. */
  readonly slotOf: Int32Array;
  /** Volume taken since the last `begin`, in cell areas times mm. */
  stock = 0;
  bed = 0;

  private readonly columns: number;
  private readonly underside: number;
  private kept = new Float32Array(firstSlots * fields);
  private height = new Float32Array(firstSlots * strips);
  /** Slots that were in use and are not: the first `free` of these. */
  private unused = new Int32Array(firstSlots);
  private free = 0;
  private used = 0;

  constructor(grid: Grid, underside: number) {
    this.columns = grid.columns;
    this.underside = underside;
    this.slotOf = new Int32Array(grid.columns * grid.rows).fill(-1);
  }

  reset(): void {
    this.slotOf.fill(-1);
    this.free = 0;
    this.used = 0;
  }

  /** Takes over what is known of the cells of another material on the same grid. */
  copy(other: PartCells): void {
    this.slotOf.set(other.slotOf);
    this.kept = other.kept.slice();
    this.height = other.height.slice();
    this.unused = other.unused.slice();
    this.free = other.free;
    this.used = other.used;
  }

  begin(): void {
    this.stock = 0;
    this.bed = 0;
  }

  /**
   * A cutter covers a share of a cell at the level `z`; (nx, ny) is the unit vector from its track to the cell.
   * @param before the cell's height before this motion, taken all over where it has no parts yet
   * @returns whether there was room to keep it; if not, nothing was done
   */
  coverPart(
    row: number,
    column: number,
    share: number,
    z: number,
    nx: number,
    ny: number,
    before: number,
  ): boolean {
    const cell = row * this.columns + column;
    const spread = ((Math.imul(column, columnStep) + Math.imul(row, rowStep)) >>> 0) / 2 ** 32;
    // The other way round from opposite sides, so that two shares that make up the cell make up its strips.
    const covered = Math.floor(share * strips + (nx * halvesX + ny * halvesY > 0 ? spread : 1 - spread));
    if (covered <= 0) return true;
    const slot = this.slotOf[cell];
    if (slot < 0) return before - z < rounding || this.allocate(cell, covered, z, before, nx, ny);
    const { kept } = this;
    const at = slot * fields;
    const along = nx * kept[at + axisX] + ny * kept[at + axisY];
    if (along > aside) {
      if (kept[at + split] === 0 && this.coverFromAxis(at, covered, z)) return true;
      this.lowerStrips(slot, 0, covered, z);
    } else if (along < -aside) this.lowerStrips(slot, strips - covered, strips, z);
    else this.lowerStrips(slot, (strips - covered) >> 1, ((strips - covered) >> 1) + covered, z);
    return true;
  }

  /** A cutter covers the whole of a cell that is kept here at the level `z`. `centre`: height left at its centre. */
  coverAll(cell: number, z: number, centre: number): void {
    const slot = this.slotOf[cell];
    const { kept } = this;
    const at = slot * fields;
    if (kept[at + split] !== 0) {
      this.lowerStrips(slot, 0, strips, z);
      if (z <= centre && this.lowest(slot) >= z) this.release(cell, slot);
      return;
    }
    const covered = kept[at + count];
    if (z >= kept[at + low] + rounding) {
      if (this.take(strips - covered, kept[at + high], z)) kept[at + high] = z;
      return;
    }
    this.take(strips - covered, kept[at + high], z);
    this.take(covered, kept[at + low], z);
    if (z <= centre) this.release(cell, slot);
    else {
      kept[at + count] = strips;
      kept[at + low] = z;
      kept[at + high] = z;
    }
  }

  /** What of a height stands above the underside, mm; all of it where the underside is not known. */
  standingAt(z: number): number {
    const { underside } = this;
    return underside === -Infinity ? z : z > underside ? z - underside : 0;
  }

  /** How far a height lies below the underside, mm. */
  sunkAt(z: number): number {
    return z < this.underside ? this.underside - z : 0;
  }

  /** The means of both over a cell that is kept here. */
  means(cell: number): { standing: number; sunk: number } {
    const slot = this.slotOf[cell];
    this.divide(slot);
    let [standing, sunk] = [0, 0];
    for (let k = slot * strips; k < (slot + 1) * strips; k++) {
      standing += this.standingAt(this.height[k]);
      sunk += this.sunkAt(this.height[k]);
    }
    return { standing: standing / strips, sunk: sunk / strips };
  }

  /** Covers the first strips of a cell that is not split. Returns whether two heights are still enough. */
  private coverFromAxis(at: number, strips: number, z: number): boolean {
    const { kept } = this;
    const covered = kept[at + count];
    const before = kept[at + low];
    if (kept[at + high] - z < rounding) return true;
    if (z >= before + rounding) return strips <= covered;
    if (strips < covered) return before - z < rounding;
    const lower = before - z < rounding ? before : z;
    this.take(strips - covered, kept[at + high], lower);
    this.take(covered, before, lower);
    kept[at + count] = strips;
    kept[at + low] = lower;
    return true;
  }

  private lowerStrips(slot: number, from: number, to: number, z: number): void {
    this.divide(slot);
    const { height } = this;
    const base = slot * strips;
    for (let k = base + from; k < base + to; k++) if (this.take(1, height[k], z)) height[k] = z;
  }

  /** Writes out the strips of a cell one by one. */
  private divide(slot: number): void {
    const { kept, height } = this;
    const at = slot * fields;
    if (kept[at + split] !== 0) return;
    kept[at + split] = 1;
    const base = slot * strips;
    for (let k = 0; k < strips; k++) height[base + k] = kept[at + (k < kept[at + count] ? low : high)];
  }

  /** Counts so many strips lowered from one height to another. False: that is no more than rounding. */
  private take(count: number, before: number, z: number): boolean {
    const depth = before - z;
    if (depth < rounding) return false;
    const { underside } = this;
    const share = count / strips;
    if (z >= underside) this.stock += depth * share;
    else if (before <= underside) this.bed += depth * share;
    else {
      this.stock += (before - underside) * share;
      this.bed += (underside - z) * share;
    }
    return true;
  }

  private lowest(slot: number): number {
    let lowest = Infinity;
    for (let k = slot * strips; k < (slot + 1) * strips; k++) {
      if (this.height[k] < lowest) lowest = this.height[k];
    }
    return lowest;
  }

  private allocate(
    cell: number,
    covered: number,
    z: number,
    before: number,
    nx: number,
    ny: number,
  ): boolean {
    let slot: number;
    if (this.free > 0) slot = this.unused[--this.free];
    else {
      if (this.used >= this.unused.length && !this.grow()) return false;
      slot = this.used++;
    }
    this.slotOf[cell] = slot;
    const { kept } = this;
    const at = slot * fields;
    kept[at + axisX] = nx;
    kept[at + axisY] = ny;
    kept[at + count] = covered;
    kept[at + low] = z;
    kept[at + high] = before;
    kept[at + split] = 0;
    this.take(covered, before, z);
    return true;
  }

  private release(cell: number, slot: number): void {
    this.slotOf[cell] = -1;
    this.unused[this.free++] = slot;
  }

  private grow(): boolean {
    const slots = this.unused.length * 2;
    if (slots > mostSlots) return false;
    const { kept, height, unused } = this;
    this.kept = new Float32Array(slots * fields);
    this.kept.set(kept);
    this.height = new Float32Array(slots * strips);
    this.height.set(height);
    this.unused = new Int32Array(slots);
    this.unused.set(unused);
    return true;
  }
}

/** The material as a height field (design section 6). */

/** A grid over the stock footprint. Cells are `dx` by `dy`, sampled at their centres, row by row from the lower left. */
export interface Grid {
  /** Lower-left corner of the grid, mm in the stock frame. */
  readonly x0: number;
  readonly y0: number;
  readonly dx: number;
  readonly dy: number;
  readonly columns: number;
  readonly rows: number;
}

/** The material after some motions. Index `row * columns + column`. */
export interface HeightField {
  readonly grid: Grid;
  /** Z of the stock top and its underside, mm in the stock frame. */
  readonly top: number;
  readonly underside: number;
  /** Lowest cutter surface that passed over the cell, mm; `top` where nothing did. May lie below the underside. */
  readonly height: Float32Array;
  /** Motion that set it, -1 none. Motions of earlier programs on the same board count as -2. */
  readonly setBy: Int32Array;
  /** Motion that first took the cell to the underside or below, -1 none, -2 an earlier program's. */
  readonly throughBy: Int32Array;
}

/** What one motion did to the material. */
export interface Removal {
  /** Volume taken from the stock, mm^3 (not below the underside). */
  readonly stock: number;
  /** Volume taken from the bed, mm^3. */
  readonly bed: number;
}

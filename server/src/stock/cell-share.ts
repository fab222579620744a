/** How much of a cell lies within a cutter's outline. Lengths in mm. */

/** A cell of the grid. */
export interface CellShape {
  readonly dx: number;
  readonly dy: number;
  /** Half its diagonal: no part of it lies farther from its centre. */
  readonly reach: number;
}

export function cellShape(dx: number, dy: number): CellShape {
  return { dx, dy, reach: Math.sqrt(dx * dx + dy * dy) / 2 };
}

/**
 * The share of a cell that lies on the inner side of an edge: exact for straight edges; for round ones exact
 * in the sum over all cells along them.
 * @param inside how far within the edge the cell's centre lies, mm; negative: beyond it
 * @param nx unit vector across the edge
 * @param bend curvature of the edge, 1/mm: positive where the inner side bulges, 0 straight
 */
export function shareWithin(inside: number, nx: number, ny: number, bend: number, cell: CellShape): number {
  const p = (nx < 0 ? -nx : nx) * cell.dx;
  const q = (ny < 0 ? -ny : ny) * cell.dy;
  let depth = inside;
  if (bend !== 0) {
    // A round edge loses its sagitta over the cell: in the mean bend (p^2 + q^2) / 24. Rounder than the cell
    // it says nothing more.
    const sagitta = bend * (p * p + q * q) * (1 / 24);
    const most = cell.reach * (1 / 12);
    depth -= sagitta > most ? most : sagitta < -most ? -most : sagitta;
  }
  const corner = (p + q) * 0.5 - (depth < 0 ? -depth : depth);
  if (corner <= 0) return depth > 0 ? 1 : 0;
  // The edge crosses two opposite sides, or cuts off a triangle.
  if (corner >= (p < q ? p : q)) return 0.5 + depth / (p > q ? p : q);
  const triangle = (corner * corner) / (2 * p * q);
  return depth > 0 ? 1 - triangle : triangle;
}

/**
 * The same for an outline narrower than a cell: less what lies beyond its other edge, and no more than all of
 * it.
 * @param reach half its width, mm
 * @param away how far the cell's centre lies from its middle, mm
 * @param area what it holds, mm^2
 */
export function narrowShare(
  reach: number,
  away: number,
  nx: number,
  ny: number,
  area: number,
  cell: CellShape,
): number {
  const beyond = 1 - shareWithin(reach + away, nx, ny, 0, cell);
  return Math.min(shareWithin(reach - away, nx, ny, 0, cell) - beyond, area / (cell.dx * cell.dy));
}

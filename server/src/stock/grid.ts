import type { Grid } from "./field.ts";

/** Most cells of a grid unless the caller says otherwise. */
const defaultMostCells = 4_000_000;

/**
 * A grid whose cells divide the area evenly.
 * @param area lower-left corner, width along X and depth along Y, mm
 * @param cell largest cell edge, mm; cells grow past it only where the grid would have more than `maxCells`
 */
export function makeGrid(
  area: { readonly x0: number; readonly y0: number; readonly width: number; readonly depth: number },
  cell: number,
  maxCells = defaultMostCells,
): Grid {
  const { x0, y0, width, depth } = area;
  // Lengths come from sums of decimals: 300 / 0.6 must give 500 cells, not 501.
  const count = (length: number, edge: number) => Math.max(1, Math.ceil(length / edge - 1e-9));
  let columns = count(width, cell);
  let rows = count(depth, cell);
  if (columns * rows > maxCells) {
    const edge = Math.sqrt((width * depth) / maxCells);
    columns = Math.min(maxCells, Math.max(1, Math.floor(width / edge)));
    rows = Math.min(Math.max(1, Math.floor(depth / edge)), Math.max(1, Math.floor(maxCells / columns)));
  }
  return { x0, y0, dx: width / columns, dy: depth / rows, columns, rows };
}

/**
 * A part of the height field as a surface. Pure: heights in, vertex data out.
 *
 * Every cell is one quad; where two neighbours do not belong to one slope an upright wall joins them, so walls
 * stay crisp and slopes stay smooth. Corners of walls are drawn in by less than a cell, which makes slanted and
 * round edges smooth where plain cells would show stairs. Flat stretches are merged into large quads.
 * Cells cut through are open: their quad lies on the bed, or as deep in it as the cutter went.
 */
import type { Grid } from "../../server/src/stock/field.ts";

/** What a vertex belongs to. */
export const SurfaceKind = { face: 0, stockWall: 1, bedWall: 2 } as const;

/** Heights with what is needed to read them, mm. `base` is where the board ends below. */
export interface BoardSurface {
  readonly grid: Grid;
  readonly height: Float32Array;
  readonly top: number;
  readonly base: number;
}

/** Cells [column0, column1) x [row0, row1). */
export interface Tile {
  readonly column0: number;
  readonly row0: number;
  readonly column1: number;
  readonly row1: number;
}

/** Heights that differ by less are one, mm. */
const same = 2e-3;
/** Rims are drawn along walls at least this high: mm, and in cells, so that the grooves of a finishing pass have none. */
const rimDrop = 0.2;
const rimDropCells = 0.6;
/** How far merged quads reach over their neighbours, in cells: well under a pixel, well over its rounding. */
const overlap = 0.04;
/** Times the corners of walls are moved towards their neighbours. */
const smoothing = 4;
/** A slope steeper than this counts as a wall (rise over run). */
const steepest = 4;

/** Growing vertex data. */
export class MeshData {
  vertexCount = 0;
  indexCount = 0;
  rimCount = 0;
  /** x, y, z in mm. */
  position = new Float32Array(3 * 1024);
  /** Normal times 127, then the surface kind. */
  normal = new Int8Array(4 * 1024);
  index = new Uint32Array(6 * 512);
  /** Pairs of ends of the upper edges of walls: x, y, z each. */
  rim = new Float32Array(6 * 256);

  clear(): void {
    this.vertexCount = this.indexCount = this.rimCount = 0;
  }

  vertex(x: number, y: number, z: number, nx: number, ny: number, nz: number, kind: number): number {
    const v = this.vertexCount++;
    if (v * 3 + 3 > this.position.length) {
      this.position = grown(this.position, new Float32Array(this.position.length * 2));
      this.normal = grown(this.normal, new Int8Array(this.normal.length * 2));
    }
    this.position[v * 3] = x;
    this.position[v * 3 + 1] = y;
    this.position[v * 3 + 2] = z;
    this.normal[v * 4] = nx * 127;
    this.normal[v * 4 + 1] = ny * 127;
    this.normal[v * 4 + 2] = nz * 127;
    this.normal[v * 4 + 3] = kind;
    return v;
  }

  /** Two triangles over four vertices in order around the quad. */
  quad(a: number, b: number, c: number, d: number): void {
    if (this.indexCount + 6 > this.index.length)
      this.index = grown(this.index, new Uint32Array(this.index.length * 2));
    const { index } = this;
    let i = this.indexCount;
    index[i++] = a;
    index[i++] = b;
    index[i++] = c;
    index[i++] = a;
    index[i++] = c;
    index[i++] = d;
    this.indexCount = i;
  }

  rimLine(x0: number, y0: number, z0: number, x1: number, y1: number, z1: number): void {
    if (this.rimCount * 6 + 6 > this.rim.length)
      this.rim = grown(this.rim, new Float32Array(this.rim.length * 2));
    this.rim.set([x0, y0, z0, x1, y1, z1], this.rimCount++ * 6);
  }
}

function grown<T extends Float32Array | Int8Array | Uint32Array>(from: T, to: T): T {
  to.set(from);
  return to;
}

/** Cells beyond a tile whose heights its mesh depends on. */
export const tileReach = 8;

/** Meshes one tile into `out` (cleared first). */
export function meshTile(surface: BoardSurface, tile: Tile, out: MeshData): void {
  out.clear();
  new TileMesher(surface, tile, out).run();
}

/** Cells around a tile that its corners depend on: the smoothing runs, and what `stepBetween` looks at. */
const margin = smoothing + 2;

class TileMesher {
  private readonly columns: number;
  private readonly rows: number;
  /** Corner of a cell: height at lower left, lower right, upper right, upper left. */
  private readonly corner = new Float64Array(4);
  private readonly otherCorner = new Float64Array(4);
  private readonly slope = new Float64Array(2);
  /** Least height of a wall with a rim, mm. */
  private readonly rimDrop: number;
  /** First cell and corner of the region looked at: the tile and a margin, as far as the grid goes. */
  private readonly column0: number;
  private readonly row0: number;
  /** Cells in a row of the region; corners in a row are one more. */
  private readonly width: number;
  private readonly depth: number;
  /** Walls by cell of the region: 1 towards the right neighbour, 2 towards the upper one. */
  private readonly steps: Uint8Array;
  /** How far each corner of the region is drawn in, in cells. */
  private shiftX: Float32Array<ArrayBuffer>;
  private shiftY: Float32Array<ArrayBuffer>;

  constructor(
    private readonly surface: BoardSurface,
    private readonly tile: Tile,
    private readonly out: MeshData,
  ) {
    this.columns = surface.grid.columns;
    this.rows = surface.grid.rows;
    this.rimDrop = Math.max(rimDrop, rimDropCells * Math.min(surface.grid.dx, surface.grid.dy));
    this.column0 = Math.max(tile.column0 - margin, 0);
    this.row0 = Math.max(tile.row0 - margin, 0);
    this.width = Math.min(tile.column1 + margin, this.columns) - this.column0;
    this.depth = Math.min(tile.row1 + margin, this.rows) - this.row0;
    this.steps = new Uint8Array(this.width * this.depth);
    const corners = (this.width + 1) * (this.depth + 1);
    this.shiftX = new Float32Array(corners);
    this.shiftY = new Float32Array(corners);
  }

  run(): void {
    if (this.findSteps()) this.smoothCorners();
    this.faces();
    this.walls();
  }

  private h(column: number, row: number): number {
    return this.surface.height[row * this.columns + column];
  }

  private inside(column: number, row: number): boolean {
    return column >= 0 && row >= 0 && column < this.columns && row < this.rows;
  }

  /** Marks the walls of the region; false where there are none. */
  private findSteps(): boolean {
    let any = 0;
    for (let r = 0; r < this.depth; r++) {
      for (let c = 0; c < this.width; c++) {
        const [column, row] = [this.column0 + c, this.row0 + r];
        let bits = 0;
        if (column + 1 < this.columns && this.stepBetween(column, row, 1, 0)) bits |= 1;
        if (row + 1 < this.rows && this.stepBetween(column, row, 0, 1)) bits |= 2;
        this.steps[r * this.width + c] = bits;
        any |= bits;
      }
    }
    return any !== 0;
  }

  /** True where a wall stands between two neighbouring cells; (dc, dr) points from the first to the second. */
  private stepBetween(column: number, row: number, dc: number, dr: number): boolean {
    const [c2, r2] = [column + dc, row + dr];
    const a = this.h(column, row);
    const b = this.h(c2, r2);
    const rise = Math.abs(b - a);
    if (rise < same) return false;
    const { base, grid } = this.surface;
    if (a <= base !== b <= base) return true;
    if (rise > steepest * (dc !== 0 ? grid.dx : grid.dy)) return true;
    // A jump between two level stretches is a wall however low it is; a slope goes on beyond both cells.
    const before = this.inside(column - dc, row - dr) ? Math.abs(a - this.h(column - dc, row - dr)) : 0;
    const after = this.inside(c2 + dc, r2 + dr) ? Math.abs(this.h(c2 + dc, r2 + dr) - b) : 0;
    return before < rise * 0.25 && after < rise * 0.25;
  }

  /** As `stepBetween`, looked up; (dc, dr) is one of the four directions. Cells beyond the region have none. */
  private isStep(column: number, row: number, dc: number, dr: number): boolean {
    const c = Math.min(column, column + dc) - this.column0;
    const r = Math.min(row, row + dr) - this.row0;
    if (c < 0 || r < 0 || c >= this.width || r >= this.depth) return false;
    return (this.steps[r * this.width + c] & (dc !== 0 ? 1 : 2)) !== 0;
  }

  /**
   * Draws the corners of walls in. First each to the middle of the walls that meet there, then a few times
   * towards its two neighbours along the wall: a straight wall stays, a stair becomes a slant or a curve.
   */
  private smoothCorners(): void {
    const across = this.width + 1;
    for (let r = 0; r <= this.depth; r++)
      for (let c = 0; c <= this.width; c++) this.startShift(c + this.column0, r + this.row0, r * across + c);
    let nextX = new Float32Array(this.shiftX.length);
    let nextY = new Float32Array(this.shiftY.length);
    for (let run = 0; run < smoothing; run++) {
      for (let r = 0; r <= this.depth; r++)
        for (let c = 0; c <= this.width; c++) this.smoothShift(c, r, r * across + c, nextX, nextY);
      [this.shiftX, nextX] = [nextX, this.shiftX];
      [this.shiftY, nextY] = [nextY, this.shiftY];
    }
  }

  private startShift(column: number, row: number, at: number): void {
    if (column === 0 || row === 0 || column === this.columns || row === this.rows) return;
    const below = this.isStep(column - 1, row - 1, 1, 0) ? 1 : 0;
    const above = this.isStep(column - 1, row, 1, 0) ? 1 : 0;
    const left = this.isStep(column - 1, row - 1, 0, 1) ? 1 : 0;
    const right = this.isStep(column, row - 1, 0, 1) ? 1 : 0;
    const steps = below + above + left + right;
    // A wall that ends in the open keeps its place.
    if (steps < 2) return;
    this.shiftX[at] = (right - left) / (2 * steps);
    this.shiftY[at] = (above - below) / (2 * steps);
  }

  /** One corner (c, r of the region) moved half-way to the mean of the corners that walls join it to. */
  private smoothShift(c: number, r: number, at: number, nextX: Float32Array, nextY: Float32Array): void {
    const [column, row] = [c + this.column0, r + this.row0];
    const across = this.width + 1;
    let [walls, x, y] = [0, 0, 0];
    if (column > 0 && row > 0 && column < this.columns && row < this.rows) {
      const join = (dc: number, dr: number) => {
        walls++;
        x += this.shiftX[at + dr * across + dc] + dc;
        y += this.shiftY[at + dr * across + dc] + dr;
      };
      if (r > 0 && this.isStep(column - 1, row - 1, 1, 0)) join(0, -1);
      if (r < this.depth && this.isStep(column - 1, row, 1, 0)) join(0, 1);
      if (c > 0 && this.isStep(column - 1, row - 1, 0, 1)) join(-1, 0);
      if (c < this.width && this.isStep(column, row - 1, 0, 1)) join(1, 0);
    }
    const moves = walls === 2;
    nextX[at] = moves ? this.shiftX[at] * 0.5 + x * 0.25 : this.shiftX[at];
    nextY[at] = moves ? this.shiftY[at] * 0.5 + y * 0.25 : this.shiftY[at];
  }

  private faces(): void {
    const { tile, out } = this;
    const { grid } = this.surface;
    const width = tile.column1 - tile.column0;
    const taken = new Uint8Array(width * (tile.row1 - tile.row0));
    for (let row = tile.row0; row < tile.row1; row++) {
      for (let column = tile.column0; column < tile.column1; column++) {
        const place = (row - tile.row0) * width + column - tile.column0;
        if (taken[place]) continue;
        const height = this.h(column, row);
        if (!this.isPlain(column, row)) {
          this.singleFace(column, row);
          continue;
        }
        let end = column + 1;
        while (
          end < tile.column1 &&
          !taken[place + end - column] &&
          this.h(end, row) === height &&
          this.isPlain(end, row)
        )
          end++;
        let rowEnd = row + 1;
        while (rowEnd < tile.row1 && this.isPlainRun(column, end, rowEnd, height, taken)) rowEnd++;
        for (let r = row; r < rowEnd; r++)
          taken.fill(
            1,
            (r - tile.row0) * width + column - tile.column0,
            (r - tile.row0) * width + end - tile.column0,
          );
        // A little overlap: the long edges of merged quads meet corners of small ones, and would show gaps there.
        const [x0, y0] = [grid.x0 + (column - overlap) * grid.dx, grid.y0 + (row - overlap) * grid.dy];
        const [x1, y1] = [grid.x0 + (end + overlap) * grid.dx, grid.y0 + (rowEnd + overlap) * grid.dy];
        out.quad(
          out.vertex(x0, y0, height, 0, 0, 1, SurfaceKind.face),
          out.vertex(x1, y0, height, 0, 0, 1, SurfaceKind.face),
          out.vertex(x1, y1, height, 0, 0, 1, SurfaceKind.face),
          out.vertex(x0, y1, height, 0, 0, 1, SurfaceKind.face),
        );
      }
    }
  }

  /** True where a cell and its eight neighbours (as far as there are any) have one height. */
  private isPlain(column: number, row: number): boolean {
    const height = this.h(column, row);
    const c0 = column > 0 ? column - 1 : 0;
    const c1 = column + 1 < this.columns ? column + 1 : column;
    const r1 = row + 1 < this.rows ? row + 1 : row;
    for (let r = row > 0 ? row - 1 : 0; r <= r1; r++)
      for (let c = c0; c <= c1; c++) if (this.surface.height[r * this.columns + c] !== height) return false;
    return true;
  }

  private isPlainRun(column: number, end: number, row: number, height: number, taken: Uint8Array): boolean {
    const { tile } = this;
    const offset = (row - tile.row0) * (tile.column1 - tile.column0) - tile.column0;
    for (let c = column; c < end; c++)
      if (taken[offset + c] || this.h(c, row) !== height || !this.isPlain(c, row)) return false;
    return true;
  }

  private singleFace(column: number, row: number): void {
    const { corner, out } = this;
    this.corners(column, row, corner);
    const { dx, dy } = this.surface.grid;
    const gx = (corner[1] + corner[2] - corner[0] - corner[3]) / (2 * dx);
    const gy = (corner[2] + corner[3] - corner[0] - corner[1]) / (2 * dy);
    const length = Math.hypot(gx, gy, 1);
    const index = [0, 0, 0, 0];
    for (let k = 0; k < 4; k++) {
      const [x, y] = this.cornerPlace(column + (k === 1 || k === 2 ? 1 : 0), row + (k >= 2 ? 1 : 0));
      index[k] = out.vertex(x, y, corner[k], -gx / length, -gy / length, 1 / length, SurfaceKind.face);
    }
    out.quad(index[0], index[1], index[2], index[3]);
  }

  /** Corner heights of a cell: the mean over the cells around the corner that belong to its slope. */
  private corners(column: number, row: number, into: Float64Array): void {
    for (let k = 0; k < 4; k++) {
      const dc = k === 1 || k === 2 ? 1 : -1;
      const dr = k >= 2 ? 1 : -1;
      into[k] = this.cornerHeight(column, row, dc, dr);
    }
  }

  private cornerHeight(column: number, row: number, dc: number, dr: number): number {
    const own = this.h(column, row);
    let sum = own;
    let count = 1;
    const across = this.inside(column + dc, row) && !this.isStep(column, row, dc, 0);
    const along = this.inside(column, row + dr) && !this.isStep(column, row, 0, dr);
    if (across) {
      sum += this.h(column + dc, row);
      count++;
    }
    if (along) {
      sum += this.h(column, row + dr);
      count++;
    }
    if (
      this.inside(column + dc, row + dr) &&
      ((across && !this.isStep(column + dc, row, 0, dr)) || (along && !this.isStep(column, row + dr, dc, 0)))
    ) {
      sum += this.h(column + dc, row + dr);
      count++;
    }
    return sum / count;
  }

  /** Place of a grid corner, mm. */
  private cornerPlace(column: number, row: number): readonly [number, number] {
    const { grid } = this.surface;
    const at = (row - this.row0) * (this.width + 1) + column - this.column0;
    return [grid.x0 + (column + this.shiftX[at]) * grid.dx, grid.y0 + (row + this.shiftY[at]) * grid.dy];
  }

  private walls(): void {
    const { tile } = this;
    for (let row = tile.row0; row < tile.row1; row++) {
      for (let column = tile.column0; column < tile.column1; column++) {
        const height = this.h(column, row);
        const lastColumn = column + 1 === this.columns;
        const lastRow = row + 1 === this.rows;
        if (lastColumn) this.outerWall(column, row, 1, 2, 1, 0);
        else if (this.h(column + 1, row) !== height) this.innerWall(column, row, 1, 0);
        if (lastRow) this.outerWall(column, row, 2, 3, 0, 1);
        else if (this.h(column, row + 1) !== height) this.innerWall(column, row, 0, 1);
        if (column === 0) this.outerWall(column, row, 3, 0, -1, 0);
        if (row === 0) this.outerWall(column, row, 0, 1, 0, -1);
      }
    }
  }

  /** Wall between a cell and its neighbour to the right (1, 0) or above (0, 1). */
  private innerWall(column: number, row: number, dc: number, dr: number): void {
    const { corner, otherCorner } = this;
    this.corners(column, row, corner);
    this.corners(column + dc, row + dr, otherCorner);
    // Shared edge from its lower to its upper end (right neighbour), or from right to left (upper neighbour).
    const [a0, a1] = dc ? [corner[1], corner[2]] : [corner[2], corner[3]];
    const [b0, b1] = dc ? [otherCorner[0], otherCorner[3]] : [otherCorner[1], otherCorner[0]];
    if (Math.abs(a0 - b0) < same && Math.abs(a1 - b1) < same) return;
    const p0 = this.cornerPlace(column + 1, row + dr);
    const p1 = dc ? this.cornerPlace(column + 1, row + 1) : this.cornerPlace(column, row + 1);
    const falls = a0 + a1 > b0 + b1 ? 1 : -1;
    const corner0: readonly [number, number] = [column + 1, row + dr];
    const corner1: readonly [number, number] = dc ? [column + 1, row + 1] : [column, row + 1];
    const n0 = this.wallNormal(corner0, dc * falls, dr * falls);
    const n1 = this.wallNormal(corner1, dc * falls, dr * falls);
    this.wall(p0, p1, n0, n1, Math.max(a0, b0), Math.max(a1, b1), Math.min(a0, b0), Math.min(a1, b1));
  }

  private outerWall(column: number, row: number, from: number, to: number, nx: number, ny: number): void {
    const { corner } = this;
    this.corners(column, row, corner);
    const { base } = this.surface;
    const place = (k: number) =>
      this.cornerPlace(column + (k === 1 || k === 2 ? 1 : 0), row + (k >= 2 ? 1 : 0));
    const [a0, a1] = [corner[from], corner[to]];
    const n: readonly [number, number] = [nx, ny];
    if (Math.abs(a0 - base) < same && Math.abs(a1 - base) < same) return;
    this.wall(
      place(from),
      place(to),
      n,
      n,
      Math.max(a0, base),
      Math.max(a1, base),
      Math.min(a0, base),
      Math.min(a1, base),
    );
  }

  /** Upright quad from the lower to the upper heights, split where it crosses from the board into the bed. */
  private wall(
    p0: readonly [number, number],
    p1: readonly [number, number],
    n0: readonly [number, number],
    n1: readonly [number, number],
    high0: number,
    high1: number,
    low0: number,
    low1: number,
  ): void {
    const { out } = this;
    const { base } = this.surface;
    const part = (t0: number, t1: number, b0: number, b1: number, kind: number) => {
      out.quad(
        out.vertex(p0[0], p0[1], b0, n0[0], n0[1], 0, kind),
        out.vertex(p1[0], p1[1], b1, n1[0], n1[1], 0, kind),
        out.vertex(p1[0], p1[1], t1, n1[0], n1[1], 0, kind),
        out.vertex(p0[0], p0[1], t0, n0[0], n0[1], 0, kind),
      );
    };
    if (high0 > base || high1 > base)
      part(high0, high1, Math.max(low0, base), Math.max(low1, base), SurfaceKind.stockWall);
    if (low0 < base || low1 < base)
      part(Math.min(high0, base), Math.min(high1, base), low0, low1, SurfaceKind.bedWall);
    if (high0 - low0 + high1 - low1 > 2 * this.rimDrop) out.rimLine(p0[0], p0[1], high0, p1[0], p1[1], high1);
  }

  /** Level normal of a wall at a corner, from the fall of the heights around it, so that a round wall is shaded round. */
  private wallNormal(corner: readonly [number, number], nx: number, ny: number): readonly [number, number] {
    const { slope } = this;
    slope[0] = slope[1] = 0;
    const [column, row] = corner;
    for (let r = row - 3; r < row + 3; r++) {
      for (let c = column - 3; c < column + 3; c++) {
        if (!this.inside(c, r)) continue;
        const height = this.h(c, r);
        slope[0] -= height * (c + 0.5 - column);
        slope[1] -= height * (r + 0.5 - row);
      }
    }
    const length = Math.hypot(slope[0], slope[1]);
    if (length < 1e-9) return [nx, ny];
    const [sx, sy] = [slope[0] / length, slope[1] / length];
    // Between two close walls the sum says nothing about either.
    return sx * nx + sy * ny > 0.3 ? [sx, sy] : [nx, ny];
  }
}

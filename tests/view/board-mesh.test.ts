/** The board's surface as a mesh, against closed forms. */
import { describe, expect, test } from "vitest";
import type { Grid } from "../../server/src/stock/field.ts";
import {
  MeshData,
  meshTile,
  SurfaceKind,
  type BoardSurface,
  type Tile,
} from "../../webview/src/board-mesh.ts";

const grid: Grid = { x0: -5, y0: 2, dx: 0.5, dy: 0.5, columns: 80, rows: 60 };
const top = 0;
const base = -10;

/** A surface whose cells are given by their centre, mm. */
function surfaceOf(height: (x: number, y: number) => number): BoardSurface {
  const heights = new Float32Array(grid.columns * grid.rows);
  for (let row = 0; row < grid.rows; row++)
    for (let column = 0; column < grid.columns; column++)
      heights[row * grid.columns + column] = height(
        grid.x0 + (column + 0.5) * grid.dx,
        grid.y0 + (row + 0.5) * grid.dy,
      );
  return { grid, height: heights, top, base };
}

const whole: Tile = { column0: 0, row0: 0, column1: grid.columns, row1: grid.rows };

function meshOf(surface: BoardSurface, tile = whole): MeshData {
  const data = new MeshData();
  meshTile(surface, tile, data);
  return data;
}

interface Sums {
  /** Level area of the faces above the base and on it, mm^2. */
  readonly wood: number;
  readonly bed: number;
  /** Volume under the faces down to the base, mm^3. */
  readonly volume: number;
  /** Area of the walls of the board and of the bed, mm^2. */
  readonly stockWall: number;
  readonly bedWall: number;
}

function sumsOf(data: MeshData): Sums {
  const sums = { wood: 0, bed: 0, volume: 0, stockWall: 0, bedWall: 0 };
  const { position: p, normal, index } = data;
  for (let i = 0; i < data.indexCount; i += 3) {
    const [a, b, c] = [index[i] * 3, index[i + 1] * 3, index[i + 2] * 3];
    const u = [p[b] - p[a], p[b + 1] - p[a + 1], p[b + 2] - p[a + 2]];
    const v = [p[c] - p[a], p[c + 1] - p[a + 1], p[c + 2] - p[a + 2]];
    const cross = [u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]];
    const kind = normal[index[i] * 4 + 3];
    if (kind === SurfaceKind.face) {
      const level = cross[2] / 2;
      const z = (p[a + 2] + p[b + 2] + p[c + 2]) / 3;
      if (z > base + 1e-6) {
        sums.wood += level;
        sums.volume += level * (z - base);
      } else sums.bed += level;
    } else sums[kind === SurfaceKind.stockWall ? "stockWall" : "bedWall"] += Math.hypot(...cross) / 2;
  }
  return sums;
}

const width = grid.columns * grid.dx;
const depth = grid.rows * grid.dy;

describe("the board's mesh", () => {
  test("an uncut board is a few quads and four walls", () => {
    const data = meshOf(surfaceOf(() => top));
    const sums = sumsOf(data);
    // Merged quads overlap by a small share of a cell.
    expect(sums.wood / (width * depth)).toBeCloseTo(1, 2);
    expect(sums.stockWall).toBeCloseTo(2 * (width + depth) * 10, 3);
    expect(sums.bedWall).toBe(0);
    expect(data.vertexCount).toBeLessThan(4 * 2 * (grid.columns + grid.rows) + 100);
  });

  test("a square through hole is open: bed below, upright walls all round", () => {
    const data = meshOf(surfaceOf((x, y) => (Math.abs(x - 15) < 6 && Math.abs(y - 17) < 6 ? base : top)));
    const sums = sumsOf(data);
    // The corners lose a little to the smoothing of the walls.
    expect(sums.bed).toBeGreaterThan(144 * 0.985);
    expect(sums.bed).toBeLessThan(144 * 1.01);
    expect(sums.stockWall).toBeGreaterThan(2 * (width + depth) * 10 + 48 * 10 * 0.95);
    expect(sums.stockWall).toBeLessThan(2 * (width + depth) * 10 + 48 * 10 * 1.001);
  });

  test("a groove into the bed has walls of the bed below those of the board", () => {
    const sums = sumsOf(meshOf(surfaceOf((x) => (Math.abs(x - 15) < 3 ? base - 0.6 : top))));
    // Two sides along the depth, and the two ends where the groove leaves the board's footprint.
    expect(sums.bedWall).toBeCloseTo(2 * depth * 0.6 + 2 * 6 * 0.6, 1);
  });

  test("the wall of a round hole runs round, not in stairs", () => {
    const radius = 9.3;
    const data = meshOf(surfaceOf((x, y) => (Math.hypot(x - 15, y - 17) < radius ? -4 : top)));
    let worst = 0;
    let rims = 0;
    let sum = 0;
    for (let r = 0; r < data.rimCount * 2; r++) {
      const from = Math.hypot(data.rim[r * 3] - 15, data.rim[r * 3 + 1] - 17);
      // Rims of the board's outer edge lie farther out.
      if (from > radius + 2) continue;
      worst = Math.max(worst, Math.abs(from - radius));
      rims++;
      sum += from;
    }
    expect(rims).toBeGreaterThan(100);
    // Plain cells would be off by up to 0.7 of a cell; these stay within half a cell.
    expect(worst).toBeLessThan(0.25);
    const sums = sumsOf(data);
    expect(Math.abs(sum / rims - radius)).toBeLessThan(0.1);
    // Length of the wall: a circle's, where stairs would have 4 / pi of it.
    const walls = sums.stockWall - 2 * (width + depth) * 10;
    expect(walls / (2 * Math.PI * radius * 4)).toBeGreaterThan(0.97);
    expect(walls / (2 * Math.PI * radius * 4)).toBeLessThan(1.05);
  });

  test("a slope is one surface without walls", () => {
    const sums = sumsOf(meshOf(surfaceOf((x) => -2 - 0.1 * (x + 5))));
    const edges = 2 * depth * 10 - depth * (2 + 6) + 2 * (width * (10 - 4));
    expect(sums.stockWall).toBeCloseTo(edges, 0);
    expect(sums.volume / (width * depth * 6)).toBeCloseTo(1, 2);
  });

  test("a low step between two levels is a wall", () => {
    const data = meshOf(surfaceOf((x) => (x < 10 ? -3 : -3.4)));
    const walls = sumsOf(data).stockWall - (15 * 2 + depth) * 7 - (25 * 2 + depth) * 6.6;
    expect(walls).toBeCloseTo(depth * 0.4, 1);
  });

  test("tiles meet: what two neighbours draw along their border is the same line", () => {
    const surface = surfaceOf((x, y) =>
      Math.hypot(x - 15, y - 17) < 9.3 ? base - 0.1 - 0.02 * y : top - 0.02 * (x + 5),
    );
    const left = meshOf(surface, { ...whole, column1: 40 });
    const right = meshOf(surface, { ...whole, column0: 40 });
    const border = grid.x0 + 40 * grid.dx;
    const places = (data: MeshData) => {
      const found = new Set<string>();
      for (let v = 0; v < data.vertexCount; v++) {
        const [x, y] = [data.position[v * 3], data.position[v * 3 + 1]];
        if (Math.abs(x - border) < 0.24 && data.normal[v * 4 + 3] === SurfaceKind.face)
          found.add(`${x.toFixed(4)} ${y.toFixed(4)}`);
      }
      return found;
    };
    const [a, b] = [places(left), places(right)];
    const shared = [...a].filter((place) => b.has(place));
    expect(shared.length).toBeGreaterThanOrEqual(grid.rows + 1);
  });
});

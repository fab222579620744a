/** The board at any moment of the program, carved a little at a time so that the page stays responsive. */
import type { Scene } from "../../server/src/report/scene.ts";
import { cutterFrom, type Cutter } from "../../server/src/stock/cutter.ts";
import type { Grid, HeightField } from "../../server/src/stock/field.ts";
import { makeGrid } from "../../server/src/stock/grid.ts";
import { Playback } from "../../server/src/stock/playback.ts";
import type { BoardSurface } from "./board-mesh.ts";

/** Most cells drawn. */
const mostCells = 400_000;
/** Programs of more motions are carved in the review's own cells. */
const longProgram = 20_000;
/** With no thickness declared the board is drawn this far below the deepest cut, mm. */
const undeclaredRest = 3;

export class BoardMaterial {
  readonly surface: BoardSurface;
  private readonly playback: Playback;
  private readonly field: HeightField;
  private chunk = 32;

  /** Undefined where the scene has no material. */
  static of(scene: Scene): BoardMaterial | undefined {
    return scene.grid ? new BoardMaterial(scene, scene.grid) : undefined;
  }

  private constructor(
    private readonly scene: Scene,
    full: Grid,
  ) {
    const { board, motions } = scene;
    const grid = drawnGrid(full, motions.count);
    const start = scene.startHeight ? resampled(scene.startHeight, full, grid) : undefined;
    const cutters = new Map(scene.tools.map((tool): [number, Cutter] => [tool.number, cutterFrom(tool)]));
    const cutterOf = (tool: number): Cutter => {
      const cutter = cutters.get(tool);
      if (!cutter) throw new Error(`The scene has no tool ${tool}.`);
      return cutter;
    };
    this.playback = new Playback(motions, cutterOf, grid, board.top, board.underside ?? -Infinity, start);
    this.field = this.playback.seek(0);
    let deepest = board.top;
    for (const cut of scene.tree.cuts) deepest = Math.min(deepest, cut.bottom);
    const base = board.underside ?? deepest - undeclaredRest;
    this.surface = { grid, height: this.field.height, top: board.top, base };
  }

  /** Number of motions carved. */
  get motionCount(): number {
    return this.playback.motionCount;
  }

  /** Carves towards `target` done motions for about `budget` ms. True when it is there. */
  advance(target: number, budget: number): boolean {
    const start = performance.now();
    if (target < this.playback.motionCount) {
      // Going back lands on a keyframe; how far it lies from the target is bounded by their spacing.
      this.playback.seek(target);
      return true;
    }
    while (this.playback.motionCount < target) {
      const before = performance.now();
      this.playback.seek(Math.min(target, this.playback.motionCount + this.chunk));
      const now = performance.now();
      if (now - before < budget / 4) this.chunk = Math.min(this.chunk * 2, 65_536);
      else if (now - before > budget) this.chunk = Math.max(this.chunk >> 1, 1);
      if (now - start > budget) break;
    }
    return this.playback.motionCount >= target;
  }

  /** Height of the material over a place, mm; undefined beside the grid. */
  heightAt(x: number, y: number): number | undefined {
    const { grid, height } = this.surface;
    const column = Math.floor((x - grid.x0) / grid.dx);
    const row = Math.floor((y - grid.y0) / grid.dy);
    if (column < 0 || row < 0 || column >= grid.columns || row >= grid.rows) return undefined;
    return height[row * grid.columns + column];
  }

  /** 255 where, with every motion done, a cut meant to go through leaves material; 0 elsewhere. Needs the finished field. */
  skinMask(): Uint8Array {
    const { height, setBy } = this.field;
    const { skins, tree, board } = this.scene;
    const mask = new Uint8Array(height.length);
    if (board.underside === null || skins.length === 0) return mask;
    const short = new Set(skins.map((skin) => skin.cut));
    const isShort = Uint8Array.from(tree.passes, (pass) => (short.has(pass.cut) ? 1 : 0));
    for (let cell = 0; cell < height.length; cell++) {
      const motion = setBy[cell];
      if (motion < 0 || height[cell] <= board.underside) continue;
      const pass = tree.passOfMotion[motion];
      if (pass >= 0 && isShort[pass]) mask[cell] = 255;
    }
    return mask;
  }
}

/**
 * The grid drawn: coarser than the review's where that has too many cells, up to twice as fine where there is
 * room and the program is short enough to carve it so in no time.
 */
function drawnGrid(full: Grid, motionCount: number): Grid {
  const area = {
    x0: full.x0,
    y0: full.y0,
    width: full.dx * full.columns,
    depth: full.dy * full.rows,
  };
  const finest = Math.sqrt((area.width * area.depth) / mostCells);
  return makeGrid(
    area,
    Math.max(Math.min(full.dx, full.dy) / (motionCount > longProgram ? 1 : 2), finest),
    mostCells,
  );
}

function resampled(heights: Float32Array, from: Grid, to: Grid): Float32Array {
  const result = new Float32Array(to.columns * to.rows);
  for (let row = 0; row < to.rows; row++) {
    const sourceRow = Math.min(Math.floor(((row + 0.5) * to.dy) / from.dy), from.rows - 1);
    for (let column = 0; column < to.columns; column++) {
      const sourceColumn = Math.min(Math.floor(((column + 0.5) * to.dx) / from.dx), from.columns - 1);
      result[row * to.columns + column] = heights[sourceRow * from.columns + sourceColumn];
    }
  }
  return result;
}

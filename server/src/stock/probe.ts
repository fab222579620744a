import type { Motions } from "../machine/motions.ts";
import type { Cutter } from "./cutter.ts";
import { surfaceOver } from "./sweep.ts";

/**
 * Height of the material at a point after all motions, mm in the stock frame: exact, without a grid.
 * `top` where no motion passes lower. May lie below the underside of the stock.
 */
export function heightAt(
  motions: Motions,
  cutterOf: (tool: number) => Cutter,
  top: number,
  x: number,
  y: number,
): number {
  let height = top;
  let tool = -1;
  let cutter: Cutter | undefined;
  for (let i = 0; i < motions.count; i++) {
    if (motions.tool[i] !== tool || !cutter) {
      tool = motions.tool[i];
      cutter = cutterOf(tool);
    }
    height = Math.min(height, surfaceOver(motions, i, cutter, x, y));
  }
  return height;
}

import type { RuleContext } from "./rule.ts";

/** Depths and lengths closer than this are one, mm. */
const same = 1e-3;

/** Indices of the passes that take no material, in program order. Empty where the material is not known. */
export function* uselessPasses(context: RuleContext): Generator<number> {
  const { effects, tree } = context;
  if (!effects) return;
  for (const pass of tree.passes) {
    // Where there is no board there was never wood to take: `outside-stock` and `bed-cut-deep` speak of that.
    if (context.footprint && isBeside(pass.extent, context.footprint)) continue;
    let volume = 0;
    for (let i = pass.first; i < pass.end && volume === 0; i++) {
      volume += effects.stockVolume[i] + effects.bedVolume[i];
    }
    if (volume === 0 && context.removesNothing(pass.index)) yield pass.index;
  }
}

/** The earlier pass of the same cut that has the same path at the same depth; undefined: none. */
export function repeatedPass(context: RuleContext, index: number): number | undefined {
  const { tree } = context;
  const pass = tree.passes[index];
  for (const other of tree.cuts[pass.cut].passes) {
    if (other >= index) return undefined;
    const earlier = tree.passes[other];
    const sameExtent = earlier.extent.every((edge, side) => Math.abs(edge - pass.extent[side]) < same);
    if (sameExtent && Math.abs(earlier.bottom - pass.bottom) < same) return other;
  }
  return undefined;
}

/** Whether a path's extent lies wholly off the board. */
function isBeside(extent: readonly number[], board: readonly number[]): boolean {
  return extent[2] < board[0] || extent[3] < board[1] || extent[0] > board[2] || extent[1] > board[3];
}

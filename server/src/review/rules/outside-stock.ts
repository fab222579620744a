import type { Rule } from "../rule.ts";

export const rule: Rule = {
  id: "outside-stock",
  severity: "warning",
  title: "Cut leaves the board",
  what: "The centre of the cutter leaves the declared footprint of the board by more than the cutter's radius while it is below the stock top: there it cuts no wood at all.",
  why: "A part that reaches over the edge comes out with a piece missing; and beside the board stand clamps.",
  example:
    "(cutwright: thickness 18 mm)\n(cutwright: size 100 x 100 mm; corner 0 mm, 0 mm)\nG21 G90\nT1 M6\nS18000 M3\nG0 Z5\nG0 X50 Y50\nG1 Z-3 F300\nG1 X120 F1200\nG0 Z5\nM30",
  remedy:
    "Check the board's size and corner in the job file, and where the work zero is set. A board that is large enough cures it.",
  *check(context) {
    const { footprint, tree, toolpath, length } = context;
    if (!footprint) return;
    for (const cut of tree.cuts) {
      const radius = context.toolOf(cut.tool).tool.diameter / 2;
      const over = [
        footprint[0] - cut.extent[0],
        footprint[1] - cut.extent[1],
        cut.extent[2] - footprint[2],
        cut.extent[3] - footprint[3],
      ];
      const worst = Math.max(...over);
      if (worst <= radius + 0.01) continue;
      const side = ["left (X-)", "front (Y-)", "right (X+)", "back (Y+)"][over.indexOf(worst)];
      const pass = tree.passes[cut.passes[0]];
      const { x, y, z } = toolpath.motions;
      yield {
        line: pass.firstLine,
        message: `${context.cutName(cut.index)} runs ${length(worst)} past the board's ${side} edge, so the whole cutter leaves the wood there.`,
        at: [x[pass.bottomMotion + 1], y[pass.bottomMotion + 1], z[pass.bottomMotion + 1]],
        values: { past: worst },
        related: [context.passRelated(pass.index)],
        motions: [pass.first, pass.end],
        cut: cut.index,
        pass: pass.index,
      };
    }
  },
};

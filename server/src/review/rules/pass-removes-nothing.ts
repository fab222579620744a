import { repeatedPass, uselessPasses } from "../useless-passes.ts";
import { linesText, secondsText } from "../wording.ts";
import type { Rule } from "../rule.ts";

export const rule: Rule = {
  id: "pass-removes-nothing",
  severity: "warning",
  title: "Pass removes nothing",
  what: "A pass runs below the stock top but only where earlier motions have already taken the material. The edge of the cutter is checked exactly, so a finishing pass thinner than a cell of the material model is not mistaken for one.",
  why: "It costs time and rubs the cutter warm without cutting.",
  example:
    "(cutwright: thickness 18 mm)\n(cutwright: size 200 x 100 mm; corner -20 mm, -20 mm)\nG21 G90\nT1 M6\nS18000 M3\nG0 Z5\nG0 X0 Y0\nG1 Z-6 F300\nG1 X100 F1200\nG0 Z5\nG0 X20\nG1 Z-3 F300\nG1 X80 F1200\nG0 Z5\nM30",
  remedy: "Remove the pass, or start the cut at the depth that is already there.",
  *check(context) {
    const { toolpath, tree } = context;
    for (const index of uselessPasses(context)) {
      if (repeatedPass(context, index) !== undefined) continue;
      const pass = tree.passes[index];
      const { x, y, z } = toolpath.motions;
      yield {
        line: pass.firstLine,
        endLine: pass.lastLine,
        message: `This pass (${linesText(pass.firstLine, pass.lastLine)}, ${secondsText(pass.seconds)}) removes nothing: everything it reaches is gone already.`,
        at: [x[pass.end], y[pass.end], z[pass.end]],
        values: { seconds: pass.seconds, pathLength: pass.length },
        related: [context.passRelated(index)],
        motions: [pass.first, pass.end],
        cut: pass.cut,
        pass: index,
      };
    }
  },
};

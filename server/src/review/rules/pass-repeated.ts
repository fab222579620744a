import { repeatedPass, uselessPasses } from "../useless-passes.ts";
import { linesText, secondsText } from "../wording.ts";
import type { Rule } from "../rule.ts";

export const rule: Rule = {
  id: "pass-repeated",
  severity: "info",
  title: "Pass runs twice at one depth",
  what: "A pass follows the path of an earlier pass of the same cut at the same depth and removes nothing on paper.",
  why: "On purpose it is a spring pass: it takes what the cutter's bending left. By accident it is lost time.",
  example:
    "(cutwright: thickness 18 mm)\n(cutwright: size 200 x 100 mm; corner -20 mm, -20 mm)\nG21 G90\nT1 M6\nS18000 M3\nG0 Z5\nG0 X0 Y0\nG1 Z-3 F300\nG1 X100 F1200\nG0 Z5\nG0 X0 Y0\nG1 Z-3 F300\nG1 X100 F1200\nG0 Z5\nM30",
  remedy: "Remove it, or say that it is on purpose: (cutwright: silence pass-repeated because spring pass).",
  *check(context) {
    const { toolpath, tree } = context;
    for (const index of uselessPasses(context)) {
      const earlier = repeatedPass(context, index);
      if (earlier === undefined) continue;
      const pass = tree.passes[index];
      const { x, y, z } = toolpath.motions;
      yield {
        line: pass.firstLine,
        endLine: pass.lastLine,
        message: `This pass repeats the one on ${linesText(tree.passes[earlier].firstLine, tree.passes[earlier].lastLine)} at the same depth (${secondsText(pass.seconds)}).`,
        at: [x[pass.end], y[pass.end], z[pass.end]],
        values: { seconds: pass.seconds, pathLength: pass.length },
        related: [context.passRelated(earlier)],
        motions: [pass.first, pass.end],
        cut: pass.cut,
        pass: index,
      };
    }
  },
};

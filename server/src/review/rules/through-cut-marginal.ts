import type { Rule } from "../rule.ts";

export const rule: Rule = {
  id: "through-cut-marginal",
  severity: "warning",
  title: "Cut goes through, but not surely",
  what: "A cut that is meant to go through passes the underside by less than the through allowance: the sum of what measuring, the board, the bed and the touch-off can be off by.",
  why: "It goes through on paper. A board 0.3 mm thicker in the middle, or a bed that dips there, leaves a skin all the same.",
  example:
    "(cutwright: thickness 18 mm)\nG21 G90\nT1 M6\nS18000 M3\nG0 Z5\nG0 X0 Y0\nG1 Z-18.1 F300\nG1 X100 F1200\nG0 Z5\nM30",
  remedy:
    "Cut deeper by the difference, or make the largest term of the allowance smaller: measure at the four corners and the middle, or set Z0 on the bed, which takes the thickness out of the sum.",
  *check(context) {
    const { tree, length, job } = context;
    for (const result of context.through) {
      const required = job.allowance.overcut;
      const overcut = -result.left;
      if (overcut < 0 || overcut >= required - 1e-6) continue;
      const cut = tree.cuts[result.cut];
      const largest = job.allowance.terms.reduce(
        (a, b) => (b.value > a.value ? b : a),
        job.allowance.terms[0],
      );
      const hint = largest ? ` The largest term is the ${largest.name}, ${length(largest.value)}.` : "";
      yield {
        line: context.toolpath.motions.line[result.motion],
        message: `${context.cutName(cut.index)} ${overcut < 5e-4 ? "ends just at the underside" : `goes ${length(overcut)} below the underside`}; ${length(required)} is needed to be sure. Cut ${length(required - overcut)} deeper.${hint}`,
        at: result.at,
        values: { overcut, required, deepen: required - overcut },
        related: [context.passRelated(cut.deepestPass), ...context.thicknessRelated()],
        motions: [result.motion, result.motion + 1],
        cut: cut.index,
        pass: cut.deepestPass,
      };
    }
  },
};

import type { Rule } from "../rule.ts";

export const rule: Rule = {
  id: "through-cut-short",
  severity: "error",
  title: "Cut does not go through",
  what: "A cut that is meant to go through the board ends above the underside, so a skin of material stays under it. The depth of the motions decides, not the resolution of the material model.",
  why: "The part does not come free, or is torn out of its skin; the usual cure is a second set-up of the same job. Boards are often thicker than their label, and a caliper at the edge does not see the middle.",
  example:
    "(cutwright: thickness 18.6 mm)\nG21 G90\nT1 M6\nS18000 M3\nG0 Z5\nG0 X0 Y0\nG1 Z-18 F300\nG1 X100 F1200\nG0 Z5\nM30",
  remedy:
    "Cut deeper by what is left plus the through allowance, or correct the declared thickness. If the cut is not meant to go through, say so: (cutwright: partway) ahead of it.",
  *check(context) {
    const { tree, length, job } = context;
    for (const result of context.through) {
      if (result.left <= 0) continue;
      const cut = tree.cuts[result.cut];
      const required = job.allowance.overcut;
      const deepen = result.left + required;
      const depth = `Z${length(result.underside - required)}`;
      const message = result.partOnly
        ? `only part of its path reaches the underside, about ${length(result.left)} stays under the rest. Run its whole path once more at ${depth} (${length(required)} through allowance).`
        : `${length(result.left)} stays under it. Cut at least ${length(deepen)} deeper (${length(result.left)} left and ${length(required)} through allowance).`;
      yield {
        line: context.toolpath.motions.line[result.motion],
        message: `${context.cutName(cut.index)} will not go through: ${message}`,
        at: result.at,
        values: {
          left: result.left,
          required,
          ...(result.partOnly ? {} : { deepen }),
          area: result.area,
        },
        related: [context.passRelated(cut.deepestPass), ...context.thicknessRelated()],
        motions: [result.motion, result.motion + 1],
        cut: cut.index,
        pass: cut.deepestPass,
      };
    }
  },
};

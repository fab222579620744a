import type { Rule } from "../rule.ts";

export const rule: Rule = {
  id: "bed-cut-deep",
  severity: "warning",
  title: "Cut goes deep into the bed",
  what: "A cut goes further below the underside than the deepest cut allowed into the bed, or below the bed itself.",
  why: "The bed is meant to be scratched, not sawn up; under it lie the machine's table and its screws.",
  example:
    "(cutwright: thickness 12 mm)\nG21 G90\nT1 M6\nS18000 M3\nG0 Z5\nG0 X0 Y0\nG1 Z-18 F300\nG1 X100 F1200\nG0 Z5\nM30",
  remedy:
    'Check that the declared thickness is that of this board. Then raise the cut, or declare how deep the bed may be cut in the job file: "bed": { "deepestCut": "4 mm" }.',
  *check(context) {
    const { tree, length, job, bedTop, toolpath } = context;
    if (bedTop === undefined) return;
    const allowed = job.deepestBedCut.value;
    const bed = job.bedThickness?.value;
    for (const cut of tree.cuts) {
      const depth = bedTop - cut.bottom;
      const throughBed = bed !== undefined && depth > bed + 1e-6;
      if (depth <= allowed + 1e-6 && !throughBed) continue;
      const motion = tree.passes[cut.deepestPass].bottomMotion;
      const { x, y, z, line } = toolpath.motions;
      const limit = throughBed
        ? `the bed is only ${length(bed)} thick`
        : `at most ${length(allowed)} is allowed`;
      yield {
        line: line[motion],
        message: `${context.cutName(cut.index)} goes ${length(depth)} into the bed; ${limit}.`,
        ...(throughBed ? { severity: "error" as const } : {}),
        at: [x[motion + 1], y[motion + 1], z[motion + 1]],
        values: { depth, allowed },
        related: [context.passRelated(cut.deepestPass), ...context.thicknessRelated()],
        motions: [motion, motion + 1],
        cut: cut.index,
        pass: cut.deepestPass,
      };
    }
  },
};

import type { Rule } from "../rule.ts";

export const rule: Rule = {
  id: "skin-cut-away",
  severity: "error",
  title: "Cuts away what should stay",
  what: "A cut that is declared to stop partway goes through, or leaves less than the declared thickness.",
  why: "The floor of a tray or the skin that holds a part is gone, or too thin to do its work.",
  example:
    "(cutwright: thickness 18 mm; tool 1 flat 6 mm)\nG21 G90\nT1 M6\nS18000 M3\nG0 Z5\nG0 X0 Y0\n(cutwright: leaves 2 mm)\nG1 Z-17 F300\nG1 X100 F1200\nG0 Z5\nM30",
  remedy: "Raise the cut, or correct the declaration.",
  *check(context) {
    const { tree, underside, length, toolpath } = context;
    if (underside === undefined) return;
    for (const cut of tree.cuts) {
      const { intent } = cut;
      if (intent.goes !== "partway" || intent.known !== "declared") continue;
      const left = cut.bottom - underside;
      const meant = intent.leaves ?? 0;
      if (intent.leaves === undefined ? left > 1e-6 : left >= meant - 1e-6) continue;
      const motion = tree.passes[cut.deepestPass].bottomMotion;
      const { x, y, line } = toolpath.motions;
      const result =
        left > 1e-6
          ? `leaves only ${length(left)}`
          : left <= -5e-3
            ? `goes ${length(-left)} below the underside`
            : "ends at the underside";
      const wish = intent.leaves === undefined ? "to stop partway" : `to leave ${length(meant)}`;
      yield {
        line: line[motion],
        message: `${context.cutName(cut.index)} is meant ${wish} (${intent.because}), but ${result}.`,
        at: [x[motion + 1], y[motion + 1], cut.bottom],
        values: { left, meant },
        related: [context.passRelated(cut.deepestPass), ...context.thicknessRelated()],
        motions: [motion, motion + 1],
        cut: cut.index,
        pass: cut.deepestPass,
      };
    }
  },
};

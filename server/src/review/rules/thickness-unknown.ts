import type { Rule } from "../rule.ts";

export const rule: Rule = {
  id: "thickness-unknown",
  severity: "warning",
  title: "Thickness not declared",
  what: "Nothing says how thick the board is, so nobody can tell whether the cuts go through. Everything else is reviewed.",
  why: "Through-cuts that fall short are the commonest reason to set a job up twice.",
  example: "G21 G90\nT1 M6\nS18000 M3\nG0 Z5\nG0 X0 Y0\nG1 Z-3 F300\nG1 X100 F1200\nG0 Z5\nM30",
  remedy:
    "Measure the board at several points and declare the thickest: (cutwright: thickness 18.3 mm) at the top of the program, or a job file beside it. Both are offered as a quick fix.",
  *check(context) {
    if (context.job.stock.thickness || context.toolpath.motions.count === 0) return;
    yield {
      line: 0,
      message:
        "The thickness of the board is not declared, so whether the cuts go through is not known. Declare it here or in a job file (quick fix).",
      fixes: [{ kind: "declare-thickness" }, { kind: "create-job" }],
    };
  },
};

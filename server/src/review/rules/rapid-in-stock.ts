import type { Rule } from "../rule.ts";

export const rule: Rule = {
  id: "rapid-in-stock",
  severity: "error",
  title: "Rapid through material",
  what: "A rapid (G0) passes through material that is still there when it runs.",
  why: "The cutter is dragged through wood at full travel speed: it breaks, or the board is torn loose. Stay clear of the machine and keep the stop within reach whenever a program is new; the machine's manual and your local rules come first.",
  example:
    "(cutwright: thickness 18 mm)\n(cutwright: size 200 x 100 mm; corner -20 mm, -20 mm)\nG21 G90\nT1 M6\nS18000 M3\nG0 Z5\nG0 X0 Y0\nG1 Z-3 F300\nG0 X100\nG0 Z5\nM30",
  remedy: "Raise the cutter above the stock before the rapid, or make the move a feed (G1).",
  *check(context) {
    const { length, toolpath } = context;
    const { line } = toolpath.motions;
    for (const hit of context.rapidHits) {
      yield {
        line: line[hit.motion],
        message: `This rapid runs through material: up to ${length(hit.depth)} deep at X${length(hit.at[0])} Y${length(hit.at[1])}. Raise the cutter first, or feed.`,
        at: hit.at,
        values: { depth: hit.depth },
        related: context.thicknessRelated(),
        motions: [hit.motion, hit.motion + 1],
      };
    }
  },
};

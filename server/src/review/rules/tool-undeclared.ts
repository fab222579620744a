import type { Rule } from "../rule.ts";

export const rule: Rule = {
  id: "tool-undeclared",
  severity: "warning",
  title: "Cutter not declared",
  what: "The program cuts with a tool whose shape and diameter are declared nowhere. A 6 mm flat cutter is assumed, so all widths, and everything that depends on them, are a guess.",
  why: "Whether a rapid is free, a pass useless or a part loose depends on how wide the cutter is. Depths do not.",
  example: "G21 G90\nT7 M6\nS18000 M3\nG0 Z5\nG0 X0 Y0\nG1 Z-3 F300\nG1 X100 F1200\nG0 Z5\nM30",
  remedy: 'Declare it in the job file ("tools") or in a comment: (cutwright: tool 7 flat 3.175 mm).',
  *check(context) {
    const { tree, toolpath } = context;
    const told = new Set<number>();
    for (const cut of tree.cuts) {
      if (told.has(cut.tool)) continue;
      told.add(cut.tool);
      const { tool, assumed } = context.toolOf(cut.tool);
      if (!assumed) continue;
      const change = toolpath.events.find((event) => event.kind === "tool" && event.tool === cut.tool);
      const line = change?.line ?? tree.passes[cut.passes[0]].firstLine;
      const what =
        cut.tool === 0
          ? "The program has put no tool in the spindle here (T selects one, M6 puts it in)"
          : `Tool ${cut.tool} is not declared`;
      yield {
        line,
        message: `${what}: a flat cutter of ${context.length(tool.diameter)} is assumed. Declare it, for example (cutwright: tool ${cut.tool || 1} flat ${toolpath.units === "in" ? "1/4 in" : "6 mm"}).`,
        values: { assumedDiameter: tool.diameter },
        cut: cut.index,
      };
    }
  },
};

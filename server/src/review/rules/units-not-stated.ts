import type { Rule } from "../rule.ts";

export const rule: Rule = {
  id: "units-not-stated",
  severity: "warning",
  title: "Units not stated",
  what: "The program moves before it says G20 (inch) or G21 (millimetre).",
  why: "The controller then uses whatever the last program left: the same numbers are 25.4 times as large or as small.",
  example: "G90\nT1 M6\nS18000 M3\nG0 Z5\nG0 X0 Y0\nG1 Z-3 F300\nG1 X100 F1200\nG0 Z5\nM30",
  remedy: "Put G21 or G20 at the top of the program.",
  *check(context) {
    const { motions, unitsLine } = context.toolpath;
    if (motions.count === 0) return;
    const line = motions.line[0];
    if (unitsLine >= 0 && unitsLine <= line) return;
    const taken = context.job.machine.startUnits === "in" ? "inch (G20)" : "mm (G21)";
    const code = context.job.machine.startUnits === "in" ? "G20" : "G21";
    yield {
      line,
      message: `The program moves here without having said its units; ${taken} is taken. Put ${code} at the top.`,
      motions: [0, 1],
      fixes: [
        {
          kind: "insert-line",
          title: `Insert ${code} ahead of the first move`,
          beforeLine: line,
          text: code,
        },
      ],
    };
  },
};

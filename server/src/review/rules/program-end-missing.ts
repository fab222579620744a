import type { Rule } from "../rule.ts";

export const rule: Rule = {
  id: "program-end-missing",
  severity: "warning",
  title: "Program has no end",
  what: "The program moves the machine but has no M2, M30 or closing %.",
  why: "The spindle may run on after the last line, and some controllers wait for more. A missing end also hints at a file that was cut off while it was copied.",
  example: "G21 G90\nT1 M6\nS18000 M3\nG0 Z5\nG0 X0 Y0\nG1 Z-3 F300\nG1 X100 F1200\nG0 Z5",
  remedy: "End the program with M5 and M30; if the file was cut off, make it again.",
  *check(context) {
    const { motions, endLine } = context.toolpath;
    const { program } = context;
    if (motions.count === 0 || endLine >= 0) return;
    let last = program.lineCount - 1;
    while (last > 0 && program.firstWord[last] === program.firstWord[last + 1]) last--;
    yield {
      line: last,
      message:
        "The program stops here without M2 or M30. Add M30, and M5 ahead of it if the spindle still runs.",
      fixes: [
        { kind: "insert-line", title: "Add M5 and M30 at the end", beforeLine: last + 1, text: "M5\nM30" },
      ],
    };
  },
};

import type { CutIntent } from "../../job/facts.ts";
import { unmatchedIntents } from "../../cuts/declared.ts";
import type { Rule } from "../rule.ts";

export const rule: Rule = {
  id: "declaration-unused",
  severity: "warning",
  title: "Declaration fits no cut",
  what: "A statement on what a cut is meant to do (through, partway) names an operation, a line or a place where this program has no cut.",
  why: "What was declared does not hold; most often a name is misspelt, or lines have moved since.",
  example:
    "(cutwright: thickness 18 mm; tool 1 flat 6 mm)\nG21 G90\nT1 M6\nS18000 M3\nG0 Z5\nG0 X0 Y0\nG1 Z-9 F300\nG1 X100 F1200\nG0 Z5\n(cutwright: partway)\nG0 X0 Y0\nM30",
  remedy: "Correct the name, the line or the place, or remove the statement.",
  *check(context) {
    for (const intent of unmatchedIntents(context.job, context.tree, context.toolpath)) {
      const inProgram = intent.source.kind === "comment";
      const line = (intent.source.line ?? 1) - 1;
      const names = [...new Set(context.tree.operations.map(({ name }) => `"${name}"`))].slice(0, 8);
      const hint = intent.where.kind === "operation" ? ` Its operations are ${names.join(", ")}.` : "";
      yield {
        line: inProgram ? line : 0,
        message: `No cut of this program is meant by ${whereText(intent.where)} (${intent.goes}${inProgram ? "" : ", declared in the job file"}).${hint}`,
      };
    }
  },
};

function whereText(where: CutIntent["where"]): string {
  switch (where.kind) {
    case "operation":
      return `the operation "${where.name}"`;
    case "line":
      return `line ${where.line}`;
    case "place":
      return "the place given";
  }
}

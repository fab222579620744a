import { draftsOfProblems, type Rule } from "../rule.ts";

export const rule: Rule = {
  id: "line-not-reviewed",
  severity: "error",
  title: "Not understood",
  what: "A word or block that is not followed here. Everything after it is marked as in doubt: it may be wrong.",
  why: "A review that kept quiet about a line it did not read would be worse than none.",
  example: "G21 G90\nG1 X[10 + 5] F100\nM30",
  remedy: "Check this place by hand, or write it another way. A clean review means that all of it was read.",
  *check(context) {
    const drafts = draftsOfProblems(context, "line-not-reviewed", ({ reason }, problem) => {
      const words = context.program.text
        .slice(problem.start, Math.min(problem.end, problem.start + 60))
        .trim();
      return `Not reviewed: ${words ? `"${words}": ` : ""}${reason}.`;
    });
    for (const draft of drafts) {
      // What never runs puts nothing in doubt.
      const neverRuns = context.toolpath.endLine >= 0 && draft.line > context.toolpath.endLine;
      yield neverRuns ? { ...draft, severity: "info" } : draft;
    }
  },
};

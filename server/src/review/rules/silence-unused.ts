import type { Rule } from "../rule.ts";

export const rule: Rule = {
  id: "silence-unused",
  severity: "info",
  title: "Silence without a finding",
  what: "A comment silences a rule, but that rule finds nothing at its place (any more).",
  why: "A left-over silence may one day hide a finding that is new.",
  example: "(cutwright: silence rapid-in-stock because cleared by hand)\nG21 G90\nG0 Z5\nM30",
  remedy: "Remove the comment, or move it onto the line ahead of the finding.",
  *check(context) {
    for (const silence of context.unusedSilences()) {
      yield {
        line: silence.line,
        message: context.ruleIds.has(silence.rule)
          ? `Nothing to silence: ${silence.rule} finds nothing on line ${silence.appliesTo + 1}. Remove this comment or move it ahead of the finding.`
          : `There is no rule "${silence.rule}". Correct its name or remove this comment.`,
      };
    }
  },
};

import type { Rule } from "../rule.ts";

export const rule: Rule = {
  id: "nothing-to-cut",
  severity: "info",
  title: "Program moves nothing",
  what: "The file holds no motion that is followed: it is empty, all comment, or not a program.",
  why: "A review of nothing must not look like a clean one.",
  example: "(nothing but a remark)",
  remedy: "Check that the right file is open and that it was written completely.",
  *check(context) {
    if (context.toolpath.motions.count > 0) return;
    yield { line: 0, message: "This program moves nothing. Check that it is the right file and complete." };
  },
};

import { draftsOfProblems, type Rule } from "../rule.ts";

export const rule: Rule = {
  id: "comment-nested",
  severity: "warning",
  title: "Bracket inside a comment",
  what: "A comment holds another opening bracket. It ends at the first ) all the same (NISTIR 6556 section 3.3.4).",
  why: "The standard calls it an error: some controllers stop, others read the rest of the line as code.",
  example: "G21 G90\n(outline (outside))\nM30",
  remedy: "Write the inner remark without round brackets.",
  check: (context) =>
    draftsOfProblems(
      context,
      "comment-nested",
      () => "A comment cannot hold another (. It ends at the first ). Take the inner bracket out.",
    ),
};

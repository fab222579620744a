import { draftsOfProblems, type Rule } from "../rule.ts";

export const rule: Rule = {
  id: "comment-unclosed",
  severity: "error",
  title: "Comment not closed",
  what: "A comment begins with ( but its line ends without ).",
  why: "Everything up to the line end is swallowed; controllers stop with an error.",
  example: "G21 G90\nG0 Z5 (up\nM30",
  remedy: "Close the comment with ) on the same line.",
  check: (context) =>
    draftsOfProblems(
      context,
      "comment-unclosed",
      () => "This comment is not closed on its line: the rest of the line is taken as comment. Add ).",
    ),
};

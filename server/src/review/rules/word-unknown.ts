import { draftsOfProblems, type Rule } from "../rule.ts";

export const rule: Rule = {
  id: "word-unknown",
  severity: "error",
  title: "Unknown word",
  what: "A letter that begins no word of the language (NISTIR 6556 table 3), or a character that belongs to nothing.",
  why: "Nobody can tell what the machine would do. The block is not followed, and what comes after it is in doubt.",
  example: "G21 G90\nG1 X10 E5 F100\nM30",
  remedy: "Remove or correct it. Remarks belong into ( ) or after ;.",
  check: (context) =>
    draftsOfProblems(
      context,
      "word-unknown",
      ({ word }) => `"${word}" is no word of the language. Remove it, or put it into a comment.`,
    ),
};

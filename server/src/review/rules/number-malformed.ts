import { draftsOfProblems, type Rule } from "../rule.ts";

export const rule: Rule = {
  id: "number-malformed",
  severity: "error",
  title: "Not a number",
  what: "What follows a word's letter is not a number: a sign, digits and at most one decimal point, without an exponent (NISTIR 6556 section 3.3.2.1). Numbers beyond 1 000 000 000 are refused too.",
  why: "Controllers stop there. The block is not followed, and what comes after it is in doubt.",
  example: "G21 G90\nG0 X1.2.3\nM30",
  remedy: "Correct the number. Exponents (1e3) must be written out.",
  check: (context) =>
    draftsOfProblems(context, "number-malformed", ({ word, reason }) =>
      reason === "size"
        ? `${word}: no machine has such a place. Correct the number.`
        : `"${word}" has no proper number: one sign, digits and at most one decimal point are allowed.`,
    ),
};

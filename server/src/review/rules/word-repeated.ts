import { draftsOfProblems, type Rule } from "../rule.ts";

export const rule: Rule = {
  id: "word-repeated",
  severity: "error",
  title: "Word given twice",
  what: "A block holds the same letter twice; only G and M words may come several times (NISTIR 6556 section 3.3.3).",
  why: "Controllers stop, or take either of them. The block is not followed, and what comes after it is in doubt.",
  example: "G21 G90\nG1 X10 X20 F100\nM30",
  remedy: "Keep one of them. Often two lines have run together.",
  check: (context) =>
    draftsOfProblems(
      context,
      "word-repeated",
      ({ letter }) => `${letter} is given twice in this block. Keep one; perhaps two lines ran together.`,
    ),
};

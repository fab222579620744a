import { draftsOfProblems, type Rule } from "../rule.ts";

export const rule: Rule = {
  id: "modal-conflict",
  severity: "error",
  title: "Two codes that exclude each other",
  what: "A block holds two words of one modal group (NISTIR 6556 section 3.4), or two codes that both want the axis words. The later word is taken; what follows is in doubt.",
  why: "Controllers stop with an error, or differ in which word they obey.",
  example: "G21 G90\nT1 M6\nS18000 M3\nG0 G1 X10 F100\nM30",
  remedy: "Keep one of them, or put them in separate blocks.",
  check: (context) =>
    draftsOfProblems(
      context,
      "modal-conflict",
      ({ word, group }) =>
        `${word} stands in a block with another ${group} code. Keep one of them, or put them on separate lines.`,
    ),
};

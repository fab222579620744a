import { draftsOfProblems, type Rule } from "../rule.ts";

export const rule: Rule = {
  id: "machine-place-unknown",
  severity: "info",
  title: "Place known to the machine only",
  what: "The program goes to a place in machine coordinates (G28, G30, G53) or to another work zero (G55 to G59.3) whose distance from the work zero is not declared. Moves to and from there are drawn but not judged; after a change of work zero everything is in doubt.",
  why: "Whether the way there is free depends on where the board lies in the machine.",
  example: "G21 G90\nT1 M6\nS18000 M3\nG0 Z5\nG0 X0 Y0\nG1 Z-3 F300\nG28 G91 Z0\nM30",
  remedy:
    "Declare the work zero's place, and the other work zeros, in the machine profile (setting cutwright.machine).",
  *check(context) {
    for (const draft of draftsOfProblems(context, "machine-place-unknown", ({ word, place }) =>
      place === "work zero"
        ? `${word} changes to a work zero whose place is not declared; the first one's is taken, and everything from here on is in doubt. Declare it in the machine profile.`
        : `${word} goes to a place that only the machine knows; moves to and from it are not judged. Declare the work zero's place in the machine profile to have them checked.`,
    )) {
      yield draft.message.includes("in doubt") ? { ...draft, severity: "warning" } : draft;
    }
  },
};

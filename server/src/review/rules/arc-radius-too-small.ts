import { draftsOfProblems, type Rule } from "../rule.ts";

export const rule: Rule = {
  id: "arc-radius-too-small",
  severity: "error",
  title: "Arc radius too small",
  what: "The radius of an arc in R form is less than half the distance between its start and end point, so no such arc exists (NISTIR 6556 section 3.5.3.1). A half circle is drawn in its place.",
  why: "Controllers stop with an error there.",
  example: "G21 G90\nT1 M6\nS18000 M3\nG0 X0 Y0 Z5\nG1 Z-3 F300\nG2 X10 Y0 R4 F1200\nG0 Z5\nM30",
  remedy: "Make R at least half the distance, or give the centre with I, J, K.",
  check: (context) =>
    draftsOfProblems(
      context,
      "arc-radius-too-small",
      ({ radius, halfChord }) =>
        `R is ${context.length(Number(radius))}, but half the way to the end point is ${context.length(Number(halfChord))}: no such arc exists. Make R larger or give the centre.`,
    ),
};

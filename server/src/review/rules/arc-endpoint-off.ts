import { draftsOfProblems, type Rule } from "../rule.ts";

export const rule: Rule = {
  id: "arc-endpoint-off",
  severity: "error",
  title: "Arc does not end on its circle",
  what: "The end point of an arc lies further from the centre, or nearer, than its start point: by more than 0.002 mm, or 0.0002 in where the program is in inches (NISTIR 6556 section 3.5.3.2).",
  why: "Controllers stop with an error there, or cut a spiral.",
  example: "G21 G90\nT1 M6\nS18000 M3\nG0 X0 Y0 Z5\nG1 Z-3 F300\nG2 X10 Y0 I4.9 J0 F1200\nG0 Z5\nM30",
  remedy: "Correct the end point or I, J, K. Often the numbers were rounded too far: write one more decimal.",
  check: (context) =>
    draftsOfProblems(context, "arc-endpoint-off", ({ startRadius, endRadius, difference }) => {
      const fine = (mm: number | string) =>
        context.toolpath.units === "in"
          ? `${(Number(mm) / 25.4).toFixed(5)} in`
          : `${Number(mm).toFixed(4)} mm`;
      return `The arc starts ${fine(startRadius)} from its centre and ends ${fine(endRadius)} from it: ${fine(difference)} off. Correct the end point or the centre words.`;
    }),
};

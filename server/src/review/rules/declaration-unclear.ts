import { draftsOfJobProblems, type Rule } from "../rule.ts";

export const rule: Rule = {
  id: "declaration-unclear",
  severity: "warning",
  title: "Declaration not understood",
  what: 'A comment that begins with "cutwright:" holds something that is not a known fact.',
  why: "What it was meant to declare does not count.",
  example: "(cutwright: thicknes 18 mm)",
  remedy: "Write it as the message says, for example (cutwright: thickness 18.3 mm).",
  check: (context) => draftsOfJobProblems(context, "declaration-unclear"),
};

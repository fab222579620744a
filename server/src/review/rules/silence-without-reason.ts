import { draftsOfJobProblems, type Rule } from "../rule.ts";

export const rule: Rule = {
  id: "silence-without-reason",
  severity: "warning",
  title: "Silence without a reason",
  what: "A comment silences a rule but does not say why. It has no effect.",
  why: "In half a year nobody knows whether it still holds.",
  example: "(cutwright: silence pass-repeated)",
  remedy: "Add the reason: (cutwright: silence pass-repeated because spring pass).",
  check: (context) => draftsOfJobProblems(context, "silence-without-reason"),
};

import { draftsOfJobProblems, type Rule } from "../rule.ts";

export const rule: Rule = {
  id: "job-unreadable",
  severity: "error",
  title: "Job file cannot be read",
  what: "The job file is not valid JSON, too large, or not UTF-8 text.",
  why: "Nothing it declares can be used, so the program is reviewed without it.",
  example: '{ "boards": {',
  remedy: "Correct the place shown. Comments and trailing commas are allowed.",
  check: (context) => draftsOfJobProblems(context, "job-unreadable"),
};

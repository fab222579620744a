import { draftsOfJobProblems, type Rule } from "../rule.ts";

export const rule: Rule = {
  id: "job-ambiguous",
  severity: "warning",
  title: "Several job files list this program",
  what: "More than one job file in the folder lists the program; the first by name is used. Also given where several boards are declared and none is chosen.",
  why: "The review may rest on the wrong board.",
  example: "two files a.job.json and b.job.json that both list holes.nc",
  remedy: "List the program in one job file only, and name the board in force.",
  check: (context) => draftsOfJobProblems(context, "job-ambiguous"),
};

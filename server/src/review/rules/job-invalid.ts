import { draftsOfJobProblems, type Rule } from "../rule.ts";

export const rule: Rule = {
  id: "job-invalid",
  severity: "warning",
  title: "Job file value not usable",
  what: "A value in the job file, or in the settings, has the wrong type, an unknown name, or no sensible size. Only that value is left out.",
  why: "The review then rests on a default that you did not choose.",
  example: '{ "boards": { "prototype": { "thickness": "thick" } } }',
  remedy: 'Write it as the message says, for example "18.3 mm" or "3/4 in".',
  *check(context) {
    yield* draftsOfJobProblems(context, "job-invalid");
    for (const id of Object.keys(context.job.severities)) {
      if (context.ruleIds.has(id)) continue;
      yield {
        line: 0,
        message: `There is no rule "${id}", so its severity in the job file or the settings has no effect.`,
      };
    }
  },
};

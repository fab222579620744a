import type { Rule } from "../review/rule.ts";

/** The documentation page of a rule, in Markdown: made from the rule's own file, so that it cannot go stale. */
export function rulePage(rule: Rule): string {
  const fence = rule.example.startsWith("{") ? "json" : "gcode";
  return `# ${rule.id}

**${rule.title}** (${rule.severity} by default)

${rule.what}

## Why it matters at the machine

${rule.why}

## Example

\`\`\`${fence}
${rule.example}
\`\`\`

## What to do

${rule.remedy}

## To silence it

One finding: put \`(cutwright: silence ${rule.id} because YOUR REASON)\` on the line ahead of it. The reason must
be given.

Everywhere: set its severity to \`"off"\` in the job file (\`"rules": { "${rule.id}": "off" }\`) or in the setting
\`cutwright.rules\`. \`"info"\`, \`"warning"\` and \`"error"\` are the other choices.
`;
}

/** The list of all rules, in Markdown. */
export function ruleIndexPage(rules: readonly Rule[]): string {
  const sorted = [...rules].sort((a, b) => (a.id < b.id ? -1 : 1));
  const rows = sorted.map((rule) => `| [${rule.id}](${rule.id}.md) | ${rule.severity} | ${rule.title} |`);
  return `# Rules

Made by \`npm run docs\` from \`server/src/review/rules/\`. Do not edit.

| rule | severity | finds |
| --- | --- | --- |
${rows.join("\n")}
`;
}

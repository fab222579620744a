import type { Finding, Severity } from "../review/finding.ts";
import { rules } from "../review/rules/index.ts";
import { severities } from "./verdict.ts";

/** Findings of one rule and severity; those that say the same word for word are one entry with many lines. */
export interface FindingGroup {
  readonly rule: string;
  readonly severity: Severity;
  readonly title: string;
  readonly remedy: string;
  readonly entries: readonly {
    readonly message: string;
    readonly file: string;
    readonly lines: readonly number[];
    readonly first: Finding;
  }[];
}

/** Groups, the most serious first, then in the order in which they first appear. */
export function groupFindings(findings: readonly Finding[]): FindingGroup[] {
  const groups: FindingGroup[] = [];
  for (const severity of severities) {
    const byRule = new Map<string, Finding[]>();
    for (const finding of findings) {
      if (finding.severity !== severity) continue;
      const list = byRule.get(finding.rule);
      if (list) list.push(finding);
      else byRule.set(finding.rule, [finding]);
    }
    for (const [id, list] of byRule) {
      const rule = rules.find((r) => r.id === id);
      groups.push({
        rule: id,
        severity,
        title: rule?.title ?? id,
        remedy: rule?.remedy ?? "",
        entries: entriesOf(list),
      });
    }
  }
  return groups;
}

function entriesOf(findings: readonly Finding[]): FindingGroup["entries"] {
  const entries = new Map<string, { message: string; file: string; lines: number[]; first: Finding }>();
  for (const finding of findings) {
    const key = `${finding.file}\n${finding.message}`;
    const entry = entries.get(key);
    if (entry) entry.lines.push(finding.line);
    else
      entries.set(key, {
        message: finding.message,
        file: finding.file,
        lines: [finding.line],
        first: finding,
      });
  }
  return [...entries.values()];
}

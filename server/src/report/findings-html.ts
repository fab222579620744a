import type { SceneFinding } from "./scene.ts";
import { escapeHtml } from "./html.ts";
import { linesText, severities } from "./verdict.ts";

const heads = { error: "Errors", warning: "Warnings", info: "Notes" } as const;

/** Findings as lists under headings; those that say the same share an entry. `tick` puts a box to tick ahead of each. */
export function findingsHtml(
  findings: readonly Pick<SceneFinding, "rule" | "severity" | "line" | "message">[],
  tick: boolean,
): string {
  if (findings.length === 0) return "<p>No findings.</p>";
  const parts: string[] = [];
  for (const severity of severities) {
    const entries = new Map<string, { message: string; rule: string; lines: number[] }>();
    for (const finding of findings) {
      if (finding.severity !== severity) continue;
      const key = `${finding.rule}\n${finding.message}`;
      const entry = entries.get(key);
      if (entry) entry.lines.push(finding.line);
      else entries.set(key, { message: finding.message, rule: finding.rule, lines: [finding.line] });
    }
    if (entries.size === 0) continue;
    const box = tick ? '<span class="box" aria-hidden="true"></span>' : "";
    parts.push(`<h3>${heads[severity]}</h3>`, `<ul class="findings ${severity}">`);
    for (const { message, rule, lines } of entries.values()) {
      parts.push(
        `<li>${box}<span><b>${linesText(lines)}:</b> ${escapeHtml(message)} <code>${escapeHtml(rule)}</code></span></li>`,
      );
    }
    parts.push("</ul>");
  }
  return parts.join("\n");
}

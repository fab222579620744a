/** Rules that are switched off, so that nobody takes their silence for a pass. */
import type { JobFacts, Source } from "../job/facts.ts";
import { sourceText } from "./facts-text.ts";
import { printable } from "./printable.ts";

export interface SwitchedOff {
  readonly rule: string;
  readonly source: Source;
}

/** Facts that also know where each rule was switched off. */
export interface LoadedFacts extends JobFacts {
  readonly switchedOff: readonly SwitchedOff[];
}

/** Rules switched off, by name; the source is undefined where the facts do not tell it. */
export function switchedOff(job: JobFacts | LoadedFacts): { rule: string; source: Source | undefined }[] {
  const known = "switchedOff" in job ? job.switchedOff : [];
  return Object.entries(job.severities)
    .filter(([, severity]) => severity === "off")
    .map(([rule]) => ({
      rule,
      // Without a job file only the settings can have done it.
      source:
        known.find((off) => off.rule === rule)?.source ??
        (job.jobFile ? undefined : { kind: "settings" as const }),
    }))
    .sort((a, b) => (a.rule < b.rule ? -1 : 1));
}

/** "Switched off: through-cut-short (seed-board.job.json), pass-repeated (settings)."; undefined where none is. */
export function switchedOffText(job: JobFacts): string | undefined {
  const rules = switchedOff(job).map(
    ({ rule, source }) => `${printable(rule)} (${source ? sourceText(source) : "job file or settings"})`,
  );
  return rules.length > 0 ? `Switched off: ${rules.join(", ")}.` : undefined;
}

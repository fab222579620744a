/** Findings to diagnostics. */
import { DiagnosticSeverity, type Diagnostic, type Location, type Range } from "vscode-languageserver";
import type { Finding, Related, Severity } from "../review/finding.ts";
import type { Review } from "../review/review.ts";
import { readProgram } from "../language/read.ts";
import type { Program } from "../language/program.ts";
import { linesRange, rangeOf } from "./ranges.ts";

/** Shown as the origin of every finding. */
export const diagnosticSource = "Cutwright";

const severityOf: Readonly<Record<Severity, DiagnosticSeverity>> = {
  error: DiagnosticSeverity.Error,
  warning: DiagnosticSeverity.Warning,
  info: DiagnosticSeverity.Information,
};

/** How findings find their way to documents. */
export interface Places {
  /** URI of the reviewed program, as the editor named it. */
  readonly uri: string;
  /** URI of another file that a finding names; undefined: that name is no file (the settings). */
  readonly uriOf: (file: string) => string | undefined;
  /** Text of another file, undefined when it cannot be read. */
  readonly textOf: (file: string) => string | undefined;
  /** Link to a rule's page, with `{rule}` where its id goes. */
  readonly rulePages: string | undefined;
}

/** Diagnostics of a review by document URI. The program's own entry is always there, maybe empty. */
export function diagnosticsOf(review: Review, places: Places): Map<string, Diagnostic[]> {
  const locate = locator(review, places);
  const byUri = new Map<string, Diagnostic[]>([[places.uri, []]]);
  for (const finding of review.findings) {
    const { uri, range } = locate(finding);
    const list = byUri.get(uri) ?? [];
    list.push(diagnosticOf(finding, range, locate, places.rulePages));
    byUri.set(uri, list);
  }
  return byUri;
}

/** Where findings and related facts lie. */
export function locator(review: Review, places: Places): (at: Finding | Related) => Location {
  const programs = new Map<string, Program | undefined>([[review.file, review.program]]);
  return ({ file, line, start, end }) => {
    const uri = file === review.file ? places.uri : places.uriOf(file);
    // What no file holds (the settings) is shown where it takes effect: at the top of the program.
    if (uri === undefined) return { uri: places.uri, range: linesRange(review.program, 0, 0) };
    if (!programs.has(file)) {
      const text = places.textOf(file);
      // Any text has lines and offsets, whatever its language.
      programs.set(file, text === undefined ? undefined : readProgram(text));
    }
    const program = programs.get(file);
    if (!program) {
      const at = { line: Math.max(0, line - 1), character: 0 };
      return { uri, range: { start: at, end: at } };
    }
    const range = end > start ? rangeOf(program, start, end) : linesRange(program, line - 1, line - 1);
    return { uri, range };
  };
}

function diagnosticOf(
  finding: Finding,
  range: Range,
  locate: (at: Related) => Location,
  rulePages: string | undefined,
): Diagnostic {
  const { rule, severity, message, related } = finding;
  return {
    range,
    severity: severityOf[severity],
    code: rule,
    ...(rulePages ? { codeDescription: { href: rulePages.replace("{rule}", rule) } } : {}),
    source: diagnosticSource,
    message,
    ...(related?.length
      ? {
          relatedInformation: related.map((fact) => ({ location: locate(fact), message: fact.message })),
        }
      : {}),
  };
}

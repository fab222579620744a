/** Sends diagnostics and the status after each review. */
import { DiagnosticSeverity, type Connection, type Diagnostic } from "vscode-languageserver";
import { isAbsolute } from "node:path";
import { lengthText } from "../review/length-text.ts";
import type { Severity } from "../review/finding.ts";
import { readInput } from "../report/read-input.ts";
import { diagnosticSource, diagnosticsOf, type Places } from "./diagnostics.ts";
import type { Documents } from "./documents.ts";
import { statusNotification, type Status } from "./protocol.ts";
import type { Reviewed } from "./reviews.ts";

export class Publisher {
  /** Diagnostics in other files (job files), by the program whose review found them. */
  private readonly elsewhere = new Map<string, ReadonlyMap<string, Diagnostic[]>>();

  constructor(
    private readonly connection: Connection,
    private readonly documents: Documents,
    private readonly rulePages: () => string | undefined,
  ) {}

  /** How places of a program's review are told to the editor. */
  placesOf(uri: string): Places {
    return {
      uri,
      uriOf: (file) => (isAbsolute(file) ? this.documents.uriFor(file) : undefined),
      textOf: (file) => this.documents.openText(file) ?? readOrNothing(file),
      rulePages: this.rulePages(),
    };
  }

  publish = (reviewed: Reviewed): void => {
    const { uri, version, review, failure } = reviewed;
    const byUri = review
      ? diagnosticsOf(review, this.placesOf(uri))
      : new Map<string, Diagnostic[]>([[uri, [failureDiagnostic(failure ?? "")]]]);
    const own = byUri.get(uri) ?? [];
    byUri.delete(uri);
    void this.connection.sendDiagnostics({ uri, version, diagnostics: own });
    this.replaceElsewhere(uri, byUri);
    void this.connection.sendNotification(statusNotification, statusOf(reviewed));
  };

  /** The program was closed: its findings go, those that other programs share stay. */
  forget(uri: string): void {
    void this.connection.sendDiagnostics({ uri, diagnostics: [] });
    this.replaceElsewhere(uri, new Map());
  }

  private replaceElsewhere(uri: string, now: ReadonlyMap<string, Diagnostic[]>): void {
    const touched = new Set([...(this.elsewhere.get(uri)?.keys() ?? []), ...now.keys()]);
    if (now.size > 0) this.elsewhere.set(uri, now);
    else this.elsewhere.delete(uri);
    for (const other of touched) {
      // Several programs of a job find the same problem in its file: it is one problem.
      const unique = new Map<string, Diagnostic>();
      for (const byUri of this.elsewhere.values()) {
        for (const diagnostic of byUri.get(other) ?? []) unique.set(JSON.stringify(diagnostic), diagnostic);
      }
      void this.connection.sendDiagnostics({ uri: other, diagnostics: [...unique.values()] });
    }
  }
}

function failureDiagnostic(message: string): Diagnostic {
  const start = { line: 0, character: 0 };
  return {
    range: { start, end: start },
    severity: DiagnosticSeverity.Error,
    source: diagnosticSource,
    code: "not-reviewed",
    message,
  };
}

/** What the status bar shows. */
export function statusOf({ uri, version, review }: Reviewed): Status {
  const counts: Record<Severity, number> = { error: 0, warning: 0, info: 0 };
  for (const finding of review?.findings ?? []) counts[finding.severity]++;
  const thickness = review?.job.stock.thickness?.value;
  return {
    uri,
    version,
    boards: review?.job.boards ?? [],
    board: review?.job.stock.name ?? null,
    thickness: review && thickness !== undefined ? lengthText(thickness, review.toolpath.units) : null,
    worst: !review || counts.error ? "error" : counts.warning ? "warning" : counts.info ? "info" : null,
    counts,
    allRead: review?.summary.allRead ?? false,
    notJudged: review?.summary.notJudged ?? [],
    jobFile: review?.job.jobFile ?? null,
  };
}

function readOrNothing(file: string): string | undefined {
  try {
    return readInput(file);
  } catch {
    return undefined;
  }
}

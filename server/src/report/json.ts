/** The review as one JSON object for other programs. Lengths in mm, areas mm^2, volumes mm^3, times s. */
import { toolFor } from "../job/tool-for.ts";
import type { Finding } from "../review/finding.ts";
import type { Review } from "../review/review.ts";
import { cutResult } from "./cut-rows.ts";
import type { UnreadInput } from "./input-error.ts";
import { jsonText } from "./json-text.ts";
import { jobFactsJson } from "./job-facts-json.ts";

/**
 * `{version, findings, reviews, unread}`: `findings` holds those of all files in order (the keys rule,
 * severity, file, line, endLine, message, at and values are the fixed contract), `reviews` the rest.
 */
export function reviewJson(reviews: readonly Review[], unread: readonly UnreadInput[] = []): string {
  const whole = {
    version: 1,
    findings: reviews.flatMap((review) => review.findings.map(findingJson)),
    reviews: reviews.map(reviewObject),
    unread: unread.map(({ file, message }) => ({ file, message })),
  };
  return jsonText(whole);
}

function findingJson(finding: Finding): object {
  const { rule, severity, file, line, endLine, message, at, values, related, inDoubt, motions, cut, pass } =
    finding;
  return {
    rule,
    severity,
    file,
    line,
    endLine,
    message,
    ...(at ? { at } : {}),
    ...(values ? { values } : {}),
    ...(inDoubt ? { inDoubt } : {}),
    ...(cut === undefined ? {} : { cut }),
    ...(pass === undefined ? {} : { pass }),
    ...(motions ? { motions } : {}),
    ...(related ? { related: related.map((r) => ({ file: r.file, line: r.line, message: r.message })) } : {}),
  };
}

function reviewObject(review: Review): object {
  const { file, summary, toolpath, tree, job } = review;
  return {
    file,
    units: toolpath.units,
    summary,
    job: jobFactsJson(job),
    operations: tree.operations.map((operation) => ({
      index: operation.index,
      name: operation.name,
      named: operation.named,
      line: operation.firstLine + 1,
      endLine: operation.lastLine + 1,
      tool: { ...toolFor(job, operation.tool).tool, assumed: toolFor(job, operation.tool).assumed },
      cuts: operation.cuts,
    })),
    cuts: tree.cuts.map((cut) => {
      const result = cutResult(review, cut.index);
      return {
        index: cut.index,
        kind: cut.kind,
        operation: cut.operation,
        bottom: cut.bottom,
        extent: cut.extent,
        intent: cut.intent,
        result: result.state,
        left: result.left ?? null,
        ...(result.inDoubt ? { inDoubt: true } : {}),
        passes: cut.passes.map((p) => ({
          index: p,
          line: tree.passes[p].firstLine + 1,
          endLine: tree.passes[p].lastLine + 1,
          bottom: tree.passes[p].bottom,
          length: tree.passes[p].length,
          seconds: tree.passes[p].seconds,
          tabs: tree.passes[p].tabs.length,
        })),
      };
    }),
    findings: review.findings.map(findingJson),
    silenced: review.silenced.map(({ finding, silence }) => ({
      ...findingJson(finding),
      silencedAt: silence.line + 1,
      reason: silence.reason,
    })),
  };
}

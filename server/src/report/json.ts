/** The review as one JSON object for other programs. Lengths in mm, areas mm^2, volumes mm^3, times s. */
import { toolFor } from "../job/tool-for.ts";
import type { Finding, Related } from "../review/finding.ts";
import type { Review } from "../review/review.ts";
import { cutResult } from "./cut-rows.ts";
import type { UnreadInput } from "./input-error.ts";
import { jsonText } from "./json-text.ts";
import { jobFactsJson } from "./job-facts-json.ts";
import { TextPlaces } from "./text-places.ts";

/**
 * `{version, findings, reviews, unread}`: `findings` holds those of all files in order (the keys rule,
 * severity, file, line, endLine, message, at and values are the fixed contract), `reviews` the rest.
 * `column` and `endColumn` are those of the exact words, one-based in UTF-16 units: on `line`, and past the
 * last character on the line on which the words end. `textOf` gives the text of another file that findings
 * speak of; without it they have no columns there.
 */
export function reviewJson(
  reviews: readonly Review[],
  unread: readonly UnreadInput[] = [],
  textOf?: (file: string) => string | undefined,
): string {
  const places = new TextPlaces(textOf);
  const whole = {
    version: 1,
    findings: reviews.flatMap((review) =>
      review.findings.map((finding) => findingJson(review, finding, places)),
    ),
    reviews: reviews.map((review) => reviewObject(review, places)),
    unread: unread.map(({ file, message }) => ({ file, message })),
  };
  return jsonText(whole);
}

function findingJson(review: Review, finding: Finding, places: TextPlaces): object {
  const { rule, severity, file, line, endLine, message, at, values, related, inDoubt, motions, cut, pass } =
    finding;
  return {
    rule,
    severity,
    file,
    line,
    endLine,
    ...columns(review, finding, places),
    message,
    ...(at ? { at } : {}),
    ...(values ? { values } : {}),
    ...(inDoubt ? { inDoubt } : {}),
    ...(cut === undefined ? {} : { cut }),
    ...(pass === undefined ? {} : { pass }),
    ...(motions ? { motions } : {}),
    ...(related
      ? {
          related: related.map((r) => ({
            file: r.file,
            line: r.line,
            ...columns(review, r, places),
            message: r.message,
          })),
        }
      : {}),
  };
}

/** Nothing where the words are not known, or do not begin on the line that is named. */
function columns(review: Review, place: Finding | Related, places: TextPlaces): object {
  const span = places.span(review, place);
  if (!span || span.start.line !== place.line) return {};
  return { column: span.start.column, endColumn: span.end.column };
}

function reviewObject(review: Review, places: TextPlaces): object {
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
    findings: review.findings.map((finding) => findingJson(review, finding, places)),
    silenced: review.silenced.map(({ finding, silence }) => ({
      ...findingJson(review, finding, places),
      silencedAt: silence.line + 1,
      reason: silence.reason,
    })),
  };
}

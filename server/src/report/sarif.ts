/** The review as a SARIF 2.1.0 log (OASIS Standard, 27 March 2020). */
import { isAbsolute, relative, resolve, sep } from "node:path";
import { pathToFileURL } from "node:url";
import type { Finding, Related, Severity } from "../review/finding.ts";
import type { Review } from "../review/review.ts";
import { rules } from "../review/rules/index.ts";
import type { UnreadInput } from "./input-error.ts";
import { jsonText } from "./json-text.ts";
import { TextPlaces } from "./text-places.ts";

export interface SarifOptions {
  /** Version of Cutwright. */
  readonly version: string;
  /** Folder that paths are given from and that artifact URIs are relative to; default the working folder. */
  readonly base?: string;
  readonly unread?: readonly UnreadInput[];
  /** Text of another file that findings speak of (the job file), for their columns. */
  readonly textOf?: (file: string) => string | undefined;
}

const levels = { error: "error", warning: "warning", info: "note" } as const satisfies Record<
  Severity,
  string
>;

/** One run with all reviews. Columns count UTF-16 code units from 1; lengths in `properties.values` are mm. */
export function reviewSarif(reviews: readonly Review[], options: SarifOptions): string {
  return jsonText(new Log(reviews, options).write());
}

class Log {
  private readonly base: string;
  private readonly places: TextPlaces;

  constructor(
    private readonly reviews: readonly Review[],
    private readonly options: SarifOptions,
  ) {
    this.places = new TextPlaces(options.textOf);
    this.base = resolve(options.base ?? ".");
  }

  write(): object {
    const { reviews, options } = this;
    const unread = options.unread ?? [];
    const files = [...new Set(reviews.map((review) => review.file))];
    return {
      $schema: "https://json.schemastore.org/sarif-2.1.0.json",
      version: "2.1.0",
      runs: [
        {
          tool: {
            driver: {
              name: "Cutwright",
              semanticVersion: options.version,
              rules: rules.map((rule) => ({
                id: rule.id,
                shortDescription: { text: rule.title },
                fullDescription: { text: rule.what },
                help: { text: `${rule.what} ${rule.why} ${rule.remedy}` },
                defaultConfiguration: { level: levels[rule.severity] },
              })),
            },
          },
          columnKind: "utf16CodeUnits",
          artifacts: files.map((file) => ({ location: { uri: this.uri(file) }, sourceLanguage: "g-code" })),
          invocations: [
            {
              executionSuccessful: unread.length === 0,
              toolExecutionNotifications: [
                ...unread.map((input) => ({
                  level: "error",
                  message: { text: input.message },
                  locations: [{ physicalLocation: { artifactLocation: { uri: this.uri(input.file) } } }],
                })),
                ...reviews.flatMap((review) => this.notJudged(review)),
              ],
            },
          ],
          results: reviews.flatMap((review) => [
            ...review.findings.map((finding) => this.result(review, finding)),
            ...review.silenced.map(({ finding, silence }) => ({
              ...this.result(review, finding),
              suppressions: [{ kind: "inSource", status: "accepted", justification: silence.reason }],
            })),
          ]),
        },
      ],
    };
  }

  private notJudged(review: Review): object[] {
    return review.summary.notJudged.map((note) => ({
      level: review.summary.allRead ? "note" : "warning",
      message: { text: note },
      locations: [{ physicalLocation: { artifactLocation: { uri: this.uri(review.file) } } }],
    }));
  }

  private result(review: Review, finding: Finding): object {
    const properties = {
      ...(finding.at ? { at: finding.at } : {}),
      ...(finding.values ? { values: finding.values } : {}),
      ...(finding.inDoubt ? { inDoubt: true } : {}),
    };
    const ruleIndex = rules.findIndex((rule) => rule.id === finding.rule);
    return {
      ruleId: finding.rule,
      ...(ruleIndex >= 0 ? { ruleIndex } : {}),
      level: levels[finding.severity],
      message: { text: finding.message },
      locations: [this.location(review, finding)],
      ...(finding.related?.length
        ? {
            relatedLocations: finding.related.map((related, index) => ({
              id: index,
              ...this.location(review, related),
              message: { text: related.message },
            })),
          }
        : {}),
      ...(Object.keys(properties).length > 0 ? { properties } : {}),
    };
  }

  private location(review: Review, place: Finding | Related): object {
    return {
      physicalLocation: {
        artifactLocation: { uri: this.uri(place.file) },
        region: this.region(review, place),
      },
    };
  }

  /** Lines and columns of the words; only the line where the file's text is not at hand. */
  private region(review: Review, place: Finding | Related): object {
    const span = place.end > place.start ? this.places.span(review, place) : undefined;
    if (!span) return { startLine: place.line };
    const { start, end } = span;
    return {
      startLine: start.line,
      startColumn: start.column,
      endLine: end.line,
      endColumn: end.column,
    };
  }

  /** A path as a URI: relative to the base with each part percent-encoded, absolute where it lies outside. */
  private uri(file: string): string {
    const path = relative(this.base, resolve(this.base, file));
    if (path === "" || isAbsolute(path) || path.split(sep)[0] === "..") {
      return pathToFileURL(resolve(this.base, file)).href;
    }
    return path.split(sep).map(encodeURIComponent).join("/");
  }
}

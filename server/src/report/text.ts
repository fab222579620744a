/** The review as text for a terminal or a log. */
import { lengthText } from "../review/length-text.ts";
import type { Review } from "../review/review.ts";
import { cutRows } from "./cut-rows.ts";
import { allowanceRows, baseName, boardName, boardText, tapeText, aboutText, counted } from "./facts-text.ts";
import { groupFindings, type FindingGroup } from "./finding-groups.ts";
import { printable } from "./printable.ts";
import { switchedOffText } from "./switched-off.ts";
import { linesText, verdictLines, writtenLines } from "./verdict.ts";

export interface TextOptions {
  /** ANSI colours; default false. */
  readonly color?: boolean;
  /** Columns to wrap at; default 100. */
  readonly width?: number;
}

const severityHeads = { error: "Errors", warning: "Warnings", info: "Notes" } as const;
const severityColors = { error: "31", warning: "33", info: "36" } as const;

/** The reviews one after the other, in plain words, ending with a verdict each. Ends with a line end. */
export function reviewText(reviews: readonly Review[], options: TextOptions = {}): string {
  return reviews.map((review) => new TextReport(review, options).write()).join("\n");
}

class TextReport {
  private readonly lines: string[] = [];
  private readonly width: number;

  constructor(
    private readonly review: Review,
    private readonly options: TextOptions,
  ) {
    this.width = Math.max(40, options.width ?? 100);
  }

  write(): string {
    this.header();
    this.findings();
    this.cuts();
    this.notJudged();
    this.silenced();
    this.verdict();
    return `${this.lines.join("\n")}\n`;
  }

  private header(): void {
    const { review } = this;
    const { summary, tree, job, toolpath } = review;
    this.lines.push(this.paint("1", printable(review.file)));
    const time = summary.feedSeconds + summary.rapidSeconds;
    const about = time > 0 ? `, ${aboutText(time)} at the programmed feeds` : "";
    const operations = `${counted(tree.operations.length, "operation")} with ${counted(tree.cuts.length, "cut")}`;
    this.wrap(
      `${counted(writtenLines(review.program), "line")}, ${counted(summary.motions, "motion")}, ${operations}${about}.`,
      "  ",
    );
    if (job.jobFile) this.wrap(`Job: ${printable(baseName(job.jobFile))}`, "  ");
    const off = switchedOffText(job);
    if (off) this.wrap(off, "  ");
    const name = boardName(job);
    this.wrap(
      `${name[0].toUpperCase()}${name.slice(1)}: ${boardText(job, toolpath.units).join("; ")}.`,
      "  ",
    );
    const { allowance } = job;
    const length = (mm: number) => lengthText(mm, toolpath.units);
    this.wrap(
      `Through allowance: ${length(allowance.required)} by ${allowance.judgedBy} (worst case ${length(allowance.worstCase)}, root-sum-square ${length(allowance.rootSumSquare)})${tapeText(job, toolpath.units)}:`,
      "  ",
    );
    const rows = allowanceRows(job, toolpath.units);
    if (rows.length > 0)
      this.table(
        rows.map((row) => [row.name, row.value, row.source]),
        "    ",
        [1],
      );
  }

  private findings(): void {
    const groups = groupFindings(this.review.findings);
    let severity: FindingGroup["severity"] | undefined;
    for (const group of groups) {
      if (group.severity !== severity) {
        severity = group.severity;
        this.lines.push("", this.paint(`1;${severityColors[severity]}`, severityHeads[severity]));
      }
      this.lines.push(`  ${group.title} [${group.rule}]`);
      for (const entry of group.entries) {
        const where = entry.file === this.review.file ? "" : `${printable(baseName(entry.file))} `;
        this.wrap(`${where}${linesText(entry.lines)}: ${printable(entry.message)}`, "    ", "      ");
        // With many lines, each has a pass of its own; what stands in another file is common to them.
        const related = (entry.first.related ?? []).filter(
          ({ file }) => entry.lines.length === 1 || file !== this.review.file,
        );
        for (const { file, line, message } of related) {
          const other = file === this.review.file ? "" : `${printable(baseName(file))} `;
          this.wrap(`see ${other}line ${line}: ${printable(message)}`, "      - ", "        ");
        }
      }
      if (group.remedy) this.wrap(`What to do: ${printable(group.remedy)}`, "    ", "      ");
    }
  }

  private cuts(): void {
    const rows = cutRows(this.review);
    if (rows.length === 0) return;
    this.lines.push("", this.paint("1", "Cuts"));
    const most = 40;
    const shown = rows.slice(0, most);
    this.table(
      [
        ["operation", "lines", "tool", "what", "lowest", "meant to go", "result"],
        ...shown.map((row) => [
          clip(row.operation, 28),
          row.lines[0] === row.lines[1] ? `${row.lines[0]}` : `${row.lines[0]}-${row.lines[1]}`,
          row.tool,
          row.what,
          row.lowest,
          row.meant,
          row.result,
        ]),
      ],
      "  ",
      [4],
    );
    if (rows.length > most)
      this.lines.push(`  and ${rows.length - most} more rows (--format json has them all)`);
  }

  private notJudged(): void {
    const { notJudged } = this.review.summary;
    if (notJudged.length === 0) return;
    this.lines.push("", this.paint("1", "Not judged"));
    for (const note of notJudged) this.wrap(printable(note), "  - ", "    ");
  }

  private silenced(): void {
    const { silenced } = this.review;
    if (silenced.length === 0) return;
    this.lines.push("", this.paint("1", "Silenced by a comment"));
    for (const { finding, silence } of silenced) {
      this.wrap(
        `line ${finding.line}: ${finding.rule}, because ${printable(silence.reason)}`,
        "  - ",
        "    ",
      );
    }
  }

  private verdict(): void {
    const { review } = this;
    const worst = groupFindings(review.findings)[0]?.severity;
    const style =
      worst && worst !== "info" ? `1;${severityColors[worst]}` : review.summary.allRead ? "1;32" : "1;33";
    this.lines.push("");
    const from = this.lines.length;
    for (const sentence of verdictLines(review)) this.wrap(sentence, "", "");
    for (let i = from; i < this.lines.length; i++) this.lines[i] = this.paint(style, this.lines[i]);
  }

  /** Columns side by side; those in `right` are set to the right. The last column is not padded. */
  private table(rows: readonly (readonly string[])[], indent: string, right: readonly number[]): void {
    const widths = rows[0].map((_, c) => Math.max(...rows.map((row) => row[c].length)));
    for (const row of rows) {
      const cells = row.map((cell, c) =>
        right.includes(c) ? cell.padStart(widths[c]) : c === row.length - 1 ? cell : cell.padEnd(widths[c]),
      );
      this.lines.push((indent + cells.join("  ")).trimEnd());
    }
  }

  private wrap(text: string, indent: string, hanging = indent): void {
    let line = indent;
    let empty = true;
    for (const word of text.split(" ")) {
      if (!empty && line.length + 1 + word.length > this.width) {
        this.lines.push(line);
        line = hanging;
        empty = true;
      }
      line += empty ? word : ` ${word}`;
      empty = false;
    }
    this.lines.push(line);
  }

  private paint(code: string, text: string): string {
    return this.options.color ? `\u001b[${code}m${text}\u001b[0m` : text;
  }
}

function clip(text: string, most: number): string {
  return text.length > most ? `${text.slice(0, most - 1)}\u2026` : text;
}

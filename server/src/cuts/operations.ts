/** Names of operations: the comments ahead of cuts. */
import { directiveText } from "../job/directives.ts";
import type { Program } from "../language/program.ts";

/** Comments that tell a level or a cutter, not an operation. */
const notAName =
  /^\s*(?:pass|level|depth|layer|step|stage)\b[\s\d.:of/-]*|^\s*(?:tool|T)\s*\d+\b|^\s*Z?\s*-?[\d.]+\s*(?:mm|in)?\s*$/i;

/** Stand-alone comments that can name an operation, in text order. */
export class NameComments {
  private readonly lines: number[] = [];
  private readonly names: string[] = [];
  private at = 0;
  private current: number | undefined;

  constructor(program: Program) {
    for (const comment of program.comments) {
      if (!comment.alone || directiveText(comment) !== undefined) continue;
      const name = comment.text.trim();
      if (!/\p{L}/u.test(name) || notAName.test(name)) continue;
      // Of several lines in a row the last one stands nearest to the cut.
      this.lines.push(comment.line);
      this.names.push(name.length > 80 ? `${name.slice(0, 79)}\u2026` : name);
    }
  }

  /** The last name at or before a line; ask with lines in growing order. Line -1: none yet. */
  before(line: number): { line: number; name: string } | undefined {
    while (this.at < this.lines.length && this.lines[this.at] <= line) this.current = this.at++;
    return this.current === undefined
      ? undefined
      : { line: this.lines[this.current], name: this.names[this.current] };
  }
}

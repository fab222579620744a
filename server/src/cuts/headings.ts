/** Which comments name an operation. */
import { directiveText } from "../job/directives.ts";
import type { Program } from "../language/program.ts";

/** A comment-only line that can name an operation. */
export interface Heading {
  /** Zero-based. */
  readonly line: number;
  readonly name: string;
  /** It speaks of a way of working ("finishing pass"): it may name new cuts, but parts no pass from its cut. */
  readonly weak: boolean;
}

/** Words that tell of the tool, a level or a movement. A comment made of these alone names no operation. */
const idleWords = new Set(
  (
    "tool cutter bit endmill mill end flat ball vbit bull nose straight spiral upcut downcut compression carbide hss " +
    "flute flutes fl diameter dia d cr r corner radius angle shank router change load insert " +
    "pass passes level levels layer depth step stepdown of at to z x y t f s m mm in inch inches deg degrees rpm min " +
    "mmpm first second third next last final deepest number no nr " +
    "plunge ramp retract rapid feed feedrate speed lead leadin leadout entry exit safe height clearance up down move " +
    "travel position start stop begin finished finish done program spindle on off coolant dwell pause wait home park " +
    "return go warm and the a for with"
  ).split(" "),
);
/** Words of a way of working: beside idle words they make a weak heading. */
const weakWords = new Set(
  "finishing roughing rough spring cleaning cleanup clean skim light climb conventional".split(" "),
);

/** "finish" alone ends something, but with "pass" it is a way of working. */
const finishPass = /\bfinish\s+(pass|cut)\b/i;
const endOfPart = /^\s*(end|done|finished)\b/i;
const aboutTool = /^\s*(?:(?:tool|cutter|bit)\s*(?:[#:=]|no\b|nr\b|number\b|\d)|t\s*\d+\b)/i;
const aboutFile =
  /^\s*(?:date|time|author|file|program|machine|post|units?|stock|material|board|version|generated|made|created|written|feed(?:\s*rate)?|speed|spindle|depth|step\s*down|thickness|zero|origin|note|warning)\s*[:=]/i;
const label = /^\s*(?:operation|op|cut|toolpath|path|job|section|part)\s*(?:no\.?|nr\.?|#)?\s*\d*\s*[:=]\s*/i;
const levelTail =
  /[\s,;:(–-]*\b(?:at\s+)?(?:(?:pass|level|layer|step|depth)\s*[:=#]?\s*-?\d[\d.]*(?:\s*(?:of|\/)\s*\d+)?|z\s*[:=]?\s*-?\d[\d.]*)\s*(?:mm|in|inch|")?\s*\)?\s*$/i;

/** The heading a comment makes; undefined where it names nothing. */
export function headingOf(text: string, line: number): Heading | undefined {
  if (!/\p{L}/u.test(text) || endOfPart.test(text) || aboutTool.test(text) || aboutFile.test(text))
    return undefined;
  const words = text.toLowerCase().match(/\p{L}+/gu) ?? [];
  const telling = words.filter((word) => !idleWords.has(word));
  const weak = telling.every((word) => weakWords.has(word));
  if (telling.length === 0 && !finishPass.test(text)) return undefined;
  const bare = trimmed(text.replace(label, ""));
  const withoutTail = trimmed(bare.replace(levelTail, ""));
  const name = /\p{L}/u.test(withoutTail) ? withoutTail : bare;
  return /\p{L}/u.test(name) ? { line, name, weak } : undefined;
}

/** Without the rules and stars people draw around titles. */
function trimmed(text: string): string {
  return text.replace(/^[\s\-=*_#~.:;]+|[\s\-=*_#~:;]+$/g, "").replace(/\s+/g, " ");
}

/**
 * Finds the heading of each pass. Passes must be asked for in program order: comments ahead of a pass are
 * those after the pass before.
 */
export class HeadingReader {
  private next = 0;
  private readonly firstBlock: number;

  /** @param firstMotionOfLine as in `Toolpath` */
  constructor(
    private readonly program: Program,
    private readonly firstMotionOfLine: Uint32Array,
  ) {
    this.firstBlock = program.firstWord.findIndex(
      (word, line) => line < program.lineCount && program.firstWord[line + 1] > word,
    );
  }

  /**
   * The heading ahead of a pass that begins on `line`, after the pass before ended on `after` (zero-based;
   * comments in the midst of that pass name nothing): from the nearest block of comment lines,
   * its first line that names something, for notes follow their title. In the comments that open a file the
   * last one counts, and only if no block stands between them and the first movement.
   */
  ahead(after: number, line: number): Heading | undefined {
    const { comments } = this.program;
    let found: Heading | undefined;
    let opening: Heading | undefined;
    let before = -2;
    let taken = false;
    for (; this.next < comments.length && comments[this.next].line < line; this.next++) {
      const comment = comments[this.next];
      if (!comment.alone || comment.line <= after) continue;
      // A line with words or an empty line between ends a block of comment lines.
      if (comment.line > before + 1) taken = false;
      before = comment.line;
      const heading =
        directiveText(comment) === undefined ? headingOf(comment.text, comment.line) : undefined;
      if (!heading) continue;
      if (comment.line < this.firstBlock) opening = heading;
      else if (!taken) {
        found = heading;
        taken = true;
      }
    }
    return found ?? (opening && this.firstBlockMoves() ? opening : undefined);
  }

  private firstBlockMoves(): boolean {
    return this.firstMotionOfLine[this.firstBlock + 1] > this.firstMotionOfLine[this.firstBlock];
  }
}

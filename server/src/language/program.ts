/**
 * The text of a program as blocks and words.
 *
 * Everything lives in typed arrays (structure of arrays): a program of a million lines costs a few dozen
 * bytes a line and no object per word. Offsets are UTF-16 code units from the start of the text, so that
 * `text.slice(start, end)` gives back exactly what was written.
 */

/** What a word's value is made of. */
export const WordKind = {
  /** A plain number: `wordValue` holds it. */
  number: 0,
  /** A number that is not one (`X1.2.3`, `X-`): `wordValue` is NaN and a problem was reported. */
  malformed: 1,
  /** An expression, a parameter or another construct that has text but no value yet: `wordValue` is NaN. */
  expression: 2,
} as const;

/** A program as read: blocks (lines), words and comments, with every offset kept. */
export interface Program {
  readonly text: string;
  /** Number of lines; a text without a final line end has its last line counted, an empty text has one. */
  readonly lineCount: number;
  /** Offset of each line's first character; length `lineCount + 1`, the last entry is the text's length. */
  readonly lineStart: Uint32Array;
  /** First word of each line; length `lineCount + 1`. */
  readonly firstWord: Uint32Array;
  readonly wordCount: number;
  /** Upper-case letter code of each word (65 to 90), or 35 for `#`. */
  readonly wordLetter: Uint8Array;
  readonly wordKind: Uint8Array;
  readonly wordValue: Float64Array;
  /** Offset of the word's letter. */
  readonly wordStart: Uint32Array;
  /** Offset just past the word's last character. */
  readonly wordEnd: Uint32Array;
  /** Comments in text order. */
  readonly comments: readonly Comment[];
  /** Lines that begin with the block-delete slash, in order. */
  readonly deletedLines: ReadonlySet<number>;
  /** Lines that hold only the `%` mark, in order. */
  readonly percentLines: readonly number[];
  readonly problems: readonly Problem[];
}

/** A comment: `start` is at its `(` or `;`, `end` past its `)` or at the line end; `text` is what stands inside. */
export interface Comment {
  readonly line: number;
  readonly start: number;
  readonly end: number;
  readonly kind: "parenthesis" | "semicolon";
  readonly text: string;
  /** True where nothing but the comment stands on its line. */
  readonly alone: boolean;
}

/**
 * Something the reader or the interpreter noticed. The rule with this id words the message from `facts`;
 * facts that are lengths are millimetres.
 */
export interface Problem {
  readonly rule: string;
  /** Zero-based line. */
  readonly line: number;
  readonly start: number;
  readonly end: number;
  readonly facts: Readonly<Record<string, number | string>>;
}

/** Line (zero-based) that holds an offset. Binary search; offsets past the end give the last line. */
export function lineAt(program: Program, offset: number): number {
  let low = 0;
  let high = program.lineCount - 1;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if (program.lineStart[middle] <= offset) low = middle;
    else high = middle - 1;
  }
  return low;
}

/** Offset just past the last character of a line, without its line end (`\n`, `\r\n` or `\r`). */
export function lineEnd(program: Program, line: number): number {
  let end = program.lineStart[line + 1];
  const start = program.lineStart[line];
  while (end > start && (program.text.charCodeAt(end - 1) === 10 || program.text.charCodeAt(end - 1) === 13))
    end--;
  return end;
}

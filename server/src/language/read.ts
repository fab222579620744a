/**
 * The reader: text to blocks and words. Lossless (every character keeps its offset), never throws, and
 * every problem has an exact range. Word rules: NISTIR 6556 section 3.3; ISO 6983-1 where it agrees.
 */
import { WordKind, type Comment, type Problem, type Program } from "./program.ts";
import { expressionEnd, functionNameAt, parameterEnd } from "./expression-span.ts";
import { WordTable } from "./word-table.ts";

/** Numbers beyond this many units are refused: no machine has such travel, and sums stay finite. */
export const largestNumber = 1e9;
/** Problems kept per program; past it one closing problem says that the rest was not listed. */
export const mostProblems = 2000;
/** Longest text read, in UTF-16 units: 200 million. */
export const longestText = 200_000_000;

const TAB = 9;
const LF = 10;
const CR = 13;
const SPACE = 32;
const HASH = 35;
const PERCENT = 37;
const OPEN = 40;
const CLOSE = 41;
const PLUS = 43;
const MINUS = 45;
const DOT = 46;
const SLASH = 47;
const ZERO = 48;
const NINE = 57;
const SEMICOLON = 59;
const BRACKET = 91;
const BOM = 0xfeff;
const LETTER_G = 71;
const LETTER_M = 77;
const LETTER_O = 79;

const powersOfTen = Float64Array.from({ length: 16 }, (_, i) => 10 ** i);
/** Letters of NISTIR 6556 table 3, and O, which later issues of the language and other dialects use. */
const knownLetters = new Uint8Array(128);
for (const letter of "ABCDFGHIJKLMNOPQRSTXYZ") knownLetters[letter.charCodeAt(0)] = 1;

/** Reads a program. Any text is accepted; what is wrong with it is in `problems`. */
export function readProgram(text: string): Program {
  return new Reader(text).read();
}

class Reader {
  private readonly words: WordTable;
  private readonly comments: Comment[] = [];
  private readonly problems: Problem[] = [];
  private readonly deleted = new Set<number>();
  private readonly percents: number[] = [];
  private lineStart: Uint32Array;
  private firstWord: Uint32Array;
  private line = 0;
  private problemsDropped = false;

  constructor(private readonly text: string) {
    this.words = new WordTable(Math.min(text.length, longestText));
    const lines = Math.max(16, text.length >> 4);
    this.lineStart = new Uint32Array(lines);
    this.firstWord = new Uint32Array(lines);
  }

  read(): Program {
    const { text } = this;
    const refusal = refusalOf(text);
    if (refusal) this.problem("line-not-reviewed", 0, Math.min(text.length, 1), { reason: refusal });
    const length = text.length;
    let at = 0;
    for (;;) {
      this.beginLine(at);
      const end = refusal ? lineEndFrom(text, at) : this.readLine(at);
      this.line++;
      if (end >= length) break;
      at = text.charCodeAt(end) === CR && text.charCodeAt(end + 1) === LF ? end + 2 : end + 1;
    }
    this.beginLine(length);
    return {
      text,
      lineCount: this.line,
      lineStart: this.lineStart.slice(0, this.line + 1),
      firstWord: this.firstWord.slice(0, this.line + 1),
      ...this.words.finished(),
      comments: this.comments,
      deletedLines: this.deleted,
      percentLines: this.percents,
      problems: this.problems,
    };
  }

  private beginLine(at: number): void {
    if (this.line >= this.lineStart.length - 1) {
      this.lineStart = grown(this.lineStart);
      this.firstWord = grown(this.firstWord);
    }
    this.lineStart[this.line] = at;
    this.firstWord[this.line] = this.words.count;
  }

  private problem(rule: string, start: number, end: number, facts: Problem["facts"] = {}): void {
    if (this.problems.length < mostProblems) {
      this.problems.push({ rule, line: this.line, start, end, facts });
    } else if (!this.problemsDropped) {
      this.problemsDropped = true;
      const reason = `more than ${mostProblems} problems were found before this line; those after it are not listed`;
      this.problems.push({ rule: "line-not-reviewed", line: this.line, start, end, facts: { reason } });
    }
  }

  /** Reads the line that begins at `at`; returns the offset of its line end (or of the text's end). */
  private readLine(lineAt: number): number {
    const { text, words } = this;
    const length = text.length;
    let at = lineAt;
    /** Letters seen in this block, a bit each. */
    let seen = 0;
    for (;;) {
      const code = at < length ? text.charCodeAt(at) : LF;
      if (code === LF || code === CR) return at;
      if (code === SPACE || code === TAB) {
        at++;
        continue;
      }
      const letter = code >= 97 && code <= 122 ? code - 32 : code;
      if (letter >= 65 && letter <= 90) {
        const start = at;
        if (letter === LETTER_O) {
          at = this.readLabel(at);
          continue;
        }
        at = this.readValue(letter, start, at + 1);
        if (letter !== LETTER_G && letter !== LETTER_M) {
          const bit = 1 << (letter - 65);
          if (seen & bit) this.problem("word-repeated", start, at, { letter: String.fromCharCode(letter) });
          seen |= bit;
        }
        if (!knownLetters[letter]) this.problem("word-unknown", start, at, { word: text.slice(start, at) });
      } else if (code === OPEN) {
        at = this.readComment(lineAt, at);
      } else if (code === SEMICOLON) {
        const end = lineEndFrom(text, at);
        this.comment(lineAt, at, end, "semicolon", text.slice(at + 1, end));
        at = end;
      } else if (code === HASH) {
        const end = this.assignmentEnd(at);
        words.add(HASH, WordKind.expression, NaN, at, end);
        at = end;
      } else if (code === SLASH && this.onlyBlanks(lineAt, at)) {
        this.deleted.add(this.line);
        at++;
      } else if (code === PERCENT && this.onlyBlanks(lineAt, at)) {
        this.percents.push(this.line);
        at++;
      } else if (code === BOM && at === 0) {
        at++;
      } else {
        const start = at++;
        while (at < length && !endsUnknown(text.charCodeAt(at))) at++;
        this.problem("word-unknown", start, at, { word: text.slice(start, Math.min(at, start + 40)) });
      }
    }
  }

  /** Reads the number or expression of a word whose letter is at `start`; returns its end and adds the word. */
  private readValue(letter: number, start: number, from: number): number {
    const { text, words } = this;
    let at = from;
    let end = from;
    let mantissa = 0;
    let digits = 0;
    let decimals = 0;
    let dots = 0;
    let negative = false;
    let signed = false;
    for (;;) {
      const code = at < text.length ? text.charCodeAt(at) : LF;
      if (code >= ZERO && code <= NINE) {
        mantissa = mantissa * 10 + (code - ZERO);
        digits++;
        if (dots) decimals++;
      } else if (code === SPACE || code === TAB) {
        at++;
        continue;
      } else if (code === DOT) {
        dots++;
      } else if ((code === MINUS || code === PLUS) && !signed && !digits && !dots) {
        signed = true;
        negative = code === MINUS;
      } else {
        const expression = !digits && !dots ? this.valueExpressionEnd(at, code) : -1;
        if (expression >= 0) {
          words.add(letter, WordKind.expression, NaN, start, expression);
          return expression;
        }
        if (code === MINUS || code === PLUS || code === DOT) {
          // A sign in the middle: the rest up to the next letter belongs to the same broken number.
          dots = 2;
        } else break;
      }
      at++;
      end = at;
    }
    if (dots > 1 || digits === 0) {
      words.add(letter, WordKind.malformed, NaN, start, end);
      this.problem("number-malformed", start, end, {
        word: text.slice(start, Math.min(end, start + 40)),
        reason: "shape",
      });
      return end;
    }
    // Below 2^53 with a power of ten below 10^22 one division rounds correctly; longer numbers go the slow way.
    let value =
      digits <= 15 ? mantissa / powersOfTen[decimals] : Number(text.slice(from, end).replace(/[ \t+-]/g, ""));
    if (negative) value = -value;
    if (!(Math.abs(value) <= largestNumber)) {
      words.add(letter, WordKind.malformed, NaN, start, end);
      this.problem("number-malformed", start, end, {
        word: text.slice(start, Math.min(end, start + 40)),
        reason: "size",
      });
      return end;
    }
    words.add(letter, WordKind.number, value, start, end);
    return end;
  }

  private valueExpressionEnd(at: number, code: number): number {
    if (code === BRACKET) return expressionEnd(this.text, at);
    if (code === HASH) return parameterEnd(this.text, at);
    return functionNameAt(this.text, at) ? expressionEnd(this.text, at) : -1;
  }

  /** `#3=15`: the parameter, the equals sign and the value as one word without a value. */
  private assignmentEnd(at: number): number {
    const { text } = this;
    const end = parameterEnd(text, at);
    let next = skipBlanks(text, end);
    if (text.charCodeAt(next) !== 61) return end;
    next = skipBlanks(text, next + 1);
    const code = text.charCodeAt(next);
    const expression = this.valueExpressionEnd(next, code);
    if (expression >= 0) return expression;
    while (next < text.length && /[0-9.+\- \t]/.test(text[next])) next++;
    return trimmedEnd(text, end, next);
  }

  /** An O word: a bare number is a program number or label; anything more is a construct, kept as one word. */
  private readLabel(start: number): number {
    const { text, words } = this;
    let end = start + 1;
    while (end < text.length) {
      const code = text.charCodeAt(end);
      if (code === LF || code === CR || code === OPEN || code === SEMICOLON) break;
      end++;
    }
    end = trimmedEnd(text, start + 1, end);
    const value = text.slice(start + 1, end).trim();
    if (/^\d+$/.test(value)) words.add(LETTER_O, WordKind.number, Number(value), start, end);
    else words.add(LETTER_O, WordKind.expression, NaN, start, end);
    return end;
  }

  private readComment(lineAt: number, start: number): number {
    const { text } = this;
    let at = start + 1;
    let nestedAt = -1;
    for (; at < text.length; at++) {
      const code = text.charCodeAt(at);
      if (code === LF || code === CR) break;
      if (code === OPEN && nestedAt < 0) nestedAt = at;
      if (code === CLOSE) {
        if (nestedAt >= 0) this.problem("comment-nested", nestedAt, nestedAt + 1);
        this.comment(lineAt, start, at + 1, "parenthesis", text.slice(start + 1, at));
        return at + 1;
      }
    }
    this.problem("comment-unclosed", start, at);
    this.comment(lineAt, start, at, "parenthesis", text.slice(start + 1, at));
    return at;
  }

  private comment(lineAt: number, start: number, end: number, kind: Comment["kind"], text: string): void {
    const alone = this.onlyBlanks(lineAt, start) && this.onlyBlanks(end, lineEndFrom(this.text, end));
    this.comments.push({ line: this.line, start, end, kind, text, alone });
  }

  private onlyBlanks(from: number, to: number): boolean {
    for (let at = from; at < to; at++) {
      const code = this.text.charCodeAt(at);
      if (code !== SPACE && code !== TAB && code !== BOM) return false;
    }
    return true;
  }
}

function refusalOf(text: string): string | undefined {
  if (text.length > longestText)
    return `the text is longer than ${longestText} characters, the most that is read`;
  if (text.slice(0, 8192).includes("\0"))
    return "this is not text (it holds NUL characters): a program is plain text";
  return undefined;
}

function endsUnknown(code: number): boolean {
  return (
    code === LF ||
    code === CR ||
    code === SPACE ||
    code === TAB ||
    code === OPEN ||
    code === SEMICOLON ||
    code === HASH ||
    (code >= 65 && code <= 90) ||
    (code >= 97 && code <= 122)
  );
}

function lineEndFrom(text: string, from: number): number {
  let at = from;
  while (at < text.length) {
    const code = text.charCodeAt(at);
    if (code === LF || code === CR) break;
    at++;
  }
  return at;
}

function skipBlanks(text: string, from: number): number {
  let at = from;
  while (text.charCodeAt(at) === SPACE || text.charCodeAt(at) === TAB) at++;
  return at;
}

function trimmedEnd(text: string, from: number, end: number): number {
  let at = end;
  while (at > from && (text.charCodeAt(at - 1) === SPACE || text.charCodeAt(at - 1) === TAB)) at--;
  return at;
}

function grown(array: Uint32Array): Uint32Array {
  const larger = new Uint32Array(array.length * 2);
  larger.set(array);
  return larger;
}

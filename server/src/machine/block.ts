import { WordKind, type Program } from "../language/program.ts";

/** Index of a letter in the tables below: A is 0. */
export const letterIndex = (letter: string): number => letter.charCodeAt(0) - 65;
export const bitOf = (letter: string): number => 1 << letterIndex(letter);

export const X = letterIndex("X");
export const Y = letterIndex("Y");
export const Z = letterIndex("Z");
export const axisBits = bitOf("X") | bitOf("Y") | bitOf("Z");

/** The words of one block, by letter. One object serves the whole program, so reading a block allocates nothing. */
export class BlockWords {
  /** Letters present (bit 0 = A), and those some code has used. */
  present = 0;
  used = 0;
  /** Value and word index of each letter but G and M. */
  readonly value = new Float64Array(26);
  readonly word = new Int32Array(26);
  gCount = 0;
  readonly g = new Float64Array(32);
  readonly gWord = new Int32Array(32);
  mCount = 0;
  readonly m = new Float64Array(32);
  readonly mWord = new Int32Array(32);
  /** First and last word (index) that has no value to act on, -1: none. */
  firstUnread = -1;
  lastUnread = -1;

  /** Takes in the words of a line. Returns false for a line without any. */
  read(program: Program, line: number): boolean {
    const from = program.firstWord[line];
    const to = program.firstWord[line + 1];
    this.present = 0;
    this.used = 0;
    this.gCount = 0;
    this.mCount = 0;
    this.firstUnread = -1;
    for (let i = from; i < to; i++) {
      const letter = program.wordLetter[i];
      if (program.wordKind[i] !== WordKind.number) {
        if (letter >= 65) this.value[letter - 65] = NaN;
        if (this.firstUnread < 0) this.firstUnread = i;
        this.lastUnread = i;
        if (letter >= 65) this.present |= 1 << (letter - 65);
        continue;
      }
      const value = program.wordValue[i];
      if (letter === 71 && this.gCount < 32) {
        this.g[this.gCount] = value;
        this.gWord[this.gCount++] = i;
      } else if (letter === 77 && this.mCount < 32) {
        this.m[this.mCount] = value;
        this.mWord[this.mCount++] = i;
      } else if (letter === 71 || letter === 77) {
        if (this.firstUnread < 0) this.firstUnread = i;
        this.lastUnread = i;
      } else {
        this.present |= 1 << (letter - 65);
        this.value[letter - 65] = value;
        this.word[letter - 65] = i;
      }
    }
    return to > from;
  }

  has(letter: string): boolean {
    return (this.present & bitOf(letter)) !== 0;
  }

  /** Whether the letter is there with a number. */
  hasValue(letter: string): boolean {
    return this.has(letter) && !Number.isNaN(this.value[letterIndex(letter)]);
  }

  /** Value of a letter, marked as used. */
  take(letter: string): number {
    this.used |= bitOf(letter);
    return this.value[letterIndex(letter)];
  }

  /** Value of a letter marked as used, or `otherwise` where it is absent. */
  takeOr(letter: string, otherwise: number): number {
    return this.has(letter) ? this.take(letter) : otherwise;
  }
}

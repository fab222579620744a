/** Growing columns of words, so that reading makes no object per word. */
export class WordTable {
  count = 0;
  private letter: Uint8Array;
  private kind: Uint8Array;
  private value: Float64Array;
  private start: Uint32Array;
  private end: Uint32Array;

  /** @param textLength UTF-16 units to be read: sets the first size */
  constructor(textLength: number) {
    const size = Math.max(64, textLength >> 2);
    this.letter = new Uint8Array(size);
    this.kind = new Uint8Array(size);
    this.value = new Float64Array(size);
    this.start = new Uint32Array(size);
    this.end = new Uint32Array(size);
  }

  add(letter: number, kind: number, value: number, start: number, end: number): void {
    if (this.count === this.letter.length) this.resize(this.count * 2);
    const i = this.count++;
    this.letter[i] = letter;
    this.kind[i] = kind;
    this.value[i] = value;
    this.start[i] = start;
    this.end[i] = end;
  }

  /** The columns cut to size. */
  finished() {
    this.resize(this.count);
    return {
      wordCount: this.count,
      wordLetter: this.letter,
      wordKind: this.kind,
      wordValue: this.value,
      wordStart: this.start,
      wordEnd: this.end,
    };
  }

  private resize(size: number): void {
    const copy = <T extends Uint8Array | Uint32Array | Float64Array>(from: T, to: T): T => {
      to.set(from.length > size ? (from.subarray(0, size) as T) : from);
      return to;
    };
    this.letter = copy(this.letter, new Uint8Array(size));
    this.kind = copy(this.kind, new Uint8Array(size));
    this.value = copy(this.value, new Float64Array(size));
    this.start = copy(this.start, new Uint32Array(size));
    this.end = copy(this.end, new Uint32Array(size));
  }
}

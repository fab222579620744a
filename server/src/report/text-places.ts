/** Offsets as lines and columns. */
import type { Review } from "../review/review.ts";

/** One-based; columns count UTF-16 code units. */
export interface TextPlace {
  readonly line: number;
  readonly column: number;
}

interface Lines {
  readonly starts: ArrayLike<number>;
  readonly count: number;
  /** Length of the text. */
  readonly length: number;
}

/** Places in the reviewed programs and in the other files that findings speak of. */
export class TextPlaces {
  private readonly others = new Map<string, Lines | undefined>();

  /** `textOf` gives the text of another file (the job file), undefined where it is not at hand. */
  constructor(private readonly textOf?: (file: string) => string | undefined) {}

  /** Where a span of offsets begins and ends; undefined where the text is not at hand or has no such span. */
  span(
    review: Review,
    { file, start, end }: { file: string; start: number; end: number },
  ): { start: TextPlace; end: TextPlace } | undefined {
    const lines = file === review.file ? linesOf(review) : this.linesOfOther(file);
    if (!lines || start < 0 || end < start || end > lines.length) return undefined;
    return { start: position(lines, start), end: position(lines, end) };
  }

  private linesOfOther(file: string): Lines | undefined {
    if (!this.others.has(file)) {
      const text = this.textOf?.(file);
      const starts = text === undefined ? [] : lineStartsOf(text);
      this.others.set(
        file,
        text === undefined ? undefined : { starts, count: starts.length, length: text.length },
      );
    }
    return this.others.get(file);
  }
}

function linesOf({ program }: Review): Lines {
  return { starts: program.lineStart, count: program.lineCount, length: program.text.length };
}

/** Offsets at which lines start; `\n`, `\r\n` and a lone `\r` end one. */
function lineStartsOf(text: string): number[] {
  const starts = [0];
  for (let i = 0; i < text.length; i++) {
    const code = text.charCodeAt(i);
    if (code === 10 || (code === 13 && text.charCodeAt(i + 1) !== 10)) starts.push(i + 1);
  }
  return starts;
}

/** One-based line and column of an offset. */
function position({ starts, count }: Lines, offset: number): TextPlace {
  let low = 0;
  let high = count - 1;
  while (low < high) {
    const middle = (low + high + 1) >> 1;
    if (starts[middle] <= offset) low = middle;
    else high = middle - 1;
  }
  return { line: low + 1, column: offset - starts[low] + 1 };
}

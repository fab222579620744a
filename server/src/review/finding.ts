/** One reviewed fact. Diagnostics, SARIF results, text and the view's markers are all made from it. */
export type Severity = "error" | "warning" | "info";

export interface Finding {
  readonly rule: string;
  readonly severity: Severity;
  /** Path as given by the caller. */
  readonly file: string;
  /** One-based lines. */
  readonly line: number;
  readonly endLine: number;
  /** Offsets of the exact words in the file's text. */
  readonly start: number;
  readonly end: number;
  /** One or two plain sentences: what will happen, and what to do. Lengths in the program's own units. */
  readonly message: string;
  /** Place in the stock frame, mm. */
  readonly at?: readonly [number, number, number];
  /** Numbers behind the message, mm (mm^2, mm^3, s where the name says so). */
  readonly values?: Readonly<Record<string, number>>;
  /** What it rests on: the pass, the stock fact. */
  readonly related?: readonly Related[];
  /** True where a block before it was not understood, so that it may be wrong. */
  readonly inDoubt?: boolean;
  /** First motion concerned, one past the last. */
  readonly motions?: readonly [number, number];
  readonly cut?: number;
  readonly pass?: number;
  readonly fixes?: readonly Fix[];
}

export interface Related {
  readonly file: string;
  /** One-based. */
  readonly line: number;
  readonly start: number;
  readonly end: number;
  readonly message: string;
}

/** A mend as plain data; the editor layer turns it into edits. */
export type Fix =
  | { readonly kind: "declare-thickness" }
  | { readonly kind: "create-job" }
  | {
      readonly kind: "insert-line";
      readonly title: string;
      readonly beforeLine: number;
      readonly text: string;
    };

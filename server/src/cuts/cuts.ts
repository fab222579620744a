/** Motions grouped the way a woodworker speaks of them: operation > cut > pass (design section 2). */

/** Cutting motions between two retracts, or at one level of a stepped-down cut, or one round of a level run twice. */
export interface Pass {
  readonly index: number;
  /** First motion and one past the last; the range may begin with the plunge that leads into the level. */
  readonly first: number;
  readonly end: number;
  /** Zero-based lines of its first and last motion. */
  readonly firstLine: number;
  readonly lastLine: number;
  /** Lowest Z, mm in the stock frame, and the motion that reaches it. */
  readonly bottom: number;
  readonly bottomMotion: number;
  /** Length along the path of its cutting motions, mm. */
  readonly length: number;
  /** Seconds at the programmed feed. */
  readonly seconds: number;
  /** Extent of the path in the plane: min x, min y, max x, max y, mm. */
  readonly extent: readonly [number, number, number, number];
  readonly tabs: readonly Tab[];
  /** Index of its cut. */
  readonly cut: number;
}

/** Material left on purpose: the bottom level rises and comes back. */
export interface Tab {
  readonly firstMotion: number;
  readonly endMotion: number;
  /** Middle of the tab in the plane, mm. */
  readonly at: readonly [number, number];
  /** How high its level lies above the bottom of the pass, mm. */
  readonly height: number;
  /** Length in plan of the stretch above the bottom, slopes included, mm (a step leaves it less the tool's diameter). */
  readonly length: number;
}

export type CutKind = "drilled hole" | "round hole" | "outline" | "slot" | "pocket";

/** The passes that follow one outline, hole or pocket at growing depth. */
export interface Cut {
  readonly index: number;
  readonly kind: CutKind;
  readonly passes: readonly number[];
  readonly operation: number;
  readonly tool: number;
  /** Lowest Z of all its passes, mm. */
  readonly bottom: number;
  readonly deepestPass: number;
  readonly extent: readonly [number, number, number, number];
  /** What it is meant to do, and how that is known. */
  readonly intent: Intent;
}

export interface Intent {
  readonly goes: "through" | "partway" | "unknown";
  /** Declared skin, mm. */
  readonly leaves?: number;
  readonly known: "declared" | "inferred" | "not known";
  /** One short clause: "declared in seed-board.job.json", "its deepest level is 0.6 mm above the underside". */
  readonly because: string;
}

/** Consecutive cuts with one tool, named by the comment ahead of them. */
export interface Operation {
  readonly index: number;
  readonly name: string;
  /** True where the name stands in a comment, false where it was made up from the tool. */
  readonly named: boolean;
  readonly tool: number;
  readonly cuts: readonly number[];
  readonly firstLine: number;
  readonly lastLine: number;
}

export interface CutTree {
  readonly operations: readonly Operation[];
  readonly cuts: readonly Cut[];
  readonly passes: readonly Pass[];
  /** Pass of each motion, -1 outside a pass; length `motions.count`. */
  readonly passOfMotion: Int32Array;
}

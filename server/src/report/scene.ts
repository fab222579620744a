import type { CutTree } from "../cuts/cuts.ts";
import type { Motions } from "../machine/motions.ts";
import type { Tool } from "../job/facts.ts";
import type { Skin } from "../review/review.ts";
import type { Grid } from "../stock/field.ts";

/** Everything the cut view draws. Plain data: crosses a message port or a page as JSON with base64 arrays. */
export interface Scene {
  readonly version: 1;
  /** File name without its folder. */
  readonly title: string;
  /** Units the program is written in: lengths are shown in these. */
  readonly units: "mm" | "in";
  readonly motions: Motions;
  readonly tree: Pick<CutTree, "operations" | "cuts" | "passes"> & { readonly passOfMotion: Int32Array };
  /** Cutters by tool number as resolved, one for every number the motions use. */
  readonly tools: readonly Tool[];
  readonly board: SceneBoard;
  readonly grid: Grid | null;
  /** Heights before the first motion, null: flat at the board's top. */
  readonly startHeight: Float32Array | null;
  readonly skins: readonly Skin[];
  readonly findings: readonly SceneFinding[];
  /** The program's lines, for the readout; one entry a line. */
  readonly lines: readonly string[];
  /** Plain sentences for the summary and for a screen reader. */
  readonly summary: readonly string[];
}

export interface SceneBoard {
  readonly name: string;
  /** mm in the stock frame: corner and size; assumed from the cuts where `sizeDeclared` is false. */
  readonly corner: readonly [number, number];
  readonly size: readonly [number, number];
  readonly sizeDeclared: boolean;
  readonly top: number;
  /** null where no thickness is declared. */
  readonly underside: number | null;
  readonly material: string;
}

export interface SceneFinding {
  readonly rule: string;
  readonly severity: "error" | "warning" | "info";
  readonly line: number;
  readonly message: string;
  readonly at: readonly [number, number, number] | null;
  readonly motions: readonly [number, number] | null;
  readonly cut: number | null;
}

import type { CutTree } from "../cuts/cuts.ts";
import type { JobFacts, Silence } from "../job/facts.ts";
import type { Program } from "../language/program.ts";
import type { Toolpath } from "../machine/motions.ts";
import type { HeightField } from "../stock/field.ts";
import type { Finding } from "./finding.ts";

/** A program to review, with what is declared for it. */
export interface ReviewInput {
  /** Name used in findings, as the caller wants it shown. */
  readonly file: string;
  readonly text: string;
  readonly job: JobFacts;
  /** Programs that cut the same board before this one, in run order. */
  readonly earlier?: readonly { readonly file: string; readonly text: string; readonly job: JobFacts }[];
  /** Cell size asked for, mm; default a tenth of the smallest cutter's diameter. */
  readonly cell?: number;
}

/** What each motion did to the material; length `motions.count`. */
export interface MotionEffects {
  /** mm^3 taken from the stock and from the bed. */
  readonly stockVolume: Float32Array;
  readonly bedVolume: Float32Array;
}

/** A place where a cut meant to go through leaves material. */
export interface Skin {
  readonly cut: number;
  /** Exact thickness left, mm (underside to the cut's lowest level). */
  readonly thickness: number;
  /** mm^2, counted in cells; 0 where the material was not computed. */
  readonly area: number;
}

/** What was looked at and what was not, so that a clean review cannot hide an unread line. */
export interface ReviewSummary {
  readonly lines: number;
  readonly motions: number;
  /** True when every block was understood. */
  readonly allRead: boolean;
  /** Sentences that say what could not be judged and what to declare. */
  readonly notJudged: readonly string[];
  /** Cell size used, mm; undefined without material. */
  readonly cell?: number;
  readonly removedStock: number;
  readonly removedBed: number;
  /** Deepest place below the underside, mm (0: none; undefined without a thickness). */
  readonly deepestInBed?: number;
  readonly throughCuts: number;
  readonly shortCuts: number;
  /** Cuts meant to go through of which that was shown. */
  readonly clearedCuts: number;
  /** Seconds at the programmed feeds and the profile's rapid rate. */
  readonly feedSeconds: number;
  readonly rapidSeconds: number;
}

export interface Review {
  readonly file: string;
  readonly program: Program;
  readonly toolpath: Toolpath;
  readonly job: JobFacts;
  readonly tree: CutTree;
  /** The material at the end; undefined when the board's top is not known. */
  readonly field?: HeightField;
  /** Heights before the first motion (after the earlier programs); undefined where that is the flat top. */
  readonly startHeight?: Float32Array;
  readonly effects?: MotionEffects;
  readonly skins: readonly Skin[];
  readonly findings: readonly Finding[];
  readonly silenced: readonly { readonly finding: Finding; readonly silence: Silence }[];
  readonly summary: ReviewSummary;
}

/**
 * What is declared about the board, the tools and the machine, after comments, job file, settings and
 * defaults were put together. Lengths in mm. Every used value can say where it came from.
 */

/** Where a value came from, strongest first: program comment, job file, settings, stated default. */
export interface Source {
  readonly kind: "comment" | "job" | "settings" | "default";
  /** File the value stands in (comment, job). */
  readonly file?: string;
  /** One-based line in that file. */
  readonly line?: number;
  /** What a stated default rests on: a standard, or common practice. */
  readonly note?: string;
}

export interface Sourced<T> {
  readonly value: T;
  readonly source: Source;
}

export type ToolShape = "flat" | "ball" | "V" | "bull" | "drill";

/** A cutter. */
export interface Tool {
  readonly number: number;
  readonly shape: ToolShape;
  /** Cutting diameter, mm (the largest, for a V cutter). */
  readonly diameter: number;
  /** Full point angle, radians: V cutters and drills. */
  readonly angle?: number;
  /** Flat at the tip of a V cutter, mm. */
  readonly tipDiameter?: number;
  /** Corner radius of a bull-nose cutter, mm. */
  readonly cornerRadius?: number;
  readonly flutes?: number;
  /** Length of the cutting edges, mm. */
  readonly cuttingLength?: number;
  readonly source: Source;
}

/** The board in force. Undeclared facts are undefined, never guessed. */
export interface Stock {
  /** Name of the board in the job file, if it has one. */
  readonly name?: string;
  /** Measured thickness, mm. */
  readonly thickness?: Sourced<number>;
  /** Width (X) and depth (Y), mm. */
  readonly size?: Sourced<readonly [number, number]>;
  /** Place of the board's lower-left corner in the stock frame, mm. */
  readonly corner?: Sourced<readonly [number, number]>;
  /** What Z0 lies on. */
  readonly zero: Sourced<"top" | "bed">;
  readonly material?: Sourced<string>;
  /** Thickness of tape between board and bed, mm; undefined: none. */
  readonly tape?: Sourced<number>;
}

/** One addend of the through allowance. */
export interface AllowanceTerm {
  readonly name:
    "measuring error" | "thickness variation" | "bed unevenness" | "touch-off error" | "tape under the stock";
  /** mm; the tape is negative. */
  readonly value: number;
  readonly source: Source;
}

/** How much deeper than the underside a cut must go to be sure of going through (design section 5). */
export interface ThroughAllowance {
  readonly terms: readonly AllowanceTerm[];
  /** Sum of the terms, mm, never below 0. */
  readonly worstCase: number;
  /** Root of the sum of squares of the error terms less the tape, mm, never below 0. */
  readonly rootSumSquare: number;
  readonly judgedBy: "worst case" | "root-sum-square";
  /** The one that judges, counted from the underside without tape, mm. */
  readonly required: number;
  /**
   * How far below the real underside (tape included) a cut must go, mm: the error terms by `judgedBy`, without the
   * tape. This is what rules compare with.
   */
  readonly overcut: number;
}

/** A statement about certain cuts. */
export interface CutIntent {
  /** Which: operation name (case-insensitive), one-based line, or a place in the plane (mm). */
  readonly where:
    | { readonly kind: "operation"; readonly name: string }
    | { readonly kind: "line"; readonly line: number }
    | { readonly kind: "place"; readonly x: number; readonly y: number };
  /** Program the statement is about; undefined: every program of the job. */
  readonly program?: string;
  readonly goes: "through" | "partway";
  /** With "partway": the skin meant to be left, mm. */
  readonly leaves?: number;
  readonly source: Source;
}

/** A comment that silences one finding. */
export interface Silence {
  readonly rule: string;
  /** Zero-based line of the comment. */
  readonly line: number;
  /** Zero-based line it applies to: its own if it shares a block, else the next line that has words. */
  readonly appliesTo: number;
  readonly reason: string;
}

export interface HoldDown {
  readonly kind: "screw" | "clamp" | "tape";
  readonly at: readonly [number, number];
  /** Radius to keep out of, mm. */
  readonly keepOut: number;
  /** Height above the stock top, mm. */
  readonly height: number;
}

/** The machine profile: belongs to the shop, so it comes from the settings. */
export interface MachineProfile {
  /** mm/min per axis. */
  readonly rapidRate: readonly [number, number, number];
  /** mm/s^2 per axis. */
  readonly acceleration: readonly [number, number, number];
  /** mm/min per axis when cutting. */
  readonly topFeed: readonly [number, number, number];
  /** Travel in mm per axis, undefined: not stated. */
  readonly travel?: readonly [number, number, number];
  /** G54's zero in machine coordinates, mm; undefined: not stated, so moves to machine places are not judged. */
  readonly workZero?: readonly [number, number, number];
  /** Reference points of G28 and G30 in machine coordinates, mm. */
  readonly home28: readonly [number, number, number];
  readonly home30: readonly [number, number, number];
  /** Which axes a G28/G30 block with axis words sends home. */
  readonly homeAxes: "all" | "named";
  /** Offsets of G55 to G59.3 from G54, mm, by code ("G55"). Undeclared ones are not known. */
  readonly workOffsets: Readonly<Record<string, readonly [number, number, number]>>;
  /** Units and arc-centre mode a program starts in. */
  readonly startUnits: "mm" | "in";
  readonly arcCentres: "incremental" | "absolute";
  /** Seconds. */
  readonly toolChangeSeconds: number;
  readonly spindleStartSeconds: number;
  readonly source: Source;
}

/** Everything declared, for one program. */
export interface JobFacts {
  /** Job file used, if any. */
  readonly jobFile?: string;
  /** Programs of the job in run order, as absolute paths, when there is a job file. */
  readonly programs: readonly string[];
  /** Names of the boards the job file declares, in its order. */
  readonly boards: readonly string[];
  readonly stock: Stock;
  readonly tools: ReadonlyMap<number, Tool>;
  readonly bedThickness?: Sourced<number>;
  /** Deepest cut allowed below the underside, mm. */
  readonly deepestBedCut: Sourced<number>;
  readonly allowance: ThroughAllowance;
  /** Inference band around the underside, mm (design section 5); undefined without a thickness. */
  readonly throughBand?: number;
  readonly intents: readonly CutIntent[];
  readonly silences: readonly Silence[];
  readonly holdDowns: readonly HoldDown[];
  /** Severity by rule id. */
  readonly severities: Readonly<Record<string, "error" | "warning" | "info" | "off">>;
  readonly machine: MachineProfile;
  /** Problems in the job file or the directive comments, ready to show. */
  readonly problems: readonly JobProblem[];
}

/** Something wrong in a job file, a directive comment or the settings. */
export interface JobProblem {
  readonly rule:
    "job-unreadable" | "job-invalid" | "declaration-unclear" | "silence-without-reason" | "job-ambiguous";
  readonly file: string;
  /** Zero-based offsets in that file's text. */
  readonly line: number;
  readonly start: number;
  readonly end: number;
  /** A whole sentence that names the remedy. */
  readonly message: string;
}

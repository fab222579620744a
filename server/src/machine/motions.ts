/**
 * What the machine does, in order: motions in typed arrays.
 *
 * Places are in the *stock frame*: millimetres, right-handed, the origin where the program's first work
 * zero (G54) is. A change of work coordinates (G92, G55 ...) moves the numbers a program writes, not the
 * places here, so motion `i` always starts where motion `i - 1` ended.
 */

/** Kind of a motion. */
export const MotionKind = { rapid: 0, feed: 1, arc: 2, dwell: 3 } as const;
export type MotionKind = (typeof MotionKind)[keyof typeof MotionKind];
export const motionKindNames = ["rapid", "feed", "arc", "dwell"] as const;

/** Plane of an arc: the two axes that turn and the axis along which a helix climbs. */
export const Plane = { xy: 0, zx: 1, yz: 2 } as const;
export type Plane = (typeof Plane)[keyof typeof Plane];
export const planeNames = ["XY", "ZX", "YZ"] as const;
/** For each plane: first axis, second axis, axis of the helix (0 = X, 1 = Y, 2 = Z). */
export const planeAxes = [
  [0, 1, 2],
  [2, 0, 1],
  [1, 2, 0],
] as const;

/** Bits of `Motions.flags`. */
export const MotionFlag = {
  /** Where this motion starts is not known on some axis (program start, machine reference point). */
  startUnknown: 1,
  /** Where this motion ends is not known on some axis. */
  endUnknown: 2,
  /** Made by a canned cycle. */
  fromCycle: 4,
  /** Follows a block that was not understood: its place or state may be wrong. */
  inDoubt: 8,
  /** Made under inverse-time feed. */
  inverseTime: 16,
} as const;

/** All motions of a program. Arrays are at least `count` long (places `count + 1`); use `count`, not lengths. */
export interface Motions {
  readonly count: number;
  readonly kind: Uint8Array;
  readonly flags: Uint8Array;
  /** Zero-based source line. */
  readonly line: Uint32Array;
  /** Places, mm: motion `i` goes from entry `i` to entry `i + 1`. */
  readonly x: Float64Array;
  readonly y: Float64Array;
  readonly z: Float64Array;
  /** Feed along the path, mm/min; 0 for rapids and dwells and where no feed was ever set. */
  readonly feed: Float64Array;
  /** Tool number in the spindle. 0: none stated. */
  readonly tool: Uint16Array;
  /** Spindle speed, rev/min: positive clockwise, negative counter-clockwise, 0 off. */
  readonly spindle: Float32Array;
  /** Index into `arcs`, or -1. */
  readonly arc: Int32Array;
  readonly arcs: Arcs;
  /** Length of each dwell in seconds, by motion. */
  readonly dwellSeconds: ReadonlyMap<number, number>;
}

/** Arcs by arc index. */
export interface Arcs {
  readonly count: number;
  readonly plane: Uint8Array;
  /** Centre on the plane's first and second axis, mm. */
  readonly centreA: Float64Array;
  readonly centreB: Float64Array;
  /** Angle turned, radians: positive counter-clockwise seen against the plane's third axis; whole turns included. */
  readonly sweep: Float64Array;
}

/** Something that happens between motions. `motion` is the index of the first motion after it. */
export type MachineEvent =
  | { readonly kind: "tool"; readonly line: number; readonly motion: number; readonly tool: number }
  | { readonly kind: "spindle"; readonly line: number; readonly motion: number; readonly speed: number }
  | { readonly kind: "stop"; readonly line: number; readonly motion: number; readonly optional: boolean }
  | { readonly kind: "end"; readonly line: number; readonly motion: number };

/** The result of interpreting a program. */
export interface Toolpath {
  readonly motions: Motions;
  readonly events: readonly MachineEvent[];
  /** First motion made by each line; length `lineCount + 1` (a line's motions are `[first[l], first[l+1])`). */
  readonly firstMotionOfLine: Uint32Array;
  /** Units in force at the end, and the line that first stated them (-1 never stated). */
  readonly units: "mm" | "in";
  readonly unitsLine: number;
  /** Line of M2/M30 (or the closing `%`), -1 without. */
  readonly endLine: number;
  /** First line that was not understood, -1 when all was read. */
  readonly doubtFromLine: number;
  readonly problems: readonly import("../language/program.ts").Problem[];
}

import type { Arcs, Motions } from "./motions.ts";

/** Growing columns of motions: the one writer of `Motions`. */
export class MotionTable {
  count = 0;
  private size = 1024;
  private kind = new Uint8Array(1024);
  private flags = new Uint8Array(1024);
  private line = new Uint32Array(1024);
  private x = new Float64Array(1025);
  private y = new Float64Array(1025);
  private z = new Float64Array(1025);
  private feed = new Float64Array(1024);
  private tool = new Uint16Array(1024);
  private spindle = new Float32Array(1024);
  private arc = new Int32Array(1024).fill(-1);
  private readonly arcs = new ArcTable();
  private readonly dwells = new Map<number, number>();

  /** @param size motions to make room for at first */
  constructor(size = 1024) {
    if (size > 1024) this.resize(size);
  }

  /** Adds a motion that ends at (x, y, z), mm; it starts where the one before ended. Returns its index. */
  add(
    kind: number,
    flags: number,
    line: number,
    x: number,
    y: number,
    z: number,
    feed: number,
    tool: number,
    spindle: number,
  ): number {
    if (this.count === this.size) this.resize(this.size * 2);
    const i = this.count++;
    this.kind[i] = kind;
    this.flags[i] = flags;
    this.line[i] = line;
    this.x[i + 1] = x;
    this.y[i + 1] = y;
    this.z[i + 1] = z;
    this.feed[i] = feed;
    this.tool[i] = tool;
    this.spindle[i] = spindle;
    return i;
  }

  /** Makes motion `i` an arc. Centre in mm on the plane's axes, sweep in radians. */
  setArc(i: number, plane: number, centreA: number, centreB: number, sweep: number): void {
    this.arc[i] = this.arcs.add(plane, centreA, centreB, sweep);
  }

  setDwell(i: number, seconds: number): void {
    this.dwells.set(i, seconds);
  }

  /** The columns cut to size. */
  finished(): Motions {
    this.resize(this.count);
    const { count, kind, flags, line, x, y, z, feed, tool, spindle, arc } = this;
    return {
      count,
      kind,
      flags,
      line,
      x,
      y,
      z,
      feed,
      tool,
      spindle,
      arc,
      arcs: this.arcs.finished(),
      dwellSeconds: this.dwells,
    };
  }

  private resize(size: number): void {
    this.size = size;
    this.kind = resized(this.kind, new Uint8Array(size));
    this.flags = resized(this.flags, new Uint8Array(size));
    this.line = resized(this.line, new Uint32Array(size));
    this.x = resized(this.x, new Float64Array(size + 1));
    this.y = resized(this.y, new Float64Array(size + 1));
    this.z = resized(this.z, new Float64Array(size + 1));
    this.feed = resized(this.feed, new Float64Array(size));
    this.tool = resized(this.tool, new Uint16Array(size));
    this.spindle = resized(this.spindle, new Float32Array(size));
    const arc = new Int32Array(size).fill(-1);
    this.arc = resized(this.arc, arc);
  }
}

class ArcTable {
  private count = 0;
  private plane = new Uint8Array(64);
  private centreA = new Float64Array(64);
  private centreB = new Float64Array(64);
  private sweep = new Float64Array(64);

  add(plane: number, centreA: number, centreB: number, sweep: number): number {
    if (this.count === this.plane.length) this.resize(this.count * 2);
    const i = this.count++;
    this.plane[i] = plane;
    this.centreA[i] = centreA;
    this.centreB[i] = centreB;
    this.sweep[i] = sweep;
    return i;
  }

  finished(): Arcs {
    this.resize(this.count);
    const { count, plane, centreA, centreB, sweep } = this;
    return { count, plane, centreA, centreB, sweep };
  }

  private resize(size: number): void {
    this.plane = resized(this.plane, new Uint8Array(size));
    this.centreA = resized(this.centreA, new Float64Array(size));
    this.centreB = resized(this.centreB, new Float64Array(size));
    this.sweep = resized(this.sweep, new Float64Array(size));
  }
}

type Column = Uint8Array | Uint16Array | Uint32Array | Int32Array | Float32Array | Float64Array;

/** Copies as much of `from` as fits into `to`. */
function resized<T extends Column>(from: T, to: T): T {
  to.set(from.length > to.length ? from.subarray(0, to.length) : from);
  return to;
}

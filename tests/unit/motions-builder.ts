/** Builds motions by hand for tests, without a program text. Lengths in mm, angles in radians. */
import { MotionTable } from "../../server/src/machine/motion-table.ts";
import { MotionFlag, MotionKind, Plane, type Motions } from "../../server/src/machine/motions.ts";

type Place = readonly [number, number, number];

/** Collects motions from a known start. The first motion is a rapid to that start from nowhere. */
export class MotionsBuilder {
  private readonly table = new MotionTable();
  private at: [number, number, number];
  private tool = 1;

  constructor(start: Place = [0, 0, 5]) {
    this.at = [...start];
    this.add(MotionKind.rapid, start, MotionFlag.startUnknown | MotionFlag.endUnknown);
  }

  useTool(tool: number): this {
    this.tool = tool;
    return this;
  }

  rapid(x: number, y: number, z = this.at[2]): this {
    this.add(MotionKind.rapid, [x, y, z]);
    return this;
  }

  feed(x: number, y: number, z = this.at[2], flags = 0): this {
    this.add(MotionKind.feed, [x, y, z], flags);
    return this;
  }

  dwell(): this {
    this.add(MotionKind.dwell, this.at);
    return this;
  }

  /** An arc around a centre (on the plane's two axes) to a place; `sweep` as in `Arcs`. */
  arc(to: Place, centre: readonly [number, number], sweep: number, plane: number = Plane.xy): this {
    const i = this.add(MotionKind.arc, to);
    this.table.setArc(i, plane, centre[0], centre[1], sweep);
    return this;
  }

  /** Number of motions so far. */
  get count(): number {
    return this.table.count;
  }

  done(): Motions {
    return this.table.finished();
  }

  private add(kind: number, to: Place, flags = 0): number {
    this.at = [...to];
    return this.table.add(kind, flags, this.table.count, to[0], to[1], to[2], 1000, this.tool, 18000);
  }
}

/** Motions to passes. Lengths in mm, times in s. */
import { motionExtent, motionLength } from "../machine/geometry.ts";
import { MotionFlag, MotionKind, type Motions } from "../machine/motions.ts";

/** A pass before it is matched with others. */
export interface RawPass {
  readonly first: number;
  /** One past the last motion. */
  readonly end: number;
  readonly tool: number;
  /** Counts the tool changes: passes of one run may belong to one cut. */
  readonly run: number;
  readonly bottom: number;
  readonly bottomMotion: number;
  readonly length: number;
  readonly seconds: number;
  readonly extent: readonly [number, number, number, number];
  /** First motion that moves in the plane at the pass's own level, or the first one. */
  readonly levelFirst: number;
}

/** Moves in the plane and levels closer than this are none, mm. */
export const still = 1e-6;

/**
 * Splits the motions into passes. Cutting motions are feeds and arcs that come below `top`; where the top is not
 * known, all that do not merely rise. A pass ends at a rapid, at a feed that leaves the stock, and where a plunge leads
 * to a new, lower level; the plunge belongs to the level it leads into. Dwells do not end a pass.
 */
export function splitPasses(motions: Motions, top: number | undefined): RawPass[] {
  const { count, kind, flags, x, y, z, tool, feed } = motions;
  const surface = top ?? Infinity;
  const passes: RawPass[] = [];
  let first = -1;
  let run = 0;
  let lastTool = -1;
  let contact: Contact | undefined;

  const close = (end: number) => {
    if (first >= 0 && contact) passes.push(contact.finished(first, end, run));
    first = -1;
    contact = undefined;
  };

  for (let i = 0; i < count; i++) {
    if (kind[i] === MotionKind.dwell) continue;
    if (tool[i] !== lastTool) {
      close(i);
      lastTool = tool[i];
      run++;
    }
    if (kind[i] === MotionKind.rapid || flags[i] & MotionFlag.endUnknown) {
      close(i);
      continue;
    }
    const flat = x[i] === x[i + 1] && y[i] === y[i + 1] && motions.arc[i] < 0;
    const rises = z[i + 1] > z[i] && flat;
    // An arc in an upright plane can dip below both its ends.
    const lowest = motions.arc[i] >= 0 ? motionExtent(motions, i)[2] : Math.min(z[i], z[i + 1]);
    const cutting =
      lowest < surface - still && !(rises && (top === undefined || z[i + 1] >= surface - still));
    if (!cutting) {
      close(i);
      continue;
    }
    const plunges = flat && z[i + 1] < z[i] - still;
    // A plunge to a level below all of this contact, after some moving in the plane, begins the next pass.
    if (contact && plunges && z[i + 1] < contact.bottom - still && contact.moved) close(i);
    if (!contact) {
      first = i;
      contact = new Contact(motions);
    }
    contact.add(i, lowest, flat, motionLength(motions, i), feed[i]);
  }
  close(count);
  return passes;
}

/** What is gathered while the cutter stays in the wood. */
class Contact {
  bottom = Infinity;
  moved = false;
  private bottomMotion = -1;
  private length = 0;
  private seconds = 0;
  private levelFirst = -1;
  private x0 = Infinity;
  private y0 = Infinity;
  private x1 = -Infinity;
  private y1 = -Infinity;

  constructor(private readonly motions: Motions) {}

  add(i: number, lowest: number, flat: boolean, length: number, feed: number): void {
    const { x, y, flags, arc } = this.motions;
    if (lowest < this.bottom - still) {
      this.bottom = lowest;
      this.bottomMotion = i;
    }
    if (!flat) {
      this.moved = true;
      if (this.levelFirst < 0) this.levelFirst = i;
    }
    if (flags[i] & MotionFlag.startUnknown) {
      // Where it comes from is not known: only its end belongs to the path.
      this.include(x[i + 1], y[i + 1], x[i + 1], y[i + 1]);
      return;
    }
    this.length += length;
    if (feed > 0) this.seconds += (length / feed) * 60;
    if (arc[i] >= 0) {
      const extent = motionExtent(this.motions, i);
      this.include(extent[0], extent[1], extent[3], extent[4]);
    } else {
      this.include(
        Math.min(x[i], x[i + 1]),
        Math.min(y[i], y[i + 1]),
        Math.max(x[i], x[i + 1]),
        Math.max(y[i], y[i + 1]),
      );
    }
  }

  finished(first: number, end: number, run: number): RawPass {
    const { x0, y0, x1, y1, bottom, bottomMotion, length, seconds } = this;
    return {
      first,
      end,
      tool: this.motions.tool[first],
      run,
      bottom,
      bottomMotion,
      length,
      seconds,
      extent: [x0, y0, x1, y1],
      levelFirst: this.levelFirst < 0 ? first : this.levelFirst,
    };
  }

  private include(x0: number, y0: number, x1: number, y1: number): void {
    if (x0 < this.x0) this.x0 = x0;
    if (y0 < this.y0) this.y0 = y0;
    if (x1 > this.x1) this.x1 = x1;
    if (y1 > this.y1) this.y1 = y1;
  }
}

/** Cutting motions, and the passes they make: from retract to retract, or one level of a stepped-down cut. */
import { motionExtent, motionLength } from "../machine/geometry.ts";
import { MotionFlag, MotionKind, Plane, type Motions } from "../machine/motions.ts";
import { planLength, stretchExtent, stretchLength, type Extent, type Stretch } from "./plan-path.ts";
import { roundStarts } from "./rounds.ts";

/** Heights closer than this are one level, mm: programs write three or four decimals. */
export const sameLevel = 1e-4;
/** Share of a pass that must run at its lowest level before it counts as level work. */
const levelShare = 0.25;
/** Level work shorter than this share of the cutter's diameter is a step on the way down, not a level. */
const shortestLevel = 0.2;

/** A pass before it is given to a cut. Lengths in mm. */
export interface FoundPass extends Stretch {
  readonly tool: number;
  readonly bottom: number;
  readonly bottomMotion: number;
  /** Along the path, with climbs and plunges. */
  readonly length: number;
  readonly seconds: number;
  readonly extent: Extent;
  /** Without the way down to the level and the way out of it: what paths are compared and named by. */
  readonly core: Stretch;
  readonly coreExtent: Extent;
  /** Length of the core seen from above. */
  readonly coreLength: number;
  /** True where the core runs at the pass's lowest level, but for tabs. */
  readonly level: boolean;
}

/**
 * All passes of a program in order.
 *
 * A motion cuts when it is a feed or an arc whose lower end lies below the top. Without a known top, the
 * height of the last rapid in the plane stands for it: what a rapid travelled over is clear. Motions that end
 * at an unknown place belong to no pass. A helix is one pass, with the round at its bottom.
 * @param top Z of the stock's top, mm
 * @param diameterOf diameter of a tool, mm
 */
export function findPasses(
  motions: Motions,
  top: number | undefined,
  diameterOf: (tool: number) => number,
): FoundPass[] {
  const { count, kind, flags, tool, z } = motions;
  const passes: FoundPass[] = [];
  const descent = new Descent();
  const addPass = (from: number, to: number) => {
    const pass = measure(motions, from, to);
    const starts = pass.level ? roundStarts(motions, pass.core) : [];
    if (starts.length === 0) passes.push(pass);
    else [from, ...starts].forEach((start, k) => passes.push(measure(motions, start, starts[k] ?? to)));
  };
  let first = -1;
  let clear = top ?? Infinity;

  const close = (end: number) => {
    if (first < 0) return;
    let last = end;
    // Without a top, a climb straight up that ends a pass is a retract.
    if (top === undefined)
      while (last > first && (isClimb(motions, last - 1) || isDwell(motions, last - 1))) last--;
    if (last > first) addPass(first, last);
    first = -1;
  };

  for (let i = 0; i < count; i++) {
    if (kind[i] === MotionKind.dwell) continue;
    if (kind[i] === MotionKind.rapid || flags[i] & MotionFlag.endUnknown) {
      close(i);
      if (top === undefined) clear = clearHeight(motions, i) ?? clear;
      continue;
    }
    if (lowerEnd(motions, i) >= clear - sameLevel) {
      close(i);
      continue;
    }
    if (first >= 0 && tool[i] !== tool[first]) close(i);
    if (first >= 0 && descent.beginsLevel(motions, i, shortestLevel * diameterOf(tool[i]))) close(i);
    if (first < 0) {
      first = i;
      descent.start();
    }
    descent.add(motions, i);
    if (z[i + 1] >= clear - sameLevel) close(i + 1);
  }
  close(count);
  return passes;
}

/** Height a rapid in the plane travels at, mm; undefined for other motions and unknown places. */
function clearHeight({ kind, flags, x, y, z }: Motions, i: number): number | undefined {
  if (kind[i] !== MotionKind.rapid || flags[i] & MotionFlag.endUnknown) return undefined;
  if (flags[i] & MotionFlag.startUnknown) return z[i + 1];
  return x[i] !== x[i + 1] || y[i] !== y[i + 1] ? Math.min(z[i], z[i + 1]) : undefined;
}

/** Follows one contact with the stock to see where the next level begins. */
class Descent {
  private low = Infinity;
  /** Length at the lowest level, and length since that level was first run along, mm in plan. */
  private flat = 0;
  private since = 0;
  /** It rose along its path before any level work: a carved surface, which has no levels. */
  private carved = false;

  start(): void {
    this.low = Infinity;
    this.flat = 0;
    this.since = 0;
    this.carved = false;
  }

  /** Whether motion `i` leaves finished level work for a lower level. */
  beginsLevel(motions: Motions, i: number, shortest: number): boolean {
    const { z } = motions;
    if (z[i + 1] >= this.low - sameLevel || z[i + 1] >= z[i]) return false;
    return !this.carved && this.flat > shortest && this.flat >= levelShare * this.since;
  }

  add(motions: Motions, i: number): void {
    const { z } = motions;
    const plan = planLength(motions, i);
    const known = !(motions.flags[i] & MotionFlag.startUnknown);
    if (z[i + 1] < this.low - sameLevel) {
      this.low = z[i + 1];
      this.flat = 0;
      this.since = 0;
    }
    const level = known && Math.abs(z[i + 1] - z[i]) <= sameLevel && z[i + 1] <= this.low + sameLevel;
    if (level) this.flat += plan;
    else if (known && this.flat === 0 && plan > 0 && z[i + 1] > z[i] + sameLevel) this.carved = true;
    if (this.flat > 0) this.since += plan;
  }
}

/** Lowest Z a motion reaches, mm. */
function lowerEnd(motions: Motions, i: number): number {
  const { z } = motions;
  if (motions.flags[i] & MotionFlag.startUnknown) return z[i + 1];
  const arc = motions.arc[i];
  // An upright arc may dip below both its ends.
  if (arc >= 0 && motions.arcs.plane[arc] !== Plane.xy) return motionExtent(motions, i)[2];
  return z[i] < z[i + 1] ? z[i] : z[i + 1];
}

function isDwell(motions: Motions, i: number): boolean {
  return motions.kind[i] === MotionKind.dwell;
}

function isClimb(motions: Motions, i: number): boolean {
  return motions.z[i + 1] > motions.z[i] && planLength(motions, i) === 0;
}

function measure(motions: Motions, first: number, end: number): FoundPass {
  const { feed, dwellSeconds, kind } = motions;
  let bottom = Infinity;
  let bottomMotion = first;
  let length = 0;
  let seconds = 0;
  for (let i = first; i < end; i++) {
    if (kind[i] === MotionKind.dwell) {
      seconds += dwellSeconds.get(i) ?? 0;
      continue;
    }
    const low = lowerEnd(motions, i);
    if (low < bottom - 1e-9) {
      bottom = low;
      bottomMotion = i;
    }
    if (motions.flags[i] & MotionFlag.startUnknown) continue;
    const own = motionLength(motions, i);
    length += own;
    if (feed[i] > 0) seconds += (own / feed[i]) * 60;
  }
  const core = levelCore(motions, first, end, bottom);
  const whole = { first, end };
  const extent = stretchExtent(motions, whole);
  return {
    first,
    end,
    tool: motions.tool[first],
    bottom,
    bottomMotion,
    length,
    seconds,
    extent,
    core: core ?? whole,
    coreExtent: core ? stretchExtent(motions, core) : extent,
    coreLength: stretchLength(motions, core ?? whole),
    level: core !== undefined,
  };
}

/** From the first to the last motion along the bottom; undefined where the pass is no level work. */
function levelCore(motions: Motions, first: number, end: number, bottom: number): Stretch | undefined {
  const { z } = motions;
  const start = firstAtBottom(motions, first, end, bottom);
  if (start < 0) return undefined;
  let last = start;
  let flat = 0;
  let since = 0;
  for (let i = start; i < end; i++) {
    const plan = planLength(motions, i);
    since += plan;
    if (plan <= 0 || z[i] > bottom + sameLevel || z[i + 1] > bottom + sameLevel) continue;
    flat += plan;
    last = i;
  }
  return flat >= levelShare * since ? { first: start, end: last + 1 } : undefined;
}

/** First motion along the bottom, if the way to it never rises along the path; else -1. */
function firstAtBottom(motions: Motions, first: number, end: number, bottom: number): number {
  const { z } = motions;
  for (let i = first; i < end; i++) {
    const plan = planLength(motions, i);
    if (plan <= 0) continue;
    if (z[i + 1] > z[i] + sameLevel) return -1;
    if (z[i] <= bottom + sameLevel && z[i + 1] <= bottom + sameLevel) return i;
  }
  return -1;
}

/** The surface that a motion's cutter leaves, exact at every point (design section 6). Lengths in mm. */
import { MotionFlag, MotionKind, Plane, type Motions } from "../machine/motions.ts";
import { ChordPath } from "./chords.ts";
import type { Cutter } from "./cutter.ts";
import { RoundSweep } from "./round.ts";
import { StraightSweep } from "./straight.ts";

/** How the surface of a motion is worked out. */
export const SweepForm = { none: 0, straight: 1, round: 2, chords: 3 } as const;
export type SweepForm = (typeof SweepForm)[keyof typeof SweepForm];

/**
 * One motion's swept surface. Load a motion, then ask. Made once and loaded again and again: loading
 * allocates nothing.
 */
export class Sweep {
  form: SweepForm = SweepForm.none;
  readonly straight = new StraightSweep();
  readonly round = new RoundSweep();
  readonly chords = new ChordPath();
  private reach = 0;

  /**
   * @param reach how far from its axis the cutter counts, mm; at most its radius
   *
   * A motion whose start is not known counts by its end alone; one whose end is not known, or a dwell, has
   * no surface.
   */
  load(motions: Motions, i: number, cutter: Cutter, reach: number): void {
    const { x, y, z, arcs } = motions;
    const flags = motions.flags[i];
    const to = i + 1;
    this.reach = reach;
    if (motions.kind[i] === MotionKind.dwell || flags & MotionFlag.endUnknown || !(reach > 0)) {
      this.form = SweepForm.none;
      return;
    }
    const from = flags & MotionFlag.startUnknown ? to : i;
    const arc = motions.arc[i];
    if (arc < 0 || from === to) {
      this.form = SweepForm.straight;
      this.straight.setCutter(cutter, reach);
      this.straight.setPath(x[from], y[from], z[from], x[to], y[to], z[to]);
      return;
    }
    if (arcs.plane[arc] === Plane.xy) {
      const centreX = arcs.centreA[arc];
      const centreY = arcs.centreB[arc];
      const sweep = arcs.sweep[arc];
      const radius0 = Math.hypot(x[i] - centreX, y[i] - centreY);
      const radius1 = Math.hypot(x[to] - centreX, y[to] - centreY);
      if (RoundSweep.holds(cutter.profile, radius0, radius1, sweep, z[i], z[to])) {
        this.form = SweepForm.round;
        this.round.setCutter(cutter, reach);
        this.round.setPath(x[i], y[i], z[i], x[to], y[to], z[to], centreX, centreY, sweep);
        return;
      }
    }
    this.form = SweepForm.chords;
    this.chords.load(motions, i);
    this.straight.setCutter(cutter, reach);
  }

  /** Sets `straight` to chord `j` of a motion in chords. */
  loadChord(j: number): void {
    const { chords } = this;
    chords.go(j);
    const { x, y, z } = chords;
    chords.go(j + 1);
    this.straight.setPath(x, y, z, chords.x, chords.y, chords.z);
  }

  /** Height of the swept surface over a point, mm; Infinity where the cutter does not pass. */
  over(px: number, py: number): number {
    switch (this.form) {
      case SweepForm.none:
        return Infinity;
      case SweepForm.straight:
        return this.straight.over(px, py);
      case SweepForm.round:
        return this.round.over(px, py);
      case SweepForm.chords:
        return this.overChords(px, py);
    }
  }

  private overChords(px: number, py: number): number {
    const { chords, straight, reach } = this;
    const { count, longest } = chords;
    let lowest = Infinity;
    let j = 0;
    while (j < count) {
      chords.go(j);
      const dx = px - chords.x;
      const dy = py - chords.y;
      const away = Math.sqrt(dx * dx + dy * dy) - reach;
      if (away > longest) {
        // Each chord brings the cutter nearer by its length at most.
        j += Math.floor(away / longest);
        continue;
      }
      this.loadChord(j);
      const height = straight.over(px, py);
      if (height < lowest) lowest = height;
      j++;
    }
    return lowest;
  }
}

const shared = new Sweep();

/**
 * Lowest cutter surface of motion `i` over the point (px, py), mm in the stock frame; Infinity where the
 * cutter does not pass. Exact for straight motions, for arcs in the XY plane that stay level, and for helices
 * of flat cutters; other arcs go by chords that stand off them by 0.0001 mm at most.
 */
export function surfaceOver(motions: Motions, i: number, cutter: Cutter, px: number, py: number): number {
  if (motions.arc[i] < 0) {
    const { x, y } = motions;
    const { radius } = cutter;
    // Most motions of a program are nowhere near the point (an unknown start is only ever a wider box).
    if (px > x[i] + radius && px > x[i + 1] + radius) return Infinity;
    if (px < x[i] - radius && px < x[i + 1] - radius) return Infinity;
    if (py > y[i] + radius && py > y[i + 1] + radius) return Infinity;
    if (py < y[i] - radius && py < y[i + 1] - radius) return Infinity;
  }
  shared.load(motions, i, cutter, cutter.radius);
  return shared.over(px, py);
}

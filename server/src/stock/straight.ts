/** What a cutter sweeps on a straight motion, exact at every point. Lengths in mm. */
import { narrowShare, shareWithin, type CellShape } from "./cell-share.ts";
import { Profile, profileHeight, type Cutter } from "./cutter.ts";
import type { SweptSurface } from "./swept-surface.ts";

/** In the plane, a motion shorter than this stands still: only its lower end counts. */
const upright = 1e-9;
/** A track whose direction is off an axis by less than this runs along it: over 10 m it strays 1e-8 mm. */
const alongAxis = 1e-12;
/** Widening of row stretches along an axis for that, mm. */
const slack = 1e-7;
/** A bull nose's lowest point on a ramp is sought to this, mm, in so many steps at most. */
const alongTolerance = 1e-9;
const mostSteps = 60;

/**
 * The surface of one straight motion: the minimum over the motion of tip height plus cutter profile. Along
 * the track that sum is convex for every profile, so the minimum of the endless track, moved to the nearest
 * end of what the motion covers, is the minimum of the motion.
 */
export class StraightSweep implements SweptSurface {
  minX = 0;
  maxX = 0;
  minY = 0;
  maxY = 0;
  lowest = 0;
  isLevelFlat = false;
  reach = 0;
  away = 0;
  within = false;
  awayX = 0;
  awayY = 0;
  /**
   * Set where all that lies behind the start was covered before: rows then begin abeam of the start.
   * A new path has it unset.
   */
  joined = false;
  spanFrom = 0;
  spanTo = 0;
  secondFrom = 0;
  secondTo = 0;

  private x0 = 0;
  private y0 = 0;
  private z0 = 0;
  private x1 = 0;
  private y1 = 0;
  /** Unit vector along the track, its length in the plane and the rise per mm of it. */
  private ux = 1;
  private uy = 0;
  /** Way along the track per mm of x and of y: infinite where it runs along the other axis. */
  private perUx = 1;
  private perUy = Infinity;
  private length = 0;
  private slope = 0;
  private reach2 = 0;
  private perReach = 0;
  private profile: Profile = Profile.flat;
  private radius = 0;
  private flatRadius = 0;
  private rise = 0;
  private cornerRadius = 0;

  /** @param reach how far from the axis the cutter counts; its radius, or a little less for the careful */
  setCutter(cutter: Cutter, reach: number): void {
    this.profile = cutter.profile;
    this.radius = cutter.radius;
    this.flatRadius = cutter.flatRadius;
    this.rise = cutter.rise;
    this.cornerRadius = cutter.cornerRadius;
    this.reach = reach;
    this.reach2 = reach * reach;
    this.perReach = 1 / reach;
  }

  setPath(x0: number, y0: number, z0: number, x1: number, y1: number, z1: number): void {
    const dx = x1 - x0;
    const dy = y1 - y0;
    const length = Math.sqrt(dx * dx + dy * dy);
    this.lowest = z0 < z1 ? z0 : z1;
    this.x1 = x1;
    this.y1 = y1;
    if (length < upright) {
      this.x0 = x1;
      this.y0 = y1;
      this.z0 = this.lowest;
      this.ux = 1;
      this.uy = 0;
      this.length = 0;
      this.slope = 0;
    } else {
      this.x0 = x0;
      this.y0 = y0;
      this.z0 = z0;
      this.ux = dx / length;
      this.uy = dy / length;
      this.perUx = length / dx;
      this.perUy = length / dy;
      this.length = length;
      this.slope = (z1 - z0) / length;
    }
    const { reach } = this;
    this.minX = (this.x0 < x1 ? this.x0 : x1) - reach;
    this.maxX = (this.x0 > x1 ? this.x0 : x1) + reach;
    this.minY = (this.y0 < y1 ? this.y0 : y1) - reach;
    this.maxY = (this.y0 > y1 ? this.y0 : y1) + reach;
    this.isLevelFlat = this.slope === 0 && this.profile === Profile.flat;
    this.joined = false;
  }

  over(px: number, py: number): number {
    const rx = px - this.x0;
    const ry = py - this.y0;
    const s = rx * this.ux + ry * this.uy;
    const d = rx * this.uy - ry * this.ux;
    const d2 = d * d;
    const { slope, length } = this;
    if (slope === 0) {
      const past = s < 0 ? s : s > length ? s - length : 0;
      const r2 = d2 + past * past;
      if (r2 > this.reach2) return Infinity;
      return this.profile === Profile.flat ? this.z0 : this.z0 + this.above(r2);
    }
    const half2 = this.reach2 - d2;
    if (half2 < 0) return Infinity;
    const half = Math.sqrt(half2);
    const from = -s > -half ? -s : -half;
    const to = length - s < half ? length - s : half;
    if (from > to) return Infinity;
    const lowestAt = this.lowestOnEndlessTrack(d2);
    const u = lowestAt < from ? from : lowestAt > to ? to : lowestAt;
    return this.z0 + slope * (s + u) + this.above(d2 + u * u);
  }

  /** Whether the cell around the point certainly lies within the outline wholly. */
  holds(px: number, py: number, cell: CellShape): boolean {
    const rx = px - this.x0;
    const ry = py - this.y0;
    const s = rx * this.ux + ry * this.uy;
    const d = rx * this.uy - ry * this.ux;
    const past = s < 0 ? s : s > this.length ? s - this.length : 0;
    const inner = this.reach - cell.reach;
    return inner > 0 && d * d + past * past <= inner * inner;
  }

  share(px: number, py: number, cell: CellShape): number {
    const rx = px - this.x0;
    const ry = py - this.y0;
    const { ux, uy, length, reach } = this;
    const s = rx * ux + ry * uy;
    const d = rx * uy - ry * ux;
    const past = s < 0 ? s : s > length ? s - length : 0;
    const r2 = d * d + past * past;
    const outer = reach + cell.reach;
    const inner = reach - cell.reach;
    if (r2 >= outer * outer) return 0;
    if (inner > 0 && r2 <= inner * inner) return 1;
    this.within = r2 <= this.reach2;
    if (inner <= 0) return this.narrowShare(past, d, r2, cell);
    let inside: number;
    if (past === 0 && length > 0) {
      inside = d < 0 ? reach + d : reach - d;
      this.awayX = d < 0 ? -uy : uy;
      this.awayY = d < 0 ? ux : -ux;
    } else {
      // Round the ends (R^2 - r^2) / 2R stands for R - r: the two differ by just what a cell's share of a
      // half plane and of a disc do, in the mean. With it 1/r follows to the second order.
      inside = (this.reach2 - r2) * 0.5 * this.perReach;
      const perAway = (1 + inside * this.perReach) * this.perReach;
      this.awayX = (past * ux + d * uy) * perAway;
      this.awayY = (past * uy - d * ux) * perAway;
    }
    this.away = reach - inside;
    return shareWithin(inside, this.awayX, this.awayY, 0, cell);
  }

  /** The same where the cutter is narrower than the cell. */
  private narrowShare(past: number, d: number, r2: number, cell: CellShape): number {
    const { ux, uy, length, reach } = this;
    const away = Math.sqrt(r2);
    this.away = away;
    this.awayX = away > 0 ? (past * ux + d * uy) / away : uy;
    this.awayY = away > 0 ? (past * uy - d * ux) / away : -ux;
    const area = (2 * length + Math.PI * reach) * reach;
    return narrowShare(reach, away, this.awayX, this.awayY, area, cell);
  }

  /** The capsule's extent on the row `y`. */
  spans(y: number, margin: number): number {
    const { x0, y0, x1, ux, uy, length, joined } = this;
    const reach = this.reach + margin;
    const reach2 = reach * reach;
    const fromStart = y - y0;
    let from = Infinity;
    let to = -Infinity;
    if (!joined) {
      const startHalf2 = reach2 - fromStart * fromStart;
      if (startHalf2 >= 0) {
        const half = Math.sqrt(startHalf2);
        from = x0 - half;
        to = x0 + half;
      }
    }
    if (length > 0) {
      const fromEnd = y - this.y1;
      const endHalf2 = reach2 - fromEnd * fromEnd;
      if (endHalf2 >= 0) {
        const half = Math.sqrt(endHalf2);
        if (x1 - half < from) from = x1 - half;
        if (x1 + half > to) to = x1 + half;
      }
      // The strip between the two ends: within reach of the track, and between its end normals.
      let stripFrom = -Infinity;
      let stripTo = Infinity;
      if (Math.abs(uy) > alongAxis) {
        const middle = x0 + fromStart * ux * this.perUy;
        const half = Math.abs(reach * this.perUy);
        stripFrom = middle - half;
        stripTo = middle + half;
      } else if (Math.abs(fromStart) > reach + slack) stripTo = -Infinity;
      if (Math.abs(ux) > alongAxis) {
        const a = x0 - fromStart * uy * this.perUx;
        const b = a + length * this.perUx;
        const low = a < b ? a : b;
        const high = a < b ? b : a;
        if (low > stripFrom) stripFrom = low;
        if (high < stripTo) stripTo = high;
        if (joined && ux > 0 && from < low) from = low;
        if (joined && ux < 0 && to > high) to = high;
      } else if (fromStart * uy < -slack) {
        stripTo = -Infinity;
        if (joined) return 0;
      } else if (fromStart * uy > length + slack) stripTo = -Infinity;
      if (stripFrom <= stripTo) {
        if (stripFrom < from) from = stripFrom;
        if (stripTo > to) to = stripTo;
      }
    }
    if (joined) {
      // What lies well within the end of the motion before was covered by it wholly.
      const core = this.reach - margin;
      const core2 = core * core - fromStart * fromStart;
      if (core > 0 && core2 > 0) {
        const half = Math.sqrt(core2);
        if (ux > 0 && from >= x0 - half && from < x0 + half) from = x0 + half;
        else if (ux < 0 && to <= x0 + half && to > x0 - half) to = x0 - half;
      }
    }
    this.spanFrom = from;
    this.spanTo = to;
    return from <= to ? 1 : 0;
  }

  private above(r2: number): number {
    return profileHeight(this.profile, this.radius, this.flatRadius, this.rise, this.cornerRadius, r2);
  }

  /**
   * Where the lowest cutter surface lies over a point at the squared distance `d2` from an endless sloping
   * track, along the track from the point's foot. Infinite: the farther downhill the lower.
   */
  private lowestOnEndlessTrack(d2: number): number {
    const { slope } = this;
    const steepness = Math.abs(slope);
    const downhill = slope > 0 ? -1 : 1;
    switch (this.profile) {
      case Profile.flat:
        return downhill * Infinity;
      case Profile.ball: {
        const q2 = this.radius * this.radius - d2;
        return q2 > 0 ? (-slope * Math.sqrt(q2)) / Math.sqrt(1 + slope * slope) : 0;
      }
      case Profile.V: {
        const { rise, flatRadius } = this;
        if (steepness >= rise) return downhill * Infinity;
        const onCone = (steepness * Math.sqrt(d2)) / Math.sqrt(rise * rise - slope * slope);
        const rim2 = flatRadius * flatRadius - d2;
        const rim = rim2 > 0 ? Math.sqrt(rim2) : 0;
        return downhill * (onCone > rim ? onCone : rim);
      }
      case Profile.bull:
        return downhill * this.lowestOnCorner(d2, steepness);
    }
  }

  /**
   * Where along the track the bull nose's corner is as steep as the track: the profile's slope there grows
   * from 0 at the rim of the flat part to upright at the radius. Regula falsi (the Illinois variant) on the
   * difference, which changes its sign once.
   */
  private lowestOnCorner(d2: number, steepness: number): number {
    const { flatRadius, cornerRadius, radius } = this;
    const rim2 = flatRadius * flatRadius - d2;
    const full2 = radius * radius - d2;
    if (full2 <= 0) return 0;
    let low = rim2 > 0 ? Math.sqrt(rim2) : 0;
    let high = Math.sqrt(full2);
    const startPast = Math.sqrt(d2 + low * low) - flatRadius;
    const startQ2 = cornerRadius * cornerRadius - startPast * startPast;
    let atLow = startPast * low - steepness * (startPast + flatRadius) * Math.sqrt(startQ2 > 0 ? startQ2 : 0);
    let atHigh = cornerRadius * high;
    let side = 0;
    for (let k = 0; k < mostSteps && high - low > alongTolerance; k++) {
      let u = (low * atHigh - high * atLow) / (atHigh - atLow);
      // Near the radius the corner turns upright within no distance: there halving is quicker.
      if (!(u > low && u < high) || k % 4 === 3) u = (low + high) / 2;
      const r = Math.sqrt(d2 + u * u);
      const past = r - flatRadius;
      const q2 = cornerRadius * cornerRadius - past * past;
      const at = past * u - steepness * r * Math.sqrt(q2 > 0 ? q2 : 0);
      if (at > 0) {
        high = u;
        atHigh = at;
        if (side > 0) atLow /= 2;
        side = 1;
      } else if (at < 0) {
        low = u;
        atLow = at;
        if (side < 0) atHigh /= 2;
        side = -1;
      } else return u;
    }
    return (low + high) / 2;
  }
}

/** What a cutter sweeps on an arc in the XY plane. Lengths in mm, angles in radians. */
import { narrowShare, shareWithin, type CellShape } from "./cell-share.ts";
import { Profile, profileHeight, type Cutter } from "./cutter.ts";
import type { SweptSurface } from "./swept-surface.ts";

const fullTurn = 2 * Math.PI;
/** End radii closer than this are one radius, their mean: half of it is lost. */
const sameRadius = 2e-4;
/**
 * Most a radius may change per radian, as a share of it, for the closed forms below to be used. The nearest
 * place on such a path lies in the point's own direction but for a share of (0.005)^2 / 2 of its distance.
 */
const gentlest = 0.005;

/**
 * The surface of one arc in the XY plane: level for every cutter, climbing for flat cutters. A radius that
 * changes a little on the way (an end point that is off) is followed.
 */
export class RoundSweep implements SweptSurface {
  minX = 0;
  maxX = 0;
  minY = 0;
  maxY = 0;
  lowest = 0;
  /** A ring is not convex. */
  readonly isLevelFlat = false;
  reach = 0;
  away = 0;
  within = false;
  awayX = 0;
  awayY = 0;
  spanFrom = 0;
  spanTo = 0;
  secondFrom = 0;
  secondTo = 0;

  private centreX = 0;
  private centreY = 0;
  /** From the centre to both ends. */
  private startX = 0;
  private startY = 0;
  private endX = 0;
  private endY = 0;
  private startAngle = 0;
  private turn = 0;
  private counterClockwise = true;
  private z0 = 0;
  private z1 = 0;
  private radius0 = 0;
  private radius1 = 0;
  private changes = false;
  private reach2 = 0;
  /** The place of the path nearest to the point asked last, and whether it lies in the point's direction. */
  private nearestX = 0;
  private nearestY = 0;
  private nearestAbeam = false;
  private profile: Profile = Profile.flat;
  private radius = 0;
  private flatRadius = 0;
  private rise = 0;
  private cornerRadius = 0;

  /** Whether the closed forms hold; otherwise the path must be split into chords. */
  static holds(
    profile: Profile,
    radius0: number,
    radius1: number,
    sweep: number,
    z0: number,
    z1: number,
  ): boolean {
    if (z0 !== z1 && profile !== Profile.flat) return false;
    const change = Math.abs(radius1 - radius0);
    if (change <= sameRadius) return true;
    const turn = Math.abs(sweep);
    return turn <= fullTurn + 1e-9 && change <= gentlest * turn * Math.min(radius0, radius1);
  }

  setCutter(cutter: Cutter, reach: number): void {
    this.profile = cutter.profile;
    this.radius = cutter.radius;
    this.flatRadius = cutter.flatRadius;
    this.rise = cutter.rise;
    this.cornerRadius = cutter.cornerRadius;
    this.reach = reach;
    this.reach2 = reach * reach;
  }

  /** From (x0, y0, z0) around the centre to (x1, y1, z1); `sweep` positive counter-clockwise, whole turns included. */
  setPath(
    x0: number,
    y0: number,
    z0: number,
    x1: number,
    y1: number,
    z1: number,
    centreX: number,
    centreY: number,
    sweep: number,
  ): void {
    this.centreX = centreX;
    this.centreY = centreY;
    this.startX = x0 - centreX;
    this.startY = y0 - centreY;
    this.endX = x1 - centreX;
    this.endY = y1 - centreY;
    this.z0 = z0;
    this.z1 = z1;
    this.lowest = Math.min(z0, z1);
    this.turn = Math.abs(sweep);
    this.counterClockwise = sweep > 0;
    this.startAngle = Math.atan2(this.startY, this.startX);
    this.radius0 = Math.hypot(this.startX, this.startY);
    this.radius1 = Math.hypot(this.endX, this.endY);
    this.changes = Math.abs(this.radius1 - this.radius0) > sameRadius;
    if (!this.changes) this.radius0 = this.radius1 = (this.radius0 + this.radius1) / 2;
    this.setExtent();
  }

  over(px: number, py: number): number {
    const rx = px - this.centreX;
    const ry = py - this.centreY;
    if (this.z0 !== this.z1) return this.overHelix(rx, ry);
    const r2 = this.nearest2(rx, ry);
    if (r2 > this.reach2) return Infinity;
    return (
      this.z0 + profileHeight(this.profile, this.radius, this.flatRadius, this.rise, this.cornerRadius, r2)
    );
  }

  share(px: number, py: number, cell: CellShape): number {
    const { reach } = this;
    const rx = px - this.centreX;
    const ry = py - this.centreY;
    const r2 = this.nearest2(rx, ry);
    const outer = reach + cell.reach;
    const inner = reach - cell.reach;
    if (r2 >= outer * outer) return 0;
    if (inner > 0 && r2 <= inner * inner) return 1;
    const away = Math.sqrt(r2);
    const { nearestX, nearestY } = this;
    const nx = away > 0 ? (rx - nearestX) / away : 1;
    const ny = away > 0 ? (ry - nearestY) / away : 0;
    this.away = away;
    this.within = r2 <= this.reach2;
    this.awayX = nx;
    this.awayY = ny;
    // Abeam of the path the edge runs around the centre: bulging outwards, or around the ring's hole.
    const along = rx * nx + ry * ny;
    const pathRadius = Math.sqrt(nearestX * nearestX + nearestY * nearestY);
    const hole = pathRadius - reach;
    const atHole = this.nearestAbeam && (along < 0 || pathRadius > Math.sqrt(rx * rx + ry * ry));
    const bend = !this.nearestAbeam
      ? 1 / reach
      : !atHole
        ? 1 / (pathRadius + reach)
        : hole > 0
          ? -1 / hole
          : 0;
    const area = (2 * this.turn * pathRadius + Math.PI * reach) * reach;
    let share =
      inner > 0
        ? shareWithin(reach - away, nx, ny, bend, cell)
        : narrowShare(reach, away, nx, ny, area, cell);
    if (atHole && this.turn >= fullTurn - 1e-9) {
      // No more of the cell is left than the hole holds.
      const left = hole > 0 ? (Math.PI * hole * hole) / (cell.dx * cell.dy) : 0;
      if (1 - share > left) share = 1 - left;
    }
    return share;
  }

  /** The ring's extent on the row `y`: one stretch, or two around its hole. */
  spans(y: number, margin: number): number {
    const dy = y - this.centreY;
    const reach = this.reach + margin;
    const outer = Math.max(this.radius0, this.radius1) + reach + sameRadius;
    const outer2 = outer * outer - dy * dy;
    if (outer2 < 0) return 0;
    const outerHalf = Math.sqrt(outer2);
    const inner = Math.min(this.radius0, this.radius1) - reach - sameRadius;
    const { centreX } = this;
    const minX = this.minX - margin;
    const maxX = this.maxX + margin;
    const left = Math.max(minX, centreX - outerHalf);
    const right = Math.min(maxX, centreX + outerHalf);
    if (inner <= Math.abs(dy)) {
      this.spanFrom = left;
      this.spanTo = right;
      return left <= right ? 1 : 0;
    }
    const innerHalf = Math.sqrt(inner * inner - dy * dy);
    this.spanFrom = left;
    this.spanTo = Math.min(right, centreX - innerHalf);
    this.secondFrom = Math.max(left, centreX + innerHalf);
    this.secondTo = right;
    return 2;
  }

  /** Squared distance from a point (relative to the centre) to the nearest place of the path, which is kept. */
  private nearest2(rx: number, ry: number): number {
    const { startX, startY, endX, endY } = this;
    const toStart2 = (rx - startX) * (rx - startX) + (ry - startY) * (ry - startY);
    const toEnd2 = (rx - endX) * (rx - endX) + (ry - endY) * (ry - endY);
    const ends2 = toStart2 < toEnd2 ? toStart2 : toEnd2;
    const turned = this.changes ? this.turnedAt(rx, ry) : 0;
    const abeam = this.changes ? turned <= this.turn : this.isAbeam(rx, ry);
    if (abeam) {
      const distance = Math.sqrt(rx * rx + ry * ry);
      const pathRadius = this.radiusAt(turned);
      const off = distance - pathRadius;
      if (!this.changes || off * off < ends2) {
        const out = distance > 0 ? pathRadius / distance : 0;
        this.nearestX = distance > 0 ? rx * out : pathRadius;
        this.nearestY = ry * out;
        this.nearestAbeam = true;
        return off * off;
      }
    }
    this.nearestX = toStart2 < toEnd2 ? startX : endX;
    this.nearestY = toStart2 < toEnd2 ? startY : endY;
    this.nearestAbeam = false;
    return ends2;
  }

  /** Whether the direction of a point lies inside the sweep. */
  private isAbeam(rx: number, ry: number): boolean {
    if (this.turn >= fullTurn) return true;
    const sign = this.counterClockwise ? 1 : -1;
    const afterStart = sign * (this.startX * ry - this.startY * rx) >= 0;
    const beforeEnd = sign * (rx * this.endY - ry * this.endX) >= 0;
    return this.turn <= Math.PI ? afterStart && beforeEnd : afterStart || beforeEnd;
  }

  /** Angle turned from the start until the path points at the point: 0 to a full turn. */
  private turnedAt(rx: number, ry: number): number {
    let turned = Math.atan2(ry, rx) - this.startAngle;
    if (!this.counterClockwise) turned = -turned;
    if (turned < 0) turned += fullTurn;
    if (turned < 0) turned += fullTurn;
    return turned >= fullTurn ? turned - fullTurn : turned;
  }

  private radiusAt(turned: number): number {
    return this.changes ? this.radius0 + ((this.radius1 - this.radius0) * turned) / this.turn : this.radius0;
  }

  /**
   * Half the angle over which the axis of a cutter on the circle `pathRadius` stays within reach of a point
   * at `distance` from the centre. Negative: never.
   */
  private halfWindow(distance: number, pathRadius: number): number {
    const cosine =
      (distance * distance + pathRadius * pathRadius - this.reach2) / (2 * distance * pathRadius);
    return cosine > 1 ? -1 : cosine <= -1 ? Math.PI : Math.acos(cosine);
  }

  /** Flat cutter on a helix: the lowest place of the path from which it reaches the point. */
  private overHelix(rx: number, ry: number): number {
    const { turn } = this;
    const distance = Math.sqrt(rx * rx + ry * ry);
    const descends = this.z1 < this.z0;
    if (distance + Math.max(this.radius0, this.radius1) <= this.reach) return this.lowest;
    const towards = this.turnedAt(rx, ry);
    if (this.changes) return this.overChangingHelix(distance, towards, descends);
    const half = this.halfWindow(distance, this.radius0);
    if (half < 0) return Infinity;
    let at: number;
    if (descends) {
      const round = Math.floor((turn - (towards - half)) / fullTurn);
      at = Math.min(turn, towards + half + round * fullTurn);
      if (at < 0) return Infinity;
    } else {
      const round = Math.ceil((-half - towards) / fullTurn);
      at = Math.max(0, towards - half + round * fullTurn);
      if (at > turn) return Infinity;
    }
    return this.heightAtTurn(at);
  }

  /** As above for a radius that changes gently: the window's edge is found from the radius there. */
  private overChangingHelix(distance: number, towards: number, descends: boolean): number {
    const { turn } = this;
    const side = descends ? 1 : -1;
    for (let k = 0; k < 3; k++) {
      const middle = towards + (descends ? 1 - k : k - 1) * fullTurn;
      const inPath = (angle: number) => Math.min(turn, Math.max(0, angle));
      let half = this.halfWindow(distance, this.radiusAt(inPath(middle)));
      for (let again = 0; again < 3 && half >= 0; again++) {
        half = this.halfWindow(distance, this.radiusAt(inPath(middle + side * half)));
      }
      if (half < 0 || middle - half > turn || middle + half < 0) continue;
      return this.heightAtTurn(inPath(middle + side * half));
    }
    return Infinity;
  }

  private heightAtTurn(turned: number): number {
    if (turned >= this.turn) return this.z1;
    return this.z0 + ((this.z1 - this.z0) * turned) / this.turn;
  }

  private setExtent(): void {
    const { centreX, centreY, startX, startY, endX, endY, reach } = this;
    const margin = reach + sameRadius;
    const radius = Math.max(this.radius0, this.radius1);
    this.minX = centreX - margin + (this.isAbeam(-1, 0) ? -radius : Math.min(startX, endX));
    this.maxX = centreX + margin + (this.isAbeam(1, 0) ? radius : Math.max(startX, endX));
    this.minY = centreY - margin + (this.isAbeam(0, -1) ? -radius : Math.min(startY, endY));
    this.maxY = centreY + margin + (this.isAbeam(0, 1) ? radius : Math.max(startY, endY));
  }
}

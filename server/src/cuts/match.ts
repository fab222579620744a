/** Which passes follow one path: the passes of a cut, also where other cuts lie between them. Lengths in mm. */
import { pointOnMotion } from "../machine/geometry.ts";
import type { Motions } from "../machine/motions.ts";
import { sameLevel, type FoundPass } from "./passes.ts";
import { liesOn, longerSide, planLength, pointsAlong, type Extent, type PathPoint } from "./plan-path.ts";
import { besideAt, sameTrack } from "./width.ts";

/**
 * Paths no further apart are one, mm. Levels of a cut repeat the same written numbers, so this only has to
 * take in rounding; an allowance of 0.2 mm left for a finishing pass must keep its own cut.
 */
const reach = 0.1;
/** Cells of the table of extents, mm. */
const cell = 2;
/** Points compared each way, at least and at most; between them as many as the work bound allows. */
const fewestPoints = 8;
const mostPoints = 24;
const mostDistances = 60_000;
/** Share of points that must lie on the other path: extents equal; extents apart by a different way in. */
const sameShare = 0.95;
const likelyShare = 0.85;
/** Share of the longer of two rows that lies beside the shorter, as where a round pocket is cleared in rows. */
const longRowShare = 0.6;
/** Latest cuts that a part of a ring is looked for in. */
const remembered = 16;

interface Entry {
  readonly cut: number;
  readonly pass: FoundPass;
  readonly scope: number;
}

/**
 * Finds the earlier cut that a pass continues. Cuts and passes meet only inside a scope (one run of a tool
 * under one heading). Passes must be offered in program order. About constant time a pass, but for the
 * comparison of paths, which is linear in their motions.
 */
export class CutMatcher {
  private readonly table = new Map<string, Entry[]>();
  private readonly rings: Entry[] = [];
  private last: Entry | undefined;

  /**
   * @param widthOf width of the groove a pass leaves, mm
   * @param isRing whether a pass runs round something and covers no area
   */
  constructor(
    private readonly motions: Motions,
    private readonly widthOf: (pass: FoundPass) => number,
    private readonly isRing: (pass: FoundPass) => boolean,
  ) {}

  /**
   * The cut the pass continues, or undefined: then `begin` its own. `row`: it is a new track beside the one
   * before, at the same level, as in a pocket cleared in rows with a retract after each.
   */
  find(pass: FoundPass, scope: number): { cut: number; row: boolean } | undefined {
    const entry =
      this.sameExtent(pass, scope) ?? this.otherWayIn(pass, scope) ?? this.partOfRing(pass, scope);
    if (entry) {
      this.last = { cut: entry.cut, pass, scope };
      return { cut: entry.cut, row: false };
    }
    const row = this.rowBeside(pass, scope);
    if (!row) return undefined;
    this.begin(row.cut, pass, scope);
    return { cut: row.cut, row: true };
  }

  /** Makes a cut known by its first pass, or by the first pass of a row. */
  begin(cut: number, pass: FoundPass, scope: number): void {
    const entry = { cut, pass, scope };
    const key = keyOf(pass.coreExtent);
    const list = this.table.get(key);
    if (list) list.push(entry);
    else this.table.set(key, [entry]);
    this.last = entry;
    if (pass.coreLength > 0) {
      this.rings.push(entry);
      if (this.rings.length > remembered) this.rings.shift();
    }
  }

  private sameExtent(pass: FoundPass, scope: number): Entry | undefined {
    for (const key of keysNear(pass.coreExtent)) {
      for (const entry of this.table.get(key) ?? []) {
        if (entry.scope !== scope || farthestSide(entry.pass.coreExtent, pass.coreExtent) > reach) continue;
        if (this.alike(entry.pass, pass, sameShare)) return entry;
      }
    }
    return undefined;
  }

  /** The level before, entered on another way: most of each path lies on the other. */
  private otherWayIn(pass: FoundPass, scope: number): Entry | undefined {
    const { last } = this;
    if (!last || last.scope !== scope || longerSide(pass.coreExtent) < reach) return undefined;
    if (farthestSide(last.pass.coreExtent, pass.coreExtent) > 2 * this.widthOf(pass)) return undefined;
    return this.alike(last.pass, pass, likelyShare) ? last : undefined;
  }

  /** A piece of a ring, cut as deep or deeper: the lowest level between tabs that the tool was lifted over. */
  private partOfRing(pass: FoundPass, scope: number): Entry | undefined {
    if (longerSide(pass.coreExtent) < this.widthOf(pass)) return undefined;
    for (let k = this.rings.length - 1; k >= 0; k--) {
      const ring = this.rings[k];
      if (ring.scope !== scope || pass.bottom > ring.pass.bottom + sameLevel) continue;
      if (!holds(ring.pass.coreExtent, pass.coreExtent)) continue;
      if (!this.isRing(ring.pass)) continue;
      const points = this.points(pass, ring.pass);
      if (this.shareOn(points, ring.pass, sameShare)) return ring;
    }
    return undefined;
  }

  /** A track beside the pass before: at its level, everywhere near enough to overlap, and nowhere the same. */
  private rowBeside(pass: FoundPass, scope: number): Entry | undefined {
    const { last } = this;
    if (!last || last.scope !== scope || last.pass.level !== pass.level) return undefined;
    // Rows of a carved surface each have their own lowest point.
    if (pass.level && Math.abs(last.pass.bottom - pass.bottom) > sameLevel) return undefined;
    const width = this.widthOf(pass);
    if (Math.min(pass.coreLength, last.pass.coreLength) < width) return undefined;
    if (farthestSide(last.pass.coreExtent, pass.coreExtent) > 0.5 * longerSide(pass.coreExtent) + width)
      return undefined;
    const [short, long] = pass.coreLength < last.pass.coreLength ? [pass, last.pass] : [last.pass, pass];
    const points = this.points(short, long);
    const nearest = pass.level ? sameTrack * width : reach;
    const beside =
      this.shareOn(points, long, sameShare, besideAt * width) &&
      this.shareOn(this.points(long, short), short, longRowShare, besideAt * width);
    return beside && !points.some(({ x, y }) => liesOn(this.motions, long.core, x, y, nearest))
      ? last
      : undefined;
  }

  private alike(a: FoundPass, b: FoundPass, share: number): boolean {
    if (a.coreLength <= reach && b.coreLength <= reach) return true;
    return (
      this.sameCorners(a, b) ||
      (this.shareOn(this.points(b, a), a, share) && this.shareOn(this.points(a, b), b, share))
    );
  }

  /** The usual case, told without distances: corner by corner the same, forwards or backwards. */
  private sameCorners(a: FoundPass, b: FoundPass): boolean {
    const { motions } = this;
    const count = a.core.end - a.core.first;
    if (b.core.end - b.core.first !== count) return false;
    let forwards = true;
    let backwards = true;
    for (let k = 0; k < count && (forwards || backwards); k++) {
      const i = a.core.first + k;
      if (planLength(motions, i) === 0) return false;
      forwards &&= this.sameMotion(i, b.core.first + k, false);
      backwards &&= this.sameMotion(i, b.core.end - 1 - k, true);
    }
    return forwards || backwards;
  }

  private sameMotion(i: number, j: number, back: boolean): boolean {
    const { x, y, arc } = this.motions;
    const start = back ? j + 1 : j;
    const end = back ? j : j + 1;
    if (Math.abs(x[i] - x[start]) > reach || Math.abs(y[i] - y[start]) > reach) return false;
    if (Math.abs(x[i + 1] - x[end]) > reach || Math.abs(y[i + 1] - y[end]) > reach) return false;
    if (arc[i] < 0 && arc[j] < 0) return true;
    if (arc[i] < 0 || arc[j] < 0) return false;
    const [ax, ay] = pointOnMotion(this.motions, i, 0.5);
    const [bx, by] = pointOnMotion(this.motions, j, 0.5);
    return Math.abs(ax - bx) <= reach && Math.abs(ay - by) <= reach;
  }

  private points(pass: FoundPass, other: FoundPass): PathPoint[] {
    const bound = Math.floor(mostDistances / (other.core.end - other.core.first));
    const count = Math.max(fewestPoints, Math.min(mostPoints, bound));
    return pointsAlong(this.motions, pass.core, pass.coreLength, count);
  }

  private shareOn(points: readonly PathPoint[], other: FoundPass, share: number, within = reach): boolean {
    let misses = Math.floor((1 - share) * points.length);
    for (const { x, y } of points) {
      if (!liesOn(this.motions, other.core, x, y, within) && --misses < 0) return false;
    }
    return points.length > 0;
  }
}

function farthestSide(a: Extent, b: Extent): number {
  return Math.max(Math.abs(a[0] - b[0]), Math.abs(a[1] - b[1]), Math.abs(a[2] - b[2]), Math.abs(a[3] - b[3]));
}

function holds(outer: Extent, inner: Extent): boolean {
  return (
    inner[0] >= outer[0] - reach &&
    inner[1] >= outer[1] - reach &&
    inner[2] <= outer[2] + reach &&
    inner[3] <= outer[3] + reach
  );
}

function keyOf(extent: Extent): string {
  return extent.map((edge) => Math.floor(edge / cell)).join(",");
}

/** Keys of all cells that an extent equal within reach may lie in: one mostly, two for each edge near a cell's edge. */
function keysNear(extent: Extent): string[] {
  let keys = [""];
  extent.forEach((edge, side) => {
    const low = Math.floor((edge - reach) / cell);
    const high = Math.floor((edge + reach) / cell);
    const comma = side === 0 ? "" : ",";
    keys = keys.flatMap((key) =>
      low === high ? [`${key}${comma}${low}`] : [`${key}${comma}${low}`, `${key}${comma}${high}`],
    );
  });
  return keys;
}

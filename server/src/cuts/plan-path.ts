/** Stretches of motions seen from above: lengths, distances, sample points. Lengths in mm. */
import { arcRadii, motionExtent, pointOnMotion } from "../machine/geometry.ts";
import { MotionFlag, MotionKind, Plane, type Motions } from "../machine/motions.ts";

/** Motions `[first, end)`. */
export interface Stretch {
  readonly first: number;
  readonly end: number;
}

/** min x, min y, max x, max y, mm. */
export type Extent = readonly [number, number, number, number];

/** True where the motion has a path that is known from start to end. */
export function hasPath(motions: Motions, i: number): boolean {
  return (
    motions.kind[i] !== MotionKind.dwell &&
    (motions.flags[i] & (MotionFlag.startUnknown | MotionFlag.endUnknown)) === 0
  );
}

/** True for arcs that are arcs in plan as well. */
export function turnsInPlan(motions: Motions, i: number): boolean {
  const arc = motions.arc[i];
  return arc >= 0 && motions.arcs.plane[arc] === Plane.xy;
}

/** Length of a motion seen from above, mm. An upright arc counts as its chord. */
export function planLength(motions: Motions, i: number): number {
  if (!hasPath(motions, i)) return 0;
  if (turnsInPlan(motions, i)) {
    const { start, end } = arcRadii(motions, i);
    return Math.abs(((start + end) / 2) * motions.arcs.sweep[motions.arc[i]]);
  }
  const dx = motions.x[i + 1] - motions.x[i];
  const dy = motions.y[i + 1] - motions.y[i];
  return dx === 0 && dy === 0 ? 0 : Math.sqrt(dx * dx + dy * dy);
}

/** Length of a stretch seen from above, mm. */
export function stretchLength(motions: Motions, { first, end }: Stretch): number {
  let length = 0;
  for (let i = first; i < end; i++) length += planLength(motions, i);
  return length;
}

/** Extent of a stretch in the plane. A motion that starts at an unknown place counts by its end alone. */
export function stretchExtent(motions: Motions, { first, end }: Stretch): Extent {
  const { x, y, arc } = motions;
  let minX = Infinity;
  let minY = Infinity;
  let maxX = -Infinity;
  let maxY = -Infinity;
  const take = (px: number, py: number) => {
    if (px < minX) minX = px;
    if (px > maxX) maxX = px;
    if (py < minY) minY = py;
    if (py > maxY) maxY = py;
  };
  for (let i = first; i < end; i++) {
    take(x[i + 1], y[i + 1]);
    if (!hasPath(motions, i)) continue;
    take(x[i], y[i]);
    if (arc[i] < 0) continue;
    const [lowX, lowY, , highX, highY] = motionExtent(motions, i);
    take(lowX, lowY);
    take(highX, highY);
  }
  return [minX, minY, maxX, maxY];
}

/** Longer side of an extent, mm. */
export function longerSide([minX, minY, maxX, maxY]: Extent): number {
  return Math.max(maxX - minX, maxY - minY);
}

/** Distance in the plane from a point to a motion's path, mm; +Infinity where the path is not known. */
export function distanceToMotion(motions: Motions, i: number, px: number, py: number): number {
  if (!hasPath(motions, i)) return Infinity;
  const { x, y } = motions;
  if (turnsInPlan(motions, i)) return distanceToArc(motions, i, px, py);
  const dx = x[i + 1] - x[i];
  const dy = y[i + 1] - y[i];
  const square = dx * dx + dy * dy;
  const along = square > 0 ? ((px - x[i]) * dx + (py - y[i]) * dy) / square : 0;
  const t = along < 0 ? 0 : along > 1 ? 1 : along;
  const offX = px - x[i] - t * dx;
  const offY = py - y[i] - t * dy;
  return Math.sqrt(offX * offX + offY * offY);
}

function distanceToArc(motions: Motions, i: number, px: number, py: number): number {
  const { x, y, arcs } = motions;
  const arc = motions.arc[i];
  const { start, end, startAngle } = arcRadii(motions, i);
  const sweep = arcs.sweep[arc];
  const fromX = px - arcs.centreA[arc];
  const fromY = py - arcs.centreB[arc];
  const turn = 2 * Math.PI;
  // Angle from the arc's start to the point, in the arc's own direction, 0 to one turn.
  const ahead = (((Math.atan2(fromY, fromX) - startAngle) * Math.sign(sweep)) % turn) + turn;
  const turned = ahead % turn;
  if (turned <= Math.abs(sweep)) {
    const radius = start + (end - start) * (sweep === 0 ? 0 : turned / Math.abs(sweep));
    return Math.abs(Math.sqrt(fromX * fromX + fromY * fromY) - radius);
  }
  return Math.min(Math.hypot(px - x[i], py - y[i]), Math.hypot(px - x[i + 1], py - y[i + 1]));
}

/** Whether a point lies within `reach` mm of a stretch's path. Stops at the first motion that is near. */
export function liesOn(motions: Motions, stretch: Stretch, px: number, py: number, reach: number): boolean {
  const { x, y, arc } = motions;
  for (let i = stretch.first; i < stretch.end; i++) {
    if (arc[i] < 0) {
      // A line far off is told by its box, without a root.
      if (px < x[i] - reach && px < x[i + 1] - reach) continue;
      if (px > x[i] + reach && px > x[i + 1] + reach) continue;
      if (py < y[i] - reach && py < y[i + 1] - reach) continue;
      if (py > y[i] + reach && py > y[i + 1] + reach) continue;
    }
    if (distanceToMotion(motions, i, px, py) <= reach) return true;
  }
  return false;
}

/** A point on a path, its motion, and how far along the stretch it lies, mm. */
export interface PathPoint {
  readonly x: number;
  readonly y: number;
  readonly motion: number;
  readonly along: number;
}

/** `count` points spread evenly by length over a stretch, the first half a step in. None on a path without length. */
export function pointsAlong(motions: Motions, stretch: Stretch, length: number, count: number): PathPoint[] {
  const points: PathPoint[] = [];
  if (!(length > 0)) return points;
  let passed = 0;
  for (let i = stretch.first; i < stretch.end && points.length < count; i++) {
    const own = planLength(motions, i);
    if (own <= 0) continue;
    for (;;) {
      const along = ((points.length + 0.5) / count) * length;
      if (points.length >= count || along > passed + own) break;
      const [x, y] = pointOnMotion(motions, i, (along - passed) / own);
      points.push({ x, y, motion: i, along });
    }
    passed += own;
  }
  return points;
}

/** Places and lengths along motions. Lengths in mm, angles in radians. */
import { MotionKind, planeAxes, type Motions } from "./motions.ts";

/** Radius of an arc motion where it starts and where it ends, mm (equal unless its end point is off). */
export function arcRadii(motions: Motions, i: number): { start: number; end: number; startAngle: number } {
  const arc = motions.arc[i];
  const { arcs } = motions;
  const [a, b] = planeAxes[arcs.plane[arc]];
  const columns = [motions.x, motions.y, motions.z];
  const fromA = columns[a][i] - arcs.centreA[arc];
  const fromB = columns[b][i] - arcs.centreB[arc];
  const toA = columns[a][i + 1] - arcs.centreA[arc];
  const toB = columns[b][i + 1] - arcs.centreB[arc];
  return { start: Math.hypot(fromA, fromB), end: Math.hypot(toA, toB), startAngle: Math.atan2(fromB, fromA) };
}

/** Place at the share `t` (0 to 1) of a motion, mm. Arcs turn evenly; a radius that changes does so evenly too. */
export function pointOnMotion(motions: Motions, i: number, t: number): [number, number, number] {
  const { x, y, z } = motions;
  if (t <= 0) return [x[i], y[i], z[i]];
  if (t >= 1) return [x[i + 1], y[i + 1], z[i + 1]];
  const straight: [number, number, number] = [
    x[i] + t * (x[i + 1] - x[i]),
    y[i] + t * (y[i + 1] - y[i]),
    z[i] + t * (z[i + 1] - z[i]),
  ];
  const arc = motions.arc[i];
  if (arc < 0) return straight;
  const { arcs } = motions;
  const [a, b] = planeAxes[arcs.plane[arc]];
  const { start, end, startAngle } = arcRadii(motions, i);
  const angle = startAngle + t * arcs.sweep[arc];
  const radius = start + t * (end - start);
  straight[a] = arcs.centreA[arc] + radius * Math.cos(angle);
  straight[b] = arcs.centreB[arc] + radius * Math.sin(angle);
  return straight;
}

/** Length along the path, mm. */
export function motionLength(motions: Motions, i: number): number {
  const { x, y, z, kind } = motions;
  if (kind[i] === MotionKind.dwell) return 0;
  const arc = motions.arc[i];
  if (arc < 0) {
    const dx = x[i + 1] - x[i];
    const dy = y[i + 1] - y[i];
    const dz = z[i + 1] - z[i];
    return Math.sqrt(dx * dx + dy * dy + dz * dz);
  }
  const { arcs } = motions;
  const climbAxis = planeAxes[arcs.plane[arc]][2];
  const climbColumn = climbAxis === 0 ? x : climbAxis === 1 ? y : z;
  const { start, end } = arcRadii(motions, i);
  return Math.hypot(((start + end) / 2) * arcs.sweep[arc], climbColumn[i + 1] - climbColumn[i]);
}

/**
 * Extent of a motion in the plane and in Z: min x, min y, min z, max x, max y, max z, mm. For arcs the
 * quarter points inside the sweep count.
 */
export function motionExtent(motions: Motions, i: number): [number, number, number, number, number, number] {
  const { x, y, z } = motions;
  const low = [Math.min(x[i], x[i + 1]), Math.min(y[i], y[i + 1]), Math.min(z[i], z[i + 1])];
  const high = [Math.max(x[i], x[i + 1]), Math.max(y[i], y[i + 1]), Math.max(z[i], z[i + 1])];
  const arc = motions.arc[i];
  if (arc >= 0) {
    const { arcs } = motions;
    const [a, b] = planeAxes[arcs.plane[arc]];
    const { start, end, startAngle } = arcRadii(motions, i);
    const sweep = arcs.sweep[arc];
    const from = Math.min(startAngle, startAngle + sweep);
    const to = Math.max(startAngle, startAngle + sweep);
    const radius = Math.max(start, end);
    const quarter = Math.PI / 2;
    const firstQuarter = Math.ceil(from / quarter);
    // Four consecutive quarter points show every extreme; more turns repeat them.
    for (let q = firstQuarter; q * quarter <= to && q < firstQuarter + 4; q++) {
      const pointA = arcs.centreA[arc] + radius * Math.round(Math.cos(q * quarter));
      const pointB = arcs.centreB[arc] + radius * Math.round(Math.sin(q * quarter));
      low[a] = Math.min(low[a], pointA);
      high[a] = Math.max(high[a], pointA);
      low[b] = Math.min(low[b], pointB);
      high[b] = Math.max(high[b], pointB);
    }
  }
  return [low[0], low[1], low[2], high[0], high[1], high[2]];
}

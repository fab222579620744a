/** What a cut looks like in plan. Lengths in mm, angles in radians. */
import { motionLength, pointOnMotion } from "../machine/geometry.ts";
import type { Motions } from "../machine/motions.ts";
import type { CutKind } from "./cuts.ts";
import { still, type RawPass } from "./passes.ts";

/** A path that comes this near its start again, in tool diameters, is closed. */
const closedWithin = 0.1;
/** A round path whose core is under this many tool diameters is a hole; a larger one an outline. */
const holeCore = 3;
/** Share of the swept length that covers new ground below which a path clears an area. */
const pocketShare = 0.8;
/** Points along a path for its turning and its coverage. */
const steps = 720;

/** Kind of a cut, told from its deepest pass. */
export function shapeOf(motions: Motions, pass: RawPass, diameter: number): CutKind {
  const [x0, y0, x1, y1] = pass.extent;
  if (x1 - x0 < 0.01 && y1 - y0 < 0.01) return "drilled hole";
  const path = levelPath(motions, pass);
  if (path.count < 2) return "slot";
  const closed =
    Math.hypot(path.x[path.count - 1] - path.x[0], path.y[path.count - 1] - path.y[0]) <=
    Math.max(0.05, closedWithin * diameter);
  if (closed) {
    const circle = circleRadius(path);
    if (circle !== undefined) return 2 * circle - diameter < holeCore * diameter ? "round hole" : "outline";
    if (Math.abs(Math.abs(turning(path)) - 2 * Math.PI) < 0.35) return "outline";
  }
  return covers(path, diameter) < pocketShare ? "pocket" : closed ? "outline" : "slot";
}

interface Path {
  readonly x: Float64Array;
  readonly y: Float64Array;
  readonly count: number;
  readonly length: number;
}

/** The path at the pass's own level: after the plunge or ramp that leads there; all of it for a path with none. */
function levelPath(motions: Motions, pass: RawPass): Path {
  let from = pass.levelFirst;
  // A ramp down to the level is not part of its shape, where a level follows.
  const atBottom = (i: number) =>
    motions.z[i + 1] <= pass.bottom + still && motions.z[i] <= pass.bottom + still;
  for (let i = from; i < pass.end; i++) {
    if (!atBottom(i) || motionLength(motions, i) === 0) continue;
    from = i;
    break;
  }
  let length = 0;
  for (let i = from; i < pass.end; i++) length += planLength(motions, i);
  const step = Math.max(length / steps, 1e-9);
  const x: number[] = [motions.x[from]];
  const y: number[] = [motions.y[from]];
  for (let i = from; i < pass.end; i++) {
    const own = planLength(motions, i);
    if (own < still) continue;
    const parts = Math.max(
      1,
      Math.min(steps, motions.arc[i] >= 0 ? Math.max(8, Math.ceil(own / step)) : Math.ceil(own / step)),
    );
    for (let k = 1; k <= parts; k++) {
      const [px, py] = pointOnMotion(motions, i, k / parts);
      x.push(px);
      y.push(py);
    }
  }
  return { x: Float64Array.from(x), y: Float64Array.from(y), count: x.length, length };
}

function planLength(motions: Motions, i: number): number {
  const dz = motions.z[i + 1] - motions.z[i];
  const length = motionLength(motions, i);
  return Math.sqrt(Math.max(0, length * length - dz * dz));
}

/** Radius of a path that is one circle (run once or several times), undefined for any other. */
function circleRadius(path: Path): number | undefined {
  let cx = 0;
  let cy = 0;
  const [x0, x1] = [
    Math.min(...chunkExtremes(path.x, Math.min)),
    Math.max(...chunkExtremes(path.x, Math.max)),
  ];
  const [y0, y1] = [
    Math.min(...chunkExtremes(path.y, Math.min)),
    Math.max(...chunkExtremes(path.y, Math.max)),
  ];
  cx = (x0 + x1) / 2;
  cy = (y0 + y1) / 2;
  const radius = (x1 - x0 + y1 - y0) / 4;
  if (radius < 0.01) return undefined;
  const loose = Math.max(0.02, 0.02 * radius);
  for (let k = 0; k < path.count; k++) {
    if (Math.abs(Math.hypot(path.x[k] - cx, path.y[k] - cy) - radius) > loose) return undefined;
  }
  return radius;
}

/** Extremes in chunks: spreading a long array over the stack would overflow it. */
function chunkExtremes(values: Float64Array, pick: (...values: number[]) => number): number[] {
  const found: number[] = [];
  for (let k = 0; k < values.length; k += 1024) found.push(pick(...values.subarray(k, k + 1024)));
  return found;
}

/** Angle by which the direction of a closed path turns in all. */
function turning(path: Path): number {
  const headings: number[] = [];
  for (let k = 1; k < path.count; k++) {
    const dx = path.x[k] - path.x[k - 1];
    const dy = path.y[k] - path.y[k - 1];
    if (Math.hypot(dx, dy) > still) headings.push(Math.atan2(dy, dx));
  }
  let sum = 0;
  for (let k = 0; k < headings.length; k++) {
    let turn = headings[(k + 1) % headings.length] - headings[k];
    while (turn > Math.PI) turn -= 2 * Math.PI;
    while (turn < -Math.PI) turn += 2 * Math.PI;
    sum += turn;
  }
  return sum;
}

/**
 * Area swept by a cutter along the path as a share of length times diameter (plus the round end): about 1 where it
 * never comes near its own track, clearly less where tracks overlap. Counted on a grid a fifth of the diameter wide.
 */
function covers(path: Path, diameter: number): number {
  const cell = diameter / 5;
  const radius = diameter / 2;
  const touched = new Set<number>();
  const stride = Math.max(1, Math.floor(path.count / 4000));
  const width = 1 << 21;
  let counted = 0;
  const stepLength = path.length / Math.max(1, path.count - 1);
  for (let k = 0; k < path.count; k += stride) {
    const cx = path.x[k];
    const cy = path.y[k];
    for (let gx = Math.ceil((cx - radius) / cell); gx <= Math.floor((cx + radius) / cell); gx++) {
      for (let gy = Math.ceil((cy - radius) / cell); gy <= Math.floor((cy + radius) / cell); gy++) {
        if ((gx * cell - cx) ** 2 + (gy * cell - cy) ** 2 <= radius * radius)
          touched.add((gx + (width >> 1)) * width + gy + (width >> 1));
      }
    }
    counted++;
  }
  // Steps wider than the cutter leave gaps between its discs: then only the discs themselves can be compared.
  const sparse = stepLength * stride > radius;
  const full = sparse
    ? counted * Math.PI * radius * radius
    : path.length * diameter + Math.PI * radius * radius;
  return full > 0 ? (touched.size * cell * cell) / full : 1;
}

/** Which passes follow one path at growing depth. Lengths in mm. */
import { motionLength, pointOnMotion } from "../machine/geometry.ts";
import { MotionKind, type Motions } from "../machine/motions.ts";
import type { RawPass } from "./passes.ts";

/** Extents of passes of one cut may differ by this, or by the share below: lead-ins and ramps differ from level to level. */
const looseness = 0.1;
const looseShare = 0.02;
/** Points compared along a pass. */
const samples = 24;
/** Passes looked at for a match in one cell of the index. */
const mostCandidates = 64;

/** Groups pass indices into cuts, each in program order, the cuts by their first pass. */
export function matchPasses(motions: Motions, passes: readonly RawPass[]): number[][] {
  const cuts: number[][] = [];
  /** Cuts by the place of their extent's middle, in cells as large as the looseness allows. */
  const index = new Map<string, number[]>();
  const paths = new Map<number, Float64Array>();
  const pathOf = (pass: number) => {
    let path = paths.get(pass);
    if (!path) paths.set(pass, (path = pathPoints(motions, passes[pass])));
    return path;
  };
  for (let p = 0; p < passes.length; p++) {
    const pass = passes[p];
    let found = -1;
    for (const key of keysNear(pass)) {
      for (const cut of index.get(key) ?? []) {
        const other = passes[cuts[cut][0]];
        if (cut > found && alike(pass, other) && samePath(pathOf(p), pass, pathOf(cuts[cut][0]), other))
          found = cut;
      }
    }
    if (found >= 0) {
      cuts[found].push(p);
      continue;
    }
    const key = keyOf(pass, 0, 0);
    const bucket = index.get(key);
    // The newest candidates are the likeliest; a bucket without bound would make the search square.
    if (bucket) {
      bucket.push(cuts.length);
      if (bucket.length > mostCandidates) bucket.shift();
    } else index.set(key, [cuts.length]);
    cuts.push([p]);
  }
  return cuts;
}

const cell = 2;

function keyOf(pass: RawPass, dx: number, dy: number): string {
  const [x0, y0, x1, y1] = pass.extent;
  return `${pass.run}:${Math.round((x0 + x1) / 2 / cell) + dx}:${Math.round((y0 + y1) / 2 / cell) + dy}`;
}

function* keysNear(pass: RawPass): Generator<string> {
  for (let dx = -1; dx <= 1; dx++) for (let dy = -1; dy <= 1; dy++) yield keyOf(pass, dx, dy);
}

function tolerance(pass: RawPass): number {
  const [x0, y0, x1, y1] = pass.extent;
  return Math.max(looseness, looseShare * Math.max(x1 - x0, y1 - y0));
}

function alike(a: RawPass, b: RawPass): boolean {
  const loose = Math.max(tolerance(a), tolerance(b));
  return a.run === b.run && a.extent.every((edge, side) => Math.abs(edge - b.extent[side]) <= loose);
}

/** Points along the part of a pass that moves in the plane, evenly by length: x, y, x, y ... */
function pathPoints(motions: Motions, pass: RawPass): Float64Array {
  const lengths: number[] = [];
  let total = 0;
  for (let i = pass.levelFirst; i < pass.end; i++) {
    const length = motions.kind[i] === MotionKind.dwell ? 0 : motionLength(motions, i);
    lengths.push(length);
    total += length;
  }
  const points = new Float64Array(2 * samples);
  let i = 0;
  let before = 0;
  for (let k = 0; k < samples; k++) {
    const at = (total * (k + 0.5)) / samples;
    while (i < lengths.length - 1 && before + lengths[i] < at) before += lengths[i++];
    const t = lengths[i] > 0 ? (at - before) / lengths[i] : 1;
    const [x, y] = pointOnMotion(motions, pass.levelFirst + i, t);
    points[2 * k] = x;
    points[2 * k + 1] = y;
  }
  return points;
}

/**
 * Whether two passes run along one path: most sampled points of each lie near the other's samples. Direction and
 * starting place may differ, and a ramp may add length at one end.
 */
function samePath(a: Float64Array, passA: RawPass, b: Float64Array, passB: RawPass): boolean {
  const spacing = Math.max(passA.length, passB.length) / samples;
  const reach = spacing * 0.75 + Math.max(tolerance(passA), tolerance(passB));
  return nearShare(a, b, reach) >= 0.8 && nearShare(b, a, reach) >= 0.8;
}

function nearShare(from: Float64Array, to: Float64Array, reach: number): number {
  let near = 0;
  for (let i = 0; i < from.length; i += 2) {
    for (let j = 0; j < to.length; j += 2) {
      if (Math.hypot(from[i] - to[j], from[i + 1] - to[j + 1]) > reach) continue;
      near++;
      break;
    }
  }
  return near / (from.length / 2);
}

/** Motions as straight segments: what the lines are drawn from and what a click is measured against. */
import { motionLength, pointOnMotion } from "../../server/src/machine/geometry.ts";
import { MotionFlag, MotionKind, type Motions } from "../../server/src/machine/motions.ts";

/** Floats a segment takes: x, y, z of both ends, motion, kind. */
export const segmentStride = 8;
/** Greatest distance between an arc and its chords, mm. */
const chordError = 0.02;
const mostChords = 96;

export interface PathSegments {
  readonly count: number;
  /** `count * segmentStride` floats: start xyz (mm), end xyz (mm), index of the motion, 0 rapid or 1 cutting. */
  readonly data: Float32Array;
  /** First segment of each motion; length `motions.count + 1`. */
  readonly firstOfMotion: Uint32Array;
}

/** Cuts the motions into segments. Motions from or to a place not known, and dwells, have none. */
export function pathSegments(motions: Motions): PathSegments {
  const firstOfMotion = new Uint32Array(motions.count + 1);
  let count = 0;
  for (let i = 0; i < motions.count; i++) {
    firstOfMotion[i] = count;
    count += chordsOf(motions, i);
  }
  firstOfMotion[motions.count] = count;
  const data = new Float32Array(count * segmentStride);
  let at = 0;
  for (let i = 0; i < motions.count; i++) {
    const chords = firstOfMotion[i + 1] - firstOfMotion[i];
    let from: readonly number[] = [motions.x[i], motions.y[i], motions.z[i]];
    for (let k = 1; k <= chords; k++) {
      const to = pointOnMotion(motions, i, k / chords);
      data.set(from, at);
      data.set(to, at + 3);
      data[at + 6] = i;
      data[at + 7] = motions.kind[i] === MotionKind.rapid ? 0 : 1;
      at += segmentStride;
      from = to;
    }
  }
  return { count, data, firstOfMotion };
}

function chordsOf(motions: Motions, i: number): number {
  if (motions.flags[i] & (MotionFlag.startUnknown | MotionFlag.endUnknown)) return 0;
  const kind = motions.kind[i];
  if (kind === MotionKind.dwell) return 0;
  const length = motionLength(motions, i);
  if (!(length > 0)) return 0;
  if (kind !== MotionKind.arc) return 1;
  const sweep = Math.abs(motions.arcs.sweep[motions.arc[i]]);
  const radius = Math.max(length / Math.max(sweep, 1e-9), 1e-6);
  const step = 2 * Math.acos(Math.max(1 - chordError / radius, 0.7));
  return Math.min(Math.max(Math.ceil(sweep / step), 2), mostChords);
}
